import { expect, test } from "vitest";
import {
  driveStates,
  fieldAlongPoling,
  judgeWiring,
  type WiringModel,
} from "../../src/physics/wiring.ts";

// Facts of the trade: common practice, no source. A strip of two equal ceramic layers on a vane:
// outer faces on a constant bias and on ground, the vane switched between the two potentials.
const THICKNESS = 2e-4;
const LEVER = 1.5e-4;

function strip(poling: [1 | -1, 1 | -1], change: Partial<WiringModel> = {}): WiringModel {
  return {
    electrodes: ["bottom", "vane", "top"],
    terminals: ["ground", "switched", "bias"],
    layers: poling.map((p, k) => ({
      bottom: k,
      top: k + 1,
      thickness: THICKNESS,
      poling: p,
      theta: 62e9 * 5e-3 * -250e-12 * p * (k === 0 ? -LEVER : LEVER),
      index: 2 * k,
    })),
    capacitance: Float64Array.of(8.5e-9, -0.4e-9, -0.4e-9, 8.5e-9),
    outputCapacitance: 0.1e-9,
    rails: [{ name: "bias", voltage: 200 }],
    switchHigh: "bias",
    switchLow: "ground",
    switchIdle: null,
    outputClamped: true,
    opening: 1,
    overshoot: 0,
    ...change,
  };
}
const LIMITS = [0.2e6, 0.2e6];

test("the biased strip puts the whole voltage on exactly one layer in each state, and the tip moves opposite ways", () => {
  const model = strip([-1, -1]);
  const [high, low] = driveStates(model);
  expect([...high!.deltaV]).toEqual([200, 0]);
  expect([...low!.deltaV]).toEqual([0, 200]);
  const verdict = judgeWiring(model, LIMITS);
  expect(verdict.accepted).toBe(true);
  // High: the lower layer contracts, the tip goes down; low: the upper one, the tip goes up.
  expect(verdict.contractingLayers).toEqual({ high: [0], low: [2] });
  expect(verdict.tip).toEqual({ high: "down", low: "up" });
  expect(verdict.moment.high).toBeCloseTo(-verdict.moment.low, 15);
  expect(verdict.closedState).toBe("high");
  expect(judgeWiring({ ...model, opening: -1 }, LIMITS).closedState).toBe("low");
});

test("poled the same way, from the higher to the lower outer potential, every layer is driven along its poling", () => {
  const model = strip([-1, -1]);
  for (const state of driveStates(model).slice(0, 2))
    model.layers.forEach((layer, k) => {
      expect(fieldAlongPoling(layer, state.deltaV[k]!)).toBeGreaterThanOrEqual(0);
    });
  // No state at all is beyond the limit: bias and switch on one rail, a half-bridge with diodes.
  expect(judgeWiring(model, LIMITS).flags).toEqual([]);
});

test("both polings reversed: against the poling in both states, and the tool says what to change", () => {
  const verdict = judgeWiring(strip([1, 1]), LIMITS);
  expect(verdict.accepted).toBe(false);
  const flagged = verdict.flags.filter((flag) => flag.kind === "switch");
  expect(flagged.map((flag) => [flag.layer, flag.state])).toEqual([
    [0, "high"],
    [2, "low"],
  ]);
  for (const flag of flagged) expect(flag.field).toBeCloseTo(-1e6, 6);
  expect(flagged[0]!.text).toBe(
    'layer 1, state "high": 1 kV/mm against the poling, limit 0.2 kV/mm; reverse the sign of rail bias or turn the layer\'s poling (now up)',
  );
});

test("the bias reversed: the same refusal, and mended by turning the poling", () => {
  const rails = [{ name: "bias", voltage: -200 }];
  const reversed = judgeWiring(strip([-1, -1], { rails }), LIMITS);
  expect(reversed.accepted).toBe(false);
  expect(reversed.flags.filter((flag) => flag.kind === "switch").length).toBe(2);
  expect(judgeWiring(strip([1, 1], { rails }), LIMITS).accepted).toBe(true);
});

test("bias and ground exchanged on the outer faces is against the poling, too", () => {
  const verdict = judgeWiring(
    strip([-1, -1], { terminals: ["bias", "switched", "ground"] }),
    LIMITS,
  );
  expect(verdict.accepted).toBe(false);
  expect(verdict.flags.filter((flag) => flag.kind === "switch").length).toBe(2);
});

test("two wires on an anti-parallel strip: half the voltage on each layer, one of them against its poling", () => {
  const series = strip([-1, 1], { terminals: ["ground", "open", "switched"] });
  const [high] = driveStates(series);
  expect(high!.deltaV[0]).toBeCloseTo(100, 9);
  expect(high!.deltaV[1]).toBeCloseTo(100, 9);
  const flags = judgeWiring(series, LIMITS).flags.filter((flag) => flag.state === "high");
  expect(flags.map((flag) => flag.layer)).toEqual([2]);
  expect(flags[0]!.field).toBeCloseTo(-0.5e6, 3);
});

test("both outer faces on ground and the vane switched: a parallel strip drives one layer against its poling", () => {
  const parallel = strip([-1, -1], { terminals: ["ground", "switched", "ground"] });
  const flags = judgeWiring(parallel, LIMITS).flags.filter((flag) => flag.state === "high");
  expect(flags.map((flag) => [flag.layer, Math.round(flag.field)])).toEqual([[2, -1_000_000]]);
});

test("both outer faces on ground and anti-parallel poling: both layers contract and the tip stays", () => {
  const verdict = judgeWiring(
    strip([-1, 1], { terminals: ["ground", "switched", "ground"] }),
    LIMITS,
  );
  expect(verdict.contractingLayers.high).toEqual([0, 2]);
  expect(verdict.reasons.map((reason) => reason.id)).toEqual(["same deflection"]);
});
