import { b, L } from "./inputs.ts";
import { nu } from "./section.ts";
import { heading, type Line, line, of } from "./working.ts";

const PLATE =
  "plate factors for ν = 0.31 (unverified, from memory), monotone cubic of Fritsch and Butland 1984";
heading(
  "3 Width factors",
  "A clamp holds the lateral strain: factors of a clamped plate on the narrow strip's values, from a table in b/L with the points 0.36, 0.5, 0.625, 0.8 around this strip.",
);

const beta = line("β", "width over length", "", "geometry", of`${b} / ${L}`);
const u = line(
  "u",
  "place between the points 0.5 and 0.625",
  "",
  PLATE,
  of`(${beta} - 0.5) / 0.125`,
);

/* Four table values y(0.36), y(0.5), y(0.625), y(0.8): secants, slopes, Hermite cubic. */
function interpolated(name: string, y: readonly [number, number, number, number]): Line {
  const of1 = line(
    `Δ1_${name}`,
    `secant of the ${name} factor from 0.36 to 0.5`,
    "",
    PLATE,
    of`(${y[1]} - ${y[0]}) / 0.14`,
  );
  const of2 = line(
    `Δ2_${name}`,
    "secant from 0.5 to 0.625",
    "",
    PLATE,
    of`(${y[2]} - ${y[1]}) / 0.125`,
  );
  const of3 = line(
    `Δ3_${name}`,
    "secant from 0.625 to 0.8",
    "",
    PLATE,
    of`(${y[3]} - ${y[2]}) / 0.175`,
  );
  const flat1 = of1.value * of2.value <= 0;
  const flat2 = of2.value * of3.value <= 0;
  const slope1 = line(
    `s1_${name}`,
    flat1
      ? "slope at 0.5: 0, the secants do not agree in sign"
      : "slope at 0.5, weighted harmonic mean",
    "",
    PLATE,
    flat1
      ? of`0`
      : of`(0.14 + 2 * 0.125 + 2 * 0.14 + 0.125) / ((0.14 + 2 * 0.125) / ${of1} + (2 * 0.14 + 0.125) / ${of2})`,
  );
  const slope2 = line(
    `s2_${name}`,
    flat2
      ? "slope at 0.625: 0, the secants do not agree in sign"
      : "slope at 0.625, weighted harmonic mean",
    "",
    PLATE,
    flat2
      ? of`0`
      : of`(0.125 + 2 * 0.175 + 2 * 0.125 + 0.175) / ((0.125 + 2 * 0.175) / ${of2} + (2 * 0.125 + 0.175) / ${of3})`,
  );
  return line(
    `T_${name}`,
    `${name} factor for ν = 0.31`,
    "",
    PLATE,
    of`${y[1]} * (1 + 2 * ${u}) * (1 - ${u}) ** 2 + 0.125 * ${slope1} * ${u} * (1 - ${u}) ** 2 + ${y[2]} * ${u} ** 2 * (3 - 2 * ${u}) + 0.125 * ${slope2} * ${u} ** 2 * (${u} - 1)`,
  );
}
const Td = interpolated("d", [1.068, 1.082, 1.09, 1.096]);
const Tf = interpolated("f", [1.022, 1.027, 1.031, 1.034]);
const Tc = interpolated("c", [0.968, 0.964, 0.964, 0.97]);
export const Fd = line(
  "F_d",
  "factor on the free deflection, (factor − 1) ∝ ν",
  "",
  PLATE,
  of`1 + (${Td} - 1) * ${nu} / 0.31`,
  "strip.width_factor_deflection",
);
export const Ff = line(
  "F_f",
  "factor on the resonances, (factor − 1) ∝ (1 − ν²)^−½ − 1",
  "",
  PLATE,
  of`1 + (${Tf} - 1) * (1 / sqrt(1 - ${nu} ** 2) - 1) / (1 / sqrt(1 - 0.31 ** 2) - 1)`,
  "strip.width_factor_frequency",
);
export const Fc = line(
  "F_c",
  "factor on the compliance, (factor − 1) ∝ ν² (its limit for a wide plate is 1 − ν²)",
  "",
  PLATE,
  of`1 + (${Tc} - 1) * (${nu} / 0.31) ** 2`,
  "strip.width_factor_compliance",
);
