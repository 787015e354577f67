import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { KINDS } from "../../src/bench/kinds.ts";
import { example, scratch, spawned, staged } from "./support.ts";

/** Opening voltages on a line of 38 V + 9 V/bar, each 0.3 V off to alternating sides. */
function openingText(delimiter = ",", decimal = ".", slope = 9): string {
  const number = (x: number, digits: number) => x.toFixed(digits).replace(".", decimal);
  const rows = Array.from({ length: 9 }, (_, k) => {
    const bar = 1 + 0.5 * k;
    const volts = 38 + slope * bar + (k % 2 === 0 ? 0.3 : -0.3);
    return [number(bar, 2), number(volts, 1)].join(delimiter);
  });
  return [["plenum pressure (bar)", "opening (V)"].join(delimiter), ...rows, ""].join("\n");
}

function openingFile(text = openingText()): string {
  const file = join(scratch(), "opening.csv");
  writeFileSync(file, text);
  return file;
}

/** The straight line's closed form over the same numbers (least squares, no weights). */
function lineOf(): { zero: number; slope: number } {
  const points = Array.from({ length: 9 }, (_, k) => [
    1 + 0.5 * k,
    38 + 9 * (1 + 0.5 * k) + (k % 2 === 0 ? 0.3 : -0.3),
  ]) as [number, number][];
  const mean = (of: number) => points.reduce((s, p) => s + p[of]!, 0) / points.length;
  const [mx, my] = [mean(0), mean(1)];
  const slope =
    points.reduce((s, [x, y]) => s + (x - mx) * (y - my), 0) /
    points.reduce((s, [x]) => s + (x - mx) ** 2, 0);
  return { zero: my - slope * mx, slope };
}

interface Answer {
  provenance: Record<string, unknown>;
  problems: { code: string; allowed: string }[];
  result: {
    kind: string;
    values: Record<string, number | null>;
    reasons: Record<string, string>;
    interval_95: Record<string, [number, number] | null>;
    budgets: Record<string, { source: string; u: number }[]>;
    fits: { status: string; points: number }[];
    comparison: { key: string; en: number | null; agrees: boolean | null }[];
    reading: { rows: number; recipe: string }[];
  };
}

const object = (out: string) => JSON.parse(out) as Answer;

describe("reedlift reduce", () => {
  test("values with uncertainty, interval, budget and fit, and what was read as what", async () => {
    const file = openingFile();
    const { code, out, err } = await staged(["reduce", "opening", file, "--json"]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    const { result, provenance } = object(out);
    const { zero, slope } = lineOf();
    expect(result.kind).toBe("opening");
    expect(result.values.opening_voltage_at_zero_V).toBeCloseTo(zero, 9);
    expect(result.values.opening_voltage_slope_V_Pa).toBeCloseTo(slope / 1e5, 12);
    const u = result.values.u_opening_voltage_at_zero_V as number;
    const [low, high] = result.interval_95.opening_voltage_at_zero_V as [number, number];
    // 9 points less 2 parameters: t = 2.36 (JCGM 100:2008, table G.2).
    expect((high - low) / 2 / u).toBeCloseTo(2.3646, 3);
    expect(result.fits[0]).toMatchObject({ status: "converged", points: 9 });
    const parts = result.budgets.opening_voltage_at_zero_V!.map((line) => line.u);
    expect(Math.hypot(...parts) / u).toBeCloseTo(1, 9);
    expect(result.reading[0]).toMatchObject({ rows: 9 });
    for (const [key, value] of Object.entries(result.values))
      if (value === null) expect(result.reasons[`values.${key}`]).toMatch(/\w/);
    expect(provenance.data).toEqual([
      {
        name: file,
        bytes: readFileSync(file).length,
        sha256: createHash("sha256").update(readFileSync(file)).digest("hex"),
      },
    ]);
  });

  test("the same bytes from a file and from standard input, and twice the same", async () => {
    const file = openingFile();
    const first = await staged(["reduce", "opening", file, "--json"]);
    const again = await staged(["reduce", "opening", file, "--json"]);
    const piped = await staged(["reduce", "opening", "-", "--json"], { stdin: openingText() });
    expect(again.out).toBe(first.out);
    expect(object(piped.out).result.values).toEqual(object(first.out).result.values);
  });

  test("text: verdict, reading, values, budget and fit, within the columns and in ASCII", async () => {
    const words = ["reduce", "opening", openingFile(), "--ascii", "--no-color"];
    const { out, code } = await staged(words, { terminal: true, columns: 80 });
    expect(code).toBe(0);
    for (const title of ["MEASURED", "Read -", "Values -", "Uncertainty", "Fit: "])
      expect(out).toContain(title);
    expect(out.replace(/\s+/g, " ")).toContain("--svg FOLDER");
    for (const line of out.split("\n")) expect(line.length).toBeLessThanOrEqual(80);
    expect(/^[\x20-\x7e\n]*$/.test(out)).toBe(true);
    expect(out).not.toMatch(/NaN|undefined|Infinity/);
  });

  test("1: a value that does not agree with the design; --exit-zero turns it into 0", async () => {
    const words = ["reduce", "opening", openingFile(), "--design", example("first-valve")];
    const { code, out } = await staged(words);
    expect(code).toBe(1);
    expect(out).toContain("DOES NOT AGREE");
    expect(out).toContain("Against what was expected");
    const zero = await staged([...words, "--exit-zero", "--json"]);
    expect(zero.code).toBe(0);
    const rows = object(zero.out).result.comparison;
    expect(rows.some(({ agrees }) => agrees === false)).toBe(true);
    for (const { en, agrees } of rows) expect(agrees).toBe(en === null ? null : Math.abs(en) <= 1);
  });

  test("2: a file with two readings is refused with the option for each, and each option works", async () => {
    const text = openingText().replace("opening (V)", "column a (V)").replaceAll("\n", ",1\n");
    const file = openingFile(text.replace("V),1", "V),column b (V)"));
    const { code, out, err } = await staged(["reduce", "opening", file]);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    const options = [...err.matchAll(/--column (voltage=\d)/g)].map((match) => match[1] as string);
    expect(options).toEqual(["voltage=2", "voltage=3"]);
    for (const option of options) {
      const done = await staged(["reduce", "opening", file, "--column", option, "--json"]);
      const { values } = object(done.out).result;
      if (option === "voltage=2")
        expect(values.opening_voltage_at_zero_V).toBeCloseTo(lineOf().zero, 9);
      else expect(done.code).not.toBe(2);
    }
  });

  test("a decimal comma and semicolons mean the same as a point and commas", async () => {
    const file = openingFile(openingText(";", ","));
    const { code, out } = await staged(["reduce", "opening", file, "--json"]);
    expect(code).toBe(0);
    expect(object(out).result.values.opening_voltage_at_zero_V).toBeCloseTo(lineOf().zero, 9);
  });

  test("columns by number, units and scales correct what the file says", async () => {
    const bare = openingText().split("\n").slice(1).join("\n");
    const words = ["reduce", "opening", openingFile(bare), "--json"];
    const said = ["--column", "pressure=1", "--column", "voltage=2", "--unit", "pressure=bar"];
    const { out, code } = await staged([
      ...words,
      ...said,
      "--unit",
      "voltage=mV",
      "--scale",
      "voltage=1000",
    ]);
    expect(code).toBe(0);
    expect(object(out).result.values.opening_voltage_at_zero_V).toBeCloseTo(lineOf().zero, 9);
  });

  test("a kept recipe reads the next file of the layout, and refuses one of another", async () => {
    const folder = scratch();
    const recipe = join(folder, "bench.recipe");
    const bare = openingText().split("\n").slice(1).join("\n");
    const said = ["--column", "pressure=1", "--column", "voltage=2", "--unit", "pressure=bar"];
    const words = ["reduce", "opening", openingFile(bare), ...said, "--unit", "voltage=V"];
    const kept = await staged([...words, "--save-recipe", recipe]);
    expect(kept.code).toBe(0);
    expect(kept.err).toContain(`Recipe in ${recipe}`);
    expect((await staged([...words, "--save-recipe", recipe])).code).toBe(2);
    const next = await staged([
      "reduce",
      "opening",
      openingFile(bare),
      "--recipe",
      recipe,
      "--json",
    ]);
    expect(next.code).toBe(0);
    expect(object(next.out).result.values.opening_voltage_at_zero_V).toBeCloseTo(lineOf().zero, 9);
    const other = openingFile(openingText());
    expect((await staged(["reduce", "opening", other, "--recipe", recipe])).code).not.toBe(0);
    writeFileSync(recipe, "delimiter: pipe\n");
    const broken = await staged(["reduce", "opening", openingFile(bare), "--recipe", recipe]);
    expect(broken.code).toBe(2);
    expect(broken.err).toContain("bench.recipe:1:1  delimiter");
  });

  test("broken rows are refused with their line, and left out only when that is said", async () => {
    const file = openingFile(openingText().replace("\n2.00,", "\n2.00,x,"));
    const { code, err } = await staged(["reduce", "opening", file]);
    expect(code).toBe(4);
    expect(err).toContain("opening.csv:4:");
    const option = /--leave-out ([\w-]+)/.exec(err)?.[1] as string;
    const { out, code: done } = await staged([
      "reduce",
      "opening",
      file,
      "--leave-out",
      option,
      "--json",
    ]);
    expect(done).toBe(0);
    expect(object(out).result.reading[0]).toMatchObject({ rows: 8 });
  });

  test("4: a file that is not there, a folder, and an empty file", async () => {
    const folder = scratch();
    expect((await staged(["reduce", "opening", join(folder, "none.csv")])).code).toBe(4);
    expect((await staged(["reduce", "opening", folder])).code).toBe(4);
    expect((await staged(["reduce", "opening", openingFile("")])).code).toBe(4);
    const design = await staged([
      "reduce",
      "opening",
      openingFile(),
      "--design",
      join(folder, "x"),
    ]);
    expect(design.code).toBe(2);
  });

  test("2: usage, with everything that is wrong at once and the nearest word", async () => {
    const file = openingFile();
    const refused = async (...words: string[]) => {
      const { code, err, out } = await staged(["reduce", ...words]);
      expect({ words, code, out }).toEqual({ words, code: 2, out: "" });
      return err;
    };
    expect(await refused("openin", file)).toContain("did you mean opening?");
    expect(await refused("opening")).toContain("file");
    expect(await refused("opening", file, file)).toContain("opening takes 1 file");
    const all = await refused(
      ...[
        "opening",
        file,
        "--set",
        "closed-voltage=3",
        "--set",
        "ral=3 V",
        "--column",
        "presure=1",
      ],
      ...["--leave-out", "raged", "--set", "rail"],
    );
    for (const words of [
      "needs a unit",
      "did you mean rail?",
      "no such role",
      "leave_out",
      "key=value",
    ])
      expect(all).toContain(words);
    expect(await refused("leak", file)).toContain("setting volume is needed");
    expect(await refused("opening", "-", "--design", "-")).toContain("standard input");
    expect(await refused("opening", file, "--save-recipe", "-")).toContain("--save-recipe");
  });

  test("2: data that can't give the values say where, what was found and what is allowed", async () => {
    const file = openingFile("plenum pressure (bar),opening (V)\n1.0,40.1\n2.0,50.2\n");
    const { code, err } = await staged(["reduce", "opening", file]);
    expect([2, 3]).toContain(code);
    expect(err).toContain("allowed");
    expect(err).not.toMatch(/at .*\.ts|Error:/);
  });

  test("pictures and tables are written whole, and over older ones only with --force", async () => {
    const folder = scratch();
    const [csv, svg] = [join(folder, "tables"), join(folder, "pictures")];
    const words = ["reduce", "opening", openingFile(), "--csv", csv, "--svg", svg];
    const more = ["--design", example("first-valve"), "--exit-zero"];
    const { code, err } = await staged([...words, ...more]);
    expect(code).toBe(0);
    expect(err).toContain("opening-trace");
    const pictures = readdirSync(svg).filter((name) => name.endsWith(".svg"));
    expect(pictures).toEqual(["opening-comparison.svg", "opening-fit-1.svg", "opening-trace.svg"]);
    for (const name of pictures) {
      const text = readFileSync(join(svg, name), "utf8");
      expect(text).toContain("<svg");
      expect(text).toContain("sha256");
      expect(text).not.toMatch(/NaN|undefined|Infinity/);
    }
    expect(readdirSync(csv)).toEqual([
      "opening-budgets.csv",
      "opening-comparison.csv",
      "opening-fit-1.csv",
      "opening-values.csv",
    ]);
    expect(readFileSync(join(csv, "opening-values.csv"), "utf8")).toContain(
      "opening_voltage_slope_V_Pa,V/Pa,",
    );
    expect(readFileSync(join(svg, "opening-fit-1.csv"), "utf8")).toMatch(/,fit,residual\n/);
    expect((await staged([...words, ...more])).code).toBe(2);
    expect((await staged([...words, ...more, "--force"])).code).toBe(0);
  });

  test("a dry run shows what was taken for what and writes nothing, also of a file with two readings", async () => {
    const folder = join(scratch(), "pictures");
    const { code, out, err } = await staged([
      "reduce",
      "opening",
      openingFile(),
      "--svg",
      folder,
      "--dry-run",
    ]);
    expect(code).toBe(0);
    expect(out).toContain("9 rows");
    expect(out).toContain("pressure.column: plenum pressure");
    expect(err).toContain("Nothing reduced");
    expect(existsSync(folder)).toBe(false);
    const open = await staged([
      "reduce",
      "opening",
      openingFile("a,b\n1,2\n2,3\n3,4\n"),
      "--dry-run",
    ]);
    expect(open.code).toBe(2);
    expect(open.out).toContain("its first lines:");
    // Settings of the set-up are not needed to look at a file.
    const rise = openingFile("time (s),pressure (mbar)\n0,1\n1,2\n2,3\n3,4\n");
    expect((await staged(["reduce", "leak", rise, "--dry-run"])).code).toBe(0);
  });

  test("help lists the kinds, and for a kind its columns and settings with units and standards", async () => {
    const { out } = await staged(["reduce", "--help"]);
    for (const { name } of KINDS) expect(out).toMatch(new RegExp(`^  ${name} `, "m"));
    for (const kind of KINDS) {
      const { out: help, code } = await staged(["reduce", kind.name, "--help"]);
      expect(code).toBe(0);
      for (const { key } of [...kind.roles, ...kind.settings]) expect(help).toContain(key);
      for (const { standard } of kind.settings)
        if (standard !== null)
          expect(help.replace(/\s+/g, " ")).toContain(`without it ${standard}`);
      for (const line of help.split("\n")) expect(line.length).toBeLessThanOrEqual(90);
    }
  });

  test("--json speaks also when it fails", async () => {
    const { code, out } = await staged(["reduce", "opening", "none.csv", "--json"]);
    expect(code).toBe(4);
    const answer = object(out);
    expect(answer.result).toBeNull();
    expect(answer.problems[0]!.code).toBe("no-such-file");
  });

  test("as a process: a file, its exit code, nothing on stderr with --quiet", () => {
    const { code, out, err } = spawned(["reduce", "opening", openingFile(), "--quiet"]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out.startsWith("MEASURED")).toBe(true);
  });
});
