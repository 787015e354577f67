import { spawnSync } from "node:child_process";
import {
  createWriteStream,
  existsSync,
  mkdirSync,
  mkdtempSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { build } from "esbuild";
import { randomStream } from "../src/numerics/random.ts";
import { machine, median } from "./measure.ts";

/*
 * npm run bench, or npx tsx perf/import.ts [ROWS] [--save]: a text table of two columns read by a process of its own,
 * beside perf/import_pandas.py on the same file in the same run. Medians of RUNS processes each, in turns.
 */

const ROOT = join(import.meta.dirname, "..");
const RUNS = 3;
const LIMIT = { seconds: 4, megabytes: 600 };
const ROWS = Number(process.argv.slice(2).find((word) => /^\d+$/.test(word)) ?? 10_000_000);

interface Run {
  seconds: number;
  megabytes: number;
  rows: number;
  sum: number;
}

const folder = mkdtempSync(join(tmpdir(), "reedlift-import-"));
try {
  await measured();
} finally {
  rmSync(folder, { recursive: true });
}

async function measured(): Promise<void> {
  const file = join(folder, "trace.csv");
  await writeTable(file, ROWS);
  const size = statSync(file).size / 1e6;
  const reader = join(folder, "read.cjs");
  await build({
    ...{ entryPoints: [join(ROOT, "perf/importProcess.ts")], outfile: reader, bundle: true },
    ...{ platform: "node", format: "cjs", logLevel: "error" },
  });
  const python = ["python3", "/usr/bin/python3"].find(
    (name) => spawnSync(name, ["-c", "import numpy, pandas"]).status === 0,
  );
  const ours: Run[] = [];
  const theirs: Run[] = [];
  for (let k = 0; k < RUNS; k++) {
    ours.push(process_(process.execPath, [reader, file]));
    if (python !== undefined)
      theirs.push(process_(python, [join(ROOT, "perf/import_pandas.py"), file]));
  }
  const host = machine();
  console.log(
    `${host.processor}, load ${host.load}: ${ROWS} rows of two columns, ${size.toFixed(0)} MB`,
  );
  const us = told("import as a process", ours);
  const row = {
    rows: ROWS,
    file_MB: size,
    ...us,
    pandas: null as unknown,
    ratio: null as number | null,
  };
  if (theirs.length > 0) {
    const them = told("NumPy and pandas as a process", theirs);
    row.pandas = them;
    row.ratio = Number((them.seconds / us.seconds).toFixed(2));
    const apart = Math.abs((ours[0] as Run).sum / (theirs[0] as Run).sum - 1);
    console.log(`  ratio ${row.ratio}; sums of the signal differ by ${apart.toExponential(1)}`);
  } else console.log("  NumPy and pandas: not measured, python3 has none here");
  if (us.seconds > LIMIT.seconds || us.megabytes > LIMIT.megabytes)
    console.log(`  OVER ${LIMIT.seconds} s or ${LIMIT.megabytes} MB`);
  if (process.argv.includes("--save")) {
    const results = join(ROOT, "perf", "results");
    if (!existsSync(results)) mkdirSync(results);
    const name = host.processor.replace(/[^A-Za-z0-9]+/g, "-").toLowerCase();
    writeFileSync(
      join(results, `${name}-import.json`),
      `${JSON.stringify({ machine: host, ...row }, null, 2)}\n`,
    );
  }
}

function told(
  what: string,
  runs: readonly Run[],
): { seconds: number; fastest: number; megabytes: number } {
  const seconds = median(runs.map((run) => run.seconds));
  const fastest = Math.min(...runs.map((run) => run.seconds));
  const megabytes = Math.max(...runs.map((run) => run.megabytes));
  console.log(
    `  ${what.padEnd(32)} median ${seconds.toFixed(2)} s, fastest ${fastest.toFixed(2)} s, at most ${megabytes.toFixed(0)} MB`,
  );
  return { seconds, fastest, megabytes };
}

function process_(command: string, words: readonly string[]): Run {
  const start = performance.now();
  const done = spawnSync(command, words, { encoding: "utf8" });
  const seconds = (performance.now() - start) / 1000;
  if (done.status !== 0) throw new Error(`${command} ended with ${done.status}: ${done.stderr}`);
  const said = JSON.parse(done.stdout) as { rows: number; peak_MB: number; sum: number };
  return { seconds, megabytes: said.peak_MB, rows: said.rows, sum: said.sum };
}

/** A pulsed, noisy oscillation sampled at 1 MHz. */
async function writeTable(path: string, rows: number): Promise<void> {
  const stream = createWriteStream(path);
  const chance = randomStream(5, 0);
  stream.write("Time (s),CH1 (mV)\n");
  for (let from = 0; from < rows; from += 50_000) {
    let text = "";
    for (let i = from; i < Math.min(rows, from + 50_000); i++) {
      const k = i % 5000;
      const v = 900 * Math.exp(-k / 900) * Math.sin(0.06 * k) + 4 * chance.normal();
      text += `${(i * 1e-6).toExponential(7)},${v.toFixed(4)}\n`;
    }
    if (!stream.write(text))
      await new Promise<void>((resolve) => stream.once("drain", () => resolve()));
  }
  await new Promise<void>((resolve) => stream.end(() => resolve()));
}
