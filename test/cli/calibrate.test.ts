import {
  copyFileSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { readDesign } from "../../src/design/readDesign.ts";
import { staged } from "./support.ts";

const BENCH = `reedlift_measured: 1
conditions: {counted: total travel}
values:
  - {figure: first resonance, value: 1035(3) Hz}
  - {figure: swing, value: 159.2(32) µm}
  - {figure: blocking force, value: 0.486(15) N}
`;

let folder: string;
const at = (name: string) => join(folder, name);
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "calibrate-"));
  copyFileSync("examples/krypton-buffer.reed.yaml", at("valve.reed.yaml"));
  writeFileSync(at("bench.yaml"), BENCH);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("reedlift calibrate", () => {
  test("the planted length, its revision and covariance; never twice with the same values", async () => {
    const before = readFileSync(at("valve.reed.yaml"), "utf8");
    const run = await staged([
      "calibrate",
      at("valve.reed.yaml"),
      at("bench.yaml"),
      "--out",
      "next",
    ]);
    expect(run.code).toBe(0);
    expect(run.out).toMatch(/effective free length +14\.0 ± 1\.1 mm +14\.78\(\d+\) mm/);
    expect(run.out).toMatch(/Not to blame: .*d31/);
    for (const line of run.out.split("\n")) expect([...line].length).toBeLessThanOrEqual(100);
    const text = readFileSync(at("valve.r2.reed.yaml"), "utf8");
    expect(readFileSync(at("valve.reed.yaml"), "utf8")).toBe(before);
    // Every comment of the design is still there.
    for (const line of before.split("\n").filter((each) => each.startsWith("#")))
      expect(text).toContain(line);
    const read = readDesign(text);
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    const length = read.design.inputs.find(({ key }) => key === "strip.free_length");
    expect(length?.value).toBeCloseTo(14.78e-3, 4);
    expect(length?.u).toBeLessThan(0.25e-3);
    const covariance = JSON.parse(readFileSync(at("valve.r2.covariance.json"), "utf8"));
    const k = covariance.keys.indexOf("strip.free_length");
    expect(Math.sqrt(covariance.matrix[k * covariance.keys.length + k])).toBeCloseTo(
      length?.u ?? 0,
      5,
    );
    const again = await staged(["calibrate", at("valve.r2.reed.yaml"), at("bench.yaml")]);
    expect(again.code).toBe(2);
    expect(again.err).toMatch(/in this design already/);
  });

  test("--json is one object with finite numbers; --ascii and --dry-run", async () => {
    const args = ["calibrate", at("valve.reed.yaml"), at("bench.yaml")];
    const { result, provenance } = JSON.parse((await staged([...args, "--json"])).out);
    expect(result.status).toBe("converged");
    expect(result.values).toHaveLength(3);
    expect(provenance.data[0].sha256).toMatch(/^[0-9a-f]{64}$/);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: the characters of ASCII
    expect((await staged([...args, "--ascii"])).out).toMatch(/^[\x00-\x7f]*$/);
    expect((await staged([...args, "--dry-run"])).out).toMatch(/first resonance = 1035/);
  });

  test("exit codes: 4 for a file that is not there, 2 for one that says nothing, 2 over the design", async () => {
    const run = (...args: string[]) => staged(["calibrate", at("valve.reed.yaml"), ...args]);
    expect((await run(at("none.yaml"))).code).toBe(4);
    expect((await run()).code).toBe(2);
    writeFileSync(at("odd.yaml"), "lift: 3\n");
    expect((await run(at("odd.yaml"))).code).toBe(2);
    expect((await run(at("bench.yaml"), "--out", at("valve.reed.yaml"), "--force")).code).toBe(2);
    expect(existsSync(at("none.yaml"))).toBe(false);
  });

  test("values that contradict each other: exit 1, and 0 with --exit-zero", async () => {
    writeFileSync(
      at("contradiction.yaml"),
      `${BENCH}  - {figure: stiffness, value: 9.0(1) N/mm}\n`,
    );
    const run = (...more: string[]) =>
      staged(["calibrate", at("valve.reed.yaml"), at("contradiction.yaml"), ...more]);
    const told = await run();
    expect(told.code).toBe(1);
    expect(told.out).toMatch(/^DISAGREES/);
    expect((await run("--exit-zero")).code).toBe(0);
  });

  test("results of reduce: the bench of the first valve gives back the design that it was made from", async () => {
    const reduce = async (kind: string, file: string, ...more: string[]) => {
      const { out } = await staged(["reduce", kind, `examples/bench/${file}`, ...more, "--json"]);
      writeFileSync(at(`${kind}.json`), out);
      return at(`${kind}.json`);
    };
    const design = "examples/first-valve.reed.yaml";
    const files = [
      await reduce(
        "lever",
        "lever.txt",
        ...["--set", "screen-distance=300(1) mm", "--set", "mirror-position=6.0(1) mm"],
        ...["--design", design],
      ),
      await reduce("impedance", "impedance.csv"),
      await reduce("opening", "opening.csv", "--design", design),
    ];
    const { code, out } = await staged(["calibrate", design, ...files, "--json"]);
    expect(code).toBe(0);
    const { result } = JSON.parse(out);
    expect(result.values).toHaveLength(8);
    expect(result.agreement.agree_before).toBe(true);
    for (const value of result.values) expect(Math.abs(value.en_after ?? 0)).toBeLessThan(1);
    const length = result.parameters.find((p: { key: string }) => p.key === "strip.free_length");
    expect(Math.abs(length.after - 9e-3)).toBeLessThan(2 * length.u_after);
    const said = await staged(["diagnose", design, ...files]);
    expect(said.out).toMatch(/agree with the design/);
  });

  test("a recorded step: laid over the model, picture and numbers", async () => {
    const { pulse } = await import("../../src/studies/pulse.ts");
    const read = readDesign(readFileSync(at("valve.reed.yaml"), "utf8"));
    if (!read.ok) throw new Error("refused");
    const { series } = pulse(read.design, { gate: 3e-4, duration: 2.5e-3, surprises: false });
    const rows = Array.from({ length: 400 }, (_, i) => {
      const t = 6e-6 * i;
      const lift = series.lift.values[Math.round(t / series.step)] ?? 0;
      return `${(t * 1e6).toFixed(2)},${(lift * 1e6 + 0.2 * Math.sin(37 * i)).toFixed(4)}`;
    });
    writeFileSync(at("step.csv"), `time,lift\nus,um\n${rows.join("\n")}\n`);
    const args = ["calibrate", at("valve.reed.yaml"), at("bench.yaml"), "--trace", at("step.csv")];
    expect((await staged(args)).err).toMatch(/length of its gate/);
    const run = await staged([...args, "--gate", "300 µs", "--svg", at("pictures")]);
    expect(run.err).toMatch(/1 picture/);
    expect(run.code).toBe(0);
    expect(run.out).toMatch(/structural Q/);
    expect(readFileSync(at("pictures/trace.svg"), "utf8")).toMatch(/^<svg/);
    expect(readFileSync(at("pictures/trace.csv"), "utf8")).toMatch(/residual_calibrated/);
    expect((await staged(["calibrate", at("valve.reed.yaml"), "--svg", at("x")])).code).toBe(2);
  });
});
