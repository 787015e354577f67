import { spawn } from "node:child_process";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { type Changes, designAt, dumpPulse } from "./pulseDump.ts";

/*
 * npx tsx perf/pulseReference.ts [WORD …]: computes test/pulse/reference.json anew by
 * perf/pulse_scipy.py, all cases or those whose names hold a word; two at a time, minutes each. Then `npm run format`.
 */

const ROOT = join(import.meta.dirname, "..");
const FILE = join(ROOT, "test/pulse/reference.json");

const METHOD = "Radau";
const RTOL = 1e-9;

interface Case {
  example: string;
  gate_us: number;
  ceramic: "linear" | "large signal";
  duration_us: number;
  /** What it is about, and the changes of the example's text. */
  about?: string;
  changes?: Changes;
}

const CASES: readonly Case[] = [
  { example: "crossed-beam-helium", gate_us: 110, ceramic: "linear", duration_us: 1000 },
  { example: "crossed-beam-helium", gate_us: 60, ceramic: "linear", duration_us: 700 },
  { example: "first-valve", gate_us: 200, ceramic: "linear", duration_us: 1000 },
  { example: "kilohertz-hydrogen", gate_us: 85, ceramic: "linear", duration_us: 800 },
  { example: "krypton-buffer", gate_us: 270, ceramic: "linear", duration_us: 1500 },
  { example: "mirror-shutter", gate_us: 1000, ceramic: "linear", duration_us: 2500 },
  { example: "crossed-beam-helium", gate_us: 110, ceramic: "large signal", duration_us: 1000 },
  { example: "first-valve", gate_us: 200, ceramic: "large signal", duration_us: 1000 },
  { example: "kilohertz-hydrogen", gate_us: 85, ceramic: "large signal", duration_us: 800 },
  { example: "mirror-shutter", gate_us: 1000, ceramic: "large signal", duration_us: 2500 },
  { example: "argon-clusters", gate_us: 60, ceramic: "linear", duration_us: 500 },
  {
    example: "crossed-beam-helium",
    gate_us: 110,
    ceramic: "linear",
    duration_us: 500,
    about: "switch at its limit, small plenum with feed, 9 bar behind the orifice",
    changes: [
      ["current_max: 2 A", "current_max: 150 mA"],
      ["series_resistor: 470 Ω", "series_resistor: 100 Ω"],
      ["volume: 15 cm³", "volume: 0.05 cm³\n  feed_conductance: 0.05 l/s"],
      ["volume: 60 l", "volume: 1 cm³\n  base_pressure: 9 bar"],
      ["pumping_speed: 1000 l/s", "pumping_speed: 0.1 l/s"],
    ],
  },
  {
    example: "crossed-beam-helium",
    gate_us: 110,
    ceramic: "linear",
    duration_us: 500,
    about: "pressure opens",
    changes: [
      ["plenum_pressure: 20 bar", "plenum_pressure: 3 bar"],
      ["arrangement: pressure closes", "arrangement: pressure opens"],
      ["stand_off: -9(1) µm", "stand_off: 5(1) µm"],
    ],
  },
];

type Result = Record<string, unknown>;
type Row = Case & { result: Result };

const nameOf = (c: Case) => [c.example, c.gate_us, c.ceramic, c.about].filter(Boolean).join(" ");

function byScipy(c: Case): Promise<Result> {
  const dump = dumpPulse(designAt(join(ROOT, `examples/${c.example}.reed.yaml`), c.changes), {
    gate: c.gate_us * 1e-6,
    ceramic: c.ceramic,
    duration: c.duration_us * 1e-6,
  });
  const words = ["perf/pulse_scipy.py", "--method", METHOD, "--rtol", String(RTOL)];
  return new Promise((done, fail) => {
    const python = spawn("python3", words, { cwd: ROOT, stdio: ["pipe", "pipe", "inherit"] });
    let text = "";
    python.stdout.on("data", (chunk) => {
      text += chunk;
    });
    python.on("close", (code) => {
      if (code === 0) done(JSON.parse(text) as Result);
      else fail(new Error(`${nameOf(c)}: python3 ended with ${code}`));
    });
    python.stdin.end(JSON.stringify(dump));
  });
}

const words = process.argv.slice(2);
const wanted = CASES.filter((c) => words.length === 0 || words.some((w) => nameOf(c).includes(w)));
const rows = new Map<string, Row>();
if (existsSync(FILE))
  for (const row of (JSON.parse(readFileSync(FILE, "utf8")) as { cases: Row[] }).cases)
    rows.set(nameOf(row), row);

function write() {
  const cases = CASES.flatMap((c) => rows.get(nameOf(c)) ?? []);
  const made = {
    what: "figures of one pulse by an implementation of its own with SciPy, see its head",
    command: "npx tsx perf/pulseReference.ts",
    date: new Date().toISOString().slice(0, 10),
    tolerances: `relative ${RTOL}, absolute 1e-10 of each state's scale; events at edges, contacts, turning charges`,
  };
  writeFileSync(FILE, `${JSON.stringify({ made, cases }, null, 2)}\n`);
}

const queue = [...wanted];
async function work() {
  for (let c = queue.shift(); c !== undefined; c = queue.shift()) {
    const { seconds, ...result } = await byScipy(c);
    rows.set(nameOf(c), { ...c, result });
    write();
    console.log(`${nameOf(c)}: ${(seconds as number).toFixed(0)} s`);
  }
}
await Promise.all([work(), work()]);
