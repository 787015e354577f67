import { expect, test } from "vitest";
import { RESPONSE } from "../../src/bench/response/kind.ts";
import type { RandomStream } from "../../src/numerics/random.ts";
import { randomStream } from "../../src/numerics/random.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

/*
 * Frequency responses with known resonances. The response itself is written here as complex numbers of its own.
 */
interface Mode {
  f: number;
  q: number;
  a: number;
}
const ONE: Mode[] = [{ f: 3500, q: 30, a: 1 }];

function responseOf(f: number, modes: readonly Mode[], rest: number, base = false) {
  let re = rest;
  let im = 0;
  for (const { f: fk, q, a } of modes) {
    // a n/(x + i y) = a n (x − i y)/(x² + y²)
    const x = fk * fk - f * f;
    const y = (f * fk) / q;
    const n = base ? f * f : fk * fk;
    re += (a * n * x) / (x * x + y * y);
    im -= (a * n * y) / (x * x + y * y);
  }
  return { re, im };
}

const grid = (from: number, to: number, n: number) =>
  Array.from({ length: n }, (_, i) => from + ((to - from) * i) / (n - 1));

function amplitudeSweep(
  f: readonly number[],
  modes: readonly Mode[],
  rest: number,
  noise = 0,
  stream?: RandomStream,
  base = false,
) {
  return dataOf(
    {
      frequency: f,
      amplitude: f.map((x) => {
        const { re, im } = responseOf(x, modes, rest, base);
        return Math.abs(Math.hypot(re, im) + noise * (stream?.normal() ?? 0));
      }),
    },
    { frequency: "frequency", amplitude: "ratio" },
  );
}

function phaseSweep(
  f: readonly number[],
  modes: readonly Mode[],
  rest: number,
  delay: number,
  noise: number,
  stream: RandomStream,
) {
  const values = f.map((x) => {
    const { re, im } = responseOf(x, modes, rest);
    const c = Math.cos(2 * Math.PI * x * delay);
    const s = -Math.sin(2 * Math.PI * x * delay);
    return [
      re * c - im * s + noise * stream.normal(),
      re * s + im * c + noise * stream.normal(),
    ] as const;
  });
  return dataOf(
    {
      frequency: f,
      amplitude: values.map(([a, b]) => Math.hypot(a, b)),
      phase: values.map(([a, b]) => Math.atan2(b, a)),
    },
    { frequency: "frequency", amplitude: "ratio", phase: "angle" },
  );
}

test("without noise every parameter comes back: one mode, two modes, base motion, phase with a delay", () => {
  const one = RESPONSE.reduce(
    [amplitudeSweep(grid(2500, 4500, 201), ONE, 0.4)],
    settingsOf({}),
    null,
  );
  expect(valueAt(one, "first_resonance_Hz").value).toBeCloseTo(3500, 6);
  expect(valueAt(one, "quality_factor").value).toBeCloseTo(30, 6);
  expect(valueAt(one, "half_power_quality_factor").value).toBeCloseTo(30, 0);
  const modes = [...ONE, { f: 3900, q: 60, a: -0.3 }];
  const two = RESPONSE.reduce(
    [amplitudeSweep(grid(2500, 5000, 301), modes, 0.2)],
    settingsOf({ modes: 2 }),
    null,
  );
  expect(valueAt(two, "second_resonance_Hz").value).toBeCloseTo(3900, 5);
  expect(valueAt(two, "second_quality_factor").value).toBeCloseTo(60, 4);
  const base = RESPONSE.reduce(
    [amplitudeSweep(grid(2500, 4500, 201), ONE, 0, 0, undefined, true)],
    settingsOf({ excitation: "base" }),
    null,
  );
  expect(valueAt(base, "quality_factor").value).toBeCloseTo(30, 6);
  const phased = RESPONSE.reduce(
    [phaseSweep(grid(3000, 4000, 101), ONE, -0.5, 12e-6, 0, randomStream(1, 1))],
    settingsOf({}),
    null,
  );
  expect(valueAt(phased, "first_resonance_Hz").value).toBeCloseTo(3500, 6);
  expect(phased.fits[0]?.parameters.at(-1)?.value).toBeCloseTo(12e-6, 10);
});

test.each([
  [
    "amplitude",
    (stream: RandomStream) => amplitudeSweep(grid(3200, 3800, 61), ONE, 0.5, 0.3, stream),
  ],
  [
    "amplitude and phase",
    (stream: RandomStream) => phaseSweep(grid(3200, 3800, 61), ONE, 0.5, 5e-6, 0.3, stream),
  ],
] as const)("1000 noisy sweeps of %s: 95 % intervals hold", (_, sweep) => {
  const found = statistics(
    1000,
    { first_resonance_Hz: 3500, quality_factor: 30, damping_ratio: 1 / 60 },
    (stream) =>
      RESPONSE.reduce([sweep(stream)], settingsOf({ "fit-from": 3200, "fit-to": 3800 }), null),
  );
  for (const { coverage, bias, sets } of Object.values(found)) {
    expect(sets).toBe(1000);
    expect(coverage).toBeGreaterThanOrEqual(0.92);
    expect(coverage).toBeLessThanOrEqual(0.98);
    expect(Math.abs(bias)).toBeLessThan(0.1);
  }
});

/** Random drive through an oscillator stepped exactly for a drive held between samples; noise on the response. */
function channels(n: number, dt: number, { f, q }: Mode, noise: number, stream: RandomStream) {
  const w0 = 2 * Math.PI * f;
  const zeta = 1 / (2 * q);
  const wd = w0 * Math.sqrt(1 - zeta * zeta);
  const e = Math.exp(-zeta * w0 * dt);
  const c = e * Math.cos(wd * dt);
  const s = e * Math.sin(wd * dt);
  const r = (zeta * w0) / wd;
  let x = 0;
  let v = 0;
  const drive = new Float64Array(n);
  const response = new Float64Array(n);
  for (let i = -4000; i < n; i++) {
    const u = stream.normal();
    if (i >= 0) {
      drive[i] = u;
      response[i] = x + noise * stream.normal();
    }
    const y = x - u;
    const next = y * (c + r * s) + (v * s) / wd;
    v = v * (c - r * s) - y * ((w0 * w0) / wd) * s;
    x = next + u;
  }
  const data = dataOf(
    { time: Float64Array.from({ length: n }, (_, i) => i * dt), drive, response },
    { time: "time", drive: "voltage", response: "voltage" },
  );
  return { ...data, interval: dt };
}

test("two channels: H1, coherence, resonance within its interval; segments said", () => {
  const data = channels(1 << 17, 1e-5, { f: 3500, q: 30, a: 1 }, 0.3, randomStream(6, 0));
  const r = RESPONSE.reduce([data], settingsOf({ segment: 0.04096 }), null);
  const f1 = valueAt(r, "first_resonance_Hz");
  expect(Math.abs((f1.value as number) - 3500)).toBeLessThan(3 * (f1.u as number) + 1);
  expect((valueAt(r, "quality_factor").value as number) / 30).toBeCloseTo(1, 1);
  expect(r.fits[0]?.title).toContain("Hann window, 50 % overlap");
  const rows = r.tables[0]?.rows as number[][];
  expect(Math.max(...rows.map(([, , coherence = 0]) => coherence))).toBeLessThanOrEqual(1);
});

test("two channels: 1000 records with noise, the intervals hold", () => {
  // A drive of whole periods in every segment would hide leakage: this one is random, the segments are long.
  const found = statistics(
    1000,
    { first_resonance_Hz: 3500, quality_factor: 10 },
    (stream) => {
      const data = channels(5120, 2.5e-5, { f: 3500, q: 10, a: 1 }, 1, stream);
      return RESPONSE.reduce(
        [data],
        settingsOf({ segment: 512 * 2.5e-5, "fit-from": 2500, "fit-to": 4500 }),
        null,
      );
    },
    8,
  );
  for (const { coverage, bias } of Object.values(found)) {
    expect(coverage).toBeGreaterThanOrEqual(0.92);
    expect(coverage).toBeLessThanOrEqual(0.98);
    expect(Math.abs(bias)).toBeLessThan(0.1);
  }
});

test("warnings: narrow window, coarse points, fast sweep, bent peak; none for a good sweep", () => {
  const keys = (data: ReturnType<typeof amplitudeSweep>, more: Record<string, number> = {}) =>
    RESPONSE.reduce([data], settingsOf(more), null).warnings.map(({ key }) => key);
  const fine = amplitudeSweep(grid(2500, 4500, 401), ONE, 0.2);
  expect(keys(fine)).toEqual([]);
  expect(keys(fine, { "fit-from": 3450, "fit-to": 3560 })).toContain("fit-window-narrow");
  expect(keys(amplitudeSweep(grid(2500, 4500, 41), ONE, 0.2))).toContain("points-coarse");
  expect(keys(fine, { "sweep-time": 0.05 })).toContain("sweep-fast");
  expect(keys(fine, { "sweep-time": 60 })).not.toContain("sweep-fast");
  // A softening strip: the resonance falls with the amplitude that it has (solved point by point).
  const f = grid(3000, 4000, 401);
  let last = 0;
  const bent = f.map((x) => {
    for (let k = 0; k < 400; k++) {
      const { re, im } = responseOf(x, [{ f: 3500 * (1 - 1e-4 * last), q: 30, a: 1 }], 0);
      last += 0.1 * (Math.hypot(re, im) - last);
    }
    return last;
  });
  const data = dataOf(
    { frequency: f, amplitude: bent },
    { frequency: "frequency", amplitude: "ratio" },
  );
  expect(keys(data)).not.toContain("peak-bent");
  const more = f.map((x) => {
    for (let k = 0; k < 400; k++) {
      const { re, im } = responseOf(x, [{ f: 3500 * (1 - 3e-4 * last), q: 30, a: 1 }], 0);
      last += 0.1 * (Math.hypot(re, im) - last);
    }
    return last;
  });
  expect(
    keys(dataOf({ frequency: f, amplitude: more }, { frequency: "frequency", amplitude: "ratio" })),
  ).toContain("peak-bent");
});

test("what cannot be is refused", () => {
  const run = (columns: Record<string, number[]>, settings = {}) =>
    RESPONSE.reduce([dataOf(columns)], settingsOf(settings), null);
  expect(() => run({ time: [1, 2] })).toThrow("neither a frequency column");
  const f = grid(100, 200, 12);
  expect(() => run({ frequency: f, amplitude: f.map((x, i) => (i === 4 ? -3 : x)) })).toThrow(
    "row 5",
  );
  expect(() => run({ frequency: f, amplitude: f.map(() => 1) }, { modes: 2 })).toThrow(
    "fewer modes",
  );
  expect(() => run({ frequency: f, amplitude: f }, { modes: 9 })).toThrow("1 to 4 modes");
});
