import { expect, test } from "vitest";
import { exampleDesign } from "../../../test/examples/support.ts";
import { writtenResult } from "../../../test/golden/shapeResultRun.ts";
import type { ShapeResult } from "../../studies/shapeResult.ts";
import { widthOf } from "./lines.ts";
import { shapeText } from "./shapeText.ts";

const design = exampleDesign("first-valve");
const text = (changes: Partial<ShapeResult> = {}, options = {}) =>
  shapeText(design, { ...writtenResult(), ...changes }, options);
const flat = (words: string) => words.replace(/\s+/g, " ");

test("the text is as stored (renew it with vitest -u after reading it)", async () => {
  await expect(
    text(
      {},
      { gateFrom: "need.gas_pulse of the design", pictures: "reedlift shape X --svg FOLDER" },
    ),
  ).toMatchFileSnapshot("../../../test/golden/shape-text.txt");
});

test("no line is wider than the columns, and ASCII is ASCII", () => {
  for (const columns of [80, 90, 100])
    for (const line of text({}, { columns }).split("\n"))
      expect(widthOf(line), line).toBeLessThanOrEqual(columns);
  expect(text({}, { ascii: true })).toMatch(/^[\n\x20-\x7e]*$/);
});

test("the verdict says which drive lands softest, beside the step, and what is missed", () => {
  expect(flat(text())).toMatch(
    /^MET the soft landing by the switch lands softest: 0\.31 m\/s at worst, no satellite \(step: 1\.79 m\/s at worst, 2 satellites\); keeps every requirement/,
  );
  const verdict = { met: false, binding: "satellites", text: "not met: gas after the pulse" };
  expect(flat(text({ verdict, taken: "step" }))).toMatch(
    /^NOT MET the step: 1\.79 m\/s at worst, 2 satellites; misses gas after the pulse The soft landing by the switch lands softest/,
  );
  expect(flat(text({ verdict }))).toContain(
    "no drive keeps every requirement at this gate, this one misses gas after the pulse",
  );
});

test("a waveform as the best is named with the need of an amplifier, and the switch's best beside it", () => {
  const out = flat(text({ taken: "zv-waveform", best: "zv-waveform" }));
  expect(out).toContain("A waveform needs an amplifier in place of the switch.");
  expect(out).toContain(
    "With the switch of the design the soft landing by the switch lands softest",
  );
  // 75 V in 7.5 µs of the written waveform, into 20 nF.
  expect(out).toContain("It must follow 10 V/µs and give 200 mA into 20 nF.");
});

test("on-times are told with the share of the way that RC makes of them", () => {
  // RC = 480 Ω · 20 nF = 9.6 µs: 6.654 µs is ln 2 of it, half of the way.
  expect(flat(text())).toMatch(/200 μs low 6\.654 μs to closed, 50 % of the way/);
  expect(flat(text())).toContain("RC = 9.6 μs (480 Ω, 20 nF with cable)");
});

test("a drive that can't be made has its reason under the table", () => {
  const { drives } = writtenResult();
  const none = { ...drives[1]!, commands: null, exact: null, low: null, high: null };
  const refused = {
    ...none,
    score: null,
    need_met: null,
    remark: "the series resistor is too large",
    worst: { impact_speed_m_s: null, satellites: null, ringing_share: null },
  };
  const out = flat(text({ drives: [drives[0]!, refused, ...drives.slice(2)] }));
  expect(out).toContain("No ZV by the switch: the series resistor is too large.");
});

test("cautions: charge always; the search's budget, a wide pulse and a need kept only if exact where they apply", () => {
  const result = writtenResult();
  const kept = flat(text());
  expect(kept).toContain("keeps its charge, up to 150 V");
  expect(kept).toContain("! the search ended at its budget");
  const search = { ...result.search!, status: "converged" as const };
  expect(flat(text({ search }))).not.toContain("budget");
  const [taken] = result.drives.slice(-1);
  const others = result.drives.slice(0, -1);
  const off = { ...taken!, unmet_when_off: ["satellites"] };
  expect(flat(text({ drives: [...others, off] }))).toContain(
    "kept at the computed resonance only: satellites missed when it is off by 5 %",
  );
  const wide = { ...taken!, need_met: false, unmet: ["pulse width"] };
  const drives = [...others, wide];
  expect(flat(text({ drives }))).toContain("no shorter gate mends it with these edges");
  expect(flat(text({ drives, gate_for_need_s: 131.99e-6 }))).toContain(
    'with --gate "131 µs" these edges keep need.gas_pulse',
  );
});
