import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { characteristic, halfPower } from "../../src/bench/impedance/characteristic.ts";
import {
  admittance,
  type Circuit,
  freeCapacitance,
  inductance,
  resistance,
} from "../../src/bench/impedance/circuit.ts";
import { fitFrom } from "../../src/bench/impedance/circuitFit.ts";
import { IMPEDANCE } from "../../src/bench/impedance/impedance.ts";
import { BenchProblem } from "../../src/bench/reduction.ts";
import { type RandomStream, randomStream } from "../../src/numerics/random.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

/*
 * impedance.json: Butterworth–Van Dyke circuits with the characteristic frequencies of IEEE Std 176-1987 (definitions
 * from memory), evaluated in double precision with Python; the relations, not printed numbers, are the source.
 */
interface Entry {
  id: string;
  inputs: Record<string, number>;
  expected: Record<string, number>;
}
const { entries } = JSON.parse(
  readFileSync(new URL("impedance.json", import.meta.url), "utf8"),
) as { entries: Entry[] };
const entry = (id: string) => entries.find((e) => e.id === id) as Entry;

const circuitOf = ({ C0_F, C1_F, fs_Hz, Q }: Record<string, number>): Circuit => ({
  c0: C0_F!,
  tanDelta: 0,
  seriesResistance: 0,
  branches: [{ c1: C1_F!, fs: fs_Hz!, q: Q! }],
});

const near = (found: number, expected: number, relative: number) =>
  expect(Math.abs(found / expected - 1), `${found} for ${expected}`).toBeLessThan(relative);

test.each(["bvd.bender", "bvd.lossy", "bvd.highQ"])("characteristic frequencies of %s", (id) => {
  const { inputs, expected } = entry(id);
  const circuit = circuitOf(inputs);
  const branch = circuit.branches[0]!;
  const x = characteristic(circuit, 0);
  near(inductance(branch), expected.L1_H!, 1e-9);
  near(resistance(branch), expected.R1_ohm!, 1e-9);
  near(x.fp, expected.fp_Hz!, 1e-9);
  near(x.coupling, expected.keff!, 1e-9);
  near(x.figureOfMerit, expected.figure_of_merit!, 1e-9);
  near(x.fm, expected.fm_Hz!, 1e-6);
  near(x.fn, expected.fn_Hz!, 1e-6);
  near(x.zMin, expected.Zmin_ohm!, 1e-9);
  near(x.zMax, expected.Zmax_ohm!, 1e-9);
  const [below, above] = halfPower(branch);
  near(below, expected.f_minus45_Hz!, 1e-9);
  near(above, expected.f_plus45_Hz!, 1e-9);
  near(branch.fs / (above - below), expected.Q_from_width!, 1e-9);
  near(admittance(circuit, branch.fs)[0], expected.Gmax_S!, 1e-9);
  if (expected.zero_phase !== undefined) {
    expect(x.fr).toBeNaN();
    expect(x.fa).toBeNaN();
  } else {
    near(x.fr, expected.fr_Hz!, 1e-9);
    near(x.fa, expected.fa_Hz!, 1e-9);
  }
});

test.each(["bvd.bender.Y", "bvd.lossy.Y", "bvd.highQ.Y"])("admittance of %s", (id) => {
  const { inputs, expected } = entry(id);
  for (const [hz, values] of Object.entries(expected)) {
    const [g, b] = values as unknown as [number, number];
    const found = admittance(circuitOf(inputs), Number(hz));
    near(found[0], g, 1e-9);
    near(found[1], b, 1e-9);
  }
});

test("the coupling is C1/(C0 + C1), and both make the free capacitance", () => {
  const { inputs, expected } = entry("bvd.motional");
  const circuit = circuitOf({ ...inputs, fs_Hz: 900, Q: 30 });
  near(characteristic(circuit, 0).coupling, expected.keff!, 1e-12);
  near(freeCapacitance(circuit), inputs.C0_F! + inputs.C1_F!, 1e-12);
});

test("loss of a capacitor as its parallel resistance", () => {
  const { inputs, expected } = entry("loss");
  const circuit = {
    c0: inputs.C_F!,
    tanDelta: inputs.tand!,
    seriesResistance: 0,
    branches: [],
  };
  near(1 / admittance(circuit, inputs.f_Hz!)[0], expected.Rp_ohm!, 1e-9);
});

test("several branches: each f_p is where the lossless susceptance is zero", () => {
  const circuit: Circuit = {
    c0: 2e-8,
    tanDelta: 0,
    seriesResistance: 0,
    branches: [
      { c1: 1.2e-9, fs: 1200, q: 1e7 },
      { c1: 4e-10, fs: 1500, q: 1e7 },
      { c1: 3e-10, fs: 7500, q: 1e7 },
    ],
  };
  for (let k = 0; k < 3; k++) {
    const { fp } = characteristic(circuit, k);
    expect(fp).toBeGreaterThan(circuit.branches[k]!.fs);
    const b = (f: number) => admittance(circuit, f)[1];
    expect(b(fp * (1 - 1e-6))).toBeLessThan(0);
    expect(b(fp * (1 + 1e-6))).toBeGreaterThan(0);
  }
});

const ONE: Circuit = {
  c0: 2e-8,
  tanDelta: 0.018,
  seriesResistance: 0,
  branches: [{ c1: 1.2e-9, fs: 1200, q: 60 }],
};
const TWO: Circuit = { ...ONE, branches: [...ONE.branches, { c1: 3e-10, fs: 7500, q: 45 }] };

const even = (from: number, to: number, n: number) =>
  Float64Array.from({ length: n }, (_, i) => from + ((to - from) * i) / (n - 1));
const spread = (from: number, to: number, n: number) =>
  Float64Array.from({ length: n }, (_, i) => from * (to / from) ** (i / (n - 1)));

/** |Z| and phase with relative noise s. */
function sweep(circuit: Circuit, f: ArrayLike<number>, s = 0, stream?: RandomStream) {
  const noise = () => (stream === undefined ? 0 : s * stream.normal());
  const y = Array.from(f, (hz) => admittance(circuit, hz));
  return dataOf({
    frequency: f,
    impedance: y.map(([g, b]) => (1 + noise()) / Math.hypot(g, b)),
    phase: y.map(([g, b]) => -Math.atan2(b, g) + noise()),
  });
}

const truthsOf = (circuit: Circuit, k: number, end = "") => {
  const x = characteristic(circuit, k);
  const { c1, fs, q } = circuit.branches[k]!;
  return {
    [`series_resonance${end}_Hz`]: fs,
    [`parallel_resonance${end}_Hz`]: x.fp,
    [`coupling_factor${end}`]: x.coupling,
    [`quality_factor${end}`]: q,
    [`motional_capacitance${end}_F`]: c1,
    [`motional_inductance${end}_H`]: inductance(circuit.branches[k]!),
    [`motional_resistance${end}_ohm`]: resistance(circuit.branches[k]!),
    [`least_impedance${end}_Hz`]: x.fm,
    [`largest_impedance${end}_Hz`]: x.fn,
  };
};
const lowTruths = (circuit: Circuit) => ({
  capacitance_F: freeCapacitance(circuit),
  loss_tangent: circuit.tanDelta,
  clamped_capacitance_F: circuit.c0,
});

test("without noise every pair of columns gives the circuit back, starts found by itself", () => {
  const f = spread(200, 15000, 400);
  const y = Array.from(f, (hz) => admittance(TWO, hz));
  const z = y.map(([g, b]) => [g / (g * g + b * b), -b / (g * g + b * b)] as const);
  const files = [
    sweep(TWO, f),
    dataOf({ frequency: f, resistance: z.map(([r]) => r), reactance: z.map(([, x]) => x) }),
    dataOf({ frequency: f, conductance: y.map(([g]) => g), susceptance: y.map(([, b]) => b) }),
    dataOf({
      frequency: f,
      capacitance: y.map(([, b], i) => b / (2 * Math.PI * f[i]!)),
      loss: y.map(([g, b]) => g / b),
    }),
  ];
  const truths = { ...lowTruths(TWO), ...truthsOf(TWO, 0), ...truthsOf(TWO, 1, "_2") };
  for (const file of files) {
    const found = IMPEDANCE.reduce([file], new Map(), null);
    for (const [key, truth] of Object.entries(truths))
      near(valueAt(found, key).value as number, truth as number, 1e-6);
  }
});

const honest = (found: ReturnType<typeof statistics>, sets: number) => {
  for (const [key, { coverage, bias, sets: n }] of Object.entries(found)) {
    expect(n, key).toBe(sets);
    expect(coverage, `${key} coverage`).toBeGreaterThan(0.92);
    expect(coverage, `${key} coverage`).toBeLessThan(0.98);
    expect(Math.abs(bias), `${key} bias`).toBeLessThan(0.1);
  }
};

test("1000 noisy sweeps: 95 % intervals hold the truth as often as they say", () => {
  const f = even(800, 1600, 61);
  const truths = {
    ...lowTruths(ONE),
    ...truthsOf(ONE, 0),
    zero_phase_Hz: characteristic(ONE, 0).fr,
    zero_phase_upper_Hz: characteristic(ONE, 0).fa,
  };
  honest(
    statistics(1000, truths, (stream) =>
      IMPEDANCE.reduce([sweep(ONE, f, 0.003, stream)], new Map(), null),
    ),
    1000,
  );
});

test("1000 noisy sweeps over two resonances and a series resistance", () => {
  const circuit = { ...TWO, seriesResistance: 150 };
  const f = [...even(1050, 1350, 40), ...even(6800, 8200, 40)];
  const truths = {
    capacitance_F: freeCapacitance(circuit),
    loss_tangent: circuit.tanDelta,
    series_resistance_ohm: 150,
    series_resonance_Hz: 1200,
    quality_factor: 60,
    coupling_factor: characteristic(circuit, 0).coupling,
    series_resonance_2_Hz: 7500,
    quality_factor_2: 45,
  };
  const settings = settingsOf({ "series-resistance": "fit", branches: 2 });
  honest(
    statistics(1000, truths, (stream) =>
      IMPEDANCE.reduce([sweep(circuit, f, 0.003, stream)], settings, null),
    ),
    1000,
  );
});

interface ScipyFit {
  parameters: number[];
  standard_deviations: number[];
  sum_of_squares: number;
  f_Hz: number[];
  impedance_ohm: number[];
  phase_rad: number[];
}

test("SciPy's least squares on the same data: parameters and standard deviations", () => {
  const { circuit } = JSON.parse(
    readFileSync(new URL("electric-scipy.json", import.meta.url), "utf8"),
  ) as { circuit: ScipyFit };
  const file = dataOf({
    frequency: circuit.f_Hz,
    impedance: circuit.impedance_ohm,
    phase: circuit.phase_rad,
  });
  const [fit] = IMPEDANCE.reduce([file], new Map(), null).fits;
  expect(fit!.parameters).toHaveLength(circuit.parameters.length);
  fit!.parameters.forEach(({ value, u }, i) => {
    const sigma = circuit.standard_deviations[i]!;
    expect(Math.abs(value - circuit.parameters[i]!) / sigma).toBeLessThan(1e-3);
    near(u as number, sigma, 1e-4);
  });
  near(fit!.chiSquared, circuit.sum_of_squares, 1e-9);
});

test("the slopes handed to the fit are those of its residuals", () => {
  const f = spread(400, 12000, 40);
  const y = Array.from(f, (hz) => admittance({ ...TWO, seriesResistance: 100 }, hz));
  const s = { f, g: Float64Array.from(y, ([g]) => g), b: Float64Array.from(y, ([, b]) => b) };
  const start = [1.9e-8, 0.02, 1.1e-9, 1190, 50, 3.2e-10, 7450, 50];
  const { result, circuit } = fitFrom(s, start, 2, { branches: 2, seriesResistance: null });
  expect(result.status).toBe("converged");
  expect(result.iterations).toBeLessThan(40);
  near(circuit.seriesResistance, 100, 1e-6);
});

const warned = (file: ReturnType<typeof dataOf>, settings = settingsOf({})) =>
  IMPEDANCE.reduce([file], settings, null).warnings.map(({ key }) => key);

test("warnings: window, points, figure of merit, drive, leads, another circuit", () => {
  expect(warned(sweep(ONE, even(600, 2400, 400)))).toEqual([]);
  expect(warned(sweep(ONE, even(1185, 1240, 60)))).toContain("fit-window-narrow");
  expect(warned(sweep(ONE, even(600, 2400, 60)))).toContain("points-coarse");
  const weak = { ...ONE, branches: [{ c1: 4e-10, fs: 900, q: 30 }] };
  expect(warned(sweep(weak, even(500, 1500, 300)))).toContain("figure-of-merit");
  const hard = settingsOf({ drive: 5 });
  expect(warned(sweep(ONE, even(600, 2400, 400)), hard)).toContain("drive-level");
  const leads = settingsOf({ "lead-inductance": 1e-3 });
  expect(warned(sweep(ONE, even(600, 8000, 1500)), leads)).toContain("lead-inductance");
  const close = { ...ONE, branches: [...ONE.branches, { c1: 6e-10, fs: 1290, q: 60 }] };
  expect(warned(sweep(close, even(800, 1800, 400)), settingsOf({ branches: 1 }))).toContain(
    "not-the-model",
  );
});

test("no resonance: capacitance and loss only, and it says so", () => {
  const bare = { ...ONE, branches: [] };
  const found = IMPEDANCE.reduce([sweep(bare, spread(100, 10000, 60))], new Map(), null);
  near(valueAt(found, "capacitance_F").value as number, 2e-8, 1e-9);
  expect(found.values.some(({ key }) => key.startsWith("series_resonance"))).toBe(false);
  expect(found.warnings.map(({ key }) => key)).toContain("no-resonance");
});

test("one row, as a capacitance meter writes it, is read", () => {
  const file = dataOf({ frequency: [1000], capacitance: [1.3e-8], loss: [0.017] });
  const found = IMPEDANCE.reduce([file], settingsOf({ accuracy: 0.002 }), null);
  expect(valueAt(found, "capacitance_F")).toMatchObject({ value: 1.3e-8, u: 2.6e-11 });
  expect(valueAt(found, "loss_tangent").value).toBeCloseTo(0.017, 12);
});

test("the meter's accuracy and the fixture widen what they act on, and nothing else", () => {
  const file = sweep(ONE, even(800, 1600, 161));
  const settings = settingsOf({
    accuracy: 0.01,
    "frequency-accuracy": 1e-4,
    "fixture-capacitance": [5e-11, 5e-12],
  });
  const found = IMPEDANCE.reduce([file], settings, null);
  near(valueAt(found, "capacitance_F").value as number, 2.12e-8 - 5e-11, 1e-4);
  near(valueAt(found, "capacitance_F").u as number, Math.hypot(2.115e-10, 5e-12), 1e-3);
  near(valueAt(found, "series_resonance_Hz").u as number, 0.12, 1e-3);
  expect(valueAt(found, "quality_factor").u as number).toBeLessThan(0.01);
});

test("files that say nothing of a strip are refused", () => {
  const f = even(800, 1600, 20);
  const refused = (columns: Record<string, ArrayLike<number>>, given = settingsOf({})) => {
    try {
      IMPEDANCE.reduce([dataOf(columns)], given, null);
    } catch (error) {
      expect(error).toBeInstanceOf(BenchProblem);
      return (error as BenchProblem).message;
    }
    throw new Error("not refused");
  };
  const ones = f.map(() => 1e4);
  expect(refused({ frequency: f, impedance: ones })).toMatch(/one pair of/);
  const angle = f.map(() => 1.5);
  expect(refused({ frequency: f, impedance: ones, phase: angle })).toMatch(/inductive/);
  expect(
    refused({ frequency: f, impedance: ones, phase: angle, conductance: ones, susceptance: ones }),
  ).toMatch(/both/);
  const zero = f.slice();
  zero[7] = 0;
  expect(refused({ frequency: zero, impedance: ones, phase: angle })).toMatch(/row 8.*frequency 0/);
  const gap = ones.slice();
  gap[3] = Number.NaN;
  expect(refused({ frequency: f, impedance: gap, phase: angle.map((a) => -a) })).toMatch(/row 4/);
  const file = { frequency: f, impedance: ones, phase: angle.map((a) => -a) };
  expect(refused(file, settingsOf({ from: 3000, to: 2000 }))).toMatch(/from below to/);
  expect(refused(file, settingsOf({ from: 3000, to: 4000 }))).toMatch(/no row between/);
  expect(refused(file, settingsOf({ branches: 1.5 }))).toMatch(/whole number/);
});

test("300 sweeps: the covariance is that of the values' scatter, and k_eff has its own u", () => {
  const f = even(800, 1600, 61);
  const meter = settingsOf({});
  const rows: number[][] = [];
  const stated: number[] = [];
  let keys: readonly string[] = [];
  let u = 0;
  for (let i = 0; i < 300; i++) {
    const found = IMPEDANCE.reduce([sweep(ONE, f, 0.003, randomStream(23, i))], meter, null);
    keys = found.covariance!.keys;
    rows.push([...keys, "coupling_factor"].map((key) => valueAt(found, key).value as number));
    found.covariance!.matrix.forEach((c, k) => {
      stated[k] = (stated[k] ?? 0) + c / 300;
    });
    u += (valueAt(found, "coupling_factor").u as number) ** 2 / 300;
  }
  expect(keys).toEqual([
    "capacitance_F",
    "loss_tangent",
    "series_resonance_Hz",
    "parallel_resonance_Hz",
    "quality_factor",
  ]);
  const n = keys.length;
  const mean = rows[0]!.map((_, k) => rows.reduce((sum, row) => sum + row[k]! / 300, 0));
  const scatter = (a: number, b: number) =>
    rows.reduce((sum, row) => sum + ((row[a]! - mean[a]!) * (row[b]! - mean[b]!)) / 299, 0);
  for (let a = 0; a < n; a++)
    for (let b = 0; b < n; b++) {
      const size = Math.sqrt(stated[a * n + a]! * stated[b * n + b]!);
      const r = stated[a * n + b]! / size;
      // Standard deviation of a sample covariance of normal values: √((1 + r²)/299).
      const chance = Math.sqrt((1 + r * r) / 299);
      expect(Math.abs(scatter(a, b) / size - r) / chance, `${keys[a]}, ${keys[b]}`).toBeLessThan(4);
    }
  expect(Math.abs(Math.sqrt(scatter(n, n) / u) - 1)).toBeLessThan(4 / Math.sqrt(2 * 299));
  // The same from f_s and f_p alone: k² = 1 − (f_s/f_p)², dk = ((1 − k²)/k) (df_p/f_p − df_s/f_s).
  const k = characteristic(ONE, 0).coupling;
  const [s, p] = [2, 3].map((at) => mean[at]!) as [number, number];
  const apart =
    stated[3 * n + 3]! / p ** 2 + stated[2 * n + 2]! / s ** 2 - (2 * stated[2 * n + 3]!) / (s * p);
  near(Math.sqrt(u), ((1 - k * k) / k) * Math.sqrt(apart), 0.01);
});

test("what the meter does to all of them alike stands in the covariance", () => {
  const file = sweep(ONE, even(800, 1600, 61), 0.003, randomStream(23, 1));
  const bare = IMPEDANCE.reduce([file], settingsOf({}), null).covariance!;
  const part = 1e-3;
  const found = IMPEDANCE.reduce([file], settingsOf({ "frequency-accuracy": part }), null);
  const { keys, matrix } = found.covariance!;
  const at = (c: readonly number[], a: string, b: string) =>
    c[keys.indexOf(a) * keys.length + keys.indexOf(b)]!;
  const [fs, fp] = ["series_resonance_Hz", "parallel_resonance_Hz"];
  const product = part ** 2 * valueAt(found, fs).value! * valueAt(found, fp).value!;
  near(at(matrix, fs, fp) - at(bare.matrix, fs, fp), product, 1e-9);
  near(at(matrix, fs, fs), valueAt(found, fs).u! ** 2, 1e-12);
  expect(at(matrix, fs, "quality_factor")).toBe(at(bare.matrix, fs, "quality_factor"));
});
