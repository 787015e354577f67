import { expect, test } from "vitest";
import {
  ELASTOMERS,
  GENT_U,
  gentModulus,
  hardnessInName,
  rubberAt,
  USUAL_SHORE_A,
} from "./elastomers.ts";

// A. N. Gent, Trans. IRI 34 (1958) 46-57: E[MPa] = 0.0981 (56 + 7.62336 S)/(0.137505 (254 - 2.54 S)),
// evaluated independently in double precision.
test.each([
  [30, 1.142371731732508],
  [50, 2.455812246770125],
  [60, 3.605072697428039],
  [80, 9.35137495071761],
])("%d Shore A has the modulus that Gent's relation gives", (shoreA, megapascal) => {
  expect(gentModulus(shoreA) / (megapascal * 1e6)).toBeCloseTo(1, 9);
});

test("a hardness outside the relation's range is refused with the range", () => {
  expect(() => gentModulus(96)).toThrow("Shore A must lie from 20 to 95: got 96");
  expect(() => gentModulus(Number.NaN)).toThrow(RangeError);
});

test("a name with a hardness splits into rubber and number", () => {
  expect(hardnessInName("FKM 75 Shore A")).toEqual({ base: "FKM", shoreA: 75 });
  expect(hardnessInName("silicone, 42.5 Shore A")).toEqual({ base: "silicone", shoreA: 42.5 });
  expect(hardnessInName("FKM")).toBeNull();
});

test("a rubber of another hardness differs from the listed one in its modulus only", () => {
  const soft = rubberAt("FKM", 60);
  const listed = ELASTOMERS.FKM;
  expect(soft?.young_modulus_Pa.value).toBe(gentModulus(60));
  expect(soft?.young_modulus_Pa.u).toBeCloseTo(GENT_U * gentModulus(60), 3);
  expect({ ...soft, young_modulus_Pa: null }).toEqual({ ...listed, young_modulus_Pa: null });
  expect(rubberAt("FKM", USUAL_SHORE_A)).toEqual(listed);
  expect(rubberAt("PTFE sheet", 75)).toBeNull();
  expect(rubberAt("FKM", 96)).toBeNull();
});
