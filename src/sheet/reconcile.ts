import type { Design, SupplierFigures } from "../design/design.ts";
import { withFreeLength } from "../design/values.ts";
import { leastSquares } from "../numerics/leastSquares.ts";
import type { Metre, Ratio } from "../units/aliases.ts";
import { buildElectrical } from "./electrical.ts";
import type { ReconciliationFigures } from "./result.ts";
import { buildStrip } from "./stripModel.ts";

/*
 * One strip, scaled: d31 → s_d d31 and every stiffness → s_k. With a moment per volt ∝ E d31
 *   deflection ∝ s_d           (E cancels in M/EI)
 *   blocking force ∝ s_d s_k
 *   first resonance ∝ √s_k
 *   capacitance: neither (its own check on area and permittivity)
 * and the length L enters as L², 1/L, 1/L² and L for a bare, rigidly clamped strip; here the strip
 * is rebuilt at each trial length, so masses and clamp are counted.
 */

/** Relative standard uncertainty taken for a figure given without one. Unverified, from memory. */
const UNSTATED: Ratio = 0.05;
/** Relative standard uncertainties of the scales where the tables say none. */
const SCALE_PRIOR: Ratio = 0.08;
/** 95 % points of χ² for 1 to 4 degrees of freedom (standard table). */
const CHI_SQUARED_95 = [3.841, 5.991, 7.815, 9.488];

interface Prediction {
  deflection: number;
  blockingForce: number;
  capacitance: number;
  resonance: number;
}

interface Row {
  figure: keyof Prediction;
  unit: string;
  given: number;
  u: number;
}

/** What the model says a strip of that length does at that voltage, counted as the figures are. */
function predict(design: Design, figures: SupplierFigures, length: Metre): Prediction | null {
  const at = withFreeLength(design, length);
  const strip = buildStrip(at);
  const electrical = buildElectrical(at, strip);
  if (electrical === null) return null;
  const step = electrical.outputHigh - electrical.outputLow;
  const difference = (electrical.moments[0] as number) - (electrical.moments[1] as number);
  if (step === 0 || difference === 0) return null;
  const share = figures.deflectionCounted === "one side" ? 0.5 : 1;
  const moment = Math.abs(difference / step) * Math.abs(figures.voltage) * share;
  return {
    deflection: strip.tipPerMoment * moment,
    blockingForce: strip.tipPerMoment * strip.tipStiffness * moment,
    capacitance: electrical.switchedCapacitance,
    resonance: ((strip.basis.omega[0] as number) / (2 * Math.PI)) * strip.width.frequency,
  };
}

function rowsOf(figures: SupplierFigures): Row[] {
  const rows: Row[] = [];
  const add = (
    figure: Row["figure"],
    unit: string,
    given: { value: number; u: number } | null,
    extra = 0,
  ) => {
    if (given === null) return;
    const u = given.u > 0 ? given.u : UNSTATED * given.value;
    rows.push({ figure, unit, given: given.value, u: Math.hypot(u, extra * given.value) });
  };
  add("deflection", "m", figures.deflection);
  add("blockingForce", "N", figures.blockingForce);
  add("capacitance", "F", figures.capacitance, 0.15);
  add("resonance", "Hz", figures.resonance);
  return rows;
}

const scaled = (p: Prediction, sd: Ratio, sk: Ratio): Prediction => ({
  deflection: p.deflection * sd,
  blockingForce: p.blockingForce * sd * sk,
  capacitance: p.capacitance,
  resonance: p.resonance * Math.sqrt(sk),
});

/** A strip as the supplier states it: bare and whole, without pad and mirror. */
function bare(design: Design): Design {
  const { pad: _pad, seat: _seat, ...rest } = design;
  const { strip } = design;
  const cut = strip.segments.length > 0 || strip.widthAtTip !== null;
  return {
    ...rest,
    masses: [],
    ...(cut ? { strip: { ...strip, segments: [], widthAtTip: null } } : {}),
  };
}

/**
 * Fits d31 and stiffness scales to a supplier's figures at one length and voltage and says whether
 * they can belong to one strip (χ² within its 95 % point). Null where the wiring can't drive the
 * strip or fewer than two figures are given.
 */
export function reconcileCatalogue(
  design: Design,
  figures: SupplierFigures,
): ReconciliationFigures | null {
  const rows = rowsOf(figures);
  const base = predict(bare(design), figures, figures.freeLength);
  if (base === null || rows.length < 2) return null;
  const fit = leastSquares(
    (p) =>
      Float64Array.from(
        rows,
        (row) => (row.given - scaled(base, p[0] as number, p[1] as number)[row.figure]) / row.u,
      ),
    [1, 1],
    { lower: [0.1, 0.1], upper: [10, 10] },
  );
  const [sd, sk] = [fit.parameters[0] as number, fit.parameters[1] as number];
  const independent = rows.filter((row) => row.figure !== "capacitance").length;
  const freedom = Math.max(0, independent - 2) + (rows.length - independent);
  const fitted = scaled(base, sd, sk);
  const limit = freedom > 0 ? (CHI_SQUARED_95[freedom - 1] as number) : Number.POSITIVE_INFINITY;
  const consistent = fit.status === "converged" && fit.chiSquared <= limit;
  const worst = [...rows].sort(
    (a, b) =>
      Math.abs(b.given - fitted[b.figure]) / b.u - Math.abs(a.given - fitted[a.figure]) / a.u,
  )[0] as Row;
  const out: ReconciliationFigures = {
    free_length_m: figures.freeLength,
    d31_scale: sd,
    stiffness_scale: sk,
    effective_length_m: null,
    consistent,
    chi_squared: fit.chiSquared,
    degrees_of_freedom: freedom,
    rows: tableRows(rows, base, fitted),
    not_to_blame: [],
    text: consistent
      ? "The figures can belong to one strip with these scales."
      : `The figures do not belong to one strip: ${WORDS[worst.figure]} disagrees most. Ask whether one side or total travel, and which voltage and length, are meant.`,
  };
  setU(out, "d31_scale", fit.covariance, 2, 0);
  setU(out, "stiffness_scale", fit.covariance, 2, 1);
  return out;
}

const WORDS: Record<keyof Prediction, string> = {
  deflection: "free deflection",
  blockingForce: "blocking force",
  capacitance: "capacitance",
  resonance: "first resonance",
};

function tableRows(rows: readonly Row[], predicted: Prediction, fitted: Prediction) {
  return rows.map((row) => ({
    figure: WORDS[row.figure],
    given: row.given,
    predicted: predicted[row.figure],
    fitted: fitted[row.figure],
    unit: row.unit,
    residual_over_u: (row.given - fitted[row.figure]) / row.u,
  }));
}

function setU(
  out: ReconciliationFigures,
  name: string,
  covariance: Float64Array | null,
  n: number,
  i: number,
): void {
  const variance = covariance?.[i * n + i];
  if (variance !== undefined && variance >= 0) out[`u_${name}`] = Math.sqrt(variance);
}

/** Relative standard uncertainty of a free length stated without one. Common practice, no source. */
const LENGTH_PRIOR: Ratio = 0.01;
/** What may be wrong, in the order of the fitted parameters. */
const CAUSES = ["d31", "stiffness", "free length"] as const;

interface Prior {
  value: number;
  u: number;
}

/**
 * Fits the effective free length together with the two scales to figures measured at the user's
 * own length, mounted as the design says. The scales carry priors: the catalogue's own fit where
 * there is one, else the spread of the tables. Then frees each of the three in turn, the others
 * held by their priors, and names as not to blame those for which χ² stays beyond its 95 % point.
 */
export function reconcileMeasured(
  design: Design,
  figures: SupplierFigures,
  catalogue: ReconciliationFigures | null,
): ReconciliationFigures | null {
  const rows = rowsOf(figures).filter((row) => row.figure !== "capacitance");
  const nominal = figures.freeLength;
  const base = predict(design, figures, nominal);
  if (base === null || rows.length < 2) return null;
  const priors: Prior[] = [
    priorOf(catalogue?.d31_scale, catalogue?.u_d31_scale, tableSpread(design, "d31")),
    priorOf(
      catalogue?.stiffness_scale,
      catalogue?.u_stiffness_scale,
      tableSpread(design, "youngModulus"),
    ),
    { value: 1, u: figures.freeLengthU > 0 ? figures.freeLengthU / nominal : LENGTH_PRIOR },
  ];
  const predictAt = (length: Metre) => predict(design, figures, length) ?? base;
  const fitFreeing = (freed: number) =>
    leastSquares(
      (p) => {
        const at = scaled(predictAt(nominal * (p[2] as number)), p[0] as number, p[1] as number);
        const misfit = rows.map((row) => (row.given - at[row.figure]) / row.u);
        priors.forEach((prior, i) => {
          if (i !== freed) misfit.push(((p[i] as number) - prior.value) / prior.u);
        });
        return Float64Array.from(misfit);
      },
      priors.map((prior) => prior.value),
      { lower: [0.1, 0.1, 0.6], upper: [10, 10, 1.6] },
    );
  const fit = fitFreeing(2);
  const [sd, sk, stretch] = fit.parameters as unknown as [number, number, number];
  const fitted = scaled(predictAt(nominal * stretch), sd, sk);
  const freedom = rows.length - 1;
  const limit = CHI_SQUARED_95[freedom - 1] as number;
  const causes = CAUSES.map((name, i) => {
    const chiSquared = (i === 2 ? fit : fitFreeing(i)).chiSquared;
    return { name, chiSquared, explains: chiSquared <= limit };
  });
  const out: ReconciliationFigures = {
    free_length_m: nominal,
    d31_scale: sd,
    stiffness_scale: sk,
    effective_length_m: nominal * stretch,
    consistent: fit.status === "converged" && fit.chiSquared <= limit,
    chi_squared: fit.chiSquared,
    degrees_of_freedom: freedom,
    rows: tableRows(rows, scaled(base, priors[0]?.value ?? 1, priors[1]?.value ?? 1), fitted),
    not_to_blame: causes.filter((c) => !c.explains).map((c) => c.name),
    text: verdictText(causes),
  };
  setU(out, "d31_scale", fit.covariance, 3, 0);
  setU(out, "stiffness_scale", fit.covariance, 3, 1);
  const variance = fit.covariance?.[8];
  if (variance !== undefined) out.u_effective_length_m = Math.sqrt(variance) * nominal;
  return out;
}

function priorOf(value: number | undefined, u: number | undefined, spread: Ratio): Prior {
  return value !== undefined && u !== undefined && u > 0 ? { value, u } : { value: 1, u: spread };
}

/** Relative spread of a ceramic's number among the inputs, or the fallback. */
function tableSpread(design: Design, quantity: "d31" | "youngModulus"): Ratio {
  const input = design.inputs.find(
    (i) =>
      i.path[0] === "materials" &&
      i.path[2] === quantity &&
      design.materials[String(i.path[1])]?.kind === "ceramic" &&
      i.u > 0,
  );
  return input === undefined ? SCALE_PRIOR : Math.abs(input.u / input.value);
}

interface Cause {
  name: string;
  chiSquared: number;
  explains: boolean;
}

function verdictText(causes: readonly Cause[]): string {
  const fits = causes.filter((c) => c.explains).map((c) => c.name);
  const not = causes.filter((c) => !c.explains).map((c) => c.name);
  if (fits.length === 0)
    return "No single cause (length, d31, stiffness) explains the figures: look for a soft clamp, added mass or a misread voltage.";
  const best = [...causes].filter((c) => c.explains).sort((a, b) => a.chiSquared - b.chiSquared)[0];
  const rest = not.length > 0 ? ` Not to blame: ${not.join(", ")}.` : "";
  return `${best?.name === "free length" ? "The free length" : `The ${best?.name}`} explains the figures best.${rest}`;
}
