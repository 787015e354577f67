import { expect, test } from "vitest";
import { writtenPulse } from "../../../test/golden/pulseRun.ts";
import { pulseMotion } from "./pulseMotion.ts";
import { pulseMain, pulseTraces } from "./pulseTraces.ts";

const VALVE = writtenPulse();

test("positions are drawn to one scale: the pad's way on the sheet is the lift times the factor", () => {
  const { design, run } = VALVE;
  const { svg, csv, sentence } = pulseMotion(design, run)!;
  expect(sentence).toContain("highest at 200 μs with lift 84 μm");
  expect(csv).toContain("moment,time_s,lift_m,place_m,deflection_m");
  const factor = Number(/displacement × (\d+)/.exec(svg)![1]);
  const cells = svg.split("data-moment=").slice(1);
  // Lowest point of the pad over the mouth of the orifice, px.
  const gap = (cell: string) => {
    const ys = (part: string) =>
      [
        ...cell
          .split(`data-part="${part}"`)[1]!
          .split("</g>")[0]!
          .matchAll(/[ML]([\d.-]+) ([\d.-]+)/g),
      ].map((m) => Number(m[2]));
    return Math.min(...ys("orifice")) - Math.max(...ys("pad"));
  };
  const highest = cells.find((cell) => cell.startsWith('"highest"'))!;
  const half = cells.find((cell) => cell.startsWith('"half open"'))!;
  const px = /data-part="strip"><path d="M([\d.-]+) [\d.-]+L/.exec(highest);
  expect(px).not.toBeNull();
  const xs = [
    ...highest
      .split('data-part="strip"')[1]!
      .split("</g>")[0]!
      .matchAll(/[ML]([\d.-]+) /g),
  ].map((m) => Number(m[1]));
  const scale =
    (Math.max(...xs) - Math.min(...xs)) /
    (design.strip.freeLength + Math.min(design.clamp.length, 0.25 * design.strip.freeLength));
  const frames = run.frames!;
  const lift = (time: number) =>
    run.series.lift.values[
      frames.index.reduce((a, b) => (Math.abs(b * 1e-6 - time) < Math.abs(a * 1e-6 - time) ? b : a))
    ]!;
  const moved = lift(200e-6) - lift(run.result.pulses[0]!.open_delay_s!);
  // Written-down frames bend as (x/L)²: at the pad they move by that share of the lift.
  const share = (design.pad!.position / frames.places.at(-1)!) ** 2;
  expect(gap(highest) - gap(half)).toBeCloseTo(moved * share * scale * factor, 0);
});

test("without frames there are no positions, without an opening no main part", () => {
  const { design, run } = VALVE;
  expect(pulseMotion(design, { ...run, frames: null })).toBeNull();
  const shut = structuredClone(run.result);
  shut.pulses[0]!.peak_lift_m = 0;
  expect(pulseMain(design, { ...run, result: shut })).toBeNull();
  expect(pulseTraces(design, { ...run, result: shut }).sentence).toContain("does not open");
});

test("a moment that no frame comes near is not drawn as another one", () => {
  const { design, run } = VALVE;
  const { index, shape, places } = run.frames!;
  const every = (n: number) => {
    const kept = index.map((_, k) => k).filter((k) => k % n === 0);
    return {
      index: kept.map((k) => index[k]!),
      shape: Float64Array.from(
        kept.flatMap((k) => [...shape.subarray(k * places.length, (k + 1) * places.length)]),
      ),
      places,
    };
  };
  // Frames 130 μs apart: none near the highest lift at 200 μs.
  const coarse = pulseMotion(design, { ...run, frames: every(13) });
  expect(coarse?.sentence ?? "").not.toContain("highest");
  expect(coarse?.svg ?? "between frames: not drawn").toContain("between frames: not drawn");
  // Frames farther apart than the pulse is long show nothing of it.
  expect(pulseMotion(design, { ...run, frames: every(200) })).toBeNull();
});
