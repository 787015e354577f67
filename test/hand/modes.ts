import { dyn, fromTip, L, mp, tp } from "./inputs.ts";
import { kpad } from "./seat.ts";
import { EI, h, m, rhoI, s } from "./section.ts";
import { xp } from "./strip.ts";
import { Ff } from "./width.ts";
import { bisect, found, heading, type Line, line, of } from "./working.ts";

/*
 * Timoshenko beam at frequency ω, state (w, θ, M, Q):
 *   w′ = θ + s Q,  θ′ = M/EI,  M′ = −Q − ω² ρI θ,  Q′ = −ω² m w
 * Scaled to (w/L, θ, M L/EI, Q L²/EI) and ξ = x/L; transfer matrix of a piece = exp(A Δξ).
 * Point mass: M jumps by −ω² J θ, Q by −ω² m_p w; a spring: Q jumps by +k w.
 */
type Matrix = number[][];
const TIMOSHENKO = "Timoshenko 1921, transfer matrix";

function times(a: Matrix, c: Matrix): Matrix {
  return a.map((row) =>
    [0, 1, 2, 3].map((j) => row.reduce((sum, x, i) => sum + x * (c[i] as number[])[j]!, 0)),
  );
}
/** Exponential by halving the argument 12 times, Taylor to the 12th power, squaring back. */
function exponential(a: Matrix): Matrix {
  const small = a.map((row) => row.map((x) => x / 4096));
  const unit: Matrix = [0, 1, 2, 3].map((i) => [0, 1, 2, 3].map((j) => (i === j ? 1 : 0)));
  let sum: Matrix = unit;
  for (let n = 12; n >= 1; n--)
    sum = times(small, sum).map((row, i) => row.map((x, j) => x / n + (i === j ? 1 : 0)));
  for (let n = 0; n < 12; n++) sum = times(sum, sum);
  return sum;
}
function system(omega: number, mass: number): Matrix {
  const l = L.value;
  const w2 = omega * omega;
  return [
    [0, 1, 0, (s.value * EI.value) / (l * l)],
    [0, 0, 1, 0],
    [0, (-w2 * rhoI.value * l * l) / EI.value, 0, -1],
    [(-w2 * mass * l ** 4) / EI.value, 0, 0, 0],
  ];
}
function transfer(omega: number, spring: number, J: number, mass = m.value): Matrix {
  const l = L.value;
  const w2 = omega * omega;
  const piece = (length: number) =>
    exponential(system(omega, mass).map((row) => row.map((x) => (x * length) / l)));
  const jump = [
    [1, 0, 0, 0],
    [0, 1, 0, 0],
    [0, (-w2 * J * l) / EI.value, 1, 0],
    [((spring - w2 * mp.value) * l ** 3) / EI.value, 0, 0, 1],
  ];
  return times(piece(fromTip.value), times(jump, piece(xp.value)));
}
/** Clamped at 0 (w = θ = 0), free at L (M = Q = 0): the lower right 2×2 block must be singular. */
const determinant = (t: Matrix) => t[2]![2]! * t[3]![3]! - t[2]![3]! * t[3]![2]!;

function roots(spring: number, J: number, count: number): number[] {
  const out: number[] = [];
  let before = 2 * Math.PI * 500;
  let value = determinant(transfer(before, spring, J));
  while (out.length < count) {
    const next = before * 1.05;
    const there = determinant(transfer(next, spring, J));
    if (value > 0 !== there > 0)
      out.push(bisect((w) => determinant(transfer(w, spring, J)), before, next));
    before = next;
    value = there;
  }
  return out;
}

heading(
  "14 Resonances",
  `A Timoshenko beam at frequency ω with the state (w, θ, M, Q):

\`\`\`text
w′ = θ + s Q     θ′ = M/EI     M′ = −Q − ω² ρI θ     Q′ = −ω² m w
pad at x_p:  M jumps by −ω² J_p θ,  Q jumps by −ω² m_p w  (closed: by k_c w − ω² m_p w)
clamp: w = θ = 0     tip: M = Q = 0
\`\`\`

Scaled to (w/L, θ, M L/EI, Q L²/EI) and ξ = x/L, the matrix of the system is

\`\`\`text
      |    0          1        0     σ |
A  =  |    0          0        1     0 |     σ = s EI/L²,  Λ = ω² m L⁴/EI,  ι = ρI/(m L²)
      |    0        −Λ ι       0    −1 |
      |   −Λ          0        0     0 |
\`\`\`

A resonance is where the 2×2 block of exp(A x_t/L)·jump·exp(A x_p/L) that takes (M, Q) at the clamp to
(M, Q) at the tip is singular; found by bisection to neighbouring numbers. The program solves the same beam with
polynomial elements: its first resonance agrees to 1e-9, the higher ones lie above these by what the finite
degree leaves (1e-8, 4e-7 and 1e-5 relative), as a Rayleigh quotient must.`,
);
const J = line(
  "J_p",
  "rotary inertia of the pad, its centre below the neutral plane by (h + t_p)/2",
  "kg·m²",
  "point mass",
  of`${mp} * ((${h} + ${tp}) / 2) ** 2`,
);
line("σ", "shear term s EI/L²", "", TIMOSHENKO, of`${s} * ${EI} / ${L} ** 2`);
line("ι", "rotary term ρI/(m L²)", "", TIMOSHENKO, of`${rhoI} / (${m} * ${L} ** 2)`);
const [w1, w2, w3, w4] = roots(0, J.value, 4) as [number, number, number, number];
export const open1 = found(
  "ω_1",
  "first resonance, narrow strip",
  "rad/s",
  TIMOSHENKO,
  "lowest root of the determinant",
  w1,
);
const lambda = line(
  "Λ",
  "ω² m L⁴/EI",
  "",
  TIMOSHENKO,
  of`${open1} ** 2 * ${m} * ${L} ** 4 / ${EI}`,
);
const t = transfer(w1, 0, J.value);
const block = ["M", "Q"].flatMap((row, i) =>
  ["M", "Q"].map((column, j) =>
    found(
      `T_${row}${column}`,
      `${row} at the tip from ${column} at the clamp, at ω_1`,
      "",
      TIMOSHENKO,
      "element of exp(A x_t/L)·jump·exp(A x_p/L)",
      t[2 + i]![2 + j]!,
    ),
  ),
);
const [tMM, tMQ, tQM, tQQ] = block as [Line, Line, Line, Line];
line("T_MM T_QQ", "one diagonal of the block", "", TIMOSHENKO, of`${tMM} * ${tQQ}`);
line("T_MQ T_QM", "the other (equal: the block is singular)", "", TIMOSHENKO, of`${tMQ} * ${tQM}`);
line(
  "Λ^¼",
  "βL of the strip (1.8751 without pad, shear and rotary inertia)",
  "",
  "Euler–Bernoulli for comparison",
  of`${lambda} ** 0.25`,
);
const hertz = (n: number, omega: Line) =>
  line(
    `f_${n}`,
    `resonance ${n} open, in vacuum`,
    "Hz",
    "width factor on ω/2π",
    of`${Ff} * ${omega} / (2 * PI)`,
    `modes.open_vacuum_Hz.${n - 1}`,
  );
hertz(1, open1);
[w2, w3, w4].forEach((w, i) => {
  hertz(
    i + 2,
    found(`ω_${i + 2}`, `resonance ${i + 2}, narrow strip`, "rad/s", TIMOSHENKO, "next root", w),
  );
});
const spring = line(
  "k_c",
  "spring at the pad, closed: dynamic factor × tangent of the pad (the gas force does not change while closed)",
  "N/m",
  "linearised contact",
  of`${dyn} * ${kpad}`,
);
const closed = found(
  "ω_c",
  "first resonance closed, narrow strip",
  "rad/s",
  TIMOSHENKO,
  "lowest root with Q jumping by k_c w at the pad",
  roots(spring.value, J.value, 1)[0]!,
);
line(
  "f_c",
  "first resonance closed",
  "Hz",
  "width factor on ω/2π",
  of`${Ff} * ${closed} / (2 * PI)`,
  "modes.closed_Hz.0",
);

/** First resonance, rad/s, of the open narrow strip with another mass per length, kg/m. */
export function firstWith(mass: number): number {
  const f = (w: number) => determinant(transfer(w, 0, J.value, mass));
  return bisect(f, 0.95 * w1, 1.05 * w1);
}
