import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { SYMPTOMS } from "../../src/studies/diagnoseSymptoms.ts";
import { example, scratch, staged } from "./support.ts";

const KRYPTON = example("krypton-buffer");
const run = (...args: string[]) => staged(["diagnose", KRYPTON, ...args]);

describe("reedlift diagnose", () => {
  test("words alone: causes in the usual order and a next test, within 100 columns", async () => {
    for (const { id, causes } of SYMPTOMS) {
      const { code, out } = await run("--symptom", id, "--json");
      expect(code).toBe(0);
      const { result } = JSON.parse(out);
      expect(result.causes.map((cause: { id: string }) => cause.id)).toEqual([...causes]);
    }
    const { out } = await run("--symptom", "no gas, click heard");
    expect(out).toMatch(/Next test/);
    for (const line of out.split("\n")) expect([...line].length).toBeLessThanOrEqual(100);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: the characters of ASCII
    expect((await run("--symptom", "no gas", "--ascii")).out).toMatch(/^[\x00-\x7f]*$/);
  });

  test("an outcome turns the order", async () => {
    const { out } = await run(
      "--symptom",
      "f1 dropped",
      "--outcome",
      "microscope=a line or chip",
      "--json",
    );
    expect(JSON.parse(out).result.causes[0].id).toBe("crack");
  });

  test("a file with values, symptoms, outcomes and a series", async () => {
    const file = join(scratch(), "bench.yaml");
    writeFileSync(
      file,
      `reedlift_measured: 1
symptoms: [delay drifts]
outcomes: {warm-up burst: drifts as before}
series:
  - figure: delay
    rows:
      - {value: 80.0(3) µs, pressure: 3 bar, temperature: 22.0 °C}
      - {value: 83.1(3) µs, pressure: 3 bar, temperature: 25.0 °C}
      - {value: 81.4(3) µs, pressure: 3.1 bar, temperature: 23.5 °C}
      - {value: 78.9(3) µs, pressure: 3.1 bar, temperature: 21.0 °C}
`,
    );
    const { out, code } = await run(file, "--json");
    expect(code).toBe(0);
    expect(JSON.parse(out).result.causes[0].id).toBe("drift by temperature");
  });

  test("what is not known is refused with what is", async () => {
    const nothing = await run();
    expect(nothing.code).toBe(2);
    expect(nothing.err).toMatch(/leaks always/);
    const odd = await run("--symptom", "leeks always", "--outcome", "retorque=maybe");
    expect(odd.code).toBe(2);
    expect(odd.err).toMatch(/did you mean leaks always/);
    expect(odd.err).toMatch(/f1 comes back/);
    expect((await run("none.yaml")).code).toBe(4);
  });
});
