import { spawnSync } from "node:child_process";
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { randomStream } from "../src/numerics/random.ts";
import { machine, median } from "./measure.ts";

/*
 * npx tsx perf/reduce.ts [rows]: a two-column text file (default 10⁷ rows) to the metrics of its trace, as a process: wall
 * time, processor time and largest memory, beside perf/reduce_numpy.py on the same file where Python has NumPy. Needs
 * dist/cli (npm run build). Goals: 4 s and 600 MB for 10⁷ rows, faster than NumPy or pandas.
 */

const ROWS = Number(process.argv[2] ?? 1e7);
const ROOT = join(import.meta.dirname, "..");
const MAIN = join(ROOT, "dist", "cli", "main.js");
const STEP = 1e-7;
const RUNS = 3;

/** A square wave of 500 Hz with noise, as a recorder of ten million samples a second would write it. */
function write(file: string): void {
  const noise = randomStream(1, 0);
  const fd = openSync(file, "w");
  writeSync(fd, "Time (s),Signal (V)\n");
  let text = "";
  for (let i = 0; i < ROWS; i++) {
    const level = (i * STEP) % 2e-3 < 1e-3 ? 1 : 0;
    text += `${(i * STEP).toExponential(7)},${(level + 0.01 * noise.normal()).toFixed(5)}\n`;
    if (text.length > 1 << 22) {
      writeSync(fd, text);
      text = "";
    }
  }
  writeSync(fd, text);
  closeSync(fd);
}

const REPORT =
  "data:text/javascript,process.on('exit',()=>{const u=process.resourceUsage();process.stderr.write('\\nused '+u.maxRSS+' '+(u.userCPUTime+u.systemCPUTime)/1e6)})";

const hasPandas = (name: string) => spawnSync(name, ["-c", "import pandas"]).status === 0;

const folder = mkdtempSync(join(tmpdir(), "reedlift-perf-"));
try {
  const file = join(folder, "trace.csv");
  write(file);
  const { processor, load } = machine();
  console.log(`${processor}, load ${load.toFixed(1)}, ${ROWS} rows`);
  const walls: number[] = [];
  const theirs: number[] = [];
  const python = ["python3", "/usr/bin/python3"].sort(
    (a, b) => Number(hasPandas(b)) - Number(hasPandas(a)),
  )[0] as string;
  for (let run = 0; run < RUNS; run++) {
    const started = performance.now();
    const words = ["--import", REPORT, MAIN, "reduce", "trace", file, "--quiet"];
    const done = spawnSync(process.execPath, words, { encoding: "utf8" });
    const wall = (performance.now() - started) / 1e3;
    const [, rss = "0", cpu = "0"] = /used (\d+) ([\d.]+)/.exec(done.stderr) ?? [];
    console.log(
      `reedlift reduce trace: ${wall.toFixed(2)} s, processor ${Number(cpu).toFixed(2)} s, ${(Number(rss) / 1024).toFixed(0)} MB, exit ${done.status}`,
    );
    walls.push(wall);
    const start = performance.now();
    const other = spawnSync(python, [join(ROOT, "perf", "reduce_numpy.py"), file], {
      encoding: "utf8",
    });
    if (other.status === 0) theirs.push((performance.now() - start) / 1e3);
    console.log(other.status === 0 ? `python: ${other.stdout.trim()}` : "no NumPy here");
  }
  if (theirs.length === RUNS)
    console.log(
      `medians as processes: ${median(walls).toFixed(2)} s, python ${median(theirs).toFixed(2)} s, ratio ${(median(theirs) / median(walls)).toFixed(2)}`,
    );
} finally {
  rmSync(folder, { recursive: true, force: true });
}
