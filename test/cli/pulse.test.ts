import { createHash } from "node:crypto";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { picturesLine } from "../../src/cli/pulseCommandOptions.ts";
import { notFinite } from "../../src/cli/transient.ts";
import type { PulseResult } from "../../src/studies/pulseResult.ts";
import { BROKEN, example, exampleText, STRIP, scratch, staged } from "./support.ts";

const FIRST = example("first-valve");
const pulse = (...words: string[]) =>
  staged(["pulse", FIRST, "--gate", "200 µs", "--duration", "2 ms", ...words]);
const json = async (...words: string[]) => {
  const ran = await pulse(...words, "--json");
  const object = JSON.parse(ran.out);
  return { ...ran, object, result: object.result as PulseResult };
};

test("the text has its parts in order: verdict, margins, command, pulse, drive, energy", async () => {
  const { code, out, err } = await pulse();
  expect(code).toBe(1);
  expect(err).toBe("");
  expect(out.startsWith("NOT MET  gas after the pulse has closed")).toBe(true);
  const titles = [...out.matchAll(/^(\S.*?) ─{3,}$/gm)].map((m) => m[1]);
  expect(titles).toEqual([
    "Margins of the pulse, tightest first",
    "Commanded",
    "The pulse",
    "Satellites",
    "Drive in the pulse",
    "Free jet at the peak of the flow",
    "Where the energy went",
  ]);
  expect(out).toContain("from the gate edge to 50 % of this pulse's peak lift");
  expect(out).toMatch(/molecules; [\d.]+ mbar·l at 20 °C/);
  expect(out.slice(out.indexOf("Pictures: ")).replace(/\s+/g, " ").trim()).toBe(
    `Pictures: reedlift pulse ${FIRST} --gate '200 µs' --duration '2 ms' --svg FOLDER`,
  );
});

test("the object of --json holds what the text says, SI, with its inputs", async () => {
  const { code, object, result } = await json();
  expect(code).toBe(1);
  expect(object.schema).toBe("https://reedlift.invalid/schema/pulse-1.json");
  expect(object.provenance).toMatchObject({
    command: "pulse",
    tables: null,
    drive: null,
    design: { sha256: createHash("sha256").update(exampleText("first-valve")).digest("hex") },
  });
  expect(Object.keys(result)).toEqual(
    expect.arrayContaining([
      "verdict",
      "margins",
      "drive",
      "start",
      "pulses",
      "audit",
      "surprises",
      "convergence",
      "reasons",
    ]),
  );
  expect(result.drive).toMatchObject({ gate_s: 200e-6, pulses: 1, rate_Hz: null });
  expect(result.drive.step_s * result.drive.steps).toBeCloseTo(2e-3, 12);
  const [only] = result.pulses;
  expect(only?.peak_lift_m).toBeGreaterThan(20e-6);
  expect(notFinite(result, "result")).toBeNull();
  const { out } = await pulse();
  const lift = `${Number(((only?.peak_lift_m ?? 0) * 1e6).toPrecision(4))} μm`;
  expect(out).toContain(lift);
});

test("0 and 1 by the requirements on the pulse, 1 turned into 0 by --exit-zero", async () => {
  const met = await staged(["pulse", example("mirror-shutter"), "--duration", "3 ms"]);
  expect(met.code).toBe(0);
  expect(met.out.startsWith("MET  every requirement on the pulse is met")).toBe(true);
  expect((await pulse("--exit-zero")).code).toBe(0);
});

test("2 for options that do not fit, each with what was found and what is allowed", async () => {
  const folder = scratch();
  const file = (name: string, text: string) => {
    writeFileSync(join(folder, name), text);
    return join(folder, name);
  };
  const wave = file("wave.csv", "time_us,voltage_V\n0,-150\n100,0\n");
  const edges = file("edges.csv", "time_us,state\n0,high\n100,low\n");
  const early = file("early.csv", "time_us,state\n-5,high\n100,low\n");
  const noUnit = file("no-unit.csv", "time,state\n0,high\n1,low\n");
  const level = file("level.csv", "time_us,level\n0,0\n1,1\n");
  const cases: [string[], RegExp][] = [
    [["--gate", "200"], /a time needs a unit[\s\S]*found {4}200/],
    [["--gate", "0.3 mm"], /mm is no unit of a time/],
    [["--gate", "-3 µs"], /above zero/],
    [["--gate", "200(5) µs"], /takes no uncertainty/],
    [["--rate", "10"], /frequency needs a unit/],
    [["--count", "0"], /at least one[\s\S]*1 to 1000000/],
    [["--count", "many"], /whole number/],
    [["--modes", "0"], /--modes needs at least one/],
    [["--modes", "99"], /whole number from 0 to 20/],
    [["--step", "1 ms"], /--step is too long[\s\S]*at most 100 μs/],
    [["--gate", "1 ms", "--step", "1 ns", "--duration", "1 s"], /too many for one period/],
    [["--gate", "200 ms", "--rate", "10 Hz"], /shorter than the period/],
    [["--count", "2", "--duration", "2 ms"], /--duration is of a single pulse/],
    [["--gate", "1 ms", "--edges", edges], /one drive at a time/],
    [["--edges", wave], /did you mean --waveform\?/],
    [["--waveform", edges], /did you mean --edges\?/],
    [["--waveform", level], /time_s,voltage_V/],
    [["--edges", early], /none may lie before it/],
    [["--edges", noUnit], /no-unit\.csv:1:1[\s\S]*states no unit/],
    [["--edges", join(folder, "missing.csv")], /there is no such file/],
    [["--edges", folder], /not a file/],
    [["--waveform", wave, "--rate", "20 kHz"], /longer than the period/],
    [["--csv", "-"], /standard output has the result/],
    [["--csv", folder], /this is a folder/],
  ];
  for (const [words, message] of cases) {
    const { code, out, err } = await staged(["pulse", FIRST, ...words]);
    expect({ words, code, out }).toEqual({ words, code: 2, out: "" });
    expect(err).toMatch(message);
    expect(err).not.toContain("    at ");
  }
});

test("2 for a design that can't be used, with every problem", async () => {
  const { code, err } = await staged(["pulse", "-"], { stdin: BROKEN });
  expect(code).toBe(2);
  expect(err).toContain("strip.width");
  expect(err).toContain("clmp");
});

test("2 when design and drive would both come from standard input", async () => {
  const { code, err } = await staged(["pulse", "-", "--edges", "-"], { stdin: STRIP });
  expect(code).toBe(2);
  expect(err).toContain("the design, --edges");
});

test("3 for a design that has no pulse: why, and what to look at", async () => {
  const bare = STRIP.split("\n")
    .filter((line) => !/^(wiring|rails|switch):/.test(line))
    .join("\n");
  const { code, out, err } = await staged(["pulse", "-"], { stdin: bare });
  expect({ code, out }).toEqual({ code: 3, out: "" });
  expect(err).toContain("no pulse can be computed: the design has no wiring");
  expect(err).toContain("reedlift check");
  const answered = await staged(["pulse", "-", "--json"], { stdin: bare });
  const object = JSON.parse(answered.out);
  expect(object.result).toBeNull();
  expect(object.problems[0].code).toBe("no-pulse");
  expect(object.provenance.design.name).toBe("standard input");
});

test("a number that is not finite is found by its path", () => {
  expect(notFinite({ a: [1, { b: Number.NaN }] }, "result")).toBe("result.a.1.b");
  expect(notFinite({ a: [1, null, "x"], b: -1e300 }, "result")).toBeNull();
});

test("drawn edges do what the gate of the same length does", async () => {
  const path = join(scratch(), "edges.csv");
  writeFileSync(path, "# from the instrument\ntime_us,state\n0,high\n200,low\n");
  const drawn = await staged(["pulse", FIRST, "--edges", path, "--duration", "2 ms", "--json"]);
  const object = JSON.parse(drawn.out);
  const { result } = await json();
  expect(object.result.pulses).toEqual(result.pulses);
  expect(object.provenance.drive).toMatchObject({ name: path, bytes: 51 });
});

test("a drawn waveform is followed, and its delays count from its start", async () => {
  const stdin = "time_us;voltage_V\n0;-150\n50;0\n250;0\n300;-150\n";
  const ran = await staged(["pulse", FIRST, "--waveform", "-", "--json"], { stdin });
  const result = JSON.parse(ran.out).result as PulseResult;
  expect(result.drive.gate_s).toBeNull();
  expect(result.drive.text).toContain("a drawn waveform of 4 points");
  expect(result.pulses[0]?.peak_lift_m).toBeGreaterThan(20e-6);
  const text = await staged(["pulse", FIRST, "--waveform", "-"], { stdin });
  expect(text.out).toContain("from the start of the drive to 50 % of the static lift");
  // −150 V → 0 V over 50 µs at 250 µs: half of it at 275 µs.
  expect(result.drive.closing_from_s).toBeCloseTo(275e-6, 9);
  expect(result.pulses[0]?.close_delay_s).toBeGreaterThan(0);
  expect(text.out).not.toContain("gate edge");
});

test("a drive longer than the usual time is computed to its end; a given time cuts it with a note", async () => {
  const stdin = "time_ms,state\n0,high\n0.2,low\n15,high\n15.2,low\n";
  const whole = await staged(["pulse", FIRST, "--edges", "-", "--json"], { stdin });
  const { drive } = JSON.parse(whole.out).result as PulseResult;
  expect(drive.step_s * drive.steps).toBeGreaterThan(15.2e-3);
  const cut = await staged(["pulse", FIRST, "--edges", "-", "--duration", "2 ms"], { stdin });
  expect(cut.code).toBe(1);
  expect(cut.err).toContain("note: the drive goes on after the time that is computed");
});

test("a train has a line a pulse; of a long one the ends", async () => {
  const train = (count: string) =>
    staged(["pulse", FIRST, "--gate", "200 µs", "--count", count, "--rate", "500 Hz"]);
  const short = (await train("3")).out;
  const rows = (out: string) =>
    out
      .slice(out.indexOf("The train ─"), out.indexOf("Where the energy went"))
      .split("\n")
      .flatMap((line) => /^(\d+|\.\.\.)(?: |$)/.exec(line)?.[1] ?? []);
  expect(rows(short)).toEqual(["1", "2", "3"]);
  expect(short).toContain("Pulse 3 of 3 ─");
  const long = (await train("12")).out;
  expect(rows(long)).toEqual(["1", "2", "3", "4", "...", "9", "10", "11", "12"]);
  expect(long).toContain("Pulses 5 to 8 were computed too; all stand in --json.");
});

test("--halve-step gives the figures at both steps", async () => {
  const { result } = await json("--halve-step");
  const row = result.convergence?.find(({ figure }) => figure === "peak lift");
  expect(row?.difference).toBeCloseTo((row?.at_half_step ?? 0) - (row?.value ?? 0), 15);
  expect(Math.abs(row?.difference ?? 1)).toBeLessThan(0.01 * (row?.value ?? 0));
  const { out } = await pulse("--halve-step");
  expect(out).toContain("At half the step ─");
  expect(out).toMatch(/figure +step 1 μs +step 500 ns +difference +relative/);
});

test("--linear, --start-up, --modes and --step reach the run", async () => {
  const { result } = await json("--linear", "--start-up", "--modes", "4", "--step", "2 µs");
  expect(result.drive).toMatchObject({
    ceramic: "linear",
    start_up: true,
    step_s: 2e-6,
    steps: 1000,
  });
  const eight = (await json()).result.drive;
  expect(eight.coordinates - result.drive.coordinates).toBe(4);
  expect(result.start.rails[0]?.voltage_V).toBe(0);
});

test("where the gate comes from is said when the command line does not give it", async () => {
  const found = await staged(["pulse", FIRST, "--duration", "2 ms"]);
  expect(found.out).toContain(
    "The gate was looked for so that the gas pulse is as long as need.gas_pulse",
  );
  const stdin = exampleText("first-valve").replace("switch:", "pulse: {gate: 180 µs}\nswitch:");
  const given = await staged(["pulse", "-", "--duration", "2 ms"], { stdin });
  expect(given.out).toContain("The gate is pulse.gate of the design.");
  expect(given.out).toContain("gate 180 µs");
  expect((await pulse()).out).not.toContain("The gate ");
});

test("--dry-run computes and writes nothing, and says what it would", async () => {
  const path = join(scratch(), "series.csv");
  const { code, out, err } = await pulse("--dry-run", "--csv", path);
  expect(code).toBe(0);
  expect(out.split("\n")[0]).toBe(
    "# would compute: gate 200 µs, output high to open, one pulse from rest; 2000 steps of 1 µs a pulse",
  );
  expect(out).toContain("reedlift: 1");
  expect(err).toContain("Nothing computed");
  expect(() => writeFileSync(path, "", { flag: "wx" })).not.toThrow();
});

test("the text keeps to the columns and, if asked, to ASCII", async () => {
  for (const columns of [80, 90, 120]) {
    const { out } = await staged(
      ["pulse", FIRST, "--gate", "200 µs", "--count", "2", "--halve-step", "--no-color"],
      {
        terminal: true,
        columns,
      },
    );
    const widest = Math.max(...out.split("\n").map((line) => [...line].length));
    expect(widest).toBeLessThanOrEqual(Math.min(100, columns));
  }
  const { out, err } = await pulse("--ascii", "--halve-step");
  expect(`${out}${err}`).toMatch(/^[\n\x20-\x7e]*$/);
});

test("the same design gives the same bytes", async () => {
  const [a, b] = [await pulse("--json"), await pulse("--json")];
  expect(a.out).toBe(b.out);
});

test("the line that remakes the pictures has everything that changes the run, quoted for a shell", () => {
  expect(
    picturesLine(
      "my valve.reed.yaml",
      { gate: "200µs", count: 3, linear: true, startUp: true },
      "out",
    ),
  ).toBe(
    "reedlift pulse 'my valve.reed.yaml' --gate 200µs --count 3 --linear --start-up --svg out",
  );
  expect(picturesLine("a", { edges: "it's.csv", json: true, quiet: true }, "x")).toBe(
    "reedlift pulse a --edges 'it'\\''s.csv' --svg x",
  );
});
