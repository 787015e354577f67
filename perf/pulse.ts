import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { bundled } from "./bundled.ts";
import { machine, timed, yardstick } from "./measure.ts";

/*
 * npm run bench [-- --save]: the pulse. Medians of one run on this machine; ratios to perf/pulse.c (where there is
 * a C compiler) and to perf/pulse_scipy.py (where Python has SciPy) from the fastest runs; heap over a
 * long train. --save writes perf/results/PROCESSOR-pulse.json.
 */

const ROOT = join(import.meta.dirname, "..");
const EXAMPLE = "examples/crossed-beam-helium.reed.yaml";
const GATE = 110e-6;
const SPAN = 10e-3;
const COMPILER = process.env.CC ?? "cc";

const timedFunctions = await bundled<typeof import("./pulseFunctions.ts")>("pulseFunctions.ts");
const {
  advanceRecorded,
  copyState,
  dumpPlan,
  newRun,
  newSeries,
  pulse,
  pulsePlan,
  pulseSteps,
  rates,
  rawPulse,
  readDesign,
  startState,
} = timedFunctions;

const read = readDesign(readFileSync(join(ROOT, EXAMPLE), "utf8"), { name: EXAMPLE });
if (!read.ok) throw new Error(`${EXAMPLE} can't be read`);
const { design } = read;

type Ceramic = "linear" | "large signal";
type Time = ReturnType<typeof timed>;

const rows: Record<string, unknown>[] = [];
const unit = timed(yardstick).median;
const host = machine();
console.log(`The pulse: ${EXAMPLE}, gate ${GATE * 1e6} µs, ${SPAN * 1e3} ms at the default step`);
if (host.load > host.processors)
  console.log(`The machine is busy (load ${host.load}): read the fastest runs and the ratios.`);

function row(what: string, time: Time, limit: number | null, goal: number | null = null) {
  rows.push({
    what,
    median_ms: Number(time.median.toPrecision(4)),
    fastest_ms: Number(time.fastest.toPrecision(4)),
    runs: time.runs,
    limit_ms: limit,
    goal_ms: goal,
    over_yardstick: Number((time.median / unit).toPrecision(4)),
  });
  const wants =
    limit === null ? "" : `limit ${limit} ms${goal === null ? "" : `, goal ${goal} ms`}`;
  const mark = limit !== null && time.median > limit ? "OVER" : "";
  console.log(
    `${what.padEnd(56)} ${time.median.toFixed(2).padStart(9)} ${time.fastest.toFixed(2).padStart(9)} ms  ${wants} ${mark}`.trimEnd(),
  );
}

/** Time of one run; what the processor spent on it as the fastest. */
function once(work: () => void): Time {
  const before = process.cpuUsage();
  const start = performance.now();
  work();
  const median = performance.now() - start;
  const { user, system } = process.cpuUsage(before);
  return { median, fastest: (user + system) / 1000, runs: 1 };
}

/** The same by the built command, which uses all cores. */
function scanByCommand() {
  const words = ["dist/cli/main.js", "rates", EXAMPLE, "--json", "--exit-zero"];
  const begun = performance.now();
  const done = spawnSync(process.execPath, words, { cwd: ROOT, maxBuffer: 2 ** 28 });
  const seconds = (performance.now() - begun) / 1000;
  if (done.status !== 0) throw new Error(`rates: ${done.stderr}`);
  figure(
    `scan of 200 rates by the command, ${host.processors} cores`,
    seconds,
    "s",
    "8",
    seconds <= 8,
  );
}

/** A ratio, or anything else that is no time, against its limit. */
function figure(what: string, value: number, unitText: string, limit: string, met: boolean) {
  rows.push({ what, value, unit: unitText, limit, met });
  console.log(
    `${what.padEnd(56)} ${String(Number(value.toPrecision(3))).padStart(9)} ${unitText}  limit ${limit} ${met ? "" : "OVER"}`.trimEnd(),
  );
}

/** One pulse from rest, model and state at hand. */
function runOf(ceramic: Ceramic, duration = SPAN, step?: number) {
  const options = step === undefined ? {} : { step };
  const plan = pulsePlan(design, { gate: GATE, ceramic, duration, ...options });
  const { model, closed } = plan.made;
  const start = startState(model, { output: closed });
  const series = newSeries(model, plan.step, plan.steps);
  const run = () => {
    const state = copyState(start);
    const whole = newRun(model, plan.step);
    advanceRecorded(whole, state, plan.commands, plan.steps, { series, rest: start.y });
    return state.mass;
  };
  return { plan, start, run };
}

for (const ceramic of ["linear", "large signal"] as const) {
  const { plan, start, run } = runOf(ceramic);
  for (let i = 0; i < 100; i++) run();
  const time = timed(() => {
    run();
  });
  row(`one pulse in process, ${ceramic}`, time, 2, 1);
  againstC(rawPulse(plan, start), run(), time);
}
row(
  "one pulse with model, start, figures and margins",
  timed(() => {
    pulse(design, { gate: GATE, duration: SPAN });
  }),
  null,
);
row(
  "scan of 200 rates in one thread (once; second figure: processor time)",
  once(() => rates(design)),
  null,
);
scanByCommand();
againstScipy();
heapOverTrain(100_000);

if (process.argv.includes("--save")) {
  const folder = join(ROOT, "perf", "results");
  mkdirSync(folder, { recursive: true });
  const name = `${host.processor.replace(/[^A-Za-z0-9]+/g, "-").toLowerCase()}-pulse.json`;
  const record = { machine: host, example: EXAMPLE, gate_s: GATE, yardstick_ms: unit, rows };
  writeFileSync(join(folder, name), `${JSON.stringify(record, null, 2)}\n`);
  console.log(`written: perf/results/${name}`);
}

/** The same pulse by perf/pulse.c, compiled here; the gas must be the same. */
function againstC(raw: string, gas: number, ours: Time) {
  const folder = mkdtempSync(join(tmpdir(), "reedlift-c-"));
  try {
    const program = join(folder, "pulse");
    const words = ["-O3", "-ffp-contract=off", "-o", program, "perf/pulse.c", "-lm"];
    if (spawnSync(COMPILER, words, { cwd: ROOT }).status !== 0) {
      console.log("the pulse in C: not measured, no C compiler here");
      return;
    }
    writeFileSync(join(folder, "raw"), raw);
    const done = spawnSync(program, [join(folder, "raw"), "61"], { encoding: "utf8" });
    if (done.status !== 0) throw new Error(`perf/pulse.c: ${done.stderr}`);
    const theirs = JSON.parse(done.stdout) as { fastest_ms: number; gas_kg: number };
    const apart = Math.abs(theirs.gas_kg / gas - 1);
    if (!(apart < 1e-9)) throw new Error(`perf/pulse.c: its gas differs by ${apart}`);
    const ratio = ours.fastest / theirs.fastest_ms;
    figure(`  time over C (${theirs.fastest_ms.toFixed(2)} ms)`, ratio, "", "1.5", ratio <= 1.5);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/**
 * The same pulse, linear, by SciPy at the loosest tolerance that comes as near to the pulse at a tenth of the step as
 * the default step does, over its first millisecond.
 */
function againstScipy() {
  const scipy = (dump: object, tolerance: number) => {
    const words = ["perf/pulse_scipy.py", "--method", "LSODA", "--grid", "1e-6"];
    const done = spawnSync("python3", [...words, "--rtol", String(tolerance)], {
      cwd: ROOT,
      encoding: "utf8",
      input: JSON.stringify(dump),
    });
    return done.status === 0
      ? (JSON.parse(done.stdout) as { seconds: number; gas_kg: number })
      : null;
  };
  const near = runOf("linear", 1e-3);
  const fine = runOf("linear", 1e-3, 0.1e-6).run();
  // No looser than 1e-4 of the gas, no stricter than 1e-5: either is far below what a pulse is compared to.
  const wanted = Math.min(1e-4, Math.max(1e-5, Math.abs(near.run() / fine - 1)));
  const { plan, run } = runOf("linear");
  for (const tolerance of [1e-3, 1e-4, 1e-5, 1e-6]) {
    const short = scipy(dumpPlan(design, near.plan, GATE), tolerance);
    if (short === null || !(Math.abs(short.gas_kg / fine - 1) <= wanted)) continue;
    const whole = scipy(dumpPlan(design, plan, GATE), tolerance);
    if (whole === null) continue;
    const time = timed(() => {
      run();
    });
    const ratio = (1000 * whole.seconds) / time.fastest;
    const what = `  SciPy's time (${whole.seconds.toFixed(1)} s, rtol ${tolerance}) over it, linear`;
    figure(what, ratio, "", "500 at least", ratio >= 500);
    return;
  }
  console.log("the pulse by SciPy: not measured, python3 has no SciPy here");
}

/** Memory in use after a tenth of a train and at its end. */
function heapOverTrain(count: number) {
  setFlagsFromString("--expose-gc");
  const collect = runInNewContext("gc") as () => void;
  const used = () => {
    collect();
    return process.memoryUsage().heapUsed;
  };
  const period = 20e-6;
  const train = pulseSteps(design, { gate: 8e-6, rate: 1 / period, count, ceramic: "linear" });
  const begun = performance.now();
  let before = 0;
  for (let n = 1; ; n++) {
    if (train.next().done === true) break;
    if (n === count / 10) before = used();
    if (n === count) {
      const grown = (used() - before) / 2 ** 20;
      const took = ((performance.now() - begun) / 1000).toFixed(1);
      const what = `heap grown over ${count} pulses of ${period * 1e6} µs (${took} s)`;
      figure(what, grown, "MiB", "1", grown < 1);
    }
  }
}
