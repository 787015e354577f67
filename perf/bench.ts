import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Design } from "../src/design/design.ts";
import { bundled } from "./bundled.ts";
import { machine, median, timed, yardstick } from "./measure.ts";

/*
 * npm run bench [-- --save]: medians of one run on this machine, each beside its limit and as a ratio
 * to a fixed piece of arithmetic timed in the same run; the window also as a ratio to
 * perf/window_scipy.py where Python has SciPy. --save writes perf/results/PROCESSOR.json.
 */

const ROOT = join(import.meta.dirname, "..");
const EXAMPLE = "examples/crossed-beam-helium.reed.yaml";
const LENGTHS = 200;

interface Row {
  what: string;
  median_ms: number;
  fastest_ms: number;
  runs: number;
  limit_ms: number | null;
  goal_ms: number | null;
  over_yardstick: number;
}

const {
  checkDesign,
  evaluate,
  fullCheck,
  lengthWindow,
  marginSensitivities,
  propagate,
  readDesign,
  windowLengths,
  windowProblem,
  withFreeLength,
} = await bundled();

const text = readFileSync(join(ROOT, EXAMPLE), "utf8");
const read = readDesign(text, { name: EXAMPLE });
if (!read.ok) throw new Error(`${EXAMPLE} can't be read`);
const { design } = read;

const unit = timed(yardstick).median;
const rows: Row[] = [];

function row(
  what: string,
  limit: number | null,
  goal: number | null,
  time: { median: number; fastest: number; runs: number },
) {
  const made: Row = {
    what,
    median_ms: Number(time.median.toPrecision(4)),
    fastest_ms: Number(time.fastest.toPrecision(4)),
    runs: time.runs,
    limit_ms: limit,
    goal_ms: goal,
    over_yardstick: Number((time.median / unit).toPrecision(4)),
  };
  rows.push(made);
  const wants =
    limit === null ? "" : `limit ${limit} ms${goal === null ? "" : `, goal ${goal} ms`}`;
  const mark = limit !== null && time.median > limit ? "OVER" : "";
  console.log(
    `${what.padEnd(56)} ${made.median_ms.toFixed(2).padStart(9)} ${made.fastest_ms.toFixed(2).padStart(9)} ms  ${String(made.over_yardstick).padStart(8)}  ${wants} ${mark}`.trimEnd(),
  );
}

const plain = (d: Design) => evaluate(d, { detail: false });
const uncertain = design.inputs.filter((input) => input.u > 0).length;
const host = machine();
console.log(`${host.processor}, ${host.processors} processors, Node ${host.node}; ${EXAMPLE}`);
if (host.load > host.processors)
  console.log(`The machine is busy (load ${host.load}): read the fastest runs and the ratios.`);
console.log(`${"".padEnd(56)}    median   fastest  over yardstick (${unit.toFixed(2)} ms)`);

row(
  "one evaluation",
  null,
  null,
  timed(() => plain(design)),
);
row(
  "statics of one design, without window and uncertainty",
  5,
  null,
  timed(() => {
    checkDesign(design, { uncertainty: false, waysOut: false });
  }),
);
const window = timed(() => {
  lengthWindow(design, { lengths: LENGTHS });
});
row(`free-length window of ${LENGTHS} even lengths`, 20, 5, window);
row(
  "free-length window as check draws it (lengths where curves bend)",
  20,
  5,
  timed(() => {
    lengthWindow(design);
  }),
);
row(
  `first-order uncertainty over ${uncertain} inputs`,
  60,
  20,
  timed(() => {
    propagate(design, plain(design), plain);
  }),
);
row(
  "ways out of an unmet need",
  null,
  null,
  timed(() => {
    checkDesign(design, { uncertainty: false });
  }),
);
row(
  "which inputs act on each margin",
  null,
  null,
  timed(() => {
    marginSensitivities(design);
  }),
);
row(
  "everything that check computes",
  null,
  null,
  timed(() => {
    fullCheck(design);
  }),
);
row(
  "reading the design file",
  null,
  null,
  timed(() => {
    readDesign(text);
  }),
);
row("check as a process, all of it", 500, null, processTime(["check", EXAMPLE, "--json"]));
row("--version as a process", null, null, processTime(["--version"]));

const scipy = againstScipy();
if (scipy === null) console.log("window by SciPy: not measured, python3 has no SciPy here");
else {
  console.log(
    `window by SciPy (fewer equations, perf/window_scipy.py)   ${scipy.median_ms.toFixed(2).padStart(9)} ms  ratio ${scipy.ratio.toFixed(1)}`,
  );
  console.log(
    `  same design with thin beam and narrow strip, largest relative difference: f1 ${scipy.f1.toExponential(1)}, swing ${scipy.swing.toExponential(1)}, lift ${scipy.lift.toExponential(1)}`,
  );
}

if (process.argv.includes("--save")) {
  const folder = join(ROOT, "perf", "results");
  mkdirSync(folder, { recursive: true });
  const name = host.processor.replace(/[^A-Za-z0-9]+/g, "-").toLowerCase();
  const record = { machine: host, example: EXAMPLE, yardstick_ms: unit, rows, scipy };
  writeFileSync(join(folder, `${name}.json`), `${JSON.stringify(record, null, 2)}\n`);
  console.log(`written: perf/results/${name}.json`);
}

function processTime(words: readonly string[]) {
  const times = Array.from({ length: 9 }, () => {
    const start = performance.now();
    const { status } = spawnSync(process.execPath, ["dist/cli/main.js", ...words], { cwd: ROOT });
    if (status !== 0 && status !== 1) throw new Error(`${words.join(" ")} ended with ${status}`);
    return performance.now() - start;
  });
  return { median: median(times), fastest: Math.min(...times), runs: times.length };
}

/** The window by SciPy, and how far the figures of both lie apart where the equations are the same. */
function againstScipy() {
  const same = { ...design, model: { ...design.model, width: "narrow", beam: "thin" } } as Design;
  const lengths = windowLengths(same, LENGTHS);
  const done = spawnSync("python3", ["perf/window_scipy.py"], {
    cwd: ROOT,
    encoding: "utf8",
    input: JSON.stringify(windowProblem(same, lengths, 5)),
  });
  if (done.status !== 0) return null;
  const theirs = JSON.parse(done.stdout) as {
    seconds: number;
    f1_Hz: number[];
    swing_m: number[];
    lift_m: (number | null)[];
  };
  let f1 = 0;
  let swing = 0;
  let lift = 0;
  const apart = (a: number, b: number) => Math.abs(a / b - 1);
  lengths.forEach((length, i) => {
    const { modes, strip, seat } = plain(withFreeLength(same, length));
    f1 = Math.max(f1, apart(modes.open_vacuum_Hz[0] as number, theirs.f1_Hz[i] as number));
    swing = Math.max(swing, apart(strip.swing_at_pad_m as number, theirs.swing_m[i] as number));
    const [ours, other] = [seat?.lift_open_m ?? null, theirs.lift_m[i] ?? null];
    if (ours !== null && other !== null && ours > 1e-6 && other > 1e-6)
      lift = Math.max(lift, apart(ours, other));
  });
  const milliseconds = 1000 * theirs.seconds;
  return { median_ms: milliseconds, ratio: milliseconds / window.median, f1, swing, lift };
}
