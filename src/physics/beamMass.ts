import { FAMILY, referenceIntegrals } from "./beamBasis.ts";
import { type Beam, type PointMass, SAME_PLACE } from "./beamModel.ts";

/** Row-major matrices of the strip's unknowns. */
export interface BeamMatrices {
  /** M. */
  mass: Float64Array;
  /** ∫ N_i N_j dx: the mass matrix of 1 kg/m and nothing else. */
  overlap: Float64Array;
}

/**
 * Mass and overlap matrix. Within an element everything that lies nearer to the clamp moves it as
 * a rigid body, deflection W + S (x − x0); the element's own functions come on top. Only a_0, a_1,
 * b_0 and the clamp's springs move what lies beyond ("carriers").
 */
export function assembleMass(beam: Beam, masses: readonly PointMass[]): BeamMatrices {
  const n = beam.unknowns;
  const out = { mass: new Float64Array(n * n), overlap: new Float64Array(n * n) };
  const carriers = noCarriers(2 + 3 * beam.elements);
  if (beam.baseDisplacement >= 0) carry(carriers, beam.baseDisplacement, 1, 0);
  if (beam.baseRotation >= 0) carry(carriers, beam.baseRotation, 0, 1);
  const near = SAME_PLACE * beam.length;
  addMasses(out.mass, n, carriers, masses, 0, near);
  for (let e = 0; e < beam.elements; e++) {
    addElement(out, beam, e, carriers);
    const h = beam.size[e]!;
    for (let i = 0; i < carriers.count; i++) carriers.deflection[i]! += carriers.slope[i]! * h;
    carry(carriers, beam.bendingAt[e]!, 0.5 * h * h, h);
    carry(carriers, beam.bendingAt[e]! + 1, -(h * h) / 6, 0);
    if (beam.shearCount[e]! > 0) carry(carriers, beam.shearAt[e]!, h, 0);
    addMasses(out.mass, n, carriers, masses, beam.start[e]! + h, near);
  }
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++) {
      out.mass[i * n + j] = out.mass[j * n + i]!;
      out.overlap[i * n + j] = out.overlap[j * n + i]!;
    }
  return out;
}

/** Unknowns that move the current node: deflection and slope there per unit of each. */
interface Carriers {
  count: number;
  unknown: Int32Array;
  deflection: Float64Array;
  slope: Float64Array;
}

/** Room for the carriers of one assembly, used again for the next. */
let room: Carriers = carriersFor(32);

function carriersFor(most: number): Carriers {
  return {
    count: 0,
    unknown: new Int32Array(most),
    deflection: new Float64Array(most),
    slope: new Float64Array(most),
  };
}

function noCarriers(most: number): Carriers {
  if (room.unknown.length < most) room = carriersFor(most);
  room.count = 0;
  return room;
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

function addElement(out: BeamMatrices, beam: Beam, e: number, carriers: Carriers): void {
  const { mass: M, overlap: G } = out;
  const n = beam.unknowns;
  const { WW, WJ, JJ, W, tW, J, tJ } = referenceIntegrals();
  const segment = beam.segments[beam.segmentOf[e]!]!;
  const half = beam.size[e]! / 2;
  const m = segment.massPerLength;
  const r = beam.thin ? 0 : segment.rotaryInertiaPerLength * half;
  const bending = beam.bendingAt[e]!;
  const bendingCount = beam.bendingCount[e]!;
  const shear = beam.shearAt[e]!;
  const shearCount = beam.shearCount[e]!;

  const { count, unknown, deflection, slope } = carriers;
  for (let i = 0; i < count; i++) {
    const row = unknown[i]! * n;
    const Wi = deflection[i]!;
    const Si = slope[i]! * half; // deflection per (1 + τ)
    for (let j = i; j < count; j++) {
      const Wj = deflection[j]!;
      const Sj = slope[j]! * half;
      const g = half * (2 * (Wi * Wj + Wi * Sj + Si * Wj) + (8 / 3) * Si * Sj);
      G[row + unknown[j]!]! += g;
      M[row + unknown[j]!]! += m * g + 2 * r * slope[i]! * slope[j]!;
    }
    // W_k and J_k are orthogonal to straight lines from k = 4 and k = 3 on.
    for (let k = 0; k < bendingCount && k < 4; k++) {
      const g = half * half * half * (Wi * W[k]! + Si * tW[k]!);
      G[row + bending + k]! += g;
      M[row + bending + k]! += m * g + r * half * slope[i]! * J[k]!;
    }
    for (let k = 0; k < shearCount && k < 3; k++) {
      const g = half * half * (Wi * J[k]! + Si * tJ[k]!);
      G[row + shear + k]! += g;
      M[row + shear + k]! += m * g;
    }
  }

  // Own functions: W_k holds P_{k−2} … P_{k+2}, J_k holds P_{k−1} … P_{k+1}.
  const h2 = half * half;
  for (let k = 0; k < bendingCount; k++) {
    const row = (bending + k) * n;
    for (let l = k; l < bendingCount && l <= k + 4; l++) {
      const g = half * h2 * h2 * WW[k * FAMILY + l]!;
      G[row + bending + l]! += g;
      M[row + bending + l]! += m * g + r * h2 * JJ[k * FAMILY + l]!;
    }
    for (let l = Math.max(0, k - 3); l < shearCount && l <= k + 3; l++) {
      const g = h2 * h2 * WJ[k * FAMILY + l]!;
      G[row + shear + l]! += g;
      M[row + shear + l]! += m * g;
    }
  }
  for (let k = 0; k < shearCount; k++) {
    const row = (shear + k) * n;
    for (let l = k; l < shearCount && l <= k + 2; l++) {
      const g = half * h2 * JJ[k * FAMILY + l]!;
      G[row + shear + l]! += g;
      M[row + shear + l]! += m * g;
    }
  }
}
