import { describe, expect, test } from "vitest";
import { EXAMPLES, exampleDesign } from "../../test/examples/support.ts";
import { evaluate } from "./evaluate.ts";

describe.each(EXAMPLES)("%s", (name) => {
  const design = exampleDesign(name);
  const full = evaluate(design, { detail: true });

  test("margins are the same with and without everything else", () => {
    const plain = evaluate(design, { detail: false });
    const only = evaluate(design, { detail: false, marginsOnly: true });
    expect(plain.margins).toEqual(full.margins);
    expect(only.margins).toEqual(full.margins);
  });

  test("computing it again gives the same numbers", () => {
    expect(evaluate(design, { detail: true })).toEqual(full);
  });

  test("no number is infinite or not a number, and every null figure has its reason", () => {
    const unexplained: string[] = [];
    const walk = (node: unknown, path: string): void => {
      if (typeof node === "number") expect(Number.isFinite(node), path).toBe(true);
      else if (node === null) {
        const said = Object.keys(full.reasons).some((r) => path === r || path.startsWith(`${r}.`));
        if (!said) unexplained.push(path);
      } else if (typeof node === "object")
        for (const [key, value] of Object.entries(node as object))
          walk(value, path === "" ? key : `${path}.${key}`);
    };
    walk(
      {
        strip: full.strip,
        seat: full.seat,
        gas: full.gas,
        stuck_open: full.stuck_open,
        drive: full.drive,
      },
      "",
    );
    expect(unexplained).toEqual([]);
  });
});
