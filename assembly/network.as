/*
 * What hangs on the layers' tangents, as src/physics/pulse/electricLayers.ts (renewTangents), electricMatrices.ts and
 * propagator.ts have it: the network's modes, the matrices of a step, and the energies of the steps that were taken
 * with them. A slot whose tangents are gone is stale; it is made anew when it is taken into hand.
 */

/** (1 − e^−x)/x. */
function phi1(x: f64): f64 {
  return abs<f64>(x) < 1e-12 ? 1.0 - 0.5 * x : -NativeMath.expm1(-x) / x;
}

/** ∫₀¹ (1 − e^{−xt})/x dt. */
function phi2(x: f64): f64 {
  return x < 0.02 ? 0.5 - x / 6.0 + (x * x) / 24.0 - (x * x * x) / 120.0 : (1.0 - phi1(x)) / x;
}

/** Inverse of a positive definite n × n matrix in place, rows MAX_LAYERS apart (Gauss and Jordan). */
function invertLayers(a: i32, n: i32): void {
  for (let p = 0; p < n; p++) {
    const pivot = 1.0 / get(a + p * MAX_LAYERS + p);
    put(a + p * MAX_LAYERS + p, 1.0);
    for (let j = 0; j < n; j++) put(a + p * MAX_LAYERS + j, get(a + p * MAX_LAYERS + j) * pivot);
    for (let i = 0; i < n; i++) {
      if (i == p) continue;
      const factor = get(a + i * MAX_LAYERS + p);
      put(a + i * MAX_LAYERS + p, 0.0);
      for (let j = 0; j < n; j++)
        add(a + i * MAX_LAYERS + j, -factor * get(a + p * MAX_LAYERS + j));
    }
  }
}

/** Charges of the layers per potential of the nodes, and the lower triangle L of the nodes' capacitances, L Lᵀ = G. */
function factorNodes(): void {
  for (let k = 0; k < layers; k++)
    for (let i = 0; i < nodes; i++) {
      let sum = 0.0;
      for (let j = 0; j < layers; j++)
        sum += get(C_E + k * MAX_LAYERS + j) * get(INCIDENCE + j * MAX_NODES + i);
      put(C_NODES + k * MAX_NODES + i, sum);
    }
  for (let i = 0; i < nodes; i++)
    for (let j = 0; j <= i; j++) {
      let sum = get(NODE_C + i * MAX_NODES + j);
      for (let k = 0; k < j; k++)
        sum -= get(NODE_L + i * MAX_NODES + k) * get(NODE_L + j * MAX_NODES + k);
      put(NODE_L + i * MAX_NODES + j, i == j ? sqrt<f64>(sum) : sum / get(NODE_L + j * MAX_NODES + j));
    }
}

/** Books all slots and lets the tangents be those at the present charges, or with `chord` those in K_WANTED. */
function renew(chord: bool): void {
  const count = <i32>get(SLOT_COUNT);
  const hand = slot;
  for (let i = 0; i < count; i++) {
    slot = SLOTS + i * SLOT_SIZE;
    bookSlot();
    put(slot + M_STALE, 1.0);
  }
  slot = hand;
  put(RENEWED, 1.0);
  for (let k = 0; k < layers; k++)
    for (let j = 0; j < layers; j++)
      put(C_E + k * MAX_LAYERS + j, get(C_INVERSE + k * MAX_LAYERS + j));
  for (let k = 0; k < layers; k++) {
    const s = HYSTERESIS + k * H_SIZE;
    const slope = chord ? get(K_WANTED + k) : get(s + H_PRESENT) != 0.0 ? slopeOf(s) : 0.0;
    add(R + k, (get(K_TANGENT + k) - slope) * get(Q_LAYER + k));
    put(K_TANGENT + k, slope);
    add(C_E + k * MAX_LAYERS + k, slope);
    put(RENEW_LIMIT + k, RENEW * (get(C_INVERSE + k * MAX_LAYERS + k) + slope));
    const c = get(C_OTHER + k);
    const p = HYSTERESIS + (MAX_LAYERS + k) * H_SIZE;
    const other = chord ? get(K_WANTED_PARALLEL + k) : get(p + H_PRESENT) != 0.0 ? slopeOf(p) : 0.0;
    add(R_PARALLEL + k, (get(K_PARALLEL + k) - other) * get(Q_PARALLEL + k));
    put(K_PARALLEL + k, other);
    put(C_PARALLEL + k, c == 0.0 ? 0.0 : 1.0 / (1.0 / c + other));
    put(RENEW_PARALLEL + k, c == 0.0 ? 0.0 : 2.0 * RENEW * (1.0 / c + other));
  }
  invertLayers(C_E, layers);
  let kappa = get(KAPPA_ALL);
  for (let k = 0; k < layers; k++) {
    let sum = 0.0;
    for (let j = 0; j < layers; j++) sum += get(C_E + k * MAX_LAYERS + j) * get(THETA_BACK + j);
    put(THETA_E + k, sum);
    kappa -= sum * get(THETA_BACK + k);
  }
  put(KAPPA, max<f64>(0.0, kappa));
  for (let i = 0; i < nodes; i++)
    for (let m = 0; m < nodes; m++) {
      let sum = i == m ? get(NODE_OWN + i) : 0.0;
      for (let k = 0; k < layers; k++) {
        const left = get(INCIDENCE + k * MAX_NODES + i);
        if (left == 0.0) continue;
        for (let j = 0; j < layers; j++) {
          const c = get(C_E + k * MAX_LAYERS + j) + (k == j ? get(C_PARALLEL + k) : 0.0);
          sum += left * c * get(INCIDENCE + j * MAX_NODES + m);
        }
      }
      put(NODE_C + i * MAX_NODES + m, sum);
    }
  for (let i = 0; i < nodes; i++) {
    let sum = 0.0;
    for (let k = 0; k < layers; k++) sum += get(INCIDENCE + k * MAX_NODES + i) * get(THETA_E + k);
    put(A_SLOPE + i, sum);
  }
  rhoInto(R, R_PARALLEL, RHO);
  factorNodes();
  freshen();
}

/** Solves L x = column c of the matrix at a, in place. */
function forwardColumn(a: i32, c: i32): void {
  for (let i = 0; i < nodes; i++) {
    let sum = get(a + i * MAX_NODES + c);
    for (let k = 0; k < i; k++) sum -= get(NODE_L + i * MAX_NODES + k) * get(a + k * MAX_NODES + c);
    put(a + i * MAX_NODES + c, sum / get(NODE_L + i * MAX_NODES + i));
  }
}

/** Jacobi's method in cyclic order: eigenvalues on the diagonal of a, eigenvectors as columns of z. */
function jacobi(a: i32, z: i32): void {
  for (let i = 0; i < nodes; i++)
    for (let j = 0; j < nodes; j++) put(z + i * MAX_NODES + j, i == j ? 1.0 : 0.0);
  for (let sweep = 0; sweep < 30; sweep++) {
    let turned = false;
    for (let p = 0; p < nodes; p++)
      for (let q = p + 1; q < nodes; q++) {
        const apq = get(a + p * MAX_NODES + q);
        const app = get(a + p * MAX_NODES + p);
        const aqq = get(a + q * MAX_NODES + q);
        if (abs<f64>(apq) <= 1e-17 * sqrt<f64>(abs<f64>(app * aqq))) continue;
        turned = true;
        const half = (aqq - app) / (2.0 * apq);
        const t = 1.0 / (abs<f64>(half) + sqrt<f64>(1.0 + half * half));
        const tan = half < 0.0 ? -t : t;
        const cos = 1.0 / sqrt<f64>(1.0 + tan * tan);
        const sin = tan * cos;
        for (let k = 0; k < nodes; k++) {
          const zp = get(z + k * MAX_NODES + p);
          const zq = get(z + k * MAX_NODES + q);
          put(z + k * MAX_NODES + p, cos * zp - sin * zq);
          put(z + k * MAX_NODES + q, sin * zp + cos * zq);
          if (k == p || k == q) continue;
          const ap = get(a + k * MAX_NODES + p);
          const aq = get(a + k * MAX_NODES + q);
          const up = cos * ap - sin * aq;
          const uq = sin * ap + cos * aq;
          put(a + k * MAX_NODES + p, up);
          put(a + p * MAX_NODES + k, up);
          put(a + k * MAX_NODES + q, uq);
          put(a + q * MAX_NODES + k, uq);
        }
        put(a + p * MAX_NODES + p, app - tan * apq);
        put(a + q * MAX_NODES + q, aqq + tan * apq);
        put(a + p * MAX_NODES + q, 0.0);
        put(a + q * MAX_NODES + p, 0.0);
      }
    if (!turned) break;
  }
}

/** What the slot in hand lacks: modes where the tangents are new, matrices where the step is. */
function freshen(): void {
  const stale = get(slot + M_STALE);
  if (stale == 1.0) networkModes();
  if (stale != 0.0) stepMatrices();
}

function networkModes(): void {
  const a = ROOM;
  const z = ROOM + MAX_NODES * MAX_NODES;
  for (let i = 0; i < nodes; i++)
    for (let j = 0; j < nodes; j++) put(a + i * MAX_NODES + j, get(slot + M_Y + i * MAX_NODES + j));
  for (let side = 0; side < 2; side++) {
    for (let c = 0; c < nodes; c++) forwardColumn(a, c);
    for (let i = 0; i < nodes; i++)
      for (let j = 0; j < i; j++) {
        const t = get(a + i * MAX_NODES + j);
        put(a + i * MAX_NODES + j, get(a + j * MAX_NODES + i));
        put(a + j * MAX_NODES + i, t);
      }
  }
  for (let i = 0; i < nodes; i++)
    for (let j = 0; j < i; j++) {
      const mean = 0.5 * (get(a + i * MAX_NODES + j) + get(a + j * MAX_NODES + i));
      put(a + i * MAX_NODES + j, mean);
      put(a + j * MAX_NODES + i, mean);
    }
  jacobi(a, z);
  const vectors = slot + M_VECTORS;
  const projections = slot + M_PROJECTIONS;
  for (let j = 0; j < nodes; j++) {
    const lambda = max<f64>(0.0, get(a + j * MAX_NODES + j));
    put(slot + M_LAMBDA + j, lambda);
    // u = L⁻ᵀ z, uᵀ G = zᵀ Lᵀ
    for (let i = nodes - 1; i >= 0; i--) {
      let sum = get(z + i * MAX_NODES + j);
      for (let k = i + 1; k < nodes; k++)
        sum -= get(NODE_L + k * MAX_NODES + i) * get(vectors + k * MAX_NODES + j);
      put(vectors + i * MAX_NODES + j, sum / get(NODE_L + i * MAX_NODES + i));
    }
    for (let i = 0; i < nodes; i++) {
      let sum = 0.0;
      for (let k = 0; k <= i; k++)
        sum += get(z + k * MAX_NODES + j) * get(NODE_L + i * MAX_NODES + k);
      put(projections + j * MAX_NODES + i, sum);
    }
  }
}

/** v_1 = P v_0 + S w over a step, and what the slope's change does. */
function stepMatrices(): void {
  const h = get(STEP);
  const vectors = slot + M_VECTORS;
  const projections = slot + M_PROJECTIONS;
  for (let i = 0; i < nodes; i++)
    for (let k = 0; k < nodes; k++) {
      put(slot + M_P + i * MAX_NODES + k, 0.0);
      put(slot + M_S + i * MAX_NODES + k, 0.0);
    }
  for (let j = 0; j < nodes; j++) {
    const lambda = get(slot + M_LAMBDA + j);
    const e = NativeMath.exp(-lambda * h);
    const g = h * phi1(lambda * h);
    for (let i = 0; i < nodes; i++) {
      const u = get(vectors + i * MAX_NODES + j);
      for (let k = 0; k < nodes; k++) {
        add(slot + M_P + i * MAX_NODES + k, u * e * get(projections + j * MAX_NODES + k));
        add(slot + M_S + i * MAX_NODES + k, u * g * get(vectors + k * MAX_NODES + j));
      }
    }
  }
  let moment = get(KAPPA);
  for (let i = 0; i < nodes; i++) {
    let sum = 0.0;
    for (let j = 0; j < nodes; j++) sum += get(slot + M_S + i * MAX_NODES + j) * get(A_SLOPE + j);
    put(slot + M_PER_SLOPE + i, sum / h);
    moment += get(A_SLOPE + i) * (sum / h);
  }
  put(slot + M_MOMENT, moment);
  for (let k = 0; k < layers; k++) {
    let moves = 0.0;
    let other = 0.0;
    for (let i = 0; i < nodes; i++) {
      const v = get(slot + M_PER_SLOPE + i);
      moves += get(C_NODES + k * MAX_NODES + i) * v;
      other += get(INCIDENCE + k * MAX_NODES + i) * v;
    }
    put(slot + M_MOVES + k, moves);
    put(slot + M_MOVES_PARALLEL + k, get(C_PARALLEL + k) * other);
  }
  put(slot + M_STALE, 0.0);
}

let integralEe: f64 = 0;
let integralEg: f64 = 0;
let integralGg: f64 = 0;

/** ∫₀¹ e^{−xt} g_y(t) dt, x > 1, y small. */
function slowIntegral(x: f64, y: f64): f64 {
  const e = NativeMath.exp(-x);
  let moment = phi1(x);
  let sum = 0.0;
  let factor = 1.0;
  for (let k = 1; k <= 4; k++) {
    moment = (<f64>k * moment - e) / x;
    sum += factor * moment;
    factor *= -y / <f64>(k + 1);
  }
  return sum;
}

/** Integrals of the products of two time functions over a step. */
function productIntegrals(x: f64, y: f64): void {
  integralEe = phi1(x + y);
  if (x <= 1.0 && y <= 1.0) {
    let eg = 0.0;
    let gg = 0.0;
    for (let k = 0; k < 8; k++) {
      const t = get(GAUSS_T + k);
      const weight = get(GAUSS_W + k);
      const g = t * phi1(y * t);
      eg += weight * NativeMath.exp(-x * t) * g;
      gg += weight * t * phi1(x * t) * g;
    }
    integralEg = eg;
    integralGg = gg;
  } else if (y < 0.02) {
    integralEg = slowIntegral(x, y);
    integralGg = (phi2(y) - integralEg) / x;
  } else if (x < 0.02) {
    integralEg = (phi1(x) - integralEe) / y;
    integralGg = (phi2(x) - slowIntegral(y, x)) / y;
  } else {
    integralEg = (phi1(x) - integralEe) / y;
    integralGg = (1.0 - phi1(x) - phi1(y) + integralEe) / (x * y);
  }
}

const WIDE: i32 = 2 * MAX_NODES + 2;

/** One side of Σ Y Yᵀ from Σ X Xᵀ at z: its first 2n rows turned into the basis of the time functions. */
function turnRows(z: i32, column: i32): void {
  const size = 2 * nodes + 2;
  for (let c = 0; c < size; c++) {
    for (let j = 0; j < nodes; j++) {
      let e = 0.0;
      let g = 0.0;
      for (let i = 0; i < nodes; i++) {
        e += get(slot + M_PROJECTIONS + j * MAX_NODES + i) * get(z + i * WIDE + c);
        g += get(slot + M_VECTORS + i * MAX_NODES + j) * get(z + (nodes + i) * WIDE + c);
      }
      put(column + j, e);
      put(column + nodes + j, g);
    }
    for (let j = 0; j < 2 * nodes; j++) put(z + j * WIDE + c, get(column + j));
  }
}

@inline function weigh(z: i32, i: i32, j: i32, factor: f64): void {
  put(z + i * WIDE + j, get(z + i * WIDE + j) * factor);
  if (i != j) put(z + j * WIDE + i, get(z + j * WIDE + i) * factor);
}

/** A power's row in the basis of the time functions. */
function turnPower(from: i32, out: i32): void {
  for (let j = 0; j < nodes; j++) {
    let along = 0.0;
    for (let i = 0; i < nodes; i++)
      along += get(from + i) * get(slot + M_VECTORS + i * MAX_NODES + j);
    put(out + j, along);
    put(out + nodes + j, along);
  }
  put(out + 2 * nodes, get(from + nodes));
  put(out + 2 * nodes + 1, get(from + nodes + 1));
}

/** Books the energies of the steps taken with the slot in hand: see bookPowers. */
function bookSlot(): void {
  if (get(slot + M_USED) == 0.0) return;
  put(slot + M_USED, 0.0);
  const z = ROOM;
  const rows = ROOM + WIDE * WIDE;
  const size = 2 * nodes + 2;
  const h = get(STEP);
  for (let i = 0; i < size; i++)
    for (let j = i; j < size; j++) {
      const at = slot + M_PRODUCTS + i * size + j;
      const sum = get(at);
      put(at, 0.0);
      put(z + i * WIDE + j, sum);
      put(z + j * WIDE + i, sum);
    }
  turnRows(z, rows);
  for (let i = 0; i < size; i++)
    for (let j = 0; j < i; j++) {
      const t = get(z + i * WIDE + j);
      put(z + i * WIDE + j, get(z + j * WIDE + i));
      put(z + j * WIDE + i, t);
    }
  turnRows(z, rows);
  for (let i = 0; i < nodes; i++) {
    const x = get(slot + M_LAMBDA + i) * h;
    for (let j = 0; j < nodes; j++) {
      productIntegrals(x, get(slot + M_LAMBDA + j) * h);
      if (j >= i) {
        weigh(z, i, j, integralEe * h);
        weigh(z, nodes + i, nodes + j, integralGg * h * h * h);
      }
      weigh(z, i, nodes + j, integralEg * h * h);
    }
    const one = h * phi1(x);
    const ramp = h * h * phi2(x);
    for (let c = 2 * nodes; c < size; c++) {
      weigh(z, i, c, one);
      weigh(z, nodes + i, c, ramp);
    }
  }
  weigh(z, 2 * nodes, 2 * nodes, h);
  weigh(z, 2 * nodes, 2 * nodes + 1, h);
  weigh(z, 2 * nodes + 1, 2 * nodes + 1, h);
  const a = rows;
  const b = rows + WIDE;
  const count = <i32>get(slot + M_POWER_COUNT);
  for (let n = 0; n < count; n++) {
    const power = slot + M_POWERS + n * POWER_SIZE;
    turnPower(power + 1, a);
    turnPower(power + 1 + MAX_NODES + 2, b);
    let sum = 0.0;
    for (let i = 0; i < size; i++) {
      const factor = get(a + i);
      if (factor == 0.0) continue;
      let line = 0.0;
      for (let j = 0; j < size; j++) line += get(z + i * WIDE + j) * get(b + j);
      sum += factor * line;
    }
    add(ACCOUNTS + <i32>get(power), sum);
  }
}

/** Books every slot. */
function bookAll(): void {
  const count = <i32>get(SLOT_COUNT);
  const hand = slot;
  for (let i = 0; i < count; i++) {
    slot = SLOTS + i * SLOT_SIZE;
    bookSlot();
  }
  slot = hand;
}

/** Slopes over a step from the charges at its start to those at its end, in K_WANTED. */
function chords(): void {
  for (let k = 0; k < layers; k++) {
    const s = HYSTERESIS + k * H_SIZE;
    put(K_WANTED + k, get(s + H_PRESENT) == 0.0 ? 0.0 : chordOf(s, get(Q_LAYER + k), get(DQ + k), get(K_TANGENT + k)));
    const p = HYSTERESIS + (MAX_LAYERS + k) * H_SIZE;
    put(
      K_WANTED_PARALLEL + k,
      get(p + H_PRESENT) == 0.0 ? 0.0 : chordOf(p, get(Q_PARALLEL + k), get(DQ_PARALLEL + k), get(K_PARALLEL + k)),
    );
  }
}

function chordOf(b: i32, from: f64, change: f64, now: f64): f64 {
  if (abs<f64>(change) <= 1e-9 * get(b + H_REACH)) return now;
  return (peekFar(b, from + change) - peekFar(b, from)) / change;
}
