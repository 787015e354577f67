import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { example, scratch, spawned, staged } from "./support.ts";

const SHORT = ["rates", example("first-valve"), "--from", "200 Hz", "--to", "1.2 kHz"];

describe("reedlift rates", () => {
  test("the result is the same, byte for byte, on one worker and on three", () => {
    const of = (jobs: string) =>
      spawned([...SHORT, "--count", "7", "--json", "--jobs", jobs, "--quiet"]);
    const [one, three] = [of("1"), of("3")];
    expect(one.err).toBe("");
    expect(JSON.parse(one.out).result.rates).toHaveLength(7);
    expect(three.out).toBe(one.out);
    expect(three.code).toBe(one.code);
  }, 240_000);

  test("prints verdict, margins, guard bands, rates and slow states within 80 columns in ASCII", async () => {
    const { out, code, err } = await staged(
      [...SHORT, "--count", "6", "--jobs", "1", "--ascii", "--no-color", "--quiet"],
      { terminal: true, columns: 80 },
    );
    expect(err).toBe("");
    // The chamber is over its limit at every one of these rates.
    expect(code).toBe(1);
    for (const words of ["NOT MET", "Guard bands", "Rates kept", "Slow states", "chamber: at most"])
      expect(out).toContain(words);
    for (const line of out.split("\n")) expect(line.length).toBeLessThanOrEqual(80);
    expect(/^[\x20-\x7e\n]*$/.test(out)).toBe(true);
    expect(out).not.toMatch(/NaN|undefined|Infinity/);
  }, 60_000);

  test("writes table and pictures, and overwrites only with --force", async () => {
    const folder = scratch();
    const csv = join(folder, "rates.csv");
    const words = [
      ...SHORT,
      "--count",
      "4",
      "--jobs",
      "1",
      "--csv",
      csv,
      "--svg",
      folder,
      "--exit-zero",
    ];
    const clash = await staged(words);
    expect(clash.code).toBe(0);
    expect(readFileSync(csv, "utf8")).toContain("rate,state,met");
    expect(readFileSync(join(folder, "rates.svg"), "utf8")).toContain("<svg");
    expect((await staged(words)).code).toBe(2);
    expect((await staged([...words, "--force"])).code).toBe(0);
  }, 60_000);

  test("a dry run says what it would compute and writes nothing", async () => {
    const folder = join(scratch(), "pictures");
    const { out, code } = await staged([...SHORT, "--count", "5", "--svg", folder, "--dry-run"]);
    expect(code).toBe(0);
    expect(out).toContain("# would compute: 5 rates from 200 to 1200 Hz");
    expect(existsSync(folder)).toBe(false);
  });

  test("refuses what does not fit, and says what does", async () => {
    const refused = async (...more: string[]) => {
      const { code, err } = await staged(["rates", example("first-valve"), ...more]);
      expect(code, more.join(" ")).toBe(2);
      return err;
    };
    expect(await refused("--to", "1 MHz")).toContain("leaves no room");
    expect(await refused("--from", "2 kHz", "--to", "1 kHz")).toContain("above the lowest");
    expect(await refused("--from", "3 bar")).toContain("--from");
    expect(await refused("--count", "1")).toContain("from 2 to");
    expect(await refused("--jobs", "0")).toContain("from 1 to");
    expect(await refused("--lengths", "100 µs")).toContain("80 µs..400 µs");
    expect(await refused("--lengths", "200 µs..100 µs")).toContain("must rise");
    expect(await refused("--change", "200 %")).toContain("below 1");
  });

  test("3: a design without a drive has no train", async () => {
    const text = readFileSync(example("first-valve"), "utf8");
    const bare = text
      .replace(/\nwiring:[\s\S]*?(?=\n\w)/, "\n")
      .replace(/\nswitch:[\s\S]*?(?=\n\w|$)/, "\n");
    const file = join(scratch(), "bare.reed.yaml");
    writeFileSync(file, bare);
    const { code, err } = await staged(["rates", file, "--count", "4"]);
    expect(err).toContain("no train can be computed");
    expect(code).toBe(3);
  });
});
