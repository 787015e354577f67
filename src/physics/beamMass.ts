import type { Beam, PointMass } from "./beam.ts";
import { FAMILY, referenceIntegrals } from "./beamBasis.ts";

/**
 * Mass matrix of the strip's unknowns, row-major. Within an element everything that lies nearer
 * to the clamp moves it as a rigid body, deflection W + S (x − x0); the element's own functions
 * come on top. Only a_0, a_1, b_0 and the clamp's springs move what lies beyond ("carriers").
 */
export function assembleMass(beam: Beam, masses: readonly PointMass[]): Float64Array {
  return assemble(beam, masses, false);
}

/** ∫ N_i N_j dx over the whole strip, row-major: the mass matrix of 1 kg/m and nothing else. */
export function overlapMatrix(beam: Beam): Float64Array {
  return assemble(beam, [], true);
}

function assemble(beam: Beam, masses: readonly PointMass[], overlap: boolean): Float64Array {
  const n = beam.unknowns;
  const M = new Float64Array(n * n);
  const most = 2 + 3 * beam.elements;
  const carriers: Carriers = {
    count: 0,
    unknown: new Int32Array(most),
    deflection: new Float64Array(most),
    slope: new Float64Array(most),
  };
  if (beam.baseDisplacement >= 0) carry(carriers, beam.baseDisplacement, 1, 0);
  if (beam.baseRotation >= 0) carry(carriers, beam.baseRotation, 0, 1);
  const near = 1e-9 * beam.length;
  for (let e = 0; e < beam.elements; e++) {
    const x0 = beam.start[e]!;
    if (e === 0) addMasses(M, n, carriers, masses, x0, near);
    addElement(M, beam, e, carriers, overlap);
    const h = beam.size[e]!;
    for (let i = 0; i < carriers.count; i++) carriers.deflection[i]! += carriers.slope[i]! * h;
    carry(carriers, beam.bendingAt[e]!, 0.5 * h * h, h);
    carry(carriers, beam.bendingAt[e]! + 1, -(h * h) / 6, 0);
    if (beam.shearCount[e]! > 0) carry(carriers, beam.shearAt[e]!, h, 0);
    addMasses(M, n, carriers, masses, x0 + h, near);
  }
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) M[i * n + j] = M[j * n + i]!;
  return M;
}

/** Unknowns that move the current node: deflection and slope there per unit of each. */
interface Carriers {
  count: number;
  unknown: Int32Array;
  deflection: Float64Array;
  slope: Float64Array;
}

function carry(carriers: Carriers, unknown: number, deflection: number, slope: number): void {
  const i = carriers.count++;
  carriers.unknown[i] = unknown;
  carriers.deflection[i] = deflection;
  carriers.slope[i] = slope;
}

/** Adds the upper triangle only; carriers come in rising order of their unknowns. */
function addMasses(
  M: Float64Array,
  n: number,
  carriers: Carriers,
  masses: readonly PointMass[],
  x: number,
  near: number,
): void {
  const { count, unknown, deflection, slope } = carriers;
  for (const { position, mass, rotaryInertia } of masses) {
    if (Math.abs(position - x) > near) continue;
    for (let i = 0; i < count; i++)
      for (let j = i; j < count; j++)
        M[unknown[i]! * n + unknown[j]!]! +=
          mass * deflection[i]! * deflection[j]! + rotaryInertia * slope[i]! * slope[j]!;
  }
}

function addElement(
  M: Float64Array,
  beam: Beam,
  e: number,
  carriers: Carriers,
  overlap: boolean,
): void {
  const n = beam.unknowns;
  const { WW, WJ, JJ, W, tW, J, tJ } = referenceIntegrals();
  const segment = beam.segments[beam.segmentOf[e]!]!;
  const h = beam.size[e]!;
  const half = h / 2;
  const m = (overlap ? 1 : segment.massPerLength) * half; // per τ
  const r = beam.thin || overlap ? 0 : segment.rotaryInertiaPerLength * half;
  const bending = beam.bendingAt[e]!;
  const bendingCount = beam.bendingCount[e]!;
  const shear = beam.shearAt[e]!;
  const shearCount = beam.shearCount[e]!;
  const scaleV = half * half;

  const { count, unknown, deflection, slope } = carriers;
  for (let i = 0; i < count; i++) {
    const row = unknown[i]! * n;
    const Wi = deflection[i]!;
    const Si = slope[i]! * half; // deflection per (1 + τ)
    for (let j = i; j < count; j++) {
      const Wj = deflection[j]!;
      const Sj = slope[j]! * half;
      M[row + unknown[j]!]! +=
        m * (2 * (Wi * Wj + Wi * Sj + Si * Wj) + (8 / 3) * Si * Sj) + 2 * r * slope[i]! * slope[j]!;
    }
    // W_k and J_k are orthogonal to straight lines from k = 4 and k = 3 on.
    for (let k = 0; k < bendingCount && k < 4; k++)
      M[row + bending + k]! +=
        m * scaleV * (Wi * W[k]! + Si * tW[k]!) + r * half * slope[i]! * J[k]!;
    for (let k = 0; k < shearCount && k < 3; k++)
      M[row + shear + k]! += m * half * (Wi * J[k]! + Si * tJ[k]!);
  }

  for (let k = 0; k < bendingCount; k++) {
    const row = (bending + k) * n;
    for (let l = k; l < bendingCount; l++)
      M[row + bending + l]! +=
        m * scaleV * scaleV * WW[k * FAMILY + l]! + r * scaleV * JJ[k * FAMILY + l]!;
    for (let l = 0; l < shearCount; l++)
      M[row + shear + l]! += m * scaleV * half * WJ[k * FAMILY + l]!;
  }
  for (let k = 0; k < shearCount; k++) {
    const row = (shear + k) * n;
    for (let l = k; l < shearCount; l++) M[row + shear + l]! += m * scaleV * JJ[k * FAMILY + l]!;
  }
}
