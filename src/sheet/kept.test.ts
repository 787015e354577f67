import fc from "fast-check";
import { expect, test } from "vitest";
import { EXAMPLES, exampleDesign } from "../../test/examples/support.ts";
import type { Design } from "../design/design.ts";
import { withFreeLength, withValues } from "../design/values.ts";
import { evaluate } from "./evaluate.ts";
import { keeper } from "./kept.ts";

test("equal parts give the same result once made, other parts another one", () => {
  const kept = keeper<object>();
  const record = { a: 1 };
  const first = kept([record, 2, Number.NaN], () => ({}));
  expect(kept([record, 2, Number.NaN], () => ({}))).toBe(first);
  expect(kept([{ a: 1 }, 2, Number.NaN], () => ({}))).not.toBe(first);
  expect(kept([record, 2, Number.NaN, 0], () => ({}))).not.toBe(first);
  expect(kept([record, 2], () => ({}))).not.toBe(first);
});

test("a result that is asked for again stays, whatever else is asked for in between", () => {
  const kept = keeper<number>();
  let made = 0;
  const nominal = () =>
    kept(["nominal"], () => {
      made++;
      return 0;
    });
  for (let i = 0; i < 100; i++) {
    nominal();
    for (let other = 0; other < 5; other++) kept([i, other], () => other);
  }
  expect(made).toBe(1);
});

test("a result that is no longer asked for gives way", () => {
  const kept = keeper<object>();
  const first = kept([0], () => ({}));
  for (let i = 1; i < 100; i++) kept([i], () => ({}));
  expect(kept([0], () => ({}))).not.toBe(first);
});

/** Paths of all numbers of a design that the physics reads. */
function numbersIn(node: unknown, path: (string | number)[] = []): (string | number)[][] {
  if (typeof node === "number") return [path];
  if (typeof node !== "object" || node === null) return [];
  return Object.entries(node).flatMap(([key, value]) => {
    if (path.length === 0 && ["inputs", "catalogue", "measured"].includes(key)) return [];
    return numbersIn(value, [...path, Array.isArray(node) ? Number(key) : key]);
  });
}

/** Changes of what is no number, each sharing every other part with the design. */
const TURNS: ((design: Design) => Design)[] = [
  (d) => ({ ...d, model: { ...d.model, beam: d.model.beam === "thin" ? "shear" : "thin" } }),
  (d) => ({ ...d, model: { ...d.model, width: "narrow" } }),
  (d) => ({ ...d, model: { ...d.model, field: "uniform" } }),
  (d) => ({ ...d, model: { ...d.model, d31Basis: "catalogue" } }),
  (d) => ({ ...d, surroundings: { ...d.surroundings, wallDistance: null } }),
  filled,
  (d) => ({ ...d, masses: [] }),
  (d) => (d.seat === undefined ? d : { ...d, seat: { ...d.seat, side: "above" } }),
  (d) => (d.seat === undefined ? d : { ...d, seat: { ...d.seat, arrangement: "pressure opens" } }),
  (d) => (d.switch === undefined ? d : { ...d, switch: { ...d.switch, idle: "off" } }),
  (d) =>
    d.switch === undefined
      ? d
      : { ...d, switch: { ...d.switch, high: d.switch.low, low: d.switch.high } },
  (d) =>
    d.wiring === undefined
      ? d
      : {
          ...d,
          wiring: Object.fromEntries(
            Object.entries(d.wiring).map(([name, to]) => [name, to === "ground" ? "open" : to]),
          ),
        },
  ({ chamber: _, ...d }) => d,
  ({ gas: _, ...d }) => d,
];

type Outcome = { sheet: unknown } | { error: string };

function sheetOf(design: Design, marginsOnly: boolean, detail: boolean): Outcome {
  try {
    return { sheet: evaluate(design, { detail, marginsOnly }) };
  } catch (error) {
    expect(error).toBeInstanceOf(RangeError);
    return { error: String(error) };
  }
}

/** A copy shares no record with what was evaluated before, so that nothing kept can serve it. */
function expectSameAsNew(changed: Design, marginsOnly: boolean, detail: boolean): Outcome {
  const seen = sheetOf(changed, marginsOnly, detail);
  expect(seen).toEqual(sheetOf(structuredClone(changed), marginsOnly, detail));
  return seen;
}

/** Parts that the examples lack, so that their numbers are changed too. */
function filled(design: Design): Design {
  return {
    ...design,
    clamp: { ...design.clamp, rotationalStiffness: 5, translationalStiffness: 2e6 },
    surroundings: { ...design.surroundings, ambientTemperature: 310, wallDistance: 2e-3 },
  };
}

test.each(EXAMPLES)(
  "%s: one number changed gives the sheet of a design never seen before",
  (name) => {
    for (const start of [exampleDesign(name), filled(exampleDesign(name))])
      for (const path of numbersIn(start))
        for (const factor of [0.3, 1.05]) {
          expect(sheetOf(start, true, false)).toHaveProperty("sheet");
          expect(sheetOf(start, false, false)).toHaveProperty("sheet");
          const value = (valueAt(start, path) as number) * factor;
          const changed = withValues(start, [{ path, value }]);
          expectSameAsNew(changed, true, false);
          expectSameAsNew(changed, false, false);
        }
  },
);

test.each(EXAMPLES)(
  "%s: after any sequence of changes the sheet is that of a design never seen before",
  (name) => {
    const start = exampleDesign(name);
    const step = fc.record({
      what: fc.nat(),
      factor: fc.double({ min: 0.9, max: 1.1, noNaN: true }),
      turn: fc.integer({ min: -8, max: TURNS.length - 1 }),
      /** Whether the next change starts from this one, or from the design before it. */
      stay: fc.boolean(),
      marginsOnly: fc.boolean(),
      detail: fc.integer({ min: 0, max: 9 }),
    });
    fc.assert(
      fc.property(fc.array(step, { minLength: 8, maxLength: 25 }), (steps) => {
        let design = start;
        for (const { what, factor, turn, stay, marginsOnly, detail } of steps) {
          const paths = numbersIn(design);
          const path = paths[what % paths.length] as (string | number)[];
          let changed = TURNS[turn]?.(design) ?? design;
          try {
            const value = valueAt(design, path);
            if (turn < 0 && typeof value === "number")
              changed =
                path.join() === "strip,freeLength"
                  ? withFreeLength(design, value * factor)
                  : withValues(design, [{ path, value: value * factor }]);
          } catch (error) {
            expect(error).toBeInstanceOf(RangeError);
          }
          const seen = expectSameAsNew(changed, marginsOnly, detail === 0);
          if (stay && "sheet" in seen) design = changed;
        }
      }),
      { numRuns: 25, seed: 33 },
    );
  },
  30_000,
);

function valueAt(design: Design, path: readonly (string | number)[]): unknown {
  return path.reduce<unknown>(
    (node, key) => (node as Record<string | number, unknown> | undefined)?.[key],
    design,
  );
}
