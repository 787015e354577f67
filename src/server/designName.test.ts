import { basename, posix, win32 } from "node:path";
import fc from "fast-check";
import { expect, test } from "vitest";
import { nameProblem } from "./designName.ts";

const TAKEN = [
  "valve.reed.yaml",
  "valve.reed.yml",
  "valve.reed.json",
  "a.reed.yaml",
  "first valve (copy 2).reed.yaml",
  "Ventil für Ar, 0.12 mm.reed.yaml",
  "阀.reed.yaml",
  "a..b.reed.yaml",
  "console.reed.yaml",
  "com10.reed.yaml",
  "%2e%2e.reed.yaml",
  `${"n".repeat(110)}.reed.yaml`,
];

test.each(TAKEN)("takes %s", (name) => {
  expect(nameProblem(name)).toBeNull();
});

const REFUSED: [string, RegExp][] = [
  ["", /must end in/],
  ["valve.yaml", /must end in/],
  ["valve.reed.yaml.exe", /must end in/],
  ["valve.reed.yaml ", /must end in/],
  ["valve.reed.YAML", /must end in/],
  ["valve.reed.yaml\n", /control/],
  ["valve\0.reed.yaml", /control/],
  ["\u0085.reed.yaml", /control/],
  ["\ud800.reed.yaml", /control/],
  ["a\u2028b.reed.yaml", /control/],
  [".reed.yaml", /begin with a point/],
  [".hidden.reed.yaml", /begin with a point/],
  ["..", /begin with a point/],
  ["../valve.reed.yaml", /may not hold \//],
  ["a/valve.reed.yaml", /may not hold \//],
  ["/etc/valve.reed.yaml", /may not hold \//],
  ["..\\valve.reed.yaml", /may not hold \//],
  ["C:\\valve.reed.yaml", /may not hold \//],
  ["C:valve.reed.yaml", /may not hold any of/],
  ["valve.reed.yaml:stream.reed.yaml", /may not hold any of/],
  ["a*.reed.yaml", /may not hold any of/],
  ["con.reed.yaml", /device/],
  ["NUL.reed.yaml", /device/],
  ["Com1.reed.json", /device/],
  ["lpt³.reed.yaml", /device/],
  ["aux .reed.yaml", /device/],
  [`${"n".repeat(111)}.reed.yaml`, /more than 120/],
];

test.each(REFUSED)("refuses %j", (name, words) => {
  expect(nameProblem(name)).toMatch(words);
});

test("a name that is taken is one piece of a path and stays where it is put, in any system", () => {
  const piece = fc.constantFrom("..", ".", "/", "\\", "a", "C:", "%2f", "\0", "nul", " ", "µ");
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 6 }), (pieces) => {
      const name = `${pieces.join("")}.reed.yaml`;
      if (nameProblem(name) !== null) return;
      expect(basename(name)).toBe(name);
      expect(posix.join("/folder", name)).toBe(`/folder/${name}`);
      expect(win32.join("C:\\folder", name)).toBe(`C:\\folder\\${name}`);
    }),
    { numRuns: 2000 },
  );
});
