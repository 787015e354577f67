import type { Design } from "../../design/design.ts";
import { withFreeLength } from "../../design/values.ts";
import { formatQuantity } from "../../units/index.ts";
import { followed } from "../fromDesign.ts";
import type { Given, Settings } from "../kind.ts";
import { BenchProblem, type Reduction, type Value, type Warning } from "../reduction.ts";
import { optional } from "../settings.ts";
import { missing } from "../together.ts";
import {
  CAUSES,
  effects,
  type Figures,
  figuresOf,
  type Judged,
  judge,
  OBSERVED,
  type Observed,
} from "./causes.ts";
import type { Readings } from "./readings.ts";

const NAMES: Record<Observed, string> = {
  frequency: "first resonance",
  deflection: "swing",
  force: "blocking force",
  stiffness: "stiffness",
  ratio: "second over first resonance",
};

const EXPECTED: Record<Observed, string> = {
  frequency: "expected-frequency",
  deflection: "expected-deflection",
  force: "expected-force",
  stiffness: "expected-stiffness",
  ratio: "expected-ratio",
};

interface Ratios {
  of: Observed[];
  ln: number[];
  /** Row-major. */
  covariance: number[];
}

/** One free length: what length and clamp are, from resonance, swing and force against what is expected there. */
export function diagnosed(
  readings: Readings,
  settings: Settings,
  design: Design | null,
): Reduction {
  const length = readings.lengths[0]!;
  const ratios = ratiosOf(readings, settings, design);
  const models = effects(design);
  const judged = CAUSES.map((cause) =>
    judge(cause, models[cause], ratios.of, ratios.ln, ratios.covariance),
  )
    .filter(({ u }) => Number.isFinite(u))
    .sort((a, b) => a.chiSquared - b.chiSquared);
  const best = judged[0]!;
  const of = (cause: Judged["cause"]) => judged.find((each) => each.cause === cause);
  const told = ratios.of.length > 1;
  const notToBlame = told ? judged.filter((each) => !each.explains).map((each) => each.cause) : [];
  const explaining = judged.filter((each) => each.explains);
  const values = [
    lengthValue(length, of("length"), best),
    clampValue(length, of("clamp rotation"), best),
    scaleValue("d31_scale", "factor on d31 if that alone is to blame", of("d31")),
    scaleValue(
      "stiffness_scale",
      "factor on the bending stiffness if that alone is to blame",
      of("stiffness"),
    ),
  ];
  return {
    kind: "lengths",
    values,
    fits: [],
    warnings: verdicts(ratios, judged, explaining, notToBlame, length),
    tables: [
      {
        key: "ratios",
        title: "Measured over expected",
        columns: [
          { key: "figure", name: "figure" },
          { key: "ratio", name: "measured over expected" },
          { key: "u_ratio", name: "its standard uncertainty" },
        ],
        rows: ratios.of.map((name, i) => {
          const value = Math.exp(ratios.ln[i]!);
          return [
            NAMES[name],
            value,
            value * Math.sqrt(ratios.covariance[i * ratios.of.length + i]!),
          ];
        }),
      },
      {
        key: "causes",
        title: "Causes, the one that fits best first",
        columns: [
          { key: "cause", name: "cause" },
          { key: "strength", name: "how much" },
          { key: "chi_squared", name: "χ²" },
          { key: "verdict", name: "verdict" },
        ],
        rows: judged.map((each) => [
          each.cause === "length"
            ? "length (or give of the foundation under the clamp)"
            : each.cause,
          strengthText(each, length),
          each.chiSquared,
          !told ? "not told" : each.explains ? "explains all" : "not to blame alone",
        ]),
      },
    ],
    marks: [],
    covariance: null,
  };
}

/** Logarithms of measured over expected, with the covariance of both; expected from settings, else the design. */
function ratiosOf(readings: Readings, settings: Settings, design: Design | null): Ratios {
  const measured = new Map<Observed, Given>();
  const n = readings.lengths.length;
  const meanOf = ({ y, u }: { y: Float64Array; u: Float64Array }): Given => {
    const value = y.reduce((sum, v) => sum + v / n, 0);
    return { value, u: ((u[0]! / y[0]!) * value) / Math.sqrt(n) };
  };
  for (const [quantity, each] of readings.columns) measured.set(quantity, meanOf(each));
  const f1 = measured.get("frequency");
  if (readings.second !== null && f1 !== undefined) {
    const f2 = meanOf(readings.second);
    const value = f2.value / f1.value;
    measured.set("ratio", { value, u: value * Math.hypot(f2.u / f2.value, f1.u / f1.value) });
  }
  const stated = new Map<Observed, Given>();
  for (const name of OBSERVED) {
    const found = optional(settings, EXPECTED[name]);
    if (found !== null) stated.set(name, found);
  }
  if (!stated.has("ratio") && stated.has("frequency"))
    stated.set("ratio", { value: 6.2669, u: 0.06 });
  const length = readings.lengths[0]!;
  const model = design === null ? null : designFigures(design, length);
  const of = OBSERVED.filter((name) => measured.has(name) && (stated.has(name) || model !== null));
  if (of.length === 0)
    throw new BenchProblem(
      "settings",
      "one free length, and nothing to compare it with",
      `a design, or ${[...measured.keys()].map((name) => EXPECTED[name]).join(", ")}, or rows at several lengths`,
    );
  const k = of.length;
  const covariance = new Array<number>(k * k).fill(0);
  const ln = of.map((name, i) => {
    const { value, u } = measured.get(name)!;
    const own = stated.get(name);
    const expected = own?.value ?? model!.values[OBSERVED.indexOf(name)]!;
    covariance[i * k + i] = (u / value) ** 2 + (own === undefined ? 0 : (own.u / own.value) ** 2);
    return Math.log(value / expected);
  });
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++) {
      if (stated.has(of[i]!) || stated.has(of[j]!) || model === null) continue;
      const [a, b] = [OBSERVED.indexOf(of[i]!), OBSERVED.indexOf(of[j]!)];
      covariance[i * k + j]! +=
        model.covariance[a * OBSERVED.length + b]! / (model.values[a]! * model.values[b]!);
    }
  return { of: [...of], ln, covariance };
}

/** The design at the measured length; the uncertainty of its own length is what is asked, so it does not count. */
function designFigures(design: Design, length: number) {
  const at = withoutLengthU(design, length);
  const found = followed(at, (d) => {
    const figures: Figures | null = figuresOf(d);
    return figures === null ? null : OBSERVED.map((name) => figures[name]);
  });
  if (found === null)
    throw new BenchProblem(
      "design",
      "its wiring does not move the strip",
      "a wiring with two different states",
    );
  return found;
}

function withoutLengthU(design: Design, length: number): Design {
  const isLength = (path: readonly (string | number)[]) =>
    path[0] === "strip" && path[1] === "freeLength";
  const inputs = design.inputs.map((input) => (isLength(input.path) ? { ...input, u: 0 } : input));
  const own = { ...design, inputs };
  return Math.abs(design.strip.freeLength - length) <= 1e-9 ? own : withFreeLength(own, length);
}

function lengthValue(length: number, judged: Judged | undefined, best: Judged): Value {
  const key = "effective_length_m";
  const name = "effective free length if that alone is to blame";
  if (judged === undefined) return missing(key, name, "these figures do not depend on the length");
  const value = length * Math.exp(judged.strength);
  return {
    key,
    name: judged === best ? "effective free length" : name,
    value,
    u: value * judged.u,
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    budget: [{ source: "measured over expected figures", u: value * judged.u }],
    ...(judged.explains ? {} : { reason: "the length alone does not explain the figures" }),
  };
}

function clampValue(length: number, judged: Judged | undefined, best: Judged): Value {
  const key = "clamp_give_m";
  const name = "give of the clamp in rotation, EI over its stiffness, if that alone is to blame";
  if (judged === undefined || judged.strength === 0)
    return missing(key, name, "the figures show no rotation of the clamp");
  return {
    key,
    name: judged === best ? "give of the clamp in rotation, EI over its stiffness" : name,
    value: length * judged.strength,
    u: length * judged.u,
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    budget: [{ source: "measured over expected figures", u: length * judged.u }],
  };
}

function scaleValue(key: string, name: string, judged: Judged | undefined): Value {
  if (judged === undefined) return missing(key, name, "these figures do not depend on it");
  const value = Math.exp(judged.strength);
  return {
    key,
    name,
    value,
    u: value * judged.u,
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    budget: [{ source: "measured over expected figures", u: value * judged.u }],
  };
}

function strengthText({ cause, strength, u }: Judged, length: number): string {
  switch (cause) {
    case "length": {
      const value = length * Math.exp(strength);
      return `effective length ${formatQuantity(value, value * u, "length")}`;
    }
    case "clamp rotation":
      return `EI/k_θ ${formatQuantity(length * strength, length * u, "length")}`;
    case "tip mass":
      return `${formatQuantity(strength, u, "ratio")} of the strip's mass`;
    default:
      return `× ${formatQuantity(Math.exp(strength), Math.exp(strength) * u, "ratio")}`;
  }
}

function verdicts(
  ratios: Ratios,
  judged: readonly Judged[],
  explaining: readonly Judged[],
  notToBlame: readonly string[],
  length: number,
): Warning[] {
  const warnings: Warning[] = [];
  const add = (key: string, text: string) => warnings.push({ key, text });
  const best = judged[0]!;
  const k = ratios.of.length;
  const quiet = ratios.ln.every(
    (v, i) => Math.abs(v) < 2 * Math.sqrt(ratios.covariance[i * k + i]!),
  );
  if (k < 2)
    add(
      "one-figure",
      `${NAMES[ratios.of[0]!]} alone cannot tell length, clamp, mass and stiffness apart: measure resonance, swing and force together.`,
    );
  else if (quiet)
    add(
      "as-expected",
      "Every figure is within two standard uncertainties of what is expected: nothing is to blame.",
    );
  else if (explaining.length === 0)
    add(
      "no-single-cause",
      `No single cause explains the figures; ${best.cause} comes nearest. Look for two at once, or a misread voltage.`,
    );
  else {
    const others = explaining.filter((each) => each !== best).map((each) => each.cause);
    add(
      "cause",
      `${best.cause === "length" ? "The length" : best.cause === "d31" ? "d31" : `The ${best.cause}`} explains the figures best: ${strengthText(best, length)}.${
        others.length > 0 ? ` ${others.join(", ")} would do, too.` : ""
      }`,
    );
  }
  if (notToBlame.length > 0 && !quiet)
    add("not-to-blame", `Not to blame alone: ${notToBlame.join(", ")}.`);
  const vibrating =
    explaining.some((each) => each.cause === "clamp rotation") &&
    explaining.some((each) => each.cause === "tip mass");
  if (vibrating && !ratios.of.includes("ratio"))
    add(
      "second-resonance",
      "Clamp rotation and tip mass are told apart by stiffness and by the second resonance over the first: measure one of them.",
    );
  return warnings;
}
