import type {
  KilogramPerCubicMetre,
  Metre,
  PascalSecond,
  RadianPerSecond,
  Ratio,
} from "../units/aliases.ts";
import { hydrodynamicStrip } from "./hydrodynamic.ts";
import type { ModalBasis } from "./modes.ts";

/*
 * Gas around the strip, per mode (M-orthonormal φ, I = ∫φ² dx):
 *   µ_r = (π/4) ρ b² Re Γ + ρ b³/(12 h_w)         added mass per length
 *   µ_i = (π/4) ρ b² Im Γ
 *   ω² (1 + µ_r I) = ω_vac²,   Q_gas = (1 + µ_r I)/(µ_i I),   1/Q = 1/Q_structural + 1/Q_gas
 * with Γ at Re = ρ ω b²/(4µ) of the loaded ω, iterated. The wall term is the gas that must flow
 * sideways out of the gap h_w ≪ b under the strip, inviscid and incompressible (b ω ≪ speed of
 * sound); the strip's thickness and the gas's compressibility are left out, and the damping of a
 * wall gap (squeeze film) too: Q_gas near a wall is an upper value.
 * Source: J. E. Sader, J. Appl. Phys. 84 (1998) 64–76; inviscid limit W.-H. Chu 1963.
 */

export interface GasLoad {
  density: KilogramPerCubicMetre;
  viscosity: PascalSecond;
  /** Width of the strip. */
  width: Metre;
  /** Gap between the strip and the wall under it; null: unbounded. */
  wallDistance: Metre | null;
  structuralQ: Ratio;
}

export interface LoadedModes {
  /** Hz, one per mode of the basis. */
  frequencies: Float64Array;
  /** Structural and gas losses together. */
  q: Float64Array;
  /** Gas alone; Infinity in vacuum. */
  gasQ: Float64Array;
}

const MAX_ITERATIONS = 60;

/** Resonances and Q of each mode of the basis in a gas; density 0 gives the vacuum values. */
export function loadedModes(basis: ModalBasis, gas: GasLoad): LoadedModes {
  checkLoad(gas);
  const n = basis.count;
  const frequencies = new Float64Array(n);
  const q = new Float64Array(n);
  const gasQ = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const mode = loadedMode(basis.omega[i]!, basis.shapeSquareIntegral[i]!, gas);
    frequencies[i] = mode.omega / (2 * Math.PI);
    gasQ[i] = mode.gasQ;
    q[i] = 1 / (1 / gas.structuralQ + 1 / mode.gasQ);
  }
  return { frequencies, q, gasQ };
}

function checkLoad(gas: GasLoad): void {
  if (!(gas.density >= 0)) throw new RangeError(`density must be >= 0 kg/m³: got ${gas.density}`);
  if (!(gas.viscosity > 0))
    throw new RangeError(`viscosity must be > 0 Pa·s: got ${gas.viscosity}`);
  if (!(gas.width > 0)) throw new RangeError(`width must be > 0 m: got ${gas.width}`);
  if (gas.wallDistance !== null && !(gas.wallDistance > 0))
    throw new RangeError(`wall distance must be > 0 m: got ${gas.wallDistance}`);
  if (!(gas.structuralQ > 0))
    throw new RangeError(`structural Q must be > 0: got ${gas.structuralQ}`);
}

/** @param integral ∫φ² dx of the M-normalised mode, m/kg */
function loadedMode(
  vacuum: RadianPerSecond,
  integral: number,
  gas: GasLoad,
): { omega: RadianPerSecond; gasQ: Ratio } {
  const { density, viscosity, width, wallDistance } = gas;
  if (density === 0) return { omega: vacuum, gasQ: Number.POSITIVE_INFINITY };
  const disc = (Math.PI / 4) * density * width * width * integral;
  const wall =
    wallDistance === null ? 0 : ((density * width ** 3) / (12 * wallDistance)) * integral;
  const perOmega = (density * width * width) / (4 * viscosity);
  let omega = vacuum;
  let gasQ = Number.POSITIVE_INFINITY;
  for (let iteration = 0; iteration < MAX_ITERATIONS; iteration++) {
    const gamma = hydrodynamicStrip(perOmega * omega);
    const inertia = 1 + disc * gamma.re + wall;
    const next = vacuum / Math.sqrt(inertia);
    gasQ = inertia / (disc * gamma.im);
    const change = Math.abs(next - omega);
    omega = next;
    if (change <= 1e-12 * omega) break;
  }
  return { omega, gasQ };
}
