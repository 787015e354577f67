import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { admittance } from "../../src/bench/impedance/circuit.ts";
import { randomStream } from "../../src/numerics/random.ts";
import { example, scratch, staged } from "./support.ts";

/** Files as instruments write them, made from known parts with noise. */
function written(name: string, lines: readonly string[], end = "\n"): string {
  const file = join(scratch(), name);
  writeFileSync(file, lines.join(end) + end);
  return file;
}

interface Parts {
  c0: number;
  c1: number;
  fs: number;
  q: number;
}

/** Decimal comma, preamble, names and units in rows of their own, kΩ and degrees. */
function sweep({ c0, c1, fs, q }: Parts, stream: number, name = "sweep.csv"): string {
  const noise = randomStream(31, stream);
  const circuit = { c0, tanDelta: 0.018, seriesResistance: 0, branches: [{ c1, fs, q }] };
  const rows = Array.from({ length: 200 }, (_, i) => {
    const f = fs * (0.6 + i / 250);
    const [g, b] = admittance(circuit, f);
    const size = ((1 + 0.002 * noise.normal()) / Math.hypot(g, b) / 1e3).toFixed(5);
    const angle = (((-Math.atan2(b, g) + 0.002 * noise.normal()) * 180) / Math.PI).toFixed(3);
    return `${f.toFixed(2)};${size};${angle}`.replaceAll(".", ",");
  });
  const head = ["Strip 7, clamped, tip free", "Level: 0,5 V", "", "Frequency;|Z|;Phase"];
  return written(name, [...head, "Hz;kOhm;deg", ...rows], "\r\n");
}

const CHARGE = { c: 2.3e-8, r: 470, volts: 150 };

/** Voltage over a shunt of 10 Ω in mV, monitor in V, times in µs. */
function current(edges: boolean): string {
  const noise = randomStream(31, 9);
  const tau = CHARGE.c * CHARGE.r;
  const rows = Array.from({ length: 2600 }, (_, k) => {
    const t = 0.5 * k;
    const since = (t - (t < 700.2 ? 100.2 : 700.2)) * 1e-6;
    const x = since < 0 || !edges ? 0 : Math.exp(-since / tau);
    const way = t < 700.2 ? 1 : -1;
    const mV = ((10 * way * CHARGE.volts * x) / CHARGE.r + 0.002 * noise.normal()) * 1e3;
    const v = since < 0 ? 0 : CHARGE.volts * (way > 0 ? 1 - x : x);
    return `${t.toFixed(1)},${mV.toFixed(1)},${(v + 0.3 * noise.normal()).toFixed(2)}`;
  });
  return written("edges.csv", ["two edges", "t (us),shunt (mV),monitor (V)", ...rows]);
}

const RAIL = { storage: 2.2e-6, r: 1000, charge: 3.4e-6, volts: -150 };

/** Blanks between cells, units in the names, times in ms. */
function rail(edge: boolean, name: string): string {
  const noise = randomStream(31, edge ? 11 : 12);
  const tau = RAIL.storage * RAIL.r;
  const rows = Array.from({ length: 1500 }, (_, k) => {
    const t = (k - 100) * 1e-5 + 4e-6;
    const sag = edge && t >= 0 ? (RAIL.charge / RAIL.storage) * Math.exp(-t / tau) : 0;
    return `${((k - 100) * 0.01).toFixed(2)} ${(RAIL.volts + sag + 0.01 * noise.normal()).toFixed(4)}`;
  });
  return written(name, ["# strip at 10 Hz", "t/ms U/V", ...rows]);
}

interface Answer {
  values: Record<string, number | null>;
  covariance: { keys: string[]; matrix: number[] } | null;
  warnings: { key: string }[];
}

async function answer(words: readonly string[]): Promise<Answer> {
  const { code, out, err } = await staged(["reduce", ...words, "--json"]);
  expect({ code, err }).toEqual({ code: 0, err: "" });
  return JSON.parse(out).result as Answer;
}
/** Within four standard uncertainties, and these below a part of the truth. */
function holds({ values }: Answer, key: string, truth: number, part: number): void {
  const [value, u] = [values[key] as number, values[`u_${key}`] as number];
  expect(u, key).toBeGreaterThan(0);
  expect(u / Math.abs(truth), key).toBeLessThan(part);
  expect(Math.abs(value - truth) / u, `${key} ${value} for ${truth}`).toBeLessThan(4);
}
async function refused(words: readonly string[], code: number, said: RegExp): Promise<void> {
  const done = await staged(["reduce", ...words]);
  expect(done.code).toBe(code);
  expect(done.err).toMatch(said);
  expect(done.err).not.toMatch(/\n\s+at /);
}

const STRIP = { c0: 2e-8, c1: 1.2e-9, fs: 1210, q: 55 };
const SIZES = ["30.0(1)", "15.00(5)", "20.0(1)", "11.0(1)"] as const;
const sizes = [
  `length-before=${SIZES[0]} mm`,
  `length-after=${SIZES[1]} mm`,
  `free-length-before=${SIZES[2]} mm`,
  `free-length-after=${SIZES[3]} mm`,
  "width-before=5.00(2) mm",
  "width-after=5.00(2) mm",
].flatMap((text) => ["--set", text]);

describe("reduce impedance", () => {
  test("a sweep in kΩ and degrees with a decimal comma gives the circuit it was made from", async () => {
    const found = await answer(["impedance", sweep(STRIP, 1)]);
    holds(found, "capacitance_F", STRIP.c0 + STRIP.c1, 1e-3);
    holds(found, "series_resonance_Hz", STRIP.fs, 1e-3);
    holds(found, "quality_factor", STRIP.q, 1e-2);
    holds(found, "coupling_factor", Math.sqrt(STRIP.c1 / (STRIP.c0 + STRIP.c1)), 1e-2);
    expect(found.covariance?.keys).toContain("parallel_resonance_Hz");
    expect(found.warnings).toEqual([]);
  });

  test("text: the logarithm's residuals have no unit; what does not agree is said", async () => {
    const words = ["reduce", "impedance", sweep(STRIP, 1), "--design", example("first-valve")];
    const { code, out } = await staged(words);
    expect(code).toBe(1);
    expect(out).toContain("series resonance, f_s");
    expect(out).toMatch(/χ² \S+, reduced/);
    expect(out).not.toContain("Ω²");
  });

  test("2: one of two columns, and a window without rows", async () => {
    const file = sweep(STRIP, 1);
    await refused(["impedance", file, "--set", "from=5 kHz"], 2, /no row between 5000 and/);
    const alone = written("alone.csv", ["Frequency (Hz),|Z| (Ohm)", "100,5e4", "200,3e4"]);
    await refused(["impedance", alone], 2, /impedance and phase/);
  });
});

describe("reduce current", () => {
  test("a shunt in mV gives charge, capacitance and resistance", async () => {
    const found = await answer(["current", current(true), "--set", "shunt=10.00(2) Ω"]);
    holds(found, "charge_on_C", CHARGE.c * CHARGE.volts, 0.03);
    holds(found, "charge_off_C", -CHARGE.c * CHARGE.volts, 0.03);
    holds(found, "capacitance_large_signal_F", CHARGE.c, 0.03);
    holds(found, "series_resistance_ohm", CHARGE.r, 0.03);
  });

  test("2: volts without a shunt; 2: no edge", async () => {
    await refused(["current", current(true)], 2, /shunt/);
    const flat = current(false);
    await refused(["current", flat, "--set", "shunt=10 Ω"], 2, /no current stands out/);
  });
});

describe("reduce rail", () => {
  test("strip off and on give sag, charge and source resistance", async () => {
    const files = [rail(false, "off.txt"), rail(true, "on.txt")];
    const found = await answer(["rail", ...files, "--set", "storage=2.20(2) μF"]);
    holds(found, "droop_per_edge_V", RAIL.charge / RAIL.storage, 0.01);
    holds(found, "charge_per_edge_C", RAIL.charge, 0.02);
    holds(found, "source_resistance_ohm", RAIL.r, 0.02);
    holds(found, "rail_off_V", RAIL.volts, 1e-4);
    expect(found.warnings).toEqual([]);
  });

  test("2: a rail without an edge, a rail that the design does not have", async () => {
    const off = rail(false, "off.txt");
    await refused(["rail", off, "--set", "storage=2.2 μF"], 2, /no jump of the rail/);
    const words = ["rail", rail(true, "on.txt"), "--set", "rail=pulse"];
    await refused([...words, "--design", example("first-valve")], 2, /a rail of the design: bias/);
  });
});

describe("reduce cut", () => {
  const before = { c0: 4.2e-8, c1: 2.5e-9, fs: 530, q: 55 };
  // Half the length under electrodes, 20 mm to 11 mm free: C goes with area, f with 1/L².
  const after = { c0: 2.1e-8, c1: 1.25e-9, fs: 530 * (20 / 11) ** 2, q: 55 };

  test("two sweeps of a good cut", async () => {
    const files = [sweep(before, 2, "before.csv"), sweep(after, 3, "after.csv")];
    const found = await answer(["cut", ...files, ...sizes]);
    holds(found, "capacitance_over_area", 1, 0.02);
    holds(found, "resonance_after_length", 1, 0.03);
    holds(found, "coupling_ratio", 1, 0.01);
  });

  test("settings alone: half the capacitance gone is a lead, and the heading has no empty part", async () => {
    const words = ["capacitance-before=44.5(2) nF", "capacitance-after=11.1(1) nF"];
    const { code, out } = await staged([
      "reduce",
      "cut",
      ...words.flatMap((text) => ["--set", text]),
      ...sizes,
    ]);
    expect(code).toBe(0);
    expect(out.split("\n")[1]).toBe("cut");
    expect(out).toContain("not as it should be");
    expect(out.replace(/\s+/g, " ")).toContain("lead or joint of one layer is open");
  });

  test("2: one sweep, and nothing measured afterwards", async () => {
    await refused(["cut", sweep(before, 2)], 2, /before and after/);
    await refused(["cut", ...sizes], 2, /nothing measured after cutting/);
  });
});
