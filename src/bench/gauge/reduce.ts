import type { Design } from "../../design/design.ts";
import { gasNamed } from "../../physics/gases.ts";
import { terminalSpeed } from "../../physics/jetGas.ts";
import { formatQuantity, siUnit } from "../../units/index.ts";
import { columnIfAny } from "../columns.ts";
import type { Data, Given, Settings } from "../kind.ts";
import { checkedLinear } from "../monteCarlo.ts";
import {
  BenchProblem,
  type BudgetLine,
  type Fit,
  type Reduction,
  type Value,
  type Warning,
} from "../reduction.ts";
import { eachFile, optional } from "../settings.ts";
import { thinned } from "../thinned.ts";
import { missing, type Part, propagatedTogether } from "../together.ts";
import { type GaugeRecord, type Measure, recordOf } from "./record.ts";
import { secondPulse } from "./shape.ts";

/*
 * Two records at different distances, or with gases of different speed, tell the flight from the pulse at the nozzle:
 *   FWHM² = w0² + (g s)²,  delay = t0 + s/v,   s = distance × (terminal speed of the first gas over that of this one),
 * since the spread of arrival grows with the time of flight, Δt ≈ L Δv/v². Widths add as squares for bell shapes only.
 */

const SECOND = 0.05;

export function reduceGauge(
  files: readonly Data[],
  settings: Settings,
  design: Design | null,
): Reduction {
  const records = files.map((data) => recordOf(data, settings));
  const first = records[0]!;
  const gates = files.map((data) => gateOf(data, settings));
  const unit = siUnit(files[0]!.kinds.get("signal") ?? "ratio");
  const values: Value[] = [
    measured(first, "fwhm", "fwhm_s", "full width at half maximum, response removed"),
    shifted(
      measured(first, "rise", "delay_s", "gate to half height, response removed"),
      first.start,
      gates[0]!,
    ),
    measured(
      first,
      "area",
      unit === "" ? "pulse_area_s" : `pulse_area_${unit}_s`,
      "area under the pulse",
    ),
    measured(first, "peak", unit === "" ? "peak" : `peak_${unit}`, "height of the pulse"),
    asRead(first),
    {
      key: "noise_gain",
      name: "noise after removing the response over before",
      value: first.noiseGain,
      u: null,
      reason: "follows from response and smoothing alone",
      degreesOfFreedom: Number.POSITIVE_INFINITY,
      budget: [],
    },
    ...flightValues(records, gates, settings, design),
  ];
  return {
    kind: "gauge",
    values,
    fits: records.map((record) => reportOf(record, unit)),
    warnings: records
      .flatMap((record) => recordWarnings(record))
      .concat(flightWarnings(records, values)),
    tables: [],
    marks: [
      {
        role: "signal",
        kind: "instant",
        name: "half height, rising",
        from: first.start + first.shape.rise,
      },
      {
        role: "signal",
        kind: "instant",
        name: "half height, falling",
        from: first.start + first.shape.fall,
      },
    ],
    covariance: null,
  };
}

const partsOf = (record: GaugeRecord, key: Measure): BudgetLine[] => {
  const { noise, smoothing, response } = record.measures[key];
  return [
    { source: `${record.name}: noise`, u: noise },
    { source: `${record.name}: smoothing`, u: smoothing },
    { source: `${record.name}: response time`, u: response },
  ]
    .filter((line) => line.u > 0)
    .sort((a, b) => b.u - a.u);
};

function measured(record: GaugeRecord, measure: Measure, key: string, name: string): Value {
  const budget = partsOf(record, measure);
  return {
    key,
    name,
    value: record.measures[measure].value,
    u: Math.hypot(...budget.map((line) => line.u)),
    degreesOfFreedom: record.degreesOfFreedom,
    budget,
  };
}

/** From the record's start to the gate. */
function shifted(value: Value, start: number, gate: Given): Value {
  const budget = [
    ...value.budget,
    ...(gate.u > 0 ? [{ source: "time of the gate", u: gate.u }] : []),
  ];
  return {
    ...value,
    value: (value.value ?? Number.NaN) + start - gate.value,
    u: Math.hypot(...budget.map((line) => line.u)),
    budget: budget.sort((a, b) => b.u - a.u),
  };
}

function asRead({ raw }: GaugeRecord): Value {
  const key = "fwhm_as_read_s";
  const name = "full width at half maximum, as read";
  if (raw === null) return missing(key, name, "the noise crosses half height");
  return { ...missing(key, name, "as read, response and noise in it"), value: raw.fwhm };
}

/** Rising edge of a gate column, else the setting. */
function gateOf(data: Data, settings: Settings): Given {
  const gate = columnIfAny(data, "gate");
  const time = data.columns.get("time");
  if (gate === null || time === undefined)
    return optional(settings, "gate-time") ?? { value: 0, u: 0 };
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const v of gate) {
    low = Math.min(low, v);
    high = Math.max(high, v);
  }
  const level = (low + high) / 2;
  const i = gate.findIndex((v, k) => k > 0 && v > level && gate[k - 1]! <= level);
  if (i < 0 || !(high > low))
    throw new BenchProblem(
      data.name,
      "a gate that never rises",
      "a rising edge, or gate-time without the column",
    );
  const share = (level - gate[i - 1]!) / (gate[i]! - gate[i - 1]!);
  const step = time[i]! - time[i - 1]!;
  return { value: time[i - 1]! + share * step, u: step / Math.sqrt(12) };
}

function flightValues(
  records: readonly GaugeRecord[],
  gates: readonly Given[],
  settings: Settings,
  design: Design | null,
): Value[] {
  const names = [
    ["fwhm_at_nozzle_s", "full width at half maximum at the nozzle"],
    ["flight_speed_m_s", "speed of the first gas"],
    ["flight_spread_s", "what flight adds to the width of the first record, as squares"],
  ] as const;
  const not = (reason: string) => names.map(([key, name]) => missing(key, name, reason));
  if (records.length < 2)
    return not(
      "one record cannot tell flight from the pulse: measure at a second distance or with a second gas",
    );
  const distances = eachFile(settings, "distance", records.length);
  if (distances === null) return not("the distance of each record is not given: distance");
  const gases = eachFile(settings, "gas", records.length);
  const T =
    optional(settings, "source-temperature")?.value ?? design?.need.plenumTemperature ?? 295.15;
  const speed = (i: number) => {
    const name = gases?.[i];
    return name === undefined ? 1 : terminalSpeed(gasOf(String(name), i), T);
  };
  const slow = [0, 1].map((i) => speed(0) / speed(i));
  const parts: Part[] = [0, 1].flatMap((i): Part[] => [
    {
      source: `width, ${records[i]!.name}`,
      value: records[i]!.measures.fwhm.value,
      u: Math.hypot(...partsOf(records[i]!, "fwhm").map((l) => l.u)),
    },
    {
      source: `delay, ${records[i]!.name}`,
      value: records[i]!.measures.rise.value + records[i]!.start - gates[i]!.value,
      u: Math.hypot(gates[i]!.u, ...partsOf(records[i]!, "rise").map((l) => l.u)),
    },
    { source: `distance, ${records[i]!.name}`, ...lengthOf(distances[i], i) },
  ]);
  const path = (y: Float64Array, i: number) => y[3 * i + 2]! * slow[i]!;
  const [near, far] = [0, 1].map((i) => (parts[3 * i + 2] as { value: number }).value * slow[i]!);
  if (Math.abs(far! - near!) < 0.1 * Math.max(near!, far!))
    return not("time of flight differs by less than a tenth between the records");
  const rate = (y: Float64Array) => (y[3]! ** 2 - y[0]! ** 2) / (path(y, 1) ** 2 - path(y, 0) ** 2);
  const value = (k: number, f: (y: Float64Array) => number) => {
    const [key, name] = names[k]!;
    return checkedLinear(propagatedTogether(key, name, parts, f), parts, f);
  };
  // A mean half way up the pulse travels, so the delay's slope is that of the rising half: the bulk's speed.
  const middle = (y: Float64Array, i: number) => y[3 * i + 1]! + y[3 * i]! / 2;
  const negative = (found: Value): Value =>
    found.value === null
      ? {
          ...found,
          reason:
            "flight takes more than the whole width, or less than none: the records do not belong together",
        }
      : found;
  return [
    negative(value(0, (y) => Math.sqrt(y[0]! ** 2 - rate(y) * path(y, 0) ** 2))),
    value(1, (y) => (path(y, 1) - path(y, 0)) / (middle(y, 1) - middle(y, 0))),
    negative(value(2, (y) => Math.sqrt(rate(y)) * path(y, 0))),
  ];
}

function gasOf(name: string, i: number) {
  try {
    return gasNamed(name);
  } catch (error) {
    throw new BenchProblem(
      `setting gas, file ${i + 1}`,
      `"${name}"`,
      error instanceof Error ? error.message : "a gas of the tables",
    );
  }
}

function lengthOf(given: Given | string | undefined, i: number): Given {
  if (given === undefined || typeof given === "string" || !(given.value > 0))
    throw new BenchProblem(
      `setting distance, file ${i + 1}`,
      "no length above zero",
      "distance from orifice to gauge",
    );
  return given;
}

function reportOf(record: GaugeRecord, unit: string): Fit {
  let square = 0;
  record.y.forEach((v, i) => {
    square += ((v - record.again[i]!) / record.noise) ** 2;
  });
  const n = record.y.length;
  return {
    title: `${record.name}: record and the pulse found, seen through the response again`,
    status: "converged",
    ended: "solved at once in frequency",
    points: n,
    free: n,
    chiSquared: square,
    reduced: null,
    weighted: true,
    parameters: [
      {
        key: "lambda",
        name: "weight of the second differences",
        state: "held",
        start: record.lambda,
        value: record.lambda,
        u: null,
      },
    ],
    correlations: [],
    curve: thinned({
      x: Float64Array.from({ length: n }, (_, i) => record.start + i * record.dt),
      y: record.y,
      model: record.again,
      xName: "time",
      xUnit: "s",
      yName: "signal over its baseline",
      yUnit: unit,
    }),
  };
}

function recordWarnings(record: GaugeRecord): Warning[] {
  const { name, shape, dt, noise, noiseGain, y, responseTime, memory } = record;
  const warnings: Warning[] = [];
  const add = (key: string, text: string) => warnings.push({ key, text: `${name}: ${text}` });
  const time = (s: number) => formatQuantity(s, 0, "time", { digits: 3 });
  if (responseTime === null && noiseGain === 1)
    add(
      "no-response",
      "the gauge's own response is not known, so it is not removed: the pulse is at most as wide as read. Give response-time or a column of the response.",
    );
  else if (noiseGain > 5)
    add(
      "noise-gain",
      `removing the response makes the noise ${noiseGain.toPrecision(2)} times as large. Average more sweeps, or use a faster gauge.`,
    );
  if (responseTime !== null && responseTime.value > shape.fwhm)
    add(
      "gauge-slow",
      `the gauge (${time(responseTime.value)}) is slower than the pulse (${time(shape.fwhm)}): width and height hang on its response time.`,
    );
  const smoothing = record.measures.fwhm.smoothing * 4;
  if (smoothing > 0.05 * shape.fwhm)
    add(
      "smoothing-counts",
      `smoothing changes the width by about ${Math.round((100 * smoothing) / shape.fwhm)} %; a quarter of that is in the uncertainty.`,
    );
  if (shape.fwhm < 10 * dt)
    add(
      "sampling-coarse",
      `fewer than ten samples in the width: sample ${Math.ceil((10 * dt) / shape.fwhm)} times as fast.`,
    );
  const second = secondPulse(record.x, dt);
  if (second !== null && second.height > Math.max(SECOND * shape.peak, 5 * noise * noiseGain))
    add(
      "second-pulse",
      `a second pulse of ${Math.round((100 * second.height) / shape.peak)} % comes ${time(second.at - shape.peakAt)} after the first: the pad bounces, the motion overshoots, or gas comes back from a wall. Change the pulse length by half a period of the strip; move the gauge.`,
    );
  const tail = y.subarray(Math.floor(0.95 * y.length));
  const rest = tail.reduce((sum, v) => sum + v / tail.length, 0);
  if (Math.abs(rest) > Math.max(0.02 * shape.peak, (4 * noise) / Math.sqrt(tail.length)))
    add(
      "not-back",
      "the record ends before the signal is back at its baseline: the area is not whole, and the end disturbs what is found.",
    );
  if (memory > 0)
    add(
      "noise-not-white",
      `neighbouring samples of the baseline depart together (correlation ${memory.toFixed(2)}); made records have the same.`,
    );
  return warnings;
}

function flightWarnings(records: readonly GaugeRecord[], values: readonly Value[]): Warning[] {
  const nozzle = values.find((value) => value.key === "fwhm_at_nozzle_s");
  if (records.length < 2 || nozzle?.value === null || nozzle === undefined) return [];
  return [
    {
      key: "squares",
      text: "Widths are taken to add as squares, which holds for bell-shaped pulses; a flat pulse that flight rounds off keeps its width longer.",
    },
  ];
}
