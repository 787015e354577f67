import type { Circuit } from "./circuit.ts";
import { placeLayers } from "./electricLayers.ts";
import { book } from "./electricMatrices.ts";
import { type Electric, type Internal, inverseOf } from "./electricState.ts";
import { copyHysteresis, type Hysteresis, newHysteresis } from "./hysteresis.ts";
import type { LossBranch, StripElectrics } from "./model.ts";

const branchOf = (branch: LossBranch | null, at: "closed" | "open"): Hysteresis | null =>
  branch === null
    ? null
    : newHysteresis(
        branch.density,
        branch.reach,
        branch[at],
        branch[at === "closed" ? "open" : "closed"],
      );

/** The electrical half with every node at the potentials `v`, and the strip in the state `at`. */
export function newElectric(
  circuit: Circuit,
  strip: StripElectrics,
  v: Float64Array,
  slope: number,
  at: "closed" | "open",
): Electric {
  const { layers } = strip;
  const nodes = circuit.nodes;
  const incidence = new Float64Array(layers * nodes);
  for (let k = 0; k < layers; k++) {
    const top = circuit.electrodeNode[strip.top[k]!]!;
    const bottom = circuit.electrodeNode[strip.bottom[k]!]!;
    if (top >= 0) incidence[k * nodes + top]! += 1;
    if (bottom >= 0) incidence[k * nodes + bottom]! -= 1;
  }
  const inverse = inverseOf(strip.capacitance, layers);
  const room = (n: number) => new Float64Array(n);
  const internal: Internal = {
    nodes,
    layers,
    incidence,
    inverse,
    K: room(layers),
    KParallel: room(layers),
    Ce: room(layers * layers),
    CParallel: room(layers),
    thetaE: room(layers),
    kappa: 0,
    a: room(nodes),
    capacitance: room(nodes * nodes),
    r: room(layers),
    rParallel: room(layers),
    rho: room(nodes),
    dq: room(layers),
    dqParallel: room(layers),
    lastStep: 1,
    steps: new Map(),
    networks: new Map(),
    plain: new Map(),
    active: null,
    w: room(nodes),
    va: room(nodes),
    rNext: room(layers),
    rParallelNext: room(layers),
    rhoNext: room(nodes),
    X: room(2 * nodes + 2),
    whole: true,
    deltaV: room(layers),
    scale: Math.max(1, ...circuit.spec.rails.map((rail) => Math.abs(rail.voltage))),
  };
  const out: Electric = {
    circuit,
    strip,
    v: v.slice(),
    q: room(layers),
    qParallel: room(layers),
    series: strip.series.map((branch) => branchOf(branch, at)),
    parallel: strip.parallel.map((p) => branchOf(p?.branch ?? null, at)),
    output: "off",
    outputSign: 0,
    supplies: circuit.spec.rails.map(() => "linear"),
    supplySigns: new Int8Array(circuit.spec.rails.length).fill(1),
    commanded: "off",
    drive: 0,
    peakCurrent: 0,
    accounts: new Map(),
    momentAtZero: 0,
    momentPerSlope: 0,
    internal,
  };
  placeLayers(out, slope);
  return out;
}

/** An independent copy; the steps' matrices are shared, sums in hand are booked first. */
export function copyElectric(el: Electric): Electric {
  book(el);
  const { internal } = el;
  const own = (a: Float64Array) => a.slice();
  return {
    ...el,
    v: own(el.v),
    q: own(el.q),
    qParallel: own(el.qParallel),
    series: el.series.map((h) => h && copyHysteresis(h)),
    parallel: el.parallel.map((h) => h && copyHysteresis(h)),
    supplies: el.supplies.slice(),
    supplySigns: el.supplySigns.slice(),
    accounts: new Map(el.accounts),
    internal: {
      ...internal,
      K: own(internal.K),
      KParallel: own(internal.KParallel),
      Ce: own(internal.Ce),
      CParallel: own(internal.CParallel),
      thetaE: own(internal.thetaE),
      a: own(internal.a),
      capacitance: own(internal.capacitance),
      r: own(internal.r),
      rParallel: own(internal.rParallel),
      rho: own(internal.rho),
      dq: own(internal.dq),
      dqParallel: own(internal.dqParallel),
      steps: new Map(),
      networks: new Map(),
      active: null,
      w: own(internal.w),
      va: own(internal.va),
      rNext: own(internal.rNext),
      rParallelNext: own(internal.rParallelNext),
      rhoNext: own(internal.rhoNext),
      X: own(internal.X),
      deltaV: own(internal.deltaV),
    },
  };
}
