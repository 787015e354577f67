import { readSettings } from "../src/bench/readSettings.ts";
import { TRACE } from "../src/bench/trace/kind.ts";
import { stateLevels } from "../src/bench/trace/levels.ts";
import { surveyChannel } from "../src/bench/trace/samples.ts";
import { settledLevels } from "../src/bench/trace/settled.ts";
import { findTransitions } from "../src/bench/trace/transitions.ts";
import { randomStream } from "../src/numerics/random.ts";

/*
 * Processor time of a trace of 10⁷ samples, 1000 pulses of a ringing strip with noise: npx tsx perf/traceTimes.ts
 */
const N = 10_000_000;
const DT = 1e-6;
const stream = randomStream(1, 0);
const noise = Float64Array.from({ length: 65_536 }, () => 0.01 * stream.normal());
const zeta = 1 / 60;
const w0 = 2 * Math.PI * 3500;
const wd = w0 * Math.sqrt(1 - zeta * zeta);
const step = (t: number) =>
  t < 0
    ? 0
    : 1 - Math.exp(-zeta * w0 * t) * (Math.cos(wd * t) + ((zeta * w0) / wd) * Math.sin(wd * t));
const one = Float64Array.from(
  { length: 10_000 },
  (_, i) => step(i * DT - 1e-3) - step(i * DT - 6e-3),
);
const time = new Float64Array(N);
const signal = new Float64Array(N);
for (let i = 0; i < N; i++) {
  time[i] = i * DT;
  signal[i] = (one[i % 10_000] as number) + (noise[(i * 31) & 65_535] as number);
}

function timed<T>(name: string, run: () => T): T {
  const before = process.cpuUsage();
  const result = run();
  const { user, system } = process.cpuUsage(before);
  console.log(`${name.padEnd(36)} ${((user + system) / 1000).toFixed(0).padStart(6)} ms`);
  return result;
}

for (let round = 0; round < 3; round++) {
  const channel = timed("extremes, noise", () => surveyChannel("signal", signal, 1));
  const levels = timed("histogram levels", () => stateLevels(channel, "mode"));
  const settled = timed("levels of the settled states", () => settledLevels(channel, levels));
  const found = timed("transitions", () => findTransitions(channel, settled));
  const data = {
    name: "trace",
    columns: new Map([
      ["time", time],
      ["signal", signal],
    ]),
    kinds: new Map([["signal", "voltage" as const]]),
    rows: N,
    interval: DT,
    firstRow: 1,
  };
  const { settings } = readSettings(TRACE, [], 1);
  const all = timed("the whole reduction", () => TRACE.reduce([data], settings, null));
  console.log(`${found.transitions.length} transitions, ${all.values.length} values`);
}
