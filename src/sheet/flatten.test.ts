import { expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import { evaluate } from "./evaluate.ts";
import { figurePlaces, figureValues } from "./flatten.ts";

const sheet = (name: "first-valve" | "mirror-shutter") =>
  evaluate(exampleDesign(name), { detail: false });

test.each(["first-valve", "mirror-shutter"] as const)(
  "every place of %s holds the value of its column",
  (name) => {
    const result = sheet(name);
    const values = figureValues(result);
    const places = figurePlaces(result);
    expect(places.length).toBe(values.length);
    places.forEach((place, i) => {
      const there = (place.holder as Record<string | number, unknown>)[place.key];
      const number = typeof there === "number" ? there : Number.NaN;
      expect(values[i], place.path).toBe(number);
    });
    expect(new Set(places.map((place) => place.path)).size).toBe(places.length);
  },
);

test("rows in another order or missing are matched by their name", () => {
  const result = sheet("first-valve");
  const other = { ...result, margins: [...result.margins].reverse().slice(1) };
  const dropped = result.margins.at(-1)?.id;
  const places = figurePlaces(result);
  const values = figureValues(other, result);
  const plain = figureValues(result);
  places.forEach((place, i) => {
    if (place.path.startsWith(`margins.${dropped}.`)) expect(values[i]).toBeNaN();
    else expect(values[i], place.path).toBe(plain[i]);
  });
});
