import { expect, test } from "vitest";
import { type ProgressLook, progress } from "./progress.ts";

/** Progress with a clock of the test's own. */
function told(look: Partial<ProgressLook>) {
  let now = 0;
  const written: string[] = [];
  const made = progress({
    bar: false,
    ascii: false,
    what: "pulse",
    total: 1000,
    write: (text) => written.push(text),
    now: () => now,
    ...look,
  });
  return {
    written,
    at: (ms: number, share: number) => {
      now = ms;
      made.at(share);
    },
    end: made.end,
  };
}

test("what is done soon says nothing", () => {
  for (const bar of [false, true]) {
    const { written, at, end } = told({ bar });
    for (let ms = 0; ms < 1500; ms += 10) at(ms, ms / 1500);
    at(1600, 1);
    end();
    expect(written).toEqual([]);
  }
});

test("a log gets a line for 5 % at most every ten seconds, and one a minute in any case", () => {
  const { written, at } = told({});
  for (let ms = 0; ms <= 200_000; ms += 100) at(ms, ms / 201_000);
  expect(written.length).toBeGreaterThan(10);
  expect(written.length).toBeLessThanOrEqual(20);
  expect(written[0]).toBe("5 %: 50 of 1000 pulses, 3 min left\n");
  for (const line of written) expect(line).toMatch(/^\d+ %: \d+ of 1000 pulses, .* left\n$/);
  const slow = told({});
  for (let ms = 0; ms <= 600_000; ms += 1000) slow.at(ms, ms / 60_000_000);
  expect(slow.written).toHaveLength(10);
  expect(slow.written[0]).toMatch(/16\.\d h left/);
});

test("a terminal has a bar in its place, which is taken away", () => {
  const { written, at, end } = told({ bar: true });
  at(2000, 0.5);
  at(2050, 0.6);
  at(2200, 0.75);
  end();
  expect(written).toHaveLength(3);
  expect(written[0]).toBe(`\r├${"━".repeat(15)}${"─".repeat(15)}┤ 500 of 1000 pulses, 2 s left`);
  expect(written[1]).toContain("750 of 1000");
  expect(written[2]).toMatch(/^\r +\r$/);
  const ascii = told({ bar: true, ascii: true });
  ascii.at(3000, 0.5);
  expect(ascii.written.join("")).toMatch(/^[\r\x20-\x7e]+$/);
});
