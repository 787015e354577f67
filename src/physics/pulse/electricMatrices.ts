import type { Second } from "../../units/aliases.ts";
import { type Network, networkOf, type SupplyState } from "./circuit.ts";
import type { Electric, Step } from "./electricState.ts";
import { bookPowers, networkModes, stepMatrices } from "./propagator.ts";

const SUPPLY_CODE = { linear: 0, limited: 1, blocked: 2 } as const;

/** States of all supplies as one number, six to a supply. */
export function suppliesCode(supplies: readonly SupplyState[], signs: ArrayLike<number>): number {
  let code = 0;
  for (let r = 0; r < supplies.length; r++)
    code = code * 6 + 2 * SUPPLY_CODE[supplies[r]!] + (signs[r]! < 0 ? 1 : 0);
  return code;
}

/** Matrices kept before they are made anew. */
const STEPS_KEPT = 96;

/** A combination of states: the supplies' as one number, and the network. */
export interface Combination {
  code: number;
  network: Network;
}

const outputKey = (el: Electric) => `${el.output}${el.outputSign}|`;

/** The network of the present states. */
export function networkFor(el: Electric): Combination {
  const { plain } = el.internal;
  const code = suppliesCode(el.supplies, el.supplySigns);
  const key = outputKey(el) + code;
  let network = plain.get(key);
  if (network === undefined) {
    network = networkOf(el.circuit, el.output, el.outputSign, el.supplies, el.supplySigns);
    plain.set(key, network);
  }
  return { code, network };
}

/** The other combinations of supply states that were met with the output as it is. */
export function networksBeside(el: Electric): Combination[] {
  const start = outputKey(el);
  const now = suppliesCode(el.supplies, el.supplySigns);
  const out: Combination[] = [];
  for (const [key, network] of el.internal.plain) {
    if (!key.startsWith(start)) continue;
    const code = Number(key.slice(start.length));
    if (code !== now) out.push({ code, network });
  }
  return out;
}

/** The matrices that a step of length h from the present states takes. */
export function stepFor(el: Electric, h: Second): Step {
  const { internal } = el;
  const { code, network: plain } = networkFor(el);
  const network = outputKey(el) + code;
  const key = `${network}|${h}`;
  const kept = internal.steps.get(key);
  if (kept !== undefined) return kept;
  let modes = internal.networks.get(network);
  if (modes === undefined) {
    modes = networkModes(plain, internal.capacitance, internal.nodes);
    internal.networks.set(network, modes);
  }
  const matrices = stepMatrices(modes, h);
  const { nodes, a } = internal;
  const perSlope = new Float64Array(nodes);
  let moment = internal.kappa;
  for (let i = 0; i < nodes; i++) {
    let sum = 0;
    for (let j = 0; j < nodes; j++) sum += matrices.S[i * nodes + j]! * a[j]!;
    perSlope[i] = sum / h;
    moment += a[i]! * perSlope[i]!;
  }
  const size = 2 * nodes + 2;
  if (internal.steps.size >= STEPS_KEPT) {
    book(el);
    internal.steps.clear();
  }
  const made: Step = {
    modes,
    matrices,
    perSlope,
    moment,
    products: new Float64Array((size * (size + 1)) / 2),
    used: false,
  };
  internal.steps.set(key, made);
  return made;
}

/** Books the energies of the steps in hand. */
export function book(el: Electric): void {
  for (const step of el.internal.steps.values()) {
    if (!step.used) continue;
    bookPowers(step.modes, step.matrices.h, step.products, el.accounts);
    step.products.fill(0);
    step.used = false;
  }
}
