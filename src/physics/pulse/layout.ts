/*
 * Where the compiled step (assembly/kernel.as) finds its numbers: names and sizes in doubles, in this order.
 * The offsets that the assembly uses are written from this table when it is compiled.
 */

/** Sizes that the assembly works within; larger models run on the plain step. */
export const BOUNDS = {
  MAX_COORDINATES: 20,
  MAX_NODES: 12,
  MAX_LAYERS: 8,
  MAX_RAILS: 6,
  DEPTH: 64,
  GAS_POINTS: 768,
  PAD_POINTS: 1024,
  MAX_SLOTS: 8,
  MAX_POWERS: 40,
  MAX_ACCOUNTS: 16,
  ROUNDS: 12,
} as const;

/** Numbers that the plain and the compiled step go by alike. */
export const STEP_RULES = {
  /** Rounds after which supplies whose states go round are settled. */
  SETTLING: 2,
  /** Tangents are renewed when one moved by more than this share of the layer's own elastance. */
  RENEW: 0.12,
  /** Renewals of the slopes within one step, where it turns a loop. */
  CHORDS: 2,
  /** Position to which the rounds of the force at the pad settle, m. */
  SETTLED: 1e-13,
  /** Time nearer to a grid time than this share of the step is on it. */
  ON_GRID: 1e-6,
  /** Impacts slower than this are damped as one of this speed, m/s. */
  SLOW: 1e-3,
  /** Change of the chamber's share of the plenum pressure that asks for a new gas table. */
  NEW_TABLE: 2e-4,
} as const;

/** Those of them that count something. */
const WHOLE = new Set(["SETTLING", "CHORDS"]);

/** Fields of one hysteretic branch. */
const H_FIELDS = [
  ["H_PRESENT", 1],
  ["H_DENSITY", 1],
  ["H_REACH", 1],
  ["H_Q", 1],
  ["H_V", 1],
  ["H_DIRECTION", 1],
  ["H_COUNT", 1],
  ["H_CENTRE_Q", 1],
  ["H_CENTRE_V", 1],
  ["H_WIDE", 1],
  ["H_SHARE", 1],
  ["H_FROM_Q", 1],
  ["H_FROM_V", 1],
  ["H_CLOSES", 1],
  ["H_BOOKED", 1],
  ["H_DISSIPATED", 1],
  ["H_WORK", 1],
  ["H_REVERSAL_Q", BOUNDS.DEPTH],
  ["H_REVERSAL_V", BOUNDS.DEPTH],
] as const;

/** Fields of one supply. */
const S_FIELDS = [
  ["S_NODE", 1],
  ["S_VOLTAGE", 1],
  ["S_CONDUCTANCE", 1],
  ["S_LIMIT", 1],
  ["S_SINKS", 1],
  ["S_SIGN", 1],
  ["S_NOISE", 1],
  ["S_STATE", 1],
  ["S_WAY", 1],
  ["S_STATE_BEFORE", 1],
  ["S_WAY_BEFORE", 1],
] as const;

/** A power: its account, and its two rows of [v, 1, drive]. */
const POWER_SIZE = 1 + 2 * (BOUNDS.MAX_NODES + 2);

/** Fields of the matrices of one combination of states. */
const M_FIELDS = [
  ["M_CODE", 1],
  ["M_USED", 1],
  ["M_STALE", 1],
  ["M_MOMENT", 1],
  ["M_SOURCE", BOUNDS.MAX_NODES],
  ["M_PER_DRIVE", BOUNDS.MAX_NODES],
  ["M_PER_SLOPE", BOUNDS.MAX_NODES],
  ["M_P", BOUNDS.MAX_NODES ** 2],
  ["M_S", BOUNDS.MAX_NODES ** 2],
  ["M_PRODUCTS", (2 * BOUNDS.MAX_NODES + 2) ** 2],
  ["M_MOVES", BOUNDS.MAX_LAYERS],
  ["M_MOVES_PARALLEL", BOUNDS.MAX_LAYERS],
  ["M_Y", BOUNDS.MAX_NODES ** 2],
  ["M_LAMBDA", BOUNDS.MAX_NODES],
  ["M_VECTORS", BOUNDS.MAX_NODES ** 2],
  ["M_PROJECTIONS", BOUNDS.MAX_NODES ** 2],
  ["M_POWER_COUNT", 1],
  ["M_POWERS", BOUNDS.MAX_POWERS * POWER_SIZE],
] as const;

const sizeOf = (fields: readonly (readonly [string, number])[]) =>
  fields.reduce((sum, [, size]) => sum + size, 0);

const N = BOUNDS.MAX_COORDINATES;
const M = BOUNDS.MAX_NODES;
const L = BOUNDS.MAX_LAYERS;

/** Single numbers. */
const SCALARS =
  `REASON RENEWED BOOKS GRID DONE FINE GROWTH PART STEP PER_STEP COORDINATES NODES LAYERS RAILS HAS_SEAT HAS_GAS HAS_CHAMBER HAS_ELECTRIC
  FORCE MOMENT SLOPE Y SPEED KINETIC SURFACE ZERO HUNT HUNT_FACTOR MEETING IMPACT_SPEED CONTACT CONTACTS
  GAS_FORCE FLOW PLENUM CHAMBER MASS REST_MOMENT TOUCHING STUCK STICK_FORCE STICK_STRETCH SQUEEZE
  SQUEEZE_GAP SQUEEZE_MAX PAD_PER_DEPTH GAS_TOP GAS_CLOSED GAS_PLENUM GAS_RATIO 
  PLENUM_MASS PLENUM_LOSS PLENUM_KIND PLENUM_DROP PLENUM_OUT PLENUM_PER_GAS PLENUM_RATE PLENUM_DECAY PLENUM_SET CHAMBER_RATE CHAMBER_DECAY CHAMBER_BASE
  CHAMBER_SOURCE KAPPA KAPPA_ALL SLOT_COUNT SLOT_NOW DRIVE DRIVE_NEXT DRIVE_SLOPE CLOSE_LIMIT LAST_STEP
  OUTPUT_STATE OUTPUT_NODE HIGH_NODE LOW_NODE G_HIGH G_LOW CURRENT_MAX COMMANDED_OFF
  E_GAS_IN E_STRUCTURAL E_GAS_DAMPING E_CONTACT E_FILM E_STICK E_MOMENT
  R_GAS_IN R_STRUCTURAL R_GAS_DAMPING R_CONTACT R_FILM R_STICK`.split(/\s+/);

/** Tables of a step of the strip, in the order of its columns. */
export const STEP_TABLES = ["A", "B", "C", "D", "B0F", "B0M", "B1F", "B1M", "D0F", "D0M"].concat([
  "D1F",
  "D1M",
]);

/** Its answers to force and moment. */
export const STEP_ANSWERS = [
  ["PAD_PER_FORCE", "padPerForce"],
  ["PAD_PER_MOMENT", "padPerMoment"],
  ["SLOPE_PER_FORCE", "slopePerForce"],
  ["SLOPE_PER_MOMENT", "slopePerMoment"],
  ["SPEED_PER_FORCE", "speedPerForce"],
  ["SPEED_PER_MOMENT", "speedPerMoment"],
] as const;

const ARRAYS: readonly (readonly [string, number])[] = [
  ...["Q_MODE", "P_MODE", "Q_NEXT", "P_NEXT", "PAD_SHAPE", "JUMP_SHAPE", "LOSS_RATE"].map(
    (name) => [name, N] as const,
  ),
  ["GAS_LOSS_RATE", N],
  // Of the whole step; behind them the same of the part in hand.
  ...STEP_TABLES.map((name) => [`T_${name}`, N] as const),
  ["PART_TABLES", STEP_TABLES.length * N],
  ...STEP_ANSWERS.map(([name]) => [name, 2] as const),
  ["PART_ANSWERS", STEP_ANSWERS.length * 2],
  ...["V", "V_A", "W", "A_SLOPE", "RHO", "RHO_NEXT"].map((name) => [name, M] as const),
  ["INCIDENCE", L * M],
  ["C_E", L * L],
  ["C_INVERSE", L * L],
  ["C_NODES", L * M],
  ["NODE_C", M * M],
  ["NODE_L", M * M],
  ["NODE_OWN", M],
  ["GAUSS_T", 8],
  ["GAUSS_W", 8],
  ["ACCOUNTS", BOUNDS.MAX_ACCOUNTS],
  ["ROOM", (2 * M + 2) * (2 * M + 4)],
  ...[
    "C_PARALLEL",
    "C_OTHER",
    "THETA_E",
    "THETA_BACK",
    "K_WANTED",
    "K_WANTED_PARALLEL",
    "Q_LAYER",
    "Q_PARALLEL",
    "DQ",
    "DQ_PARALLEL",
    "R",
    "R_PARALLEL",
    "R_NEXT",
    "R_PARALLEL_NEXT",
    "CHARGED",
    "END",
    "END_PARALLEL",
    "AHEAD",
    "AHEAD_PARALLEL",
    "K_TANGENT",
    "K_PARALLEL",
    "RENEW_LIMIT",
    "RENEW_PARALLEL",
    "DELTA_V",
  ].map((name) => [name, L] as const),
  ["HYSTERESIS", 2 * L * sizeOf(H_FIELDS)],
  ["SUPPLY", BOUNDS.MAX_RAILS * sizeOf(S_FIELDS)],
  ["X", 2 * M + 2],
  ["SLOTS", BOUNDS.MAX_SLOTS * sizeOf(M_FIELDS)],
  ["PAD_TABLE", 2 * (BOUNDS.PAD_POINTS + 1)],
  ["GAS_FORCE_TABLE", BOUNDS.GAS_POINTS + 1],
  ["GAS_FLOW_TABLE", BOUNDS.GAS_POINTS + 1],
  ["SERIES", 0],
];

/** First double that is used: below lie the tables of the exponential. */
const START = 1024;

function offsets(): Record<string, number> {
  const out: Record<string, number> = {};
  let at = START;
  for (const name of SCALARS) out[name] = at++;
  at += at % 2;
  for (const [name, size] of ARRAYS) {
    out[name] = at;
    at += size + (size % 2);
  }
  for (const fields of [H_FIELDS, S_FIELDS, M_FIELDS]) {
    let inside = 0;
    for (const [name, size] of fields) {
      out[name] = inside;
      inside += size;
    }
  }
  out.H_SIZE = sizeOf(H_FIELDS);
  out.S_SIZE = sizeOf(S_FIELDS);
  out.SUPPLY_SIZE = sizeOf(S_FIELDS);
  out.SLOT_SIZE = sizeOf(M_FIELDS);
  out.POWER_SIZE = POWER_SIZE;
  out.TABLES = STEP_TABLES.length * N;
  out.ANSWERS = STEP_ANSWERS.length * 2;
  return out;
}

/** Offsets by name. */
export const AT: Readonly<Record<string, number>> = offsets();

/** Offset of a name of the table. */
export const at = (name: string): number => AT[name]!;

/** The table as lines of the assembly's language. */
export function assemblyConstants(): string {
  const lines = Object.entries({ ...AT, ...BOUNDS }).map(
    ([name, value]) => `const ${name}: i32 = ${value};`,
  );
  for (const [name, value] of Object.entries(STEP_RULES))
    lines.push(`const ${name}: ${WHOLE.has(name) ? "i32" : "f64"} = ${value};`);
  return lines.join("\n");
}
