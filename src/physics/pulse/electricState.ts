import { solve } from "../../numerics/linear.ts";
import type { Ampere, Joule, Second, Volt } from "../../units/aliases.ts";
import type { Circuit, Network, OutputState, SupplyState } from "./circuit.ts";
import type { Hysteresis } from "./hysteresis.ts";
import type { StripElectrics } from "./model.ts";
import type { NetworkModes, StepMatrices } from "./propagator.ts";

/*
 * The drive and the strip's layers over one step. For layer k between its faces, ΔV = B v,
 *   ΔV = v_t + v_h(q),   q = C v_t + Θ σ,   M = Θᵀ v_t,   and in parallel  ΔV = q′/C′ + v_h′(q′)
 * v_h = K q + r with the tangent K of a moment ago and a small rest r, so that
 *   q = C_e (ΔV − r) + Θ_e σ,   C_e = (C⁻¹ + K)⁻¹,   Θ_e = C_e C⁻¹ Θ
 *   M = Θ_eᵀ (ΔV − r) − κ σ,    κ = Θᵀ C⁻¹ Θ − Θ_eᵀ C⁻¹ Θ
 * r is taken at the charge extrapolated to the end of the step; K is renewed when it has moved.
 */

/** One state of the network with its matrices for one step length. */
export interface Step {
  modes: NetworkModes;
  matrices: StepMatrices;
  /** S a/h. */
  perSlope: Float64Array;
  moment: number;
  /** Running Σ X Xᵀ, upper triangle packed. */
  products: Float64Array;
  used: boolean;
}

/** The electrical half of a run. Mutable. */
export interface Electric {
  circuit: Circuit;
  strip: StripElectrics;
  v: Float64Array;
  /** Charges of the series (with strain) and parallel branches. */
  q: Float64Array;
  qParallel: Float64Array;
  series: (Hysteresis | null)[];
  parallel: (Hysteresis | null)[];
  output: OutputState;
  outputSign: number;
  supplies: SupplyState[];
  supplySigns: Int8Array;
  /** Commanded state and waveform voltage. */
  commanded: "high" | "low" | "off" | "wave";
  drive: Volt;
  /** Largest current through the series resistor at the turns of the switch. */
  peakCurrent: Ampere;
  /** Energies by account, J. */
  accounts: Map<string, Joule>;
  /** Result of the step in hand. */
  momentAtZero: number;
  momentPerSlope: number;
  internal: Internal;
}

export interface Internal {
  nodes: number;
  layers: number;
  incidence: Float64Array;
  inverse: Float64Array;
  /** Tangents: series and parallel. */
  K: Float64Array;
  KParallel: Float64Array;
  Ce: Float64Array;
  CParallel: Float64Array;
  thetaE: Float64Array;
  kappa: number;
  a: Float64Array;
  capacitance: Float64Array;
  r: Float64Array;
  rParallel: Float64Array;
  rho: Float64Array;
  dq: Float64Array;
  dqParallel: Float64Array;
  lastStep: Second;
  steps: Map<string, Step>;
  networks: Map<string, NetworkModes>;
  /** Networks by state; they do not hang on the tangents. */
  plain: Map<string, Network>;
  active: Step | null;
  w: Float64Array;
  va: Float64Array;
  rNext: Float64Array;
  rParallelNext: Float64Array;
  rhoNext: Float64Array;
  X: Float64Array;
  whole: boolean;
  deltaV: Float64Array;
  /** Largest rail voltage, for tolerances. */
  scale: Volt;
}

export function inverseOf(a: Float64Array, n: number): Float64Array {
  const out = new Float64Array(n * n);
  for (let c = 0; c < n; c++) {
    const unit = new Float64Array(n);
    unit[c] = 1;
    const x = solve(a, n, unit);
    if (x === null) throw new RangeError("the capacitance matrix of the layers is singular");
    for (let r = 0; r < n; r++) out[r * n + c] = x[r]!;
  }
  return out;
}

export function voltagesOf(el: Electric, v: Float64Array): void {
  const { layers, nodes, incidence, deltaV } = el.internal;
  for (let k = 0; k < layers; k++) {
    let sum = 0;
    for (let i = 0; i < nodes; i++) sum += incidence[k * nodes + i]! * v[i]!;
    deltaV[k] = sum;
  }
}

export function rhoOf(
  el: Electric,
  r: Float64Array,
  rParallel: Float64Array,
  out: Float64Array,
): void {
  const { layers, nodes, incidence, Ce, CParallel } = el.internal;
  out.fill(0);
  for (let k = 0; k < layers; k++) {
    let charge = CParallel[k]! * rParallel[k]!;
    for (let j = 0; j < layers; j++) charge += Ce[k * layers + j]! * r[j]!;
    if (charge === 0) continue;
    for (let i = 0; i < nodes; i++) out[i]! += incidence[k * nodes + i]! * charge;
  }
}
