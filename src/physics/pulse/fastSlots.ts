import type { Network } from "./circuit.ts";
import { networkFor, networksBeside } from "./electricMatrices.ts";
import type { Electric } from "./electricState.ts";
import { at, BOUNDS } from "./layout.ts";

/*
 * The networks of the output as it stands, one slot of the compiled step's memory for each combination of supply states
 * that was met: what does not hang on the layers' tangents. Their matrices are made there.
 */

/** Accounts of the audit in the order of their numbers in memory. */
let accounts: string[] = [];

function accountNumber(name: string): number {
  const known = accounts.indexOf(name);
  if (known >= 0) return known;
  accounts.push(name);
  return accounts.length - 1;
}

/** Whether a network's powers and accounts have room in memory. */
const fits = ({ powers }: Network): boolean =>
  powers.length <= BOUNDS.MAX_POWERS &&
  new Set([...accounts, ...powers.map((power) => power.account)]).size <= BOUNDS.MAX_ACCOUNTS;

/** Fills the slots, the present combination first; false: its network does not fit. */
export function loadSlots(x: Float64Array, el: Electric): boolean {
  accounts = [];
  const now = networkFor(el);
  if (!fits(now.network)) return false;
  let count = 0;
  for (const { code, network } of [now, ...networksBeside(el)]) {
    if (count === BOUNDS.MAX_SLOTS || !fits(network)) continue;
    loadSlot(x, at("SLOTS") + count * at("SLOT_SIZE"), el.internal.nodes, code, network);
    count++;
  }
  x[at("SLOT_COUNT")] = count;
  x[at("SLOT_NOW")] = 0;
  x.fill(0, at("ACCOUNTS"), at("ACCOUNTS") + accounts.length);
  return true;
}

function loadSlot(
  x: Float64Array,
  base: number,
  nodes: number,
  code: number,
  { conductance, source, perDrive, powers }: Network,
): void {
  x[base + at("M_CODE")] = code;
  x[base + at("M_USED")] = 0;
  x[base + at("M_STALE")] = 1;
  x.set(source, base + at("M_SOURCE"));
  x.set(perDrive, base + at("M_PER_DRIVE"));
  for (let i = 0; i < nodes; i++)
    for (let j = 0; j < nodes; j++)
      x[base + at("M_Y") + i * BOUNDS.MAX_NODES + j] = conductance[i * nodes + j]!;
  const products = base + at("M_PRODUCTS");
  x.fill(0, products, products + (2 * nodes + 2) ** 2);
  x[base + at("M_POWER_COUNT")] = powers.length;
  powers.forEach((power, n) => {
    const place = base + at("M_POWERS") + n * at("POWER_SIZE");
    x[place] = accountNumber(power.account);
    x.set(power.a, place + 1);
    x.set(power.b, place + 3 + BOUNDS.MAX_NODES);
  });
}

/** Adds what was booked to the accounts. */
export function storeAccounts(x: Float64Array, el: Electric): void {
  accounts.forEach((name, n) => {
    const energy = x[at("ACCOUNTS") + n]!;
    if (energy !== 0) el.accounts.set(name, (el.accounts.get(name) ?? 0) + energy);
  });
}
