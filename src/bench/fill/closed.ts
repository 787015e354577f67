import { linearLeastSquares } from "../../numerics/linearLeastSquares.ts";
import { AVOGADRO, GAS_CONSTANT } from "../../physics/gases.ts";
import { formatQuantity } from "../../units/index.ts";
import { column, columnIfAny, positive } from "../columns.ts";
import { fitReport } from "../fitReport.ts";
import type { Data, Given, Settings } from "../kind.ts";
import type { Entry } from "../propagate.ts";
import { BenchProblem, type Reduction, type Value, type Warning } from "../reduction.ts";
import { given, optional, word } from "../settings.ts";
import { thinned } from "../thinned.ts";
import { missing, type Part, propagatedTogether } from "../together.ts";
import { type Steps, stepsOf } from "./steps.ts";

/** Without its own setting, K. */
export const ROOM: Given = { value: 295.15, u: 2 };

/** Factors from pressure to amount that both ways of filling share: volume, gauge, temperature. */
export function amountParts(settings: Settings, meanT: number | null): Entry[] {
  const volume = positive(given(settings, "volume"), "volume");
  const factor = optional(settings, "gauge-factor") ?? { value: 1, u: 0 };
  const stated = optional(settings, "gas-temperature") ?? ROOM;
  return [
    { source: `volume ${formatQuantity(volume.value, volume.u, "volume")}`, ...volume },
    { source: "factor of the gauge", ...factor },
    { source: "temperature of the gas", value: meanT ?? stated.value, u: stated.u },
  ];
}

/** Gas per pulse from a pressure per pulse: values that both ways of filling give. */
export function amountValues(pressure: Part, settings: Settings, meanT: number | null): Value[] {
  const parts: Part[] = [pressure, ...amountParts(settings, meanT)];
  const mol = (y: Float64Array) => (y[0]! * y[1]! * y[2]!) / (GAS_CONSTANT * y[3]!);
  return [
    propagatedTogether("gas_per_pulse_mol", "gas per pulse", parts, mol),
    propagatedTogether(
      "molecules_per_pulse",
      "molecules per pulse",
      parts,
      (y) => mol(y) * AVOGADRO,
    ),
    propagatedTogether(
      "gas_per_pulse_Pa_m3",
      "gas per pulse at the temperature of the chamber",
      parts,
      (y) => y[0]! * y[1]! * y[2]!,
    ),
  ];
}

/** Pressure after numbers of pulses into a closed chamber. */
export function reduceClosed(data: Data, settings: Settings): Reduction {
  const count = column(data, "count", 4);
  const read = column(data, "pressure");
  const time = columnIfAny(data, "time");
  const T = columnIfAny(data, "temperature");
  const n = count.length;
  const meanT = T === null ? null : T.reduce((sum, t) => sum + t / n, 0);
  const p = T === null || meanT === null ? read : read.map((v, i) => (v * meanT) / T[i]!);
  for (let i = 1; i < n; i++)
    if (!(count[i]! > count[i - 1]!))
      throw new BenchProblem(
        `${data.name}, ${data.firstRow === null ? "" : "row "}${(data.firstRow ?? 0) + i}`,
        `pulse number ${count[i]} after ${count[i - 1]}`,
        "numbers that rise",
      );
  const known = optional(settings, "pressure-rise");
  const differences = (x: Float64Array) =>
    Float64Array.from({ length: n - 1 }, (_, i) => x[i + 1]! - x[i]!);
  const pulses = differences(count);
  const waits = time === null ? null : differences(time);
  if (known !== null && waits === null)
    throw new BenchProblem(data.name, "pressure-rise without a time column", "a column for time");
  const d = differences(p);
  if (known !== null && waits !== null)
    for (let i = 0; i < n - 1; i++) d[i]! -= known.value * waits[i]!;
  const fitted = known === null && waits !== null && tellApart(pulses, waits) && n >= 6;
  const steps = stepsOf(d, pulses, fitted ? waits : null, word(settings, "scatter") !== "none");
  const pressure: Part = {
    source: "rise per pulse",
    value: steps.step,
    u: steps.u,
    degreesOfFreedom: steps.degreesOfFreedom,
  };
  const parts: Part[] = [pressure];
  if (known !== null && waits !== null) {
    const perPulse = (time![n - 1]! - time![0]!) / (count[n - 1]! - count[0]!);
    parts.push({ source: "rise without pulses", value: 0, u: known.u * perPulse });
  }
  const step = propagatedTogether(
    "pressure_per_pulse_Pa",
    "rise per pulse",
    parts,
    (y) => y[0]! - (y[1] ?? 0),
  );
  const asPart: Part = {
    source: "rise per pulse",
    value: steps.step,
    u: step.u ?? 0,
    degreesOfFreedom: step.degreesOfFreedom,
  };
  return {
    kind: "fill",
    values: [...amountValues(asPart, settings, meanT), step, ...scatterValues(steps)],
    fits: [reportOf(data.name, count, p, steps)],
    warnings: closedWarnings(steps, {
      p,
      count,
      time: time !== null,
      known: known !== null,
      fitted,
      settings,
    }),
    tables: [],
    marks: [],
    covariance: null,
  };
}

/** Whether time and pulses do not simply rise together. */
function tellApart(pulses: Float64Array, waits: Float64Array): boolean {
  let nn = 0;
  let nt = 0;
  let tt = 0;
  pulses.forEach((n, i) => {
    nn += n * n;
    nt += n * waits[i]!;
    tt += waits[i]! * waits[i]!;
  });
  return nt ** 2 < 0.9 * nn * tt;
}

function scatterValues(steps: Steps): Value[] {
  const { scatter, step, none } = steps;
  const name = "scatter from pulse to pulse over the mean";
  const base = { degreesOfFreedom: steps.degreesOfFreedom, budget: [] };
  const ratio = Math.abs(scatter.value / step);
  const u = Math.abs(scatter.u / step);
  const seen = none < 0.05 && ratio > 2 * u;
  return [
    seen
      ? { key: "pulse_scatter", name, value: ratio, u, ...base }
      : {
          ...missing(
            "pulse_scatter",
            name,
            `not seen beside the noise of the readings; below about ${((ratio + 2 * u) * 100).toPrecision(2)} %`,
          ),
        },
    {
      key: "reading_noise_Pa",
      name: "noise of a reading",
      value: steps.reading,
      u: null,
      reason: "an estimate beside the scatter of the pulses",
      ...base,
    },
    ...(steps.drift === null
      ? []
      : [
          {
            key: "pressure_rise_Pa_s",
            name: "rise without pulses",
            value: steps.drift.value,
            u: steps.drift.u,
            ...base,
            budget: [{ source: "scatter of the steps", u: steps.drift.u }],
          },
        ]),
  ];
}

/** The plain line through the readings, for the picture; its slope is not the value where pulses scatter. */
function reportOf(file: string, count: Float64Array, p: Float64Array, steps: Steps) {
  const A = new Float64Array(2 * count.length);
  count.forEach((n, i) => {
    A[2 * i] = 1;
    A[2 * i + 1] = n;
  });
  const line = linearLeastSquares(A, p);
  const named = { ...line, parameters: Float64Array.of(line.parameters[0]!, line.parameters[1]!) };
  return fitReport(
    `${file}: pressure against number of pulses, straight line (the rise per pulse comes from the steps, ${
      steps.none > 0.5
        ? "which scatter no more than the readings"
        : "which scatter more than the readings"
    })`,
    [
      { key: "start_Pa", name: "pressure before", start: named.parameters[0]! },
      { key: "step_Pa", name: "rise per pulse", start: named.parameters[1]! },
    ],
    named,
    false,
    thinned({
      x: count,
      y: p,
      model: count.map((n) => line.parameters[0]! + line.parameters[1]! * n),
      xName: "number of pulses",
      xUnit: "",
      yName: "pressure",
      yUnit: "Pa",
    }),
  );
}

interface Around {
  p: Float64Array;
  count: Float64Array;
  time: boolean;
  known: boolean;
  fitted: boolean;
  settings: Settings;
}

function closedWarnings(steps: Steps, around: Around): Warning[] {
  const warnings: Warning[] = [];
  const add = (key: string, text: string) => warnings.push({ key, text });
  const { p, count, settings } = around;
  if (!around.known && !around.fitted)
    add(
      "rise-unknown",
      around.time
        ? "Time and pulses rise together: a leak or outgassing counts as gas of the pulses. Wait once without pulses, or give pressure-rise."
        : "A leak or outgassing of the closed chamber counts as gas of the pulses. Measure the rise without pulses and give it as pressure-rise, with a column for time.",
    );
  if (steps.bend !== null)
    add(
      "amount-changes",
      `The gas per pulse ${steps.bend < 0 ? "falls" : "grows"} by ${Math.abs(100 * steps.bend).toPrecision(2)} % over the run: ${
        steps.bend < 0
          ? "the plenum empties, or the chamber's own pressure is felt; use fewer pulses or a larger plenum"
          : "the strip warms or creeps; let it run in first"
      }.`,
    );
  if (steps.none < 0.05 && steps.scatter.value > 0.1 * Math.abs(steps.step))
    add(
      "pulses-scatter",
      "Pulses scatter by more than a tenth: droop of rail or plenum, ringing from the pulse before, or a regulator that starves. Change the rate by 7 % up and down and measure again.",
    );
  if (steps.step < 2 * steps.u)
    add(
      "no-gas",
      "The pressure does not rise with the pulses beyond its scatter: no gas, or too few pulses.",
    );
  const rise = p[p.length - 1]! - p[0]!;
  const stated = optional(settings, "gas-temperature");
  if (!(stated !== null && stated.u > 0))
    add(
      "temperature-exact",
      "The temperature of the gas has no uncertainty: 2 K is 0.7 % of the amount.",
    );
  const pulses = count[count.length - 1]! - count[0]!;
  if (rise > 0 && pulses >= 1 && given(settings, "volume").u === 0)
    add(
      "volume-exact",
      "The volume has no uncertainty: give it one, as in 8.0(1) l; it is a part of the amount.",
    );
  return warnings;
}
