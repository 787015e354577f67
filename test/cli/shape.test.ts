import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { DRIVE_NAMES } from "../../src/cli/shapeCommandRow.ts";
import { notFinite } from "../../src/cli/transient.ts";
import { readDriveText } from "../../src/physics/waveformText.ts";
import type { PulseResult } from "../../src/studies/pulseResult.ts";
import type { ShapeResult } from "../../src/studies/shapeResult.ts";
import { BROKEN, exampleText, ROOT, STRIP, scratch, staged } from "./support.ts";

/** Coarse steps in time keep the tests short; the gas pulse leaves room for drives that land softly. */
const VALVE = exampleText("first-valve")
  .replace("reedlift: 1", "reedlift: 1\npulse: {step: 5 µs, gate: 200 µs, duration: 3 ms}")
  .replace(/gas_pulse: \d+ µs/, "gas_pulse: 300 µs");
const shape = (...words: string[]) =>
  staged(["shape", "-", "--landings", "0", ...words], { stdin: VALVE });
const json = async (...words: string[]) => {
  const ran = await shape(...words, "--json");
  const object = JSON.parse(ran.out);
  return { ...ran, object, result: object.result as ShapeResult };
};

test("the text has its parts in order and says what is taken", async () => {
  const { code, out, err } = await staged(["shape", "-", "--landings", "12"], { stdin: VALVE });
  expect({ code, err }).toEqual({ code: 0, err: "" });
  expect(out).toMatch(/^MET {2}the .* lands softest: 0\.\d\d m\/s at worst/);
  const titles = [...out.matchAll(/^(\S.*?) ─{3,}$/gm)].map((m) => m[1]!);
  const taken = /Margins of the (.*), tightest first/.exec(titles[1]!)![1];
  expect(titles).toEqual([
    "Drives",
    `Margins of the ${taken}, tightest first`,
    `How to set the ${taken}`,
    "When it happens",
    "Cautions",
  ]);
  for (const name of ["step ", "ZVD, switch", "raised cosine, waveform", "soft landing, switch"])
    expect(out).toMatch(new RegExp(`^${name}.*m/s`, "m"));
  expect(out.replace(/\s+/g, " ")).toContain("gate 200 μs (pulse.gate of the design)");
});

test("the object of --json holds every drive in SI, with its inputs and seed", async () => {
  const { code, object, result } = await json("--seed", "7");
  expect(code).toBe(0);
  expect(object.schema).toBe("https://reedlift.invalid/schema/shape-1.json");
  expect(object.provenance).toMatchObject({
    command: "shape",
    seed: 7,
    tables: null,
    design: { sha256: createHash("sha256").update(VALVE).digest("hex") },
  });
  expect(Object.keys(result)).toEqual([
    "verdict",
    "margins",
    "taken",
    "best",
    "best_by_switch",
    "gate_for_need_s",
    "setting",
    "drives",
    "search",
    "timing",
    "reasons",
  ]);
  expect(result.drives.map(({ id }) => id)).toEqual(
    DRIVE_NAMES.filter((name) => name !== "soft-landing"),
  );
  expect(result.setting).toMatchObject({ gate_s: 200e-6, frequency_error: 0.05 });
  expect(result.drives[0]!.exact!.impact_speed_m_s).toBeGreaterThan(1);
  expect(notFinite(result, "result")).toBeNull();
});

test("docs/shaping.md names every key of the object", async () => {
  const document = readFileSync(join(ROOT, "docs", "shaping.md"), "utf8");
  const ran = await staged(["shape", "-", "--landings", "5", "--json"], { stdin: VALVE });
  const { margins: _, reasons: __, ...result } = JSON.parse(ran.out).result as ShapeResult;
  const keys = new Set<string>();
  const collect = (value: unknown): void => {
    if (typeof value !== "object" || value === null) return;
    for (const [key, item] of Object.entries(value)) {
      if (!Array.isArray(value)) keys.add(key);
      collect(item);
    }
  };
  collect(result);
  expect(keys.size).toBeGreaterThan(50);
  expect([...keys].filter((key) => !document.includes(`\`${key}\``))).toEqual([]);
});

test("1 for a drive that misses a requirement, turned into 0 by --exit-zero", async () => {
  const { code, out } = await shape("--drive", "step");
  expect(code).toBe(1);
  expect(out.replace(/\s+/g, " ")).toMatch(
    /^NOT MET the step: .*; misses gas after the pulse has closed The .* lands softest/,
  );
  expect((await shape("--drive", "step", "--exit-zero")).code).toBe(0);
});

test("2 for options that do not fit, each with what was found and what is allowed", async () => {
  const folder = scratch();
  const cases: [string[], RegExp][] = [
    [["--gate", "200"], /a time needs a unit[\s\S]*found {4}200/],
    [["--gate", "-3 µs"], /above zero/],
    [["--error", "50 %"], /below one half/],
    [["--error", "0 %"], /--error must be above zero/],
    [["--error", "5(1) %"], /takes no uncertainty/],
    [["--landings", "4"], /too small for a search[\s\S]*5 to 100000, or 0/],
    [["--landings", "many"], /whole number/],
    [["--drive", "zv"], /does not know this name[\s\S]*did you mean zv-switch\?/],
    [["--drive", "soft-landing"], /a soft landing needs a search/],
    [["--by", "hand"], /switch, waveform/],
    [["--sample-rate", "10 µs"], /is no unit of a frequency/],
    [["--csv", "-"], /standard output has the result/],
    [["--timing", folder], /this is a folder/],
    [["--csv", join(folder, "a"), "--timing", join(folder, "a")], /files of their own/],
    [["--gate", "9 s"], /too many steps/],
  ];
  for (const [words, message] of cases) {
    const { code, out, err } = await shape(...words);
    expect({ words, code, out }).toEqual({ words, code: 2, out: "" });
    expect(err).toMatch(message);
    expect(err).not.toContain("    at ");
  }
  const broken = await staged(["shape", "-"], { stdin: BROKEN });
  expect(broken.code).toBe(2);
  expect(broken.err).toContain("strip.width");
});

test("3 for a design that has no pulse, and for a drive that can't be made: why, and what to try", async () => {
  const bare = STRIP.split("\n")
    .filter((line) => !/^(wiring|rails|switch):/.test(line))
    .join("\n");
  const none = await staged(["shape", "-"], { stdin: bare });
  expect({ code: none.code, out: none.out }).toEqual({ code: 3, out: "" });
  expect(none.err).toContain("no pulse can be computed: the design has no wiring");
  // RC of 33 kΩ and 20 nF is longer than half a period: a switch has no plateau to hold.
  const slow = VALVE.replace("series_resistor: 470 Ω", "series_resistor: 33 kΩ");
  const refused = await staged(["shape", "-", "--landings", "0", "--drive", "zv-switch"], {
    stdin: slow,
  });
  expect({ code: refused.code, out: refused.out }).toEqual({ code: 3, out: "" });
  expect(refused.err).toContain("the drive zv-switch can't be made");
  expect(refused.err).toContain("--drive");
});

test("a switch's drive is written, and the plain pulse that reads it lands as softly", async () => {
  const folder = scratch();
  const [csv, design] = [join(folder, "edges.csv"), join(folder, "valve.reed.yaml")];
  writeFileSync(design, VALVE);
  const { result, err } = await json("--drive", "zvd-switch", "--csv", csv);
  expect(err).toContain("Switch commands of zvd-switch");
  const read = readDriveText(readFileSync(csv, "utf8"));
  expect(read.ok && read.table.form).toBe("edges");
  const ran = await staged(["pulse", design, "--edges", csv, "--exit-zero", "--json"]);
  const [pulse] = (JSON.parse(ran.out).result as PulseResult).pulses;
  const taken = result.drives.find(({ id }) => id === "zvd-switch")!;
  expect(pulse!.impact_speed_m_s).toBeCloseTo(taken.exact!.impact_speed_m_s!, 6);
  expect(pulse!.satellites).toHaveLength(taken.exact!.satellites!);
});

test("a waveform is written as samples that stay within the named error, at any rate", async () => {
  const folder = scratch();
  const csv = join(folder, "wave.csv");
  const { result, err } = await json("--drive", "raised-cosine", "--csv", csv);
  const { commands } = result.drives.find(({ id }) => id === "raised-cosine")!;
  expect(err).toMatch(/samples at [\d.]+ MHz, at most 0\.0\d+ % of the swing/);
  const read = readDriveText(readFileSync(csv, "utf8"));
  if (!read.ok || read.table.form !== "voltage") throw new Error("no waveform was written");
  const { times, voltages } = read.table;
  // Straight between the points of the drive: the samples lie within 0.1 % of 150 V of it.
  for (let k = 0; k < times.length; k += 97) {
    const after = commands!.findIndex(({ time_s }) => time_s > times[k]!);
    if (after < 1) continue;
    const [a, b] = [commands![after - 1]!, commands![after]!];
    const share = (times[k]! - a.time_s) / (b.time_s - a.time_s);
    const due = a.voltage_V! + share * (b.voltage_V! - a.voltage_V!);
    expect(Math.abs(voltages[k]! - due)).toBeLessThan(0.15);
  }
  const coarse = await json(
    "--drive",
    "raised-cosine",
    "--csv",
    csv,
    "--force",
    "--sample-rate",
    "100 kHz",
  );
  expect(coarse.err).toContain("at 100 kHz");
  expect(readFileSync(csv, "utf8")).toContain("# sample interval: 0.00001 s");
  const many = await shape("--drive", "ramp", "--csv", csv, "--force", "--sample-rate", "100 GHz");
  expect(many.code).toBe(2);
  expect(many.err).toContain("take a rate of at most");
});

test("--timing holds the edges and the gas of the result, and is read again", async () => {
  const folder = scratch();
  const path = join(folder, "timing.csv");
  const { result } = await json("--drive", "zv-switch", "--timing", path);
  const read = readDriveText(readFileSync(path, "utf8"));
  if (!read.ok || read.table.form !== "timing") throw new Error("no table was written");
  expect(read.table.rows).toEqual(
    result.timing.map(({ channel, event, delay_s, uncertainty_s }) => ({
      channel,
      event,
      delay: delay_s,
      uncertainty: uncertainty_s,
    })),
  );
  const gas = result.timing.filter(({ channel }) => channel === "gas");
  expect(gas.map(({ event }) => event)).toEqual(["half of the peak flow", "middle"]);
  for (const { uncertainty_s } of gas) expect(uncertainty_s).toBeGreaterThan(0);
});

test("--svg writes the picture with its numbers", async () => {
  const folder = join(scratch(), "pictures");
  const { code, err } = await shape("--svg", folder);
  expect(code).toBe(0);
  expect(readdirSync(folder).sort()).toEqual(["shapes.csv", "shapes.svg"]);
  expect(readFileSync(join(folder, "shapes.svg"), "utf8")).toMatch(/<\/svg>\s*$/);
  expect(err).toContain("1 picture (SVG, with the numbers as CSV)");
});

test("files that are there stay as they are, unless --force; nothing is computed before that", async () => {
  const folder = scratch();
  mkdirSync(join(folder, "pictures"));
  for (const name of ["drive.csv", "timing.csv", "pictures/shapes.svg"])
    writeFileSync(join(folder, name), "mine");
  for (const [flag, name] of [
    ["--csv", "drive.csv"],
    ["--timing", "timing.csv"],
    ["--svg", "pictures"],
  ] as const) {
    const { code, err } = await shape(flag, join(folder, name));
    expect({ flag, code }).toEqual({ flag, code: 2 });
    expect(err).toContain("--force overwrites them");
  }
  expect(readFileSync(join(folder, "drive.csv"), "utf8")).toBe("mine");
  const forced = await shape("--csv", join(folder, "drive.csv"), "--force", "--quiet");
  expect({ code: forced.code, err: forced.err }).toEqual({ code: 0, err: "" });
  expect(readFileSync(join(folder, "drive.csv"), "utf8")).not.toBe("mine");
});

test("--by waveform looks for the soft landing of an amplifier; the same seed gives the same bytes", async () => {
  const words = ["shape", "-", "--landings", "6", "--by", "waveform", "--json"];
  const [a, b] = [await staged(words, { stdin: VALVE }), await staged(words, { stdin: VALVE })];
  expect(a.out).toBe(b.out);
  const result = JSON.parse(a.out).result as ShapeResult;
  expect(result.drives.at(-1)).toMatchObject({ id: "soft-landing", made_by: "waveform" });
  expect(result.search).toMatchObject({ made_by: "waveform", landings: 6, seed: 1 });
});

test("--error widens what the drives must bear", async () => {
  const [narrow, wide] = [await json("--error", "1 %"), await json("--error", "15 %")];
  const spread = ({ result }: typeof wide) => {
    const { low, high } = result.drives[0]!;
    return Math.abs(low!.peak_lift_m - high!.peak_lift_m);
  };
  expect(spread(wide)).toBeGreaterThan(5 * spread(narrow));
});

test("--dry-run computes and writes nothing, and says what it would", async () => {
  const path = join(scratch(), "drive.csv");
  const { code, out, err } = await shape("--dry-run", "--csv", path);
  expect(code).toBe(0);
  expect(out.split("\n")[0]).toMatch(
    /^# would compute: 9 drives, each at three resonances about \d+(\.\d+)? Hz \(off by 5 %\), gate 0\.0002 s$/,
  );
  expect(out).toContain("reedlift: 1");
  expect(err).toContain("Nothing computed");
  expect(existsSync(path)).toBe(false);
});

test("the text keeps to the columns and, if asked, to ASCII", async () => {
  const narrow = await staged(["shape", "-", "--landings", "0", "--no-color"], {
    stdin: VALVE,
    terminal: true,
    columns: 80,
  });
  const widest = Math.max(...narrow.out.split("\n").map((line) => [...line].length));
  expect(widest).toBeLessThanOrEqual(80);
  const { out, err } = await shape("--ascii");
  expect(`${out}${err}`).toMatch(/^[\n\x20-\x7e]*$/);
});
