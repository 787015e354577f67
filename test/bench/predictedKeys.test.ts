import { describe, expect, test } from "vitest";
import { admittance } from "../../src/bench/impedance/circuit.ts";
import type { Data, Kind, Settings } from "../../src/bench/kind.ts";
import { KINDS } from "../../src/bench/kinds.ts";
import type { Reduction } from "../../src/bench/reduction.ts";
import { TRACE } from "../../src/bench/trace/kind.ts";
import type { Design } from "../../src/design/design.ts";
import { exampleDesign } from "../examples/support.ts";
import { dataOf, settingsOf } from "./coverage.ts";
import { traceData, settingsOf as traceSettings } from "./traceData.ts";

/*
 * A prediction, or words on a mismatch, with a key that no reduction gives would never be seen. Here every kind reduces
 * records that between them give all its values, and both are held against the keys of those.
 */
type Recorded = readonly [readonly Data[], Settings];

const range = (n: number, f: (i: number) => number) => Array.from({ length: n }, (_, i) => f(i));
/** A little that repeats in no way the fits know. */
const ragged = (i: number) => Math.sin(12.9898 * (i + 1) ** 2);

function sweep(fs: number) {
  const circuit = {
    c0: 2e-8,
    tanDelta: 0.018,
    seriesResistance: 0,
    branches: [{ c1: 1.2e-9, fs, q: 60 }],
  };
  const frequency = range(200, (i) => fs * (0.5 + i / 150));
  const y = frequency.map((f) => admittance(circuit, f));
  return dataOf({
    frequency,
    impedance: y.map(([g, b], i) => (1 + 1e-4 * ragged(i)) / Math.hypot(g, b)),
    phase: y.map(([g, b]) => -Math.atan2(b, g)),
  });
}

function edges(): Data {
  const time = range(3000, (i) => i * 2e-7);
  const at = [400 * 2e-7 + 1e-8, 1800 * 2e-7 + 1e-8];
  const since = (t: number) => (t < at[0]! ? -1 : t < at[1]! ? t - at[0]! : t - at[1]!);
  const up = (t: number) => t < at[1]!;
  const x = (t: number) => (since(t) < 0 ? 0 : Math.exp(-since(t) / 1.1e-5));
  return dataOf(
    {
      time,
      current: time.map((t, i) => (up(t) ? 0.3 : -0.3) * x(t) + 1e-4 * ragged(i)),
      voltage: time.map((t, i) =>
        t < at[0]! ? 0.01 * ragged(i) : up(t) ? 150 * (1 - x(t)) : 150 * x(t),
      ),
    },
    { current: "current", voltage: "voltage" },
  );
}

function rail(ramp: boolean): Data[] {
  const time = range(1600, (i) => i * 1e-5);
  const sag = (t: number) => {
    if (t < 1e-3) return 0;
    const since = t < 8e-3 ? t - 1e-3 : t - 8e-3;
    const back = ramp ? Math.max(0, 7 - since / 4e-4) : 7 * Math.exp(-since / 1e-3);
    return t < 8e-3 ? back : -back;
  };
  return [
    dataOf({ time, voltage: time.map((_, i) => -150 + 1e-3 * ragged(i)) }),
    dataOf({ time, voltage: time.map((t, i) => -150 + sag(t) + 1e-3 * ragged(i)) }),
  ];
}

const spot = range(41, (i) => (i < 21 ? i : 40 - i) / 20);
const counted = range(20, (i) => 5 * i);
const lag = range(500, (i) => Math.exp(-(((i - 150) / 20) ** 2) / 2) + 1e-3 * ragged(i));
const pulse = range(60_000, (i) => {
  const t = i * 1e-6;
  const mode = (a: number, hz: number, s: number) =>
    a * Math.exp(-s / 2e-3) * Math.cos(2 * Math.PI * hz * s);
  const step = (since: number) =>
    since < 0 ? 0 : 1 - mode(0.7, 2800, since) - mode(0.2, 9100, since) - mode(0.1, 17_000, since);
  return step(t - 5.5e-6 - 1e-2) - step(t - 5.5e-6 - 3.5e-2) + 1e-3 * ragged(i);
});
const gate = range(60_000, (i) => (i >= 10_000 && i < 35_000 ? 5 : 0));

const DESIGNS = [
  exampleDesign("first-valve", ["current_limit: 5 mA,", "output_resistance: 2 kΩ,"]),
  exampleDesign("crossed-beam-helium"),
  exampleDesign("mirror-shutter", [
    "\nswitch:",
    "\ncatalogue: {free_length: 20 mm, voltage: 150 V, deflection_counted: total travel, deflection: 300(10) µm}\nswitch:",
  ]),
];
/** Behind the seat as the crossed-beam design has it. */
const HELIUM = DESIGNS[1]!.need.plenumPressure;

/** Records of every kind. */
const RECORDS: Readonly<Record<string, readonly Recorded[]>> = {
  lever: ["voltage", "time"].map((along) => [
    [
      dataOf(
        { [along]: spot.map((x) => 150 * x), spot: spot.map((x) => 3e-3 * Math.round(x)) },
        { spot: "length" },
      ),
    ],
    settingsOf({
      "screen-distance": [0.3, 1e-3],
      "mirror-position": [6e-3, 1e-4],
      "free-length": 9e-3,
    }),
  ]),
  position: [
    [
      [
        dataOf(
          { position: spot.map((x) => 6e-3 * x), signal: spot.map((x) => 250 * 6e-3 * x) },
          { signal: "voltage" },
        ),
      ],
      settingsOf({ detector: "position-sensitive" }),
    ],
  ],
  trace: [
    [
      [traceData(1e-6, Float64Array.from(pulse), Float64Array.from(gate))],
      traceSettings(TRACE, { modes: "3" }),
    ],
    [
      [
        traceData(
          1e-6,
          Float64Array.from(pulse, (x) => 5e-5 * x),
          Float64Array.from(gate),
          "length",
        ),
      ],
      traceSettings(TRACE, { "drive-step": "150 V" }),
    ],
  ],
  response: [
    [
      [
        dataOf(
          {
            frequency: range(400, (i) => 2000 + 50 * i),
            amplitude: range(400, (i) => {
              let [re, im] = [1e-9, 0];
              for (const hz of [2800, 9100, 17_000]) {
                const x = (2000 + 50 * i) / hz;
                const size = (1 - x * x) ** 2 + (x / 20) ** 2;
                re += (1e-7 * (1 - x * x)) / size;
                im += (1e-7 * x) / 20 / size;
              }
              return Math.hypot(re, im) + 1e-10 * ragged(i);
            }),
          },
          { frequency: "frequency", amplitude: "lift per voltage" },
        ),
      ],
      settingsOf({ modes: 3, "fit-from": 2000, "fit-to": 22_000 }),
    ],
  ],
  cut: [
    [
      [sweep(500), sweep(2400)],
      settingsOf({
        "length-before": 0.03,
        "length-after": 0.014,
        "width-before": 0.005,
        "width-after": 0.005,
        "free-length-before": 0.02,
        "free-length-after": 0.009,
        "insulation-after": 5e9,
      }),
    ],
  ],
  impedance: [[[sweep(2700)], settingsOf({})]],
  lengths: [
    [
      [
        dataOf({
          length: [9e-3, 12e-3],
          frequency: [2700, 1520],
          deflection: [5e-5, 9e-5],
          force: [0.9, 0.7],
          stiffness: [2e4, 1e4],
        }),
      ],
      settingsOf({
        "frequency-scatter": 0.005,
        "deflection-scatter": 0.02,
        "force-scatter": 0.02,
        "scale-to": 0.01,
      }),
    ],
    [
      [dataOf({ length: [9e-3], frequency: [2500], deflection: [5e-5], force: [0.9] })],
      settingsOf({
        "frequency-scatter": 0.005,
        "deflection-scatter": 0.02,
        "force-scatter": 0.02,
        "expected-frequency": [2700, 30],
        "expected-deflection": [5e-5, 1e-6],
        "expected-force": [0.9, 0.02],
      }),
    ],
  ],
  force: [
    [
      [
        dataOf({
          travel: range(100, (i) => (i % 25) * 5e-6),
          voltage: range(100, (i) => 60 * Math.floor(i / 25)),
          force: range(100, (i) =>
            Math.max(0, 2e4 * ((i % 25) * 5e-6 - 4e-5) + 0.3 * Math.floor(i / 25)),
          ),
        }),
      ],
      settingsOf({ "swing-voltage": [180, 1] }),
    ],
  ],
  current: [[[edges()], settingsOf({})]],
  rail: [false, true].map((ramp) => [
    rail(ramp),
    settingsOf({ storage: 4.7e-7, droop: 0.01, "set-voltage": -150.1, "probe-resistance": 1e7 }),
  ]),
  opening: [
    [
      [
        dataOf({
          pressure: range(9, (i) => 1e5 * (1 + i)),
          voltage: range(9, (i) => 24 + 3.2 * (1 + i)),
          closing: range(9, (i) => 20 + 3.2 * (1 + i)),
        }),
      ],
      settingsOf({
        "blocking-force": [0.9, 0.03],
        "swing-voltage": [180, 1],
        "strip-stiffness": 2e4,
        "pad-stiffness": 6e4,
        "working-pressure": 8e5,
      }),
    ],
  ],
  leak: [
    [
      [2e-5, 1e-5].map((rate) =>
        dataOf({
          time: range(60, (i) => 10 * i),
          pressure: range(60, (i) => 1e-3 + 10 * rate * i + 1e-7 * ragged(i)),
        }),
      ),
      new Map([
        ...settingsOf({ volume: [8e-3, 1e-4], passage: "molecular" }),
        ["gas", ["He", "He"]],
        ["plenum-pressure", [HELIUM, 0].map((value) => ({ value, u: 0 }))],
      ]) as Settings,
    ],
  ],
  fill: [
    [
      [
        dataOf({
          count: counted,
          pressure: counted.map((n, i) => 1e-5 + 2e-4 * n + 1e-6 * ragged(i)),
        }),
      ],
      settingsOf({ volume: [0.02, 2e-4], "gas-temperature": [293, 1] }),
    ],
    [
      [
        dataOf({
          time: range(80, (i) => 0.01 + 0.005 * i),
          pressure: range(80, (i) => 3e-6 + 2e-4 * Math.exp(-(0.01 + 0.005 * i) / 0.066)),
        }),
      ],
      settingsOf({ volume: [0.02, 2e-4], "pulse-time": 0, "gas-temperature": [293, 1] }),
    ],
  ],
  gauge: [
    [
      [dataOf({ time: range(500, (i) => i * 1e-6), signal: lag }, { signal: "pressure" })],
      settingsOf({ "response-time": [1e-5, 1e-6], "gate-time": 5e-5 }),
    ],
    [
      [0.03, 0.1].map((_, k) =>
        dataOf(
          { time: range(500, (i) => i * 1e-6), signal: range(500, (i) => lag[i - 60 * k] ?? 0) },
          { signal: "pressure" },
        ),
      ),
      new Map([
        ...settingsOf({ "response-time": [1e-5, 1e-6], "gate-time": 5e-5 }),
        ["distance", [0.03, 0.1].map((value) => ({ value, u: 1e-4 }))],
      ]) as Settings,
    ],
  ],
};

/** Each record of a kind reduced, without a design and with each. */
function reduced(kind: Kind): { found: Reduction; design: Design | null; record: Recorded }[] {
  return (RECORDS[kind.name] ?? []).flatMap((record) =>
    [null, ...DESIGNS].map((design) => ({
      found: kind.reduce(record[0], record[1], design),
      design,
      record,
    })),
  );
}

describe.each(KINDS.map((kind) => [kind.name, kind] as const))("%s", (name, kind) => {
  test("predictions and words on a mismatch speak of values that there are", () => {
    expect(RECORDS[name], "records of this kind").toBeDefined();
    const all = reduced(kind);
    const keys = new Set(all.flatMap(({ found }) => found.values.map(({ key }) => key)));
    const predicted = new Set<string>();
    for (const { found, design, record } of all) {
      if (design === null) continue;
      for (const { key, value, u } of kind.predict?.(design, ...record, found) ?? []) {
        predicted.add(key);
        expect(Number.isFinite(value), key).toBe(true);
        expect(u, key).toBeGreaterThanOrEqual(0);
      }
    }
    const unseen = (list: Iterable<string>) => [...list].filter((key) => !keys.has(key));
    expect(unseen(predicted), "predicted").toEqual([]);
    const spoken = (kind.mismatches ?? []).map(({ key }) => key);
    expect(unseen(spoken), "mismatches").toEqual([]);
    expect(new Set(spoken).size).toBe(spoken.length);
    for (const key of spoken) expect([...predicted], "spoken of, never predicted").toContain(key);
  });
});
