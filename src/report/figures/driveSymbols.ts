import type { ChainLayout } from "./driveChainLayout.ts";
import { circle, line, rect, text } from "./svg.ts";
import { INK, QUIET, SIZE } from "./theme.ts";

/* Symbols of circuit drawings in the shapes of IEC 60617: upright, between the heights a and b. */

const SPAN = 34;

/** Leads from both ends to a symbol of `half` px about the middle. */
function leads(x: number, a: number, b: number, half: number): string {
  const m = (a + b) / 2;
  return line(x, a, x, m - half) + line(x, m + half, x, b) + dot(x, a) + dot(x, b);
}

const dot = (x: number, y: number) => circle(x, y, 2.4, { fill: INK });

/** Ideal voltage source: a circle with the line through it, plus sign at the positive end. */
export function source(x: number, a: number, b: number, positiveUp: boolean): string {
  const m = (a + b) / 2;
  const up = positiveUp ? "+" : "−";
  const down = positiveUp ? "−" : "+";
  return (
    line(x, a, x, b) +
    dot(x, a) +
    dot(x, b) +
    circle(x, m, 12, { fill: "none", stroke: INK, "stroke-width": 1.2 }) +
    text(x - 14, m - 13, up, { size: SIZE.small, anchor: "end" }) +
    text(x - 14, m + 20, down, { size: SIZE.small, anchor: "end" })
  );
}

/** Capacitor: two plates. */
export function capacitor(x: number, a: number, b: number): string {
  const m = (a + b) / 2;
  const plate = (y: number) => line(x - 13, y, x + 13, y, { "stroke-width": 2.2 });
  return leads(x, a, b, 3.5) + plate(m - 3.5) + plate(m + 3.5);
}

/** Resistor: a rectangle. */
export function resistor(x: number, a: number, b: number): string {
  const m = (a + b) / 2;
  return (
    leads(x, a, b, SPAN / 2) +
    rect(x - 6, m - SPAN / 2, 12, SPAN, { fill: "none", stroke: INK, "stroke-width": 1.2 })
  );
}

/** Earth: three lines that grow shorter, below (1) or above (−1) the conductor. */
export function earth(x: number, y: number, way: 1 | -1): string {
  const bar = (i: number) => {
    const half = 9 - 3 * i;
    const at = y + way * (10 + 4 * i);
    return line(x - half, at, x + half, at, { "stroke-width": 1.4 });
  };
  return line(x, y, x, y + way * 10) + bar(0) + bar(1) + bar(2);
}

/** Change-over contact between two conductors; its output leaves to the right at x + 26. */
export function leverSwitch(
  x: number,
  high: number,
  low: number,
  to: "high" | "low" | null,
): string {
  const m = (high + low) / 2;
  const end = (y: number) => y + Math.sign(m - y) * (Math.abs(m - y) - 16);
  const [h, l] = [end(high), end(low)];
  const tip = to === "high" ? { x, y: h } : to === "low" ? { x, y: l } : { x: x - 8, y: m };
  return (
    line(x, high, x, h) +
    line(x, low, x, l) +
    dot(x, high) +
    dot(x, low) +
    circle(x, h, 2.6, { fill: "none", stroke: INK }) +
    circle(x, l, 2.6, { fill: "none", stroke: INK }) +
    line(x + 26, m, tip.x, tip.y, { "stroke-width": 2 }) +
    circle(x + 26, m, 2.6, { fill: INK })
  );
}

/** What the drawing does not show to scale. */
export function legend({ bare, height, left }: ChainLayout): string {
  const y = height - (bare ? 6 : 30);
  return text(left, y, "Circuit, not to scale. × marks a rating that is passed.", {
    size: SIZE.small,
    fill: QUIET,
  });
}
