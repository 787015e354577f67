import { describe, expect, test } from "vitest";
import { rayleighStatics } from "../../src/physics/ceramic.ts";
import { advance, newRun } from "../../src/physics/pulse/kernel.ts";
import { largeSignalLayer } from "../../src/physics/pulse/largeSignal.ts";
import type { DriveCommand } from "../../src/physics/pulse/model.ts";
import { startState } from "../../src/physics/pulse/start.ts";
import { halfBridge, layer, model, rail, strip } from "./rig.ts";

/*
 * Large signal: one free layer, driven slowly from one switch state to the other and back through the run's own code.
 * Expected values from the Rayleigh law (physics/ceramic.ts holds its source) and from the definitions of
 * C_ls = factor × C_free and tan δ: loss per cycle (π/4) C_ls ΔV² tan δ.
 */
const LAYER = { capacitance: 9e-9, theta: -1.1e-5 };
/** Far above the drive's 50 Hz: the strip follows, its lag 2ζ/ω is 6 µs of 10 ms. */
const OMEGA = 2 * Math.PI * 50_000;
/** Slope jump per moment of a 9 mm strip, 1/(N·m). */
const FLEXIBILITY = 3;

interface Loop {
  swing: number;
  width: number;
  charge: number;
  loss: number;
  area: number;
}

function slowLoop(
  closed: number,
  open: number,
  growth: { largeSignal: number; loopWidthOverSwing: number },
  factor: number,
  tanDelta: number,
): Loop {
  const grown = largeSignalLayer({
    capacitance: LAYER.capacitance,
    theta: LAYER.theta,
    flexibility: FLEXIBILITY,
    closed,
    open,
    growth,
    capacitanceFactor: factor,
    tanDelta,
  });
  if (grown === null) throw new Error("no large-signal layer");
  const of = model(
    layer(grown.capacitance, grown.theta, { series: [grown.series], parallel: [grown.parallel] }),
    {
      rails: [rail({ voltage: closed, storage: 1e-7 })],
      switch: halfBridge({ seriesHigh: 20, seriesLow: 20 }),
    },
    {
      strip: strip({
        omega: Float64Array.of(OMEGA),
        zeta: Float64Array.of(0.9),
        pad: Float64Array.of(1),
        jump: Float64Array.of(Math.sqrt(FLEXIBILITY) * OMEGA),
      }),
    },
  );
  const step = 1e-6;
  const half = 10_000;
  const run = newRun(of, step);
  const state = startState(of, { output: "high" });
  const wave = (time: number, voltage: number): DriveCommand => ({ time, state: "wave", voltage });
  // Two cycles; the second is the closed loop.
  const commands = [0, 1, 2, 3, 4, 5].map((n) =>
    wave(n * half * step, n % 2 === 0 ? closed : open),
  );
  const y: number[] = [];
  const v: number[] = [];
  const q: number[] = [];
  const spent: number[] = [];
  advance(run, state, commands, 4 * half, (s) => {
    const el = s.electric!;
    y.push(s.y);
    v.push(el.v[0]!);
    q.push(el.q[0]! + el.qParallel[0]!);
    let dissipated = 0;
    for (const h of [...el.series, ...el.parallel]) dissipated += h?.dissipated ?? 0;
    spent.push(dissipated);
  });
  const at = (n: number) => n * half - 1;
  const middle = Math.round(half / 2);
  let area = 0;
  for (let n = at(2); n < at(4); n++) area += 0.5 * (v[n]! + v[n + 1]!) * (q[n + 1]! - q[n]!);
  const swing = y[at(3)]! - y[at(2)]!;
  return {
    swing,
    width: Math.abs((y[at(3) + middle]! - y[at(2) + middle]!) / swing),
    charge: (q[at(3)]! - q[at(2)]!) / (open - closed),
    loss: spent[at(4)]! - spent[at(2)]!,
    area,
  };
}

const cFree = LAYER.capacitance + FLEXIBILITY * LAYER.theta ** 2;

describe("a large-signal layer driven slowly through its working range", () => {
  // 200 V over 0.2 mm: 1 kV/mm, αE/d0 = 0.667.
  const growth = rayleighStatics(1, 0.667, 1e6);

  test("1 kV/mm at the defaults has a loop of 12.5 % (Rayleigh)", () => {
    expect(growth.loopWidthOverSwing).toBeCloseTo(0.125, 3);
  });

  test.each([
    ["from 0 to 200 V", 0, 200],
    ["from 200 V to 0", 200, 0],
    ["from −200 V to 0", -200, 0],
    ["from 20 V to 220 V", 20, 220],
  ])("%s: swing × growth, charge × 1.8, loop width 12.5 percent, tan δ 0.15", (_, closed, open) => {
    const found = slowLoop(closed, open, growth, 1.8, 0.15);
    const lowField = (Math.sqrt(FLEXIBILITY) / OMEGA) * LAYER.theta * (open - closed);
    expect(Math.abs(found.swing / (lowField * growth.largeSignal) - 1)).toBeLessThan(2e-3);
    expect(Math.abs(found.charge / (1.8 * cFree) - 1)).toBeLessThan(2e-3);
    // The loop lies in charge; read across the voltage it is wider in places by its own curvature.
    expect(Math.abs(found.width / growth.loopWidthOverSwing - 1)).toBeLessThan(0.03);
    const loss = (Math.PI / 4) * 1.8 * cFree * 200 ** 2 * 0.15;
    expect(Math.abs(found.loss / loss - 1)).toBeLessThan(5e-3);
    // The same from outside: the area of charge against voltage, with 20 Ω on the way.
    expect(Math.abs(Math.abs(found.area) / loss - 1)).toBeLessThan(1e-2);
  });

  test("half the field has half the growth and a loop narrower by the Rayleigh law", () => {
    const half = rayleighStatics(1, 0.667, 5e5);
    const found = slowLoop(0, 100, half, 1.8, 0.15);
    const lowField = (Math.sqrt(FLEXIBILITY) / OMEGA) * LAYER.theta * 100;
    expect(Math.abs(found.swing / (lowField * half.largeSignal) - 1)).toBeLessThan(2e-3);
    expect(Math.abs(found.width / half.loopWidthOverSwing - 1)).toBeLessThan(0.03);
  });

  test.each([
    [1.2, 0.05],
    [1.4, 0.1],
    [2.5, 0.2],
  ])("a capacitance factor of %s with tan δ %s is met too", (factor, tanDelta) => {
    const found = slowLoop(0, 200, growth, factor, tanDelta);
    expect(Math.abs(found.charge / (factor * cFree) - 1)).toBeLessThan(2e-3);
    // Where the loop with strain alone takes more than tan δ says, that stays: (2/3) λ C_1 ΔV².
    const own = (2 / 3) * growth.loopWidthOverSwing * Math.min(growth.largeSignal, factor) * cFree;
    const wanted = (Math.PI / 4) * factor * cFree * tanDelta;
    expect(Math.abs(found.loss / (Math.max(own, wanted) * 200 ** 2) - 1)).toBeLessThan(5e-3);
  });

  test("a tan δ that only a loop wider than 0.47 would take is not reached, and falls short by that", () => {
    const found = slowLoop(0, 200, growth, 2.5, 0.4);
    const [own, rest] = [growth.largeSignal, 2.5 - growth.largeSignal];
    const most = (2 / 3) * (growth.loopWidthOverSwing * own + 0.47 * rest) * cFree * 200 ** 2;
    expect(most).toBeLessThan((Math.PI / 4) * 2.5 * cFree * 0.4 * 200 ** 2);
    // Its plays reach less far than half the loop: up to 2 % less than the Rayleigh loop of that width.
    expect(found.loss / most).toBeGreaterThan(0.98);
    expect(found.loss / most).toBeLessThan(1.001);
  });

  test("a layer that does not change its voltage has none", () => {
    expect(
      largeSignalLayer({
        ...LAYER,
        flexibility: FLEXIBILITY,
        closed: 50,
        open: 50,
        growth,
        capacitanceFactor: 1.8,
        tanDelta: 0.15,
      }),
    ).toBeNull();
  });
});
