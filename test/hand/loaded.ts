import { mu, Rg } from "./gas.ts";
import { b, p0, Qs, rate, T0 } from "./inputs.ts";
import { firstWith, open1 } from "./modes.ts";
import { m } from "./section.ts";
import { swing } from "./strip.ts";
import { Ff } from "./width.ts";
import { draft, found, heading, type Line, line, of } from "./working.ts";

const SADER = "Sader 1998, J. Appl. Phys. 84, 64";
const PRACTICE = "common practice, no source";

heading(
  "15 First resonance in the gas",
  "Argon around the strip adds the mass (π/4) ρ b² Γ_r per length and damps through Γ_i, both taken at the loaded frequency. The shape of the mode stays that of the strip in vacuum, with I = ∫φ²dx for ∫φ dM φ = 1.",
);

/* dω/dm by central differences, twice, and their common limit (Richardson). */
const slope = (step: number) =>
  (firstWith(m.value + step) - firstWith(m.value - step)) / (2 * step);
const coarse = found(
  "D_1",
  "dω_1/dm, central difference over ±1 % of m",
  "m²/(kg·s)",
  "transfer matrix of section 14",
  "[ω_1(m + δ) − ω_1(m − δ)]/(2δ)",
  slope(1e-2 * m.value),
);
const middle = found(
  "D_2",
  "the same over ±0.5 %",
  "m²/(kg·s)",
  "transfer matrix of section 14",
  "[ω_1(m + δ) − ω_1(m − δ)]/(2δ)",
  slope(5e-3 * m.value),
);
const fine = found(
  "D_3",
  "the same over ±0.25 %",
  "m²/(kg·s)",
  "transfer matrix of section 14",
  "[ω_1(m + δ) − ω_1(m − δ)]/(2δ)",
  slope(2.5e-3 * m.value),
);
const D = line(
  "D",
  "limit for small steps",
  "m²/(kg·s)",
  "Richardson: errors fall as δ², then δ⁴",
  of`(64 * ${fine} - 20 * ${middle} + ${coarse}) / 45`,
);
const I = line(
  "I",
  "∫φ²dx, from ω² = K/M: dω²/ω² = −I dm",
  "m/kg",
  "Rayleigh's principle",
  of`-2 * ${D} / ${open1}`,
);
const rho = line("ρ", "density of the gas", "kg/m³", "ideal gas", of`${p0} / (${Rg} * ${T0})`);

/*
 * Γ at Re = ρ ω b²/(4µ): Γ = Ω {1 + 4i K1(z)/[√(i Re) K0(z)]}, z = −i√(i Re) = √Re e^{−iπ/4}.
 * K_n(z) ∝ 1 + (4n² − 1)/(8z) + (4n² − 1)(4n² − 9)/(2! (8z)²) + …, here to the 14th term.
 */
function besselRatio(re: number): [number, number] {
  const x = Math.SQRT1_2 / Math.sqrt(re);
  const sum = (n: number): [number, number] => {
    let [tr, ti, sr, si] = [1, 0, 1, 0];
    for (let k = 1; k <= 14; k++) {
      const c = ((4 * n * n - (2 * k - 1) ** 2) / (8 * k)) * x;
      [tr, ti] = [c * (tr - ti), c * (tr + ti)];
      sr += tr;
      si += ti;
    }
    return [sr, si];
  };
  const [ar, ai] = sum(1);
  const [cr, ci] = sum(0);
  const n = cr * cr + ci * ci;
  return [(ar * cr + ai * ci) / n, (ai * cr - ar * ci) / n];
}

function gammaAt(omega: Line) {
  const Re = line(
    "Re_ω",
    "oscillating Reynolds number ρ ω b²/(4µ)",
    "",
    SADER,
    of`${rho} * ${omega} * ${b} ** 2 / (4 * ${mu})`,
  );
  const Rf = line(
    "Re_f",
    "where the fit below is taken: its range ends at 1e4",
    "",
    SADER,
    of`min(${Re}, 1e4)`,
  );
  const [r, i] = besselRatio(Rf.value);
  const kr = found(
    "κ_r",
    "real part of K1(z)/K0(z)",
    "",
    "asymptotic series",
    "z = √Re_f·exp(−iπ/4)",
    r,
  );
  const ki = found("κ_i", "imaginary part", "", "asymptotic series", "z = √Re_f·exp(−iπ/4)", i);
  const cr = line(
    "Γc_r",
    "circular cylinder, real part: 1 + 4 Re[exp(iπ/4) κ]/√Re_f",
    "",
    "Stokes; Rosenhead 1963",
    of`1 + 4 * (${kr} - ${ki}) / sqrt(2 * ${Rf})`,
  );
  const ci = line(
    "Γc_i",
    "imaginary part",
    "",
    "Stokes; Rosenhead 1963",
    of`4 * (${kr} + ${ki}) / sqrt(2 * ${Rf})`,
  );
  const t = line("τ", "log10 Re_f", "", SADER, of`ln(${Rf}) / ln(10)`);
  const wr = line(
    "Ω_r",
    "from cylinder to flat strip",
    "",
    SADER,
    of`(0.91324 - 0.48274 * ${t} + 0.46842 * ${t} ** 2 - 0.12886 * ${t} ** 3 + 0.044055 * ${t} ** 4 - 0.0035117 * ${t} ** 5 + 0.00069085 * ${t} ** 6) / (1 - 0.56964 * ${t} + 0.4869 * ${t} ** 2 - 0.13444 * ${t} ** 3 + 0.045155 * ${t} ** 4 - 0.0035862 * ${t} ** 5 + 0.00069085 * ${t} ** 6)`,
  );
  const wi = line(
    "Ω_i",
    "imaginary part",
    "",
    SADER,
    of`(-0.024134 - 0.029256 * ${t} + 0.016294 * ${t} ** 2 - 0.00010961 * ${t} ** 3 + 0.000064577 * ${t} ** 4 - 0.00004451 * ${t} ** 5) / (1 - 0.59702 * ${t} + 0.55182 * ${t} ** 2 - 0.18357 * ${t} ** 3 + 0.079156 * ${t} ** 4 - 0.014369 * ${t} ** 5 + 0.0028361 * ${t} ** 6)`,
  );
  const fr = line(
    "Γf_r",
    "real part of Ω Γc at Re_f",
    "",
    SADER,
    of`${wr} * ${cr} - ${wi} * ${ci}`,
  );
  const fi = line("Γf_i", "imaginary part", "", SADER, of`${wr} * ${ci} + ${wi} * ${cr}`);
  const layer = "boundary layer: Γ − 1 falls as Re^−½ beyond the fit, tool's choice, no source";
  const gr = line("Γ_r", "real part at Re_ω", "", layer, of`1 + (${fr} - 1) * sqrt(${Rf} / ${Re})`);
  const gi = line("Γ_i", "imaginary part at Re_ω", "", layer, of`${fi} * sqrt(${Rf} / ${Re})`);
  return { gr, gi };
}

const added = (omega: Line) => {
  const { gr, gi } = gammaAt(omega);
  const scale = line(
    "µ_g",
    "(π/4) ρ b²",
    "kg/m",
    "mass of a cylinder of the width",
    of`PI / 4 * ${rho} * ${b} ** 2`,
  );
  return {
    load: line("x_g", "1 + µ_g Γ_r I", "", SADER, of`1 + ${scale} * ${gr} * ${I}`),
    scale,
    gi,
  };
};
const atFrequency = (omega: number) =>
  found(
    "ω_g",
    "first resonance in the gas, narrow strip",
    "rad/s",
    SADER,
    "fixed point of ω_g = ω_1/√x_g(ω_g)",
    omega,
  );
let omega = open1.value;
for (let round = 0; round < 40; round++)
  omega = draft(() => open1.value / Math.sqrt(added(atFrequency(omega)).load.value));

const wg = atFrequency(omega);
const { load, scale, gi } = added(wg);
line("ω_1/√x_g", "right side there (equal)", "rad/s", SADER, of`${open1} / sqrt(${load})`);
const fg = line(
  "f_g",
  "first resonance in the gas",
  "Hz",
  "width factor on ω/2π",
  of`${Ff} * ${wg} / (2 * PI)`,
  "modes.open_gas_Hz.0",
);
const Qg = line("Q_g", "Q of the gas alone", "", SADER, of`${load} / (${scale} * ${gi} * ${I})`);
const Qt = line(
  "Q",
  "with the structure's",
  "",
  "losses add: 1/Q = 1/Q_s + 1/Q_g",
  of`1 / (1 / ${Qs} + 1 / ${Qg})`,
  "modes.q_gas.0",
);
line(
  "τ_r",
  "ring-down time Q/(π f)",
  "s",
  "decay of the envelope",
  of`${Qt} / (PI * ${fg})`,
  "modes.ring_down_gas_s",
);
line(
  "w_s f",
  "swing times first resonance",
  "m/s",
  "definition",
  of`${swing} * ${fg}`,
  "strip.swing_f1_product_m_s",
);
line(
  "t_min",
  "shortest pulse that half opens, 0.3/f",
  "s",
  `estimate, ${PRACTICE}`,
  of`0.3 / ${fg}`,
  "gas.shortest_pulse_s",
);
line("f/f_g", "rate over resonance", "", "ratio", of`${rate} / ${fg}`, "margins.rate.value");
line(
  "T/τ_r",
  "period over ring-down time",
  "",
  "ratio",
  of`1 / (${rate} * ${Qt} / (PI * ${fg}))`,
  "margins.ring_down.value",
);
