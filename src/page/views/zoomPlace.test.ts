import { expect, test } from "vitest";
import { pinchedZoom, WHOLE, within, type Zoom, zoomedAt } from "./zoomPlace.ts";

const SIZE = { width: 900, height: 300 };
/** Place of the drawing that is seen at a place of the frame. */
const under = ({ k, x, y }: Zoom, at: { x: number; y: number }) => ({
  x: x + at.x / k,
  y: y + at.y / k,
});

test("a zoom keeps what lies at its centre", () => {
  const at = { x: 700, y: 120 };
  const first = zoomedAt(WHOLE, 2.5, at);
  expect(first.k).toBe(2.5);
  expect(under(first, at)).toEqual(under(WHOLE, at));
  const second = zoomedAt(first, 1.7, { x: 100, y: 40 });
  expect(under(second, { x: 100, y: 40 }).x).toBeCloseTo(under(first, { x: 100, y: 40 }).x, 9);
});

test("two fingers keep what lies under each of them", () => {
  const start = { k: 2, x: 200, y: 60 };
  const from = [
    { x: 300, y: 100 },
    { x: 400, y: 160 },
  ];
  const to = [
    { x: 280, y: 50 },
    { x: 430, y: 140 },
  ];
  const after = pinchedZoom(start, from, to);
  expect(after.k).toBeCloseTo(3, 9);
  from.forEach((finger, i) => {
    expect(under(after, to[i]!).x).toBeCloseTo(under(start, finger).x, 9);
    expect(under(after, to[i]!).y).toBeCloseTo(under(start, finger).y, 9);
  });
});

test("nothing beside the drawing is shown, and it is never smaller than its place", () => {
  for (const zoom of [
    { k: 3, x: -50, y: 400 },
    { k: 3, x: 880, y: -10 },
    { k: 0.5, x: 10, y: 10 },
    { k: 100, x: 899, y: 299 },
  ]) {
    const { k, x, y } = within(zoom, SIZE);
    expect(k).toBeGreaterThanOrEqual(1);
    expect(x).toBeGreaterThanOrEqual(0);
    expect(y).toBeGreaterThanOrEqual(0);
    expect(x + SIZE.width / k).toBeLessThanOrEqual(SIZE.width + 1e-9);
    expect(y + SIZE.height / k).toBeLessThanOrEqual(SIZE.height + 1e-9);
  }
});
