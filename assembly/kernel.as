/*
 * The step of the coupled pulse, src/physics/pulse/kernel.ts and electric.ts, over plain memory: the same
 * arithmetic in the same order, for the common course of a run. What is rare (a limiter that acts, a new gas
 * table) is told to the caller, who does it and comes back.
 * Every offset below is an index of doubles from `base`; the host fills and reads them by the table
 * that is written from the same names (src/physics/pulse/layout.ts).
 */

/* LAYOUT */

@inline function get(at: i32): f64 {
  return load<f64>(<usize>at << 3);
}
@inline function put(at: i32, value: f64): void {
  store<f64>(<usize>at << 3, value);
}
@inline function add(at: i32, value: f64): void {
  const p = <usize>at << 3;
  store<f64>(p, load<f64>(p) + value);
}
@inline function pair(at: i32): v128 {
  return v128.load(<usize>at << 3);
}

/** Rise of v_h over a branch. */
@inline function rise(density: f64, reach: f64, width: f64): f64 {
  return width >= 2.0 * reach ? density * reach * reach : density * width * (reach - 0.25 * width);
}
@inline function area(density: f64, reach: f64, width: f64): f64 {
  const w = min<f64>(width, 2.0 * reach);
  return density * w * w * (0.5 * reach - w / 12.0) + density * reach * reach * (width - w);
}
@inline function lossOf(density: f64, reach: f64, width: f64): f64 {
  const w = min<f64>(width, 2.0 * reach);
  return (density * w * w * w) / 24.0 + 0.5 * density * reach * reach * (width - w);
}

/** v_h at the charge q without moving there. */
@inline function peek(b: i32, q: f64): f64 {
  const direction = get(b + H_DIRECTION);
  const width = (q - get(b + H_FROM_Q)) * direction;
  if ((q - get(b + H_Q)) * direction >= 0.0 && width <= get(b + H_CLOSES))
    return (
      get(b + H_FROM_V) +
      get(b + H_SHARE) * direction * rise(get(b + H_DENSITY), get(b + H_REACH), get(b + H_WIDE) * width)
    );
  return peekFar(b, q);
}

/** The same past a reversal or the end of a loop. */
function peekFar(b: i32, q: f64): f64 {
  const density = get(b + H_DENSITY);
  const reach = get(b + H_REACH);
  let direction = get(b + H_DIRECTION);
  const here = get(b + H_Q);
  const step = abs<f64>(q - here);
  let top = <i32>get(b + H_COUNT) - 1;
  if ((q - here) * direction < 0.0) {
    direction = -direction;
    const end = top == 0 ? 2.0 * get(b + H_CENTRE_Q) - here : get(b + H_REVERSAL_Q + top);
    if (step <= abs<f64>(end - here)) return get(b + H_V) + direction * rise(density, reach, step);
    top--;
  }
  while (top > 0) {
    const fromQ = get(b + H_REVERSAL_Q + top);
    const wide = abs<f64>(q - fromQ);
    if (wide <= abs<f64>(get(b + H_REVERSAL_Q + top - 1) - fromQ))
      return get(b + H_REVERSAL_V + top) + direction * rise(density, reach, wide);
    top -= top == 1 ? 1 : 2;
  }
  return (
    get(b + H_CENTRE_V) +
    0.5 * direction * rise(density, reach, 2.0 * abs<f64>(q - get(b + H_CENTRE_Q)))
  );
}

/** The branch in hand, from the last reversal on, as `peek` and `move` use it. */
function openBranch(b: i32): void {
  const top = <i32>get(b + H_COUNT) - 1;
  const virgin = top == 0;
  const fromQ = get(virgin ? b + H_CENTRE_Q : b + H_REVERSAL_Q + top);
  put(b + H_WIDE, virgin ? 2.0 : 1.0);
  put(b + H_SHARE, virgin ? 0.5 : 1.0);
  put(b + H_FROM_Q, fromQ);
  put(b + H_FROM_V, get(virgin ? b + H_CENTRE_V : b + H_REVERSAL_V + top));
  put(b + H_CLOSES, virgin ? Infinity : abs<f64>(get(b + H_REVERSAL_Q + top - 1) - fromQ));
  put(b + H_BOOKED, abs<f64>(get(b + H_Q) - fromQ));
}

/** Books what the branch in hand took and dissipated since it was last booked. */
function bookBranch(b: i32): void {
  const density = get(b + H_DENSITY);
  const reach = get(b + H_REACH);
  const width = abs<f64>(get(b + H_Q) - get(b + H_FROM_Q));
  const before = get(b + H_BOOKED);
  const wide = get(b + H_WIDE);
  const share = get(b + H_SHARE);
  add(b + H_DISSIPATED, share * (lossOf(density, reach, wide * width) - lossOf(density, reach, wide * before)));
  add(
    b + H_WORK,
    get(b + H_DIRECTION) * get(b + H_FROM_V) * (width - before) +
      share * share * (area(density, reach, wide * width) - area(density, reach, wide * before)),
  );
  put(b + H_BOOKED, width);
}

/** All branches of all layers: opened, or booked. */
function eachBranch(open: bool): void {
  for (let k = 0; k < layers; k++)
    for (let side = 0; side < 2; side++) {
      const b = HYSTERESIS + (k + side * MAX_LAYERS) * H_SIZE;
      if (get(b + H_PRESENT) == 0.0) continue;
      if (open) openBranch(b);
      else bookBranch(b);
    }
}

@inline function move(b: i32, q: f64): void {
  const direction = get(b + H_DIRECTION);
  const width = (q - get(b + H_FROM_Q)) * direction;
  if ((q - get(b + H_Q)) * direction >= 0.0 && width < get(b + H_CLOSES)) {
    put(b + H_Q, q);
    put(
      b + H_V,
      get(b + H_FROM_V) +
        get(b + H_SHARE) * direction * rise(get(b + H_DENSITY), get(b + H_REACH), get(b + H_WIDE) * width),
    );
    return;
  }
  bookBranch(b);
  moveFar(b, q);
  openBranch(b);
}

/** The same past a reversal or the end of a loop. */
function moveFar(b: i32, q: f64): void {
  const density = get(b + H_DENSITY);
  const reach = get(b + H_REACH);
  let at = get(b + H_Q);
  let step = q - at;
  if (step == 0.0) return;
  let count = <i32>get(b + H_COUNT);
  let sign = get(b + H_DIRECTION);
  if (step * sign < 0.0) {
    if (count == 1) {
      put(b + H_REVERSAL_Q, 2.0 * get(b + H_CENTRE_Q) - at);
      put(b + H_REVERSAL_V, 2.0 * get(b + H_CENTRE_V) - get(b + H_V));
    }
    if (count == DEPTH) count -= 2;
    put(b + H_REVERSAL_Q + count, at);
    put(b + H_REVERSAL_V + count, get(b + H_V));
    count++;
    sign = -sign;
    put(b + H_DIRECTION, sign);
  }
  let v = get(b + H_V);
  let gone = 0.0;
  let work = 0.0;
  while (true) {
    const top = count - 1;
    if (top == 0) {
      const centre = get(b + H_CENTRE_Q);
      const before = abs<f64>(at - centre);
      const width = abs<f64>(q - centre);
      gone += 0.5 * (lossOf(density, reach, 2.0 * width) - lossOf(density, reach, 2.0 * before));
      work +=
        sign * get(b + H_CENTRE_V) * (width - before) +
        0.25 * (area(density, reach, 2.0 * width) - area(density, reach, 2.0 * before));
      at = q;
      v = get(b + H_CENTRE_V) + 0.5 * sign * rise(density, reach, 2.0 * width);
      break;
    }
    const fromQ = get(b + H_REVERSAL_Q + top);
    const fromV = get(b + H_REVERSAL_V + top);
    const before = abs<f64>(at - fromQ);
    const closes = abs<f64>(get(b + H_REVERSAL_Q + top - 1) - fromQ);
    const wanted = abs<f64>(q - fromQ);
    const width = min<f64>(wanted, closes);
    gone += lossOf(density, reach, width) - lossOf(density, reach, before);
    work += sign * fromV * (width - before) + area(density, reach, width) - area(density, reach, before);
    at = wanted <= closes ? q : fromQ + sign * width;
    v = fromV + sign * rise(density, reach, width);
    if (wanted < closes) break;
    count -= top == 1 ? 1 : 2;
    step = q - at;
    if (step == 0.0) break;
  }
  put(b + H_Q, at);
  put(b + H_V, v);
  put(b + H_COUNT, <f64>count);
  add(b + H_DISSIPATED, gone);
  add(b + H_WORK, work);
}

@inline function slopeOf(b: i32): f64 {
  const width = get(b + H_WIDE) * (get(b + H_Q) - get(b + H_FROM_Q)) * get(b + H_DIRECTION);
  const reach = get(b + H_REACH);
  return width >= 2.0 * reach ? 0.0 : get(b + H_DENSITY) * (reach - 0.5 * width);
}

let nodes: i32 = 0;
let layers: i32 = 0;
/** Whether a layer has a hysteretic branch; without one the rests stay. */
let branched: bool = false;
let rails: i32 = 0;
/** Matrices in hand: base of their slot. */
let slot: i32 = 0;

/** Charge −ρ of the hysteretic parts on the nodes. */
@inline function rhoInto(r: i32, parallel: i32, out: i32): void {
  for (let i = 0; i < nodes; i++) put(out + i, 0.0);
  for (let k = 0; k < layers; k++) {
    let charge = get(C_PARALLEL + k) * get(parallel + k);
    for (let j = 0; j < layers; j++) charge += get(C_E + k * MAX_LAYERS + j) * get(r + j);
    for (let i = 0; i < nodes; i++) add(out + i, get(INCIDENCE + k * MAX_NODES + i) * charge);
  }
}

/**
 * Puts the supplies into the states that the potentials at the end ask for; true: none changed. Where
 * these go round (`settling`), a supply stays a plain source for this step.
 */
function statesHold(settling: bool): bool {
  let held = true;
  for (let r = 0; r < rails; r++) {
    const b = SUPPLY + r * SUPPLY_SIZE;
    const v = get(V_A + <i32>get(b + S_NODE));
    const i = (get(b + S_VOLTAGE) - v) * get(b + S_CONDUCTANCE);
    const noise = get(b + S_NOISE);
    const sign = get(b + S_SIGN);
    const limit = get(b + S_LIMIT);
    let state: f64 = 0.0;
    let way: f64 = 1.0;
    if (get(b + S_SINKS) == 0.0 && sign * i < -noise) state = 2.0;
    else if (abs<f64>(i) > limit * (1.0 + 1e-9) + noise) {
      state = 1.0;
      way = i < 0.0 ? -1.0 : 1.0;
    }
    if (settling && (state != get(b + S_STATE) || way != get(b + S_WAY))) {
      state = 0.0;
      way = 1.0;
    }
    if (state != get(b + S_STATE) || way != get(b + S_WAY)) {
      put(b + S_STATE, state);
      put(b + S_WAY, way);
      held = false;
    }
  }
  return held;
}

/** Takes the matrices of the supplies' states into hand; false: there are none. */
function chooseSlot(): bool {
  let code = 0.0;
  for (let r = 0; r < rails; r++) {
    const b = SUPPLY + r * SUPPLY_SIZE;
    code = code * 6.0 + 2.0 * get(b + S_STATE) + (get(b + S_WAY) < 0.0 ? 1.0 : 0.0);
  }
  const count = <i32>get(SLOT_COUNT);
  for (let i = 0; i < count; i++) {
    const b = SLOTS + i * SLOT_SIZE;
    if (get(b + M_CODE) != code) continue;
    slot = b;
    if (get(b + M_STALE) != 0.0) freshen();
    return true;
  }
  return false;
}

/** Potentials at the end of the step with the matrices in hand. */
@inline function propagate(): void {
  const perStep = get(PER_STEP);
  const drive = get(DRIVE);
  for (let i = 0; i < nodes; i++)
    put(
      W + i,
      get(slot + M_SOURCE + i) +
        get(slot + M_PER_DRIVE + i) * drive +
        (get(RHO_NEXT + i) - get(RHO + i)) * perStep,
    );
  for (let i = 0; i < nodes; i++) {
    let sum = 0.0;
    const row = i * MAX_NODES;
    for (let j = 0; j < nodes; j++)
      sum += get(slot + M_P + row + j) * get(V + j) + get(slot + M_S + row + j) * get(W + j);
    put(V_A + i, sum);
  }
}

/** State of the output at the start of a step is still the one of the matrices. */
@inline function outputHolds(): bool {
  const state = get(OUTPUT_STATE);
  if (state == 5.0) return true;
  const v = get(V + <i32>get(OUTPUT_NODE));
  const highNode = <i32>get(HIGH_NODE);
  const lowNode = <i32>get(LOW_NODE);
  const high = highNode < 0 ? 0.0 : get(V + highNode);
  const low = lowNode < 0 ? 0.0 : get(V + lowNode);
  if (get(COMMANDED_OFF) != 0.0) {
    const noise = 1e-12 * (abs<f64>(high) + abs<f64>(low));
    let wanted: f64 = 0.0;
    if (v > max<f64>(high, low) + noise) wanted = high >= low ? 3.0 : 4.0;
    else if (v < min<f64>(high, low) - noise) wanted = high >= low ? 4.0 : 3.0;
    return wanted == state;
  }
  const limit = get(CURRENT_MAX);
  if (limit == Infinity) return true;
  const i = state == 1.0 ? (high - v) * get(G_HIGH) : (low - v) * get(G_LOW);
  return abs<f64>(i) <= limit;
}

/** First half of the electrical step; false: the caller must do this step, nothing has changed. */
function begin(slopeExpected: f64): bool {
  const before = slot;
  for (let r = 0; r < rails; r++) {
    const b = SUPPLY + r * SUPPLY_SIZE;
    put(b + S_STATE_BEFORE, get(b + S_STATE));
    put(b + S_WAY_BEFORE, get(b + S_WAY));
  }
  if (tryStep(slopeExpected)) return true;
  slot = before;
  for (let r = 0; r < rails; r++) {
    const b = SUPPLY + r * SUPPLY_SIZE;
    put(b + S_STATE, get(b + S_STATE_BEFORE));
    put(b + S_WAY, get(b + S_WAY_BEFORE));
  }
  return false;
}

function tryStep(slopeExpected: f64): bool {
  if (!outputHolds()) return false;
  if (!branched) return settleSupplies();
  const scale = get(STEP) / get(LAST_STEP);
  put(LAST_STEP, get(STEP));
  if (scale != 1.0)
    for (let k = 0; k < layers; k++) {
      put(DQ + k, get(DQ + k) * scale);
      put(DQ_PARALLEL + k, get(DQ_PARALLEL + k) * scale);
    }
  for (let pass = 0; pass < CHORDS; pass++) {
    extrapolate();
    if (!settleSupplies()) return false;
    if (near(slopeExpected)) return true;
    chords();
    renew(true);
  }
  extrapolate();
  if (!settleSupplies()) return false;
  near(slopeExpected);
  return true;
}

/** Potentials at the end with the supplies in the states that they ask for; false: no matrices for these. */
@inline function settleSupplies(): bool {
  propagate();
  for (let pass = 0; !statesHold(pass >= SETTLING); pass++) {
    if (!chooseSlot()) return false;
    propagate();
  }
  return true;
}

/** Rests of the hysteretic branches at the charges extrapolated to the end of the step. */
function extrapolate(): void {
  for (let k = 0; k < layers; k++) {
    const s = HYSTERESIS + k * H_SIZE;
    if (get(s + H_PRESENT) != 0.0) {
      const q = get(Q_LAYER + k) + get(DQ + k);
      put(AHEAD + k, q);
      put(R_NEXT + k, peek(s, q) - get(K_TANGENT + k) * q);
    }
    const p = HYSTERESIS + (MAX_LAYERS + k) * H_SIZE;
    if (get(p + H_PRESENT) != 0.0) {
      const q = get(Q_PARALLEL + k) + get(DQ_PARALLEL + k);
      put(AHEAD_PARALLEL + k, q);
      put(R_PARALLEL_NEXT + k, peek(p, q) - get(K_PARALLEL + k) * q);
    }
  }
  for (let i = 0; i < nodes; i++) put(RHO_NEXT + i, 0.0);
  for (let k = 0; k < layers; k++) {
    let charge = 0.0;
    for (let j = 0; j < layers; j++) charge += get(C_E + k * MAX_LAYERS + j) * get(R_NEXT + j);
    put(CHARGED + k, charge);
    charge += get(C_PARALLEL + k) * get(R_PARALLEL_NEXT + k);
    for (let i = 0; i < nodes; i++) add(RHO_NEXT + i, get(INCIDENCE + k * MAX_NODES + i) * charge);
  }
}

/** Whether the charges at the end are so near the extrapolated ones that their rests hold; else they stand in DQ. */
function near(slopeExpected: f64): bool {
  const limit = get(CLOSE_LIMIT);
  let holds = true;
  for (let k = 0; k < layers; k++) {
    let q = get(THETA_E + k) * slopeExpected - get(CHARGED + k);
    let other = -get(R_PARALLEL_NEXT + k);
    for (let i = 0; i < nodes; i++) {
      const v = get(V_A + i);
      q += get(C_NODES + k * MAX_NODES + i) * v;
      other += get(INCIDENCE + k * MAX_NODES + i) * v;
    }
    other *= get(C_PARALLEL + k);
    put(END + k, q);
    put(END_PARALLEL + k, other);
    const s = HYSTERESIS + k * H_SIZE;
    if (get(s + H_PRESENT) != 0.0) {
      // No slope is steeper than that at a reversal.
      if (
        abs<f64>(q - get(AHEAD + k)) * get(s + H_DENSITY) * get(s + H_REACH) > limit &&
        abs<f64>(peekFar(s, q) - get(K_TANGENT + k) * q - get(R_NEXT + k)) > limit
      )
        holds = false;
      put(DQ + k, q - get(Q_LAYER + k));
    }
    const p = HYSTERESIS + (MAX_LAYERS + k) * H_SIZE;
    if (get(p + H_PRESENT) != 0.0) {
      if (
        abs<f64>(other - get(AHEAD_PARALLEL + k)) * get(p + H_DENSITY) * get(p + H_REACH) > limit &&
        abs<f64>(peekFar(p, other) - get(K_PARALLEL + k) * other - get(R_PARALLEL_NEXT + k)) > limit
      )
        holds = false;
      put(DQ_PARALLEL + k, other - get(Q_PARALLEL + k));
    }
  }
  return holds;
}

/** Products of what moves the network with itself, for the energies. */
@inline function gather(rate: f64): void {
  put(slot + M_USED, 1.0);
  for (let i = 0; i < nodes; i++) {
    put(X + i, get(V + i));
    put(X + nodes + i, get(W + i) - get(A_SLOPE + i) * rate);
  }
  const n = 2 * nodes + 2;
  put(X + n - 2, 1.0);
  put(X + n - 1, get(DRIVE));
  // Above the diagonal, in pairs.
  let row = slot + M_PRODUCTS;
  for (let i = 0; i < n; i++) {
    const x = f64x2.splat(get(X + i));
    for (let j = i & ~1; j < n; j += 2) {
      const place = <usize>(row + j) << 3;
      v128.store(place, f64x2.add(v128.load(place), f64x2.mul(x, pair(X + j))));
    }
    row += n;
  }
}

/** Second half of the electrical step; the slope was expected at `expected`. */
function finish(change: f64, slope: f64, expected: f64): void {
  if (get(BOOKS) != 0.0) gather(change * get(PER_STEP));
  for (let i = 0; i < nodes; i++) put(V + i, get(V_A + i) - get(slot + M_PER_SLOPE + i) * change);
  if (branched) {
    for (let i = 0; i < nodes; i++) put(RHO + i, get(RHO_NEXT + i));
    for (let k = 0; k < layers; k++) {
      put(R + k, get(R_NEXT + k));
      put(R_PARALLEL + k, get(R_PARALLEL_NEXT + k));
    }
  }
  for (let k = 0; k < layers; k++) {
    let sum = 0.0;
    for (let i = 0; i < nodes; i++) sum += get(INCIDENCE + k * MAX_NODES + i) * get(V + i);
    put(DELTA_V + k, sum);
  }
  put(LAST_STEP, get(STEP));
  if (branched && moveLayers(change, slope - expected)) renew(false);
}

/** Charges without hysteresis at the potentials and the slope as they are. */
function placeLayers(slope: f64): void {
  for (let k = 0; k < layers; k++) {
    let q = get(THETA_E + k) * slope;
    for (let j = 0; j < layers; j++) q += get(C_E + k * MAX_LAYERS + j) * (get(DELTA_V + j) - get(R + j));
    put(DQ + k, q - get(Q_LAYER + k));
    put(Q_LAYER + k, q);
    const other = get(C_PARALLEL + k) * (get(DELTA_V + k) - get(R_PARALLEL + k));
    put(DQ_PARALLEL + k, other - get(Q_PARALLEL + k));
    put(Q_PARALLEL + k, other);
  }
}

/**
 * Charges of the layers at the end of the step, from those at the slope that was expected; true: slopes must be
 * renewed. `change` of the slope over the step, `beyond` what was expected.
 */
function moveLayers(change: f64, beyond: f64): bool {
  let renew = false;
  for (let k = 0; k < layers; k++) {
    const q = get(END + k) + get(THETA_E + k) * beyond - get(slot + M_MOVES + k) * change;
    put(DQ + k, q - get(Q_LAYER + k));
    put(Q_LAYER + k, q);
    const s = HYSTERESIS + k * H_SIZE;
    if (get(s + H_PRESENT) != 0.0) {
      move(s, q);
      if (abs<f64>(slopeOf(s) - get(K_TANGENT + k)) > get(RENEW_LIMIT + k)) renew = true;
    }
    const c = get(C_PARALLEL + k);
    if (c == 0.0) continue;
    const other = get(END_PARALLEL + k) - get(slot + M_MOVES_PARALLEL + k) * change;
    put(DQ_PARALLEL + k, other - get(Q_PARALLEL + k));
    put(Q_PARALLEL + k, other);
    const p = HYSTERESIS + (MAX_LAYERS + k) * H_SIZE;
    if (get(p + H_PRESENT) != 0.0) {
      move(p, other);
      if (abs<f64>(slopeOf(p) - get(K_PARALLEL + k)) > get(RENEW_PARALLEL + k)) renew = true;
    }
  }
  return renew;
}

let elastic: f64 = 0;
let contact: f64 = 0;
let gas: f64 = 0;
let film: f64 = 0;
let stick: f64 = 0;
/** Slope of the pad's spring, and of the whole force, against the position. */
let padSlope: f64 = 0;
let forceSlope: f64 = 0;

@inline function padForce(depth: f64): f64 {
  const perDepth = get(PAD_PER_DEPTH);
  const x = depth * perDepth;
  if (x >= <f64>PAD_POINTS) {
    const last = PAD_TABLE + 2 * PAD_POINTS;
    padSlope = get(last + 1) * perDepth;
    return get(last) + (x - <f64>PAD_POINTS) * get(last + 1);
  }
  const i = <i32>x;
  const t = x - <f64>i;
  const b = PAD_TABLE + 2 * i;
  const f0 = get(b);
  const m0 = get(b + 1);
  const f1 = get(b + 2);
  const m1 = get(b + 3);
  const d = f1 - f0;
  const second = 3.0 * d - 2.0 * m0 - m1;
  const third = m0 + m1 - 2.0 * d;
  padSlope = (m0 + t * (2.0 * second + 3.0 * t * third)) * perDepth;
  return f0 + t * (m0 + t * (second + t * third));
}

@inline function gasAt(table: i32, lift: f64): f64 {
  const x = <f64>GAS_POINTS * sqrt<f64>(lift / get(GAS_TOP));
  if (x >= <f64>GAS_POINTS) return get(table + GAS_POINTS);
  const i = <i32>x;
  const low = get(table + i);
  return low + (x - <f64>i) * (get(table + i + 1) - low);
}

function forceAt(y: f64, speedFree: f64, speedPerForce: f64): f64 {
  const lift = y - get(SURFACE);
  gas =
    get(HAS_GAS) == 0.0
      ? 0.0
      : ((lift <= 0.0 ? get(GAS_CLOSED) : gasAt(GAS_FORCE_TABLE, lift)) * aheadPressure) / get(GAS_PLENUM);
  film = 0.0;
  stick = 0.0;
  if (lift < 0.0) {
    elastic = padForce(-lift);
    const damping = elastic * get(HUNT);
    const share = 1.0 / (1.0 + damping * speedPerForce);
    let F = (elastic + gas - damping * speedFree) * share;
    contact = F - gas;
    forceSlope = -padSlope * (1.0 - get(HUNT) * (speedFree + F * speedPerForce)) * share;
    if (contact < 0.0) {
      contact = 0.0;
      F = gas;
      forceSlope = 0.0;
    }
    return F;
  }
  elastic = 0.0;
  contact = 0.0;
  forceSlope = 0.0;
  let still = gas;
  if (get(STUCK) != 0.0) {
    const share = lift / get(STICK_STRETCH);
    stick = share >= 1.0 ? 0.0 : -get(STICK_FORCE) * min<f64>(10.0 * share, (1.0 - share) / 0.9);
    still += stick;
  }
  const squeeze = get(SQUEEZE);
  if (squeeze == 0.0) return still;
  const gap = max<f64>(lift, get(SQUEEZE_GAP));
  const damping = squeeze / (gap * gap * gap);
  let F = (still - damping * speedFree) / (1.0 + damping * speedPerForce);
  const most = get(SQUEEZE_MAX);
  const own = F - still;
  if (abs<f64>(own) > most) F = still + (own < 0.0 ? -most : most);
  film = F - still;
  return F;
}

function endForce(yFree: f64, speedFree: f64, padPerForce: f64, speedPerForce: f64): f64 {
  let F = get(FORCE);
  let next = forceAt(yFree + padPerForce * F, speedFree, speedPerForce);
  let change = next - F;
  for (let round = 1; round < ROUNDS; round++) {
    if (abs<f64>(change * padPerForce) <= SETTLED) return next;
    const before = F;
    const beforeChange = change;
    F += change / (1.0 - forceSlope * padPerForce);
    next = forceAt(yFree + padPerForce * F, speedFree, speedPerForce);
    change = next - F;
    const bend = change - beforeChange;
    if (round > 2 && bend != 0.0) {
      F -= (change * (F - before)) / bend;
      next = forceAt(yFree + padPerForce * F, speedFree, speedPerForce);
      change = next - F;
    }
  }
  return next;
}

/** Sum of the two lanes. */
@inline function lanes(x: v128): f64 {
  return f64x2.extract_lane(x, 0) + f64x2.extract_lane(x, 1);
}

/** Plenum at the end of a step, see gasFlow.ts: pressure, and gas over that at rest. */
let aheadPressure: f64 = 0;
let aheadMass: f64 = 0;

@inline function plenumAfter(loss: f64, out: f64, h: f64): void {
  const p = get(PLENUM);
  if (get(PLENUM_KIND) == 1.0) {
    aheadPressure = p - loss * h;
    aheadMass = get(PLENUM_MASS) - out * h;
    return;
  }
  const end = get(PLENUM_SET) - loss / get(PLENUM_RATE);
  aheadPressure = end + (p - end) * get(PLENUM_DECAY);
  aheadMass = get(PLENUM_MASS) + (aheadPressure - p + loss * h) * get(PLENUM_PER_GAS) - out * h;
}

/** The gas over the step that ended; true: the table must be renewed. */
@inline function gasStep(h: f64): bool {
  const held = get(PLENUM_KIND) == 0.0;
  const lift = get(Y) - get(SURFACE);
  const set = get(GAS_PLENUM);
  let flow: f64 = 0.0;
  if (lift > 0.0) {
    flow = gasAt(GAS_FLOW_TABLE, lift);
    if (!held) flow *= sqrt<f64>((aheadPressure / set) * aheadMass);
  }
  const mean = 0.5 * (flow + get(FLOW));
  put(FLOW, flow);
  add(MASS, mean * h);
  // Nothing flows, nothing changes.
  if (!held && (mean != 0.0 || get(PLENUM_KIND) == 2.0)) {
    const perFlow = get(PLENUM_DROP);
    const warm = (get(PLENUM) + aheadPressure) / ((get(PLENUM_MASS) + aheadMass) * set);
    plenumAfter(perFlow * warm * mean, mean * get(PLENUM_OUT), h);
    put(PLENUM, aheadPressure);
    put(PLENUM_MASS, aheadMass);
    put(PLENUM_LOSS, (perFlow * aheadPressure * flow) / (aheadMass * set));
  }
  if (get(HAS_CHAMBER) == 0.0) return false;
  const rate = get(CHAMBER_RATE);
  const source = mean * get(CHAMBER_SOURCE);
  if (rate > 0.0) {
    const end = get(CHAMBER_BASE) + source / rate;
    add(CHAMBER, (end - get(CHAMBER)) * get(CHAMBER_DECAY));
  } else add(CHAMBER, source * h);
  const plenum = get(PLENUM);
  return abs<f64>(get(CHAMBER) - get(GAS_RATIO) * plenum) > NEW_TABLE * plenum;
}

function record(index: i32, capacity: i32): void {
  let at = SERIES + index;
  put(at, get(Y) - get(ZERO));
  at += capacity;
  put(at, get(SPEED));
  at += capacity;
  put(at, get(CONTACT));
  at += capacity;
  put(at, get(GAS_FORCE));
  at += capacity;
  put(at, get(FLOW));
  at += capacity;
  put(at, get(MOMENT));
  at += capacity;
  if (get(HAS_ELECTRIC) != 0.0) {
    const v = get(V + <i32>get(OUTPUT_NODE));
    put(at, v);
    at += capacity;
    const state = get(OUTPUT_STATE);
    let i = 0.0;
    if (state == 1.0 || state == 3.0) {
      const node = <i32>get(HIGH_NODE);
      i = ((node < 0 ? 0.0 : get(V + node)) - v) * get(G_HIGH);
    } else if (state == 2.0 || state == 4.0) {
      const node = <i32>get(LOW_NODE);
      i = ((node < 0 ? 0.0 : get(V + node)) - v) * get(G_LOW);
    } else if (state == 5.0) i = (get(DRIVE) - v) * get(G_HIGH);
    put(at, i);
    at += capacity;
    for (let r = 0; r < rails; r++) {
      put(at, get(V + <i32>get(SUPPLY + r * SUPPLY_SIZE + S_NODE)));
      at += capacity;
    }
    for (let k = 0; k < layers; k++) {
      put(at, get(DELTA_V + k));
      at += capacity;
    }
  } else at += 2 * capacity;
  put(at, get(PLENUM));
  at += capacity;
  put(at, get(CHAMBER));
  at += capacity;
  put(at, get(KINETIC));
}

/** Tables of the length in hand, from those of the whole step. */
let tables: i32 = 0;
let answers: i32 = 0;
let count: i32 = 0;
let seated: bool = false;
let gassed: bool = false;
let electric: bool = false;

/** The host puts the strip's tables for a step of length h behind those of the whole step. */
@external("env", "part")
declare function part(h: f64): void;

/** Takes a step length into hand; what the network has for another one is booked and made anew. */
function takeLength(h: f64): void {
  if (h == get(STEP)) return;
  if (electric) {
    bookAll();
    const slots = <i32>get(SLOT_COUNT);
    for (let i = 0; i < slots; i++) {
      const at = SLOTS + i * SLOT_SIZE + M_STALE;
      if (get(at) == 0.0) put(at, 2.0);
    }
  }
  put(STEP, h);
  put(PER_STEP, 1.0 / h);
  const whole = h == get(GRID);
  tables = whole ? 0 : TABLES;
  answers = whole ? 0 : ANSWERS;
  if (!whole && get(PART) != h) {
    part(h);
    put(PART, h);
  }
  if (get(PLENUM_KIND) == 2.0) put(PLENUM_DECAY, NativeMath.exp(-get(PLENUM_RATE) * h));
  if (get(HAS_CHAMBER) != 0.0) put(CHAMBER_DECAY, -NativeMath.expm1(-get(CHAMBER_RATE) * h));
  if (electric) freshen();
}

/** One step of the length in hand. Gives 0, 1 (the caller must do it, nothing moved) or 3 (a new gas table). */
function oneStep(): f64 {
  const h = get(STEP);
  const half = 0.5 * h;
  const slopePerMoment = get(answers + SLOPE_PER_MOMENT);
  const slopePerForce = get(answers + SLOPE_PER_FORCE);
  const F0 = f64x2.splat(get(FORCE));
  const M0 = f64x2.splat(get(MOMENT));
  let ys = f64x2.splat(0.0);
  let slopes = f64x2.splat(0.0);
  let speeds = f64x2.splat(0.0);
  for (let i = 0; i < count; i += 2) {
    const q = pair(Q_MODE + i);
    const p = pair(P_MODE + i);
    const qn = f64x2.add(
      f64x2.add(f64x2.mul(pair(tables + T_A + i), q), f64x2.mul(pair(tables + T_B + i), p)),
      f64x2.add(f64x2.mul(pair(tables + T_B0F + i), F0), f64x2.mul(pair(tables + T_B0M + i), M0)),
    );
    const pn = f64x2.add(
      f64x2.add(f64x2.mul(pair(tables + T_C + i), q), f64x2.mul(pair(tables + T_D + i), p)),
      f64x2.add(f64x2.mul(pair(tables + T_D0F + i), F0), f64x2.mul(pair(tables + T_D0M + i), M0)),
    );
    v128.store(<usize>(Q_NEXT + i) << 3, qn);
    v128.store(<usize>(P_NEXT + i) << 3, pn);
    const pad = pair(PAD_SHAPE + i);
    ys = f64x2.add(ys, f64x2.mul(pad, qn));
    slopes = f64x2.add(slopes, f64x2.mul(pair(JUMP_SHAPE + i), qn));
    speeds = f64x2.add(speeds, f64x2.mul(pad, pn));
  }
  const y = lanes(ys);
  const slope = lanes(slopes);
  const speed = lanes(speeds);
  const slope0 = get(SLOPE);
  let momentAt = get(REST_MOMENT);
  let chi = 0.0;
  if (electric) {
    put(DRIVE, get(DRIVE_NEXT));
    if (!begin(slope + slopePerMoment * get(MOMENT))) return 1.0;
    let moment = -get(KAPPA) * slope0;
    for (let i = 0; i < nodes; i++) moment += get(A_SLOPE + i) * get(V_A + i);
    for (let k = 0; k < layers; k++) moment -= get(THETA_E + k) * get(R_NEXT + k);
    const stiff = get(slot + M_MOMENT);
    const share = 1.0 / (1.0 + stiff * slopePerMoment);
    momentAt = share * (moment + momentAt - stiff * (slope - slope0));
    chi = share * stiff * slopePerForce;
  }
  const padPerForce = get(answers + PAD_PER_FORCE) - get(answers + PAD_PER_MOMENT) * chi;
  const speedPerForce = get(answers + SPEED_PER_FORCE) - get(answers + SPEED_PER_MOMENT) * chi;
  const yFree = y + get(answers + PAD_PER_MOMENT) * momentAt;
  const speedFree = speed + get(answers + SPEED_PER_MOMENT) * momentAt;
  let F = get(FORCE);
  aheadPressure = get(PLENUM);
  if (get(PLENUM_KIND) != 0.0) plenumAfter(get(PLENUM_LOSS), get(FLOW) * get(PLENUM_OUT), h);
  if (seated) {
    if (get(TOUCHING) == 0.0) {
      const surface = get(SURFACE);
      const yEnd = yFree + padPerForce * F;
      if (yEnd < surface) {
        const y0 = get(Y);
        const share = min<f64>(1.0, max<f64>(0.0, (y0 - surface) / (y0 - yEnd)));
        const v0 = get(SPEED);
        const at = abs<f64>(v0 + share * (speedFree + speedPerForce * F - v0));
        put(MEETING, at);
        put(HUNT, get(HUNT_FACTOR) / max<f64>(at, SLOW));
      }
    }
    F = endForce(yFree, speedFree, padPerForce, speedPerForce);
  }
  const M = momentAt - chi * F;
  const Fv = f64x2.splat(F);
  const Mv = f64x2.splat(M);
  let losses = f64x2.splat(0.0);
  let squares = f64x2.splat(0.0);
  let gasLosses = f64x2.splat(0.0);
  for (let i = 0; i < count; i += 2) {
    const q = f64x2.add(
      pair(Q_NEXT + i),
      f64x2.add(f64x2.mul(pair(tables + T_B1F + i), Fv), f64x2.mul(pair(tables + T_B1M + i), Mv)),
    );
    const p = f64x2.add(
      pair(P_NEXT + i),
      f64x2.add(f64x2.mul(pair(tables + T_D1F + i), Fv), f64x2.mul(pair(tables + T_D1M + i), Mv)),
    );
    v128.store(<usize>(Q_MODE + i) << 3, q);
    v128.store(<usize>(P_MODE + i) << 3, p);
    const square = f64x2.mul(p, p);
    squares = f64x2.add(squares, square);
    losses = f64x2.add(losses, f64x2.mul(pair(LOSS_RATE + i), square));
    gasLosses = f64x2.add(gasLosses, f64x2.mul(pair(GAS_LOSS_RATE + i), square));
  }
  const slopeEnd = slope + slopePerForce * F + slopePerMoment * M;
  const yEnd = yFree + padPerForce * F;
  const speedEnd = speedFree + speedPerForce * F;
  let reason = 0.0;
  if (electric) finish(slopeEnd - slope0, slopeEnd, slope + slopePerMoment * get(MOMENT));
  put(KINETIC, 0.5 * lanes(squares));
  const gasLoss = lanes(gasLosses);
  const structural = lanes(losses) - gasLoss;
  add(E_STRUCTURAL, half * (structural + get(R_STRUCTURAL)));
  add(E_GAS_DAMPING, half * (gasLoss + get(R_GAS_DAMPING)));
  put(R_STRUCTURAL, structural);
  put(R_GAS_DAMPING, gasLoss);
  if (seated) {
    const contactLoss = -(contact - elastic) * speedEnd;
    const gasIn = gas * speedEnd;
    const filmLoss = -film * speedEnd;
    const stickLoss = -stick * speedEnd;
    add(E_CONTACT, half * (contactLoss + get(R_CONTACT)));
    add(E_GAS_IN, half * (gasIn + get(R_GAS_IN)));
    add(E_FILM, half * (filmLoss + get(R_FILM)));
    add(E_STICK, half * (stickLoss + get(R_STICK)));
    put(R_CONTACT, contactLoss);
    put(R_GAS_IN, gasIn);
    put(R_FILM, filmLoss);
    put(R_STICK, stickLoss);
    put(CONTACT, contact);
    put(GAS_FORCE, gas);
    const surface = get(SURFACE);
    const touches = yEnd < surface;
    if (touches && get(TOUCHING) == 0.0) {
      add(CONTACTS, 1.0);
      put(IMPACT_SPEED, max<f64>(get(IMPACT_SPEED), get(MEETING)));
    }
    if (get(STUCK) != 0.0 && yEnd - surface > get(STICK_STRETCH)) put(STUCK, 0.0);
    put(TOUCHING, touches ? 1.0 : 0.0);
  }
  add(E_MOMENT, 0.5 * (M + get(MOMENT)) * (slopeEnd - slope0));
  put(FORCE, F);
  put(Y, yEnd);
  put(SPEED, speedEnd);
  put(SLOPE, slopeEnd);
  put(MOMENT, M);
  if (gassed && gasStep(h)) reason = 3.0;
  return reason;
}

/**
 * Runs grid steps with the matrices in hand, recording into rows `index` + 1 … when `capacity` > 0. The first one
 * starts at DONE; while FINE > 0 they are cut into growing parts. Gives the grid steps done; why it stopped stands
 * at REASON: 0 all done, 1 what comes next is the caller's (from DONE on), 3 a new gas table, 4 not finite.
 */
export function run(steps: i32, index: i32, capacity: i32): i32 {
  count = <i32>get(COORDINATES);
  nodes = <i32>get(NODES);
  layers = <i32>get(LAYERS);
  rails = <i32>get(RAILS);
  seated = get(HAS_SEAT) != 0.0;
  gassed = get(HAS_GAS) != 0.0;
  electric = get(HAS_ELECTRIC) != 0.0;
  branched = false;
  for (let k = 0; k < layers; k++)
    if (
      get(HYSTERESIS + k * H_SIZE + H_PRESENT) != 0.0 ||
      get(HYSTERESIS + (MAX_LAYERS + k) * H_SIZE + H_PRESENT) != 0.0
    )
      branched = true;
  if (branched) eachBranch(true);
  put(RENEWED, 0.0);
  slot = SLOTS + <i32>get(SLOT_NOW) * SLOT_SIZE;
  takeLength(get(GRID));
  if (electric) {
    factorNodes();
    freshen();
  }
  const done = gridSteps(steps, index, capacity);
  takeLength(get(GRID));
  if (branched) eachBranch(false);
  if (electric) bookAll();
  // Charges without hysteresis follow the potentials.
  if (electric && !branched) placeLayers(get(SLOPE));
  return done;
}

function gridSteps(steps: i32, index: i32, capacity: i32): i32 {
  const grid = get(GRID);
  const least = ON_GRID * grid;
  put(REASON, 0.0);
  for (let n = 0; n < steps; n++) {
    let reason = 0.0;
    let done = n == 0 ? get(DONE) : 0.0;
    put(DONE, 0.0);
    while (grid - done > least) {
      const fine = get(FINE);
      const left = grid - done;
      const whole = fine == 0.0 || fine >= left;
      takeLength(whole ? left : fine);
      const why = oneStep();
      if (why == 1.0) {
        put(DONE, done);
        put(REASON, 1.0);
        return n;
      }
      reason = max<f64>(reason, why);
      done = whole ? grid : done + fine;
      const grown = fine * get(GROWTH);
      put(FINE, grown >= grid ? 0.0 : grown);
      if (whole) break;
      if (reason == 3.0) {
        put(DONE, done);
        put(REASON, 3.0);
        return n;
      }
    }
    add(DRIVE_NEXT, get(DRIVE_SLOPE));
    if (!(abs<f64>(get(Y)) < Infinity) || !(abs<f64>(get(MOMENT)) < Infinity)) {
      put(REASON, 4.0);
      return n + 1;
    }
    if (capacity > 0) record(index + n + 1, capacity);
    if (reason != 0.0) {
      put(REASON, reason);
      return n + 1;
    }
  }
  return steps;
}
