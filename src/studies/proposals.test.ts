import { expect, test } from "vitest";
import { parse } from "yaml";
import { EXAMPLES, type ExampleName, exampleText } from "../../test/examples/support.ts";
import { type ReadResult, readDesign } from "../design/readDesign.ts";
import { withFreeLength, withValues } from "../design/values.ts";
import { checkDesign } from "../sheet/check.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { smallestMargin } from "../sheet/marginRow.ts";
import {
  FIELD_SHARE,
  type ProposalNeed,
  type Proposals,
  stripProposals,
  stripProposalsSteps,
} from "./proposals.ts";
import { STOCK_STRIPS } from "./proposalsStock.ts";
import { padFor, seatFor } from "./proposalsText.ts";

/** The need of an example as its file has it, with plenum and chamber. */
function needOf(name: ExampleName): ProposalNeed {
  const file = parse(exampleText(name)) as ProposalNeed;
  const { need, chamber, plenum } = file;
  return {
    name,
    need,
    ...(chamber === undefined ? {} : { chamber }),
    ...(plenum === undefined ? {} : { plenum }),
  };
}

const proposalsOf = (result: Proposals) => {
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join("; "));
  return result.proposals;
};

const designOf = (read: ReadResult) => {
  if (!read.ok) throw new Error(read.problems.map((p) => p.message).join("; "));
  return read.design;
};

/** A few strips of each kind: thin and thick, narrow and wide, both vanes. */
const FEW = STOCK_STRIPS.filter((_, i) => i % 9 === 3);

test("the stock is plain: 0.3 to 0.8 mm thick, 3 to 10 mm wide, both vanes", () => {
  for (const { ceramic, vaneThickness, width } of STOCK_STRIPS) {
    expect(2 * ceramic + vaneThickness).toBeGreaterThan(0.2999e-3);
    expect(2 * ceramic + vaneThickness).toBeLessThan(0.8001e-3);
    expect(width >= 3e-3 && width <= 10e-3).toBe(true);
  }
  expect(new Set(FEW.map((strip) => strip.vane)).size).toBe(2);
});

test.each(EXAMPLES)("proposals for the need of %s read back and are ranked by margin", (name) => {
  const proposals = proposalsOf(stripProposals(needOf(name), FEW));
  expect(proposals).toHaveLength(FEW.length);
  const margins = proposals.map((p) => p.margin);
  expect(margins).toEqual([...margins].sort((a, b) => b - a));
  for (const proposal of proposals) {
    const read = readDesign(proposal.text);
    const design = designOf(read);
    expect(read.ok && read.warnings).toEqual([]);
    // The whole sheet, wiring judged, agrees with what the ranking says.
    const { result } = checkDesign(design, { uncertainty: false, waysOut: false });
    const smallest = smallestMargin(result.margins);
    expect(smallest.margin).toBeCloseTo(proposal.margin, 9);
    expect(smallest.id).toBe(proposal.binding);
    expect(result.verdict.met).toBe(proposal.meets_all);
    expect(result.wiring?.accepted).toBe(true);
    expect(result.wiring?.closed_state).toBe("low");
    for (const state of result.strip.states.filter((s) => s.kind === "switch"))
      for (const layer of state.layers) {
        expect(layer.field_along_poling_V_m).toBeGreaterThan(-1e-6);
        expect(layer.field_along_poling_V_m).toBeLessThanOrEqual(FIELD_SHARE * 1.5e6 * 1.000001);
      }
    expect(proposal.free_length_m).toBe(design.strip.freeLength);
    expect(proposal.stand_off_m).toBe(design.seat?.standOff ?? null);
    expect(design.need).toMatchObject(designOf(readDesign(exampleText(name))).need);
  }
});

test("free length and stand-off lie at the best place of a grid about them", () => {
  const [first] = proposalsOf(stripProposals(needOf("argon-clusters"), FEW));
  const design = designOf(readDesign(first!.text));
  let best = Number.NEGATIVE_INFINITY;
  for (let length = 5e-3; length < 13e-3; length += 0.2e-3)
    for (let standOff = -20e-6; standOff < 20e-6; standOff += 1e-6) {
      const moved = withValues(withFreeLength(design, length), [
        { path: ["seat", "standOff"], value: standOff },
      ]);
      best = Math.max(best, smallestMargin(evaluate(moved, { detail: false }).margins).margin);
    }
  // Rounding to 0.1 mm and 1 µm, and the smooth minimum, cost a few hundredths.
  expect(first!.margin).toBeGreaterThan(best - 0.04);
});

test("needs that can be met are met, and one that cannot gives the nearest with what binds", () => {
  for (const name of ["first-valve", "argon-clusters", "mirror-shutter"] as const)
    expect(proposalsOf(stripProposals(needOf(name), STOCK_STRIPS.slice(-5)))[0]?.meets_all).toBe(
      true,
    );
  const need = needOf("first-valve");
  const hopeless = { ...need, need: { ...need.need, gas_pulse: "5 µs" } };
  const [nearest] = proposalsOf(stripProposals(hopeless, FEW));
  expect(nearest?.meets_all).toBe(false);
  expect(nearest!.margin).toBeLessThan(0);
  const { margins } = evaluate(designOf(readDesign(nearest!.text)), { detail: false });
  expect(margins.find((row) => row.id === nearest?.binding)?.met).toBe(false);
});

test("a strip without gas is proposed without pad and seat", () => {
  const [first] = proposalsOf(stripProposals(needOf("mirror-shutter"), FEW));
  const design = designOf(readDesign(first!.text));
  expect([design.pad, design.seat, design.gas]).toEqual([undefined, undefined, undefined]);
  expect(first?.stand_off_m).toBeNull();
});

test("the ranking grows strip by strip and a caller can stop", () => {
  let last = 0;
  let steps = 0;
  for (const part of stripProposalsSteps(needOf("mirror-shutter"), FEW.slice(0, 3))) {
    const count = proposalsOf(part).length;
    expect(count).toBeGreaterThanOrEqual(last);
    last = count;
    steps += 1;
  }
  expect(last).toBe(2);
  expect(steps).toBeGreaterThan(3 * 14);
});

test("a need that cannot be read is handed back with its problems", () => {
  const result = stripProposals({ need: { gas: "Arg", plenum_pressure: "4 mm" } });
  expect(result.ok).toBe(false);
  const paths = result.ok ? [] : result.problems.map((problem) => problem.path);
  expect(paths).toContain("need.gas");
  expect(paths).toContain("need.plenum_pressure");
});

test("a mixture, quoted words and uncertainties of the need stay as written", () => {
  const need = {
    gas: { He: "90 %", Ar: "10 %" },
    plenum_pressure: "5.0(1) bar",
    orifice_diameter: "0.15 ± 0.01 mm",
  };
  const [first] = proposalsOf(stripProposals({ name: "mix: one", need }, FEW.slice(0, 1)));
  const design = designOf(readDesign(first!.text));
  expect(design.name).toBe("mix: one");
  expect(design.gas?.components.map((part) => part.fraction)).toEqual([0.9, 0.1]);
  expect(design.inputs.find((input) => input.key === "need.plenum_pressure")?.u).toBeCloseTo(1e4);
});

test("seat and pad follow orifice and pressure", () => {
  expect(seatFor(0.08e-3)).toBeCloseTo(0.25e-3, 12);
  expect(seatFor(0.25e-3)).toBeCloseTo(0.53e-3, 12);
  expect(padFor(4e5).material).toBe("FKM 75 Shore A");
  expect(padFor(60e5)).toEqual({ material: "FKM 90 Shore A", thickness: 0.3e-3 });
});
