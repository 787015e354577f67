import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parquetMetadata, parquetReadObjects } from "hyparquet";
import { expect, test } from "vitest";
import { type SeriesOrigin, seriesCsv, seriesParquet } from "../../src/cli/seriesFiles.ts";
import { PULSE_PICTURES } from "../../src/report/figures/pulseSet.ts";
import { pulse } from "../../src/studies/pulse.ts";
import { exampleDesign } from "../examples/support.ts";
import { example, exampleText, MAIN, ROOT, scratch, staged } from "./support.ts";

const FIRST = example("first-valve");
const SHA = createHash("sha256").update(exampleText("first-valve")).digest("hex");
const run = (...words: string[]) =>
  staged(["pulse", FIRST, "--gate", "200 µs", "--duration", "2 ms", ...words]);
/** The same run, computed here. */
const series = () => pulse(exampleDesign("first-valve"), { gate: 200e-6, duration: 2e-3 }).series;

interface Table {
  meta: Record<string, string>;
  names: string[];
  units: string[];
  rows: number[][];
}

function tableOf(text: string): Table {
  const lines = text.trimEnd().split("\n");
  const meta: Record<string, string> = {};
  let at = 0;
  for (; lines[at]?.startsWith("# "); at++) {
    const [key = "", ...rest] = (lines[at] as string).slice(2).split(": ");
    meta[key] = rest.join(": ");
  }
  const cells = (line: string | undefined) => (line ?? "").split(",");
  return {
    meta,
    names: cells(lines[at]),
    units: cells(lines[at + 1]),
    rows: lines.slice(at + 2).map((line) => line.split(",").map(Number)),
  };
}

test("--csv holds every grid point of every quantity, the same double, with units and origin", async () => {
  const path = join(scratch(), "new", "series.csv");
  const { code, err } = await run("--csv", path);
  expect(code).toBe(1);
  expect(err).toContain(`Series in ${path}: 2001 rows`);
  const { meta, names, units, rows } = tableOf(readFileSync(path, "utf8"));
  expect(meta).toMatchObject({
    program: "reedlift 0.1.0",
    design: "first-valve",
    design_sha256: SHA,
    drive: "gate 200 µs, output high to open, one pulse from rest",
  });
  const unit = Object.fromEntries(names.map((name, k) => [name, units[k]]));
  expect(unit).toMatchObject({
    time_s: "s",
    lift_m: "m",
    contact_force_N: "N",
    output_V: "V",
    output_current_A: "A",
    rail_bias_V: "V",
    layer_1_V: "V",
    chamber_pressure_Pa: "Pa",
    moment_N_m: "N*m",
  });
  expect(rows).toHaveLength(2001);
  const { lift, output, step } = series();
  const column = (name: string) => rows.map((row) => row[names.indexOf(name)]);
  expect(column("lift_m")).toEqual([...lift.values]);
  expect(column("output_V")).toEqual([...output.values]);
  expect(column("time_s")).toEqual(Array.from({ length: 2001 }, (_, i) => i * step));
});

test("a long series is written in parts that join without a seam", () => {
  const origin: SeriesOrigin = { version: "1", design: "d", sha256: "0", drive: "g", part: "p" };
  const values = Float64Array.from({ length: 45_000 }, (_, i) => i / 7);
  const columns = [{ name: "time_s", unit: "s", label: "time", values }];
  const { names, rows } = tableOf(new TextDecoder().decode(seriesCsv(origin, columns)));
  expect(names).toEqual(["time_s"]);
  expect(rows.map(([x]) => x)).toEqual([...values]);
});

test("--parquet gives back the same doubles, units and origin", async () => {
  const path = join(scratch(), "series.parquet");
  const { err } = await run("--parquet", path);
  expect(err).toContain(`Series in ${path}`);
  const bytes = readFileSync(path);
  const file = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer;
  const metadata = parquetMetadata(file);
  const kept = Object.fromEntries(
    (metadata.key_value_metadata ?? []).map(({ key, value }) => [key, value]),
  );
  expect(kept).toMatchObject({
    program: "reedlift 0.1.0",
    design: "first-valve",
    design_sha256: SHA,
    "unit:lift_m": "m",
    "unit:mass_flow_kg_s": "kg/s",
    "unit:speed_m_s": "m/s",
  });
  expect(metadata.created_by).toBe("reedlift version 0.1.0");
  const rows = await parquetReadObjects({ file });
  const { lift, flow } = series();
  expect(rows.map((row) => row.lift_m)).toEqual([...lift.values]);
  expect(rows.map((row) => row.mass_flow_kg_s)).toEqual([...flow.values]);
  const units = JSON.parse(kept.units as string) as Record<string, string>;
  expect(Object.keys(units)).toEqual(Object.keys(rows[0] as object));
  for (const name of Object.keys(units)) expect(kept[`unit:${name}`]).toBe(units[name]);
});

test("the same run gives the same bytes of both files, and both have the same columns", async () => {
  const folder = scratch();
  const write = (k: number) =>
    run("--csv", join(folder, `${k}.csv`), "--parquet", join(folder, `${k}.parquet`));
  await write(1);
  await write(2);
  const bytes = (name: string) => readFileSync(join(folder, name));
  expect(bytes("1.csv").equals(bytes("2.csv"))).toBe(true);
  expect(bytes("1.parquet").equals(bytes("2.parquet"))).toBe(true);
});

test("Parquet keeps doubles that CSV would need all digits for", async () => {
  const values = Float64Array.of(0.1 + 0.2, 5e-324, -0, 1.7976931348623157e308);
  const origin: SeriesOrigin = { version: "1", design: "µ", sha256: "0", drive: "g", part: "p" };
  const made = await seriesParquet(origin, [{ name: "x_m", unit: "m", label: "x", values }]);
  const file = made.buffer.slice(made.byteOffset, made.byteOffset + made.length) as ArrayBuffer;
  const rows = await parquetReadObjects({ file });
  expect(rows.map((row) => row.x_m)).toEqual([...values]);
  const design = parquetMetadata(file).key_value_metadata?.find(({ key }) => key === "design");
  expect(design?.value).toBe("µ");
});

test("of a train the files hold the last pulse, and say so", async () => {
  const path = join(scratch(), "train.csv");
  const words = ["pulse", FIRST, "--gate", "200 µs", "--count", "3", "--rate", "500 Hz"];
  await staged([...words, "--csv", path]);
  const { meta, rows } = tableOf(readFileSync(path, "utf8"));
  expect(meta.part).toBe("pulse 3 of 3, time from its own opening edge");
  expect(rows.at(-1)?.[0]).toBeCloseTo(2e-3, 12);
});

test("--svg writes every picture with its numbers", async () => {
  const folder = join(scratch(), "pictures");
  const { err } = await run("--svg", folder);
  expect(err).toContain("5 pictures");
  expect(readdirSync(folder).sort()).toEqual(
    PULSE_PICTURES.flatMap((name) => [`${name}.csv`, `${name}.svg`]).sort(),
  );
  for (const name of PULSE_PICTURES) {
    const svg = readFileSync(join(folder, `${name}.svg`), "utf8");
    expect(svg).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
    expect(svg).toContain(`sha256 ${SHA.slice(0, 12)}; remade by: reedlift pulse`);
    const csv = readFileSync(join(folder, `${name}.csv`), "utf8");
    expect(csv).toContain(`--gate '200 µs' --duration '2 ms' --svg ${folder}`);
  }
});

test("files that are there stay as they are, unless --force; nothing is computed before that", async () => {
  const folder = scratch();
  const taken = (name: string) => {
    writeFileSync(join(folder, name), "mine");
    return join(folder, name);
  };
  const cases: [string[], string][] = [
    [["--csv", taken("a.csv")], "a.csv"],
    [["--parquet", taken("b.parquet")], "b.parquet"],
    [["--svg", folder], "pulse-audit.svg"],
  ];
  taken("pulse-audit.svg");
  for (const [words, name] of cases) {
    const { code, out, err } = await run(...words);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toContain(name);
    expect(err).toContain("--force");
    expect(readFileSync(join(folder, name), "utf8")).toBe("mine");
    expect((await run(...words, "--force")).code).toBe(1);
    expect(readFileSync(join(folder, name), "utf8")).not.toBe("mine");
  }
  expect(readdirSync(folder).filter((name) => name.includes("part"))).toEqual([]);
});

test("--quiet writes the files and says nothing", async () => {
  const path = join(scratch(), "series.csv");
  const { err } = await run("--csv", path, "--quiet");
  expect(err).toBe("");
  expect(readFileSync(path, "utf8")).toContain("lift_m");
});

test("Ctrl-C in a long train ends with 130 and leaves no file", async () => {
  const folder = scratch();
  mkdirSync(join(folder, "out"));
  const path = join(folder, "out", "series.csv");
  const words = ["pulse", FIRST, "--count", "100000", "--rate", "500 Hz", "--gate", "200 µs"];
  const code = await new Promise<number | null>((resolve) => {
    const child = spawn(process.execPath, [MAIN, ...words, "--csv", path], { cwd: ROOT });
    let killed = false;
    // The first line of progress says that the train runs; without one a while is waited.
    const end = () => {
      if (!killed) child.kill("SIGINT");
      killed = true;
    };
    child.stderr.on("data", end);
    setTimeout(end, 4000);
    child.on("exit", (status) => resolve(status));
  });
  expect(code).toBe(130);
  expect(readdirSync(join(folder, "out"))).toEqual([]);
});
