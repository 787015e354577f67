import { expect, test } from "vitest";
import {
  type DriveState,
  driveStates,
  electrodeCapacitance,
  judgeWiring,
  solvePotentials,
  type WiringModel,
} from "./wiring.ts";

/** A stack of ceramic layers between electrodes, with everything the oracle needs. */
interface Stack {
  electrodes: number;
  layers: [bottom: number, top: number][];
  /** Mid-plane over the neutral plane, m. */
  lever: number[];
}

const THICKNESS = 2e-4;
const YOUNG = 62e9;
const WIDTH = 5e-3;
const D31 = -250e-12;
const STACKS: Stack[] = [
  { electrodes: 2, layers: [[0, 1]], lever: [1e-4] },
  {
    electrodes: 2,
    layers: [
      [0, 1],
      [1, 0],
    ],
    lever: [-1.5e-4, 1.5e-4],
  },
  {
    electrodes: 3,
    layers: [
      [0, 1],
      [1, 2],
    ],
    lever: [-1.5e-4, 1.5e-4],
  },
  {
    electrodes: 4,
    layers: [
      [0, 1],
      [2, 3],
    ],
    lever: [-1.6e-4, 1.4e-4],
  },
  {
    electrodes: 4,
    layers: [
      [0, 1],
      [1, 2],
      [2, 3],
    ],
    lever: [-3e-4, 0.5e-4, 2.5e-4],
  },
];
const DEEP: Stack[] = [
  {
    electrodes: 5,
    layers: [
      [0, 1],
      [1, 2],
      [2, 3],
      [3, 4],
    ],
    lever: [-3.2e-4, -1.1e-4, 1.1e-4, 3.2e-4],
  },
  {
    electrodes: 6,
    layers: [
      [0, 1],
      [1, 2],
      [3, 4],
      [4, 5],
    ],
    lever: [-3.2e-4, -1.1e-4, 1.1e-4, 3.2e-4],
  },
];
const TERMINALS = ["ground", "bias", "pulse", "switched", "open"];
const VOLTS: Record<string, number> = { ground: 0, bias: 200, pulse: 150 };

/** Positive definite layer capacitance with the coupling that a shared strip gives. */
function capacitanceOf(layers: number): Float64Array {
  const c = new Float64Array(layers * layers);
  for (let k = 0; k < layers; k++)
    for (let l = 0; l < layers; l++)
      c[k * layers + l] = (k === l ? (8 + k) * 1e-9 : 0) + (k % 2 === l % 2 ? 0.5e-9 : -0.3e-9);
  return c;
}

function modelOf(
  stack: Stack,
  terminals: string[],
  poling: (1 | -1)[],
  high = "bias",
  low = "ground",
): WiringModel {
  return {
    electrodes: terminals.map((_, e) => `e${e}`),
    terminals,
    layers: stack.layers.map(([bottom, top], k) => ({
      bottom,
      top,
      thickness: THICKNESS,
      poling: poling[k]!,
      theta: YOUNG * WIDTH * D31 * poling[k]! * stack.lever[k]!,
      index: 2 * k,
    })),
    capacitance: capacitanceOf(stack.layers.length),
    outputCapacitance: 0.2e-9,
    rails: [
      { name: "bias", voltage: VOLTS.bias! },
      { name: "pulse", voltage: VOLTS.pulse! },
    ],
    switchHigh: high,
    switchLow: low,
    switchIdle: null,
    outputClamped: false,
    opening: 1,
    overshoot: 0.1,
  };
}

/**
 * Oracle: floating potentials that minimise the electrostatic energy ½ ΔVᵀ C ΔV by relaxing one
 * electrode after another (uncharged conductors settle where the energy is least).
 */
function relaxed(stack: Stack, model: WiringModel, terminals: string[], output: number): number[] {
  const c = model.capacitance;
  const m = stack.layers.length;
  const v = terminals.map((t) => (t === "switched" ? output : (VOLTS[t] ?? 0)));
  const energy = (u: number[]) => {
    let sum = 0;
    for (let k = 0; k < m; k++)
      for (let l = 0; l < m; l++) {
        const [bk, tk] = stack.layers[k]!;
        const [bl, tl] = stack.layers[l]!;
        sum += 0.5 * c[k * m + l]! * (u[tk]! - u[bk]!) * (u[tl]! - u[bl]!);
      }
    return sum;
  };
  const at = (e: number, value: number) => energy(v.map((old, i) => (i === e ? value : old)));
  for (let sweep = 0; sweep < 400; sweep++) {
    let moved = 0;
    terminals.forEach((terminal, e) => {
      if (terminal !== "open") return;
      const y0 = at(e, 0);
      const yPlus = at(e, 100);
      const yMinus = at(e, -100);
      const curvature = yPlus + yMinus - 2 * y0;
      if (curvature <= 1e-16) return;
      const next = (50 * (yMinus - yPlus)) / curvature;
      moved = Math.max(moved, Math.abs(next - v[e]!));
      v[e] = next;
    });
    if (moved < 1e-10) break;
  }
  return v;
}

/** Oracle: strain of each layer from its own field, bending from the strains about the neutral plane. */
function bend(stack: Stack, poling: number[], v: number[]) {
  const strain = stack.layers.map(([bottom, top], k) => {
    const along = (poling[k]! * (v[bottom]! - v[top]!)) / THICKNESS;
    return D31 * along;
  });
  let moment = 0;
  strain.forEach((s, k) => {
    moment -= YOUNG * WIDTH * THICKNESS * s * stack.lever[k]!;
  });
  return { strain, moment };
}

function* assignments(n: number): Generator<string[]> {
  for (let code = 0; code < TERMINALS.length ** n; code++) {
    const list: string[] = [];
    for (let e = 0, rest = code; e < n; e++, rest = Math.floor(rest / TERMINALS.length))
      list.push(TERMINALS[rest % TERMINALS.length]!);
    yield list;
  }
}

function polings(n: number): (1 | -1)[][] {
  return Array.from({ length: 2 ** n }, (_, code) =>
    Array.from({ length: n }, (_, k) => ((code >> k) & 1 ? -1 : 1)),
  );
}

function compare(stack: Stack, terminals: string[], poling: (1 | -1)[], high: string, low: string) {
  const model = modelOf(stack, terminals, poling, high, low);
  const limit = 0.2e6;
  const states = driveStates(model);
  const verdict = judgeWiring(
    model,
    stack.layers.map(() => limit),
    states,
  );
  const oracle = { high: VOLTS[high]!, low: VOLTS[low]! };
  const results = (["high", "low"] as const).map((name, i) => {
    const v = relaxed(stack, model, terminals, oracle[name]);
    const { strain, moment } = bend(stack, poling, v);
    const where = `${terminals} ${poling} ${high}/${low} ${name}`;
    stack.layers.forEach(([bottom, top], k) => {
      expect(states[i]!.deltaV[k]!, where).toBeCloseTo(v[top]! - v[bottom]!, 6);
    });
    const contracting = stack.layers.flatMap((_, k) => (strain[k]! < -1e-12 ? [2 * k] : []));
    expect(verdict.contractingLayers[name], where).toEqual(contracting);
    const tip = Math.abs(moment) < 1e-13 ? "none" : moment > 0 ? "up" : "down";
    expect(verdict.tip[name], where).toBe(tip);
    const against = strain.flatMap((s, k) => (s / D31 < -limit * (1 + 1e-9) ? [2 * k] : []));
    const flagged = verdict.flags.filter((flag) => flag.state === name).map((flag) => flag.layer);
    expect(flagged, where).toEqual(against);
    return { moment, strain };
  });
  const [a, b] = results as [(typeof results)[0], (typeof results)[0]];
  const still = Math.abs(a.moment - b.moment) < 1e-13;
  const dead = [...a.strain, ...b.strain].every((s) => Math.abs(s) < 1e-13);
  const ids = verdict.reasons.map((reason) => reason.id);
  expect(ids.includes("no driven layer"), `${terminals}`).toBe(dead);
  expect(ids.includes("same deflection"), `${terminals}`).toBe(still && !dead);
  expect(ids.includes("switched output missing")).toBe(!terminals.includes("switched"));
  if (still) expect(verdict.closedState).toBeNull();
  else expect(verdict.closedState).toBe(a.moment < b.moment ? "high" : "low");
  if (still || !terminals.includes("switched")) expect(verdict.accepted).toBe(false);
  return verdict;
}

test("solver and judgement agree with an energy-minimising oracle over every wiring and poling up to four electrodes", () => {
  let accepted = 0;
  let count = 0;
  for (const stack of STACKS)
    for (const terminals of assignments(stack.electrodes))
      for (const poling of polings(stack.layers.length)) {
        count++;
        if (compare(stack, terminals, poling, "bias", "ground").accepted) accepted++;
      }
  expect(count).toBe(25 * 2 + 25 * 4 + 125 * 4 + 625 * 4 + 625 * 8);
  expect(accepted).toBeGreaterThan(20);
  expect(accepted).toBeLessThan(count / 5);
});

test("the oracle also agrees for switches between two rails, for rails below ground and for five and six electrodes", () => {
  let seed = 12345;
  const random = () => {
    seed = (1103515245 * seed + 12345) % 2147483648;
    return seed / 2147483648;
  };
  const pick = <T>(list: readonly T[]) => list[Math.floor(random() * list.length)]!;
  const nodes = ["ground", "bias", "pulse"];
  try {
    for (let i = 0; i < 1500; i++) {
      const stack = pick([...STACKS, ...DEEP]);
      VOLTS.bias = pick([200, -200, 120]);
      const terminals = Array.from({ length: stack.electrodes }, () => pick(TERMINALS));
      const poling = Array.from({ length: stack.layers.length }, () => pick([1, -1] as const));
      const high = pick(nodes);
      const low = pick(nodes.filter((node) => node !== high));
      compare(stack, terminals, poling, high, low);
    }
  } finally {
    VOLTS.bias = 200;
  }
});

const BIMORPH = STACKS[2]!;
const biased = (change: Partial<WiringModel> = {}): WiringModel => ({
  ...modelOf(BIMORPH, ["ground", "switched", "bias"], [-1, -1]),
  rails: [{ name: "bias", voltage: 200 }],
  outputClamped: true,
  ...change,
});
const stateNamed = (states: DriveState[], name: string): DriveState => {
  const found = states.find((state) => state.name === name);
  if (found === undefined) throw new Error(`no state ${name}`);
  return found;
};

test("every state has its own name and the switch states come first", () => {
  const names = driveStates(biased()).map((state) => state.name);
  expect(new Set(names).size).toBe(names.length);
  expect(names.slice(0, 2)).toEqual(["high", "low"]);
  for (const name of [
    "idle",
    "output off",
    "all at 0 V",
    "rail bias missing, output high",
    "rail bias missing, output low",
    "power-up: rail bias first, output low",
    "power-up: rail bias first, output off",
    "power-up: switch first",
    "power-down: rails gone, output off after high",
    "power-down: rails gone, output off after low",
    "lead e0 open, output high",
    "lead e1 open, output low",
    "lead e2 open, output low",
    "ringing to high",
    "ringing to low",
  ])
    expect(names).toContain(name);
});

test("a floating output keeps its charge when the rails fall, unless diodes hold it", () => {
  // Two equal uncoupled layers of 10 nF: vane at 200 V holds (C + 0)·200 V on the lower layer and
  // C·0 on the upper one; with both outer faces at 0 V that charge spreads over 2 C: 100 V.
  const capacitance = Float64Array.of(10e-9, 0, 0, 10e-9);
  const free = biased({ capacitance, outputCapacitance: 0, outputClamped: false });
  const after = stateNamed(driveStates(free), "power-down: rails gone, output off after high");
  expect(after.potentials[1]).toBeCloseTo(100, 9);
  const low = stateNamed(driveStates(free), "power-down: rails gone, output off after low");
  expect(low.potentials[1]).toBeCloseTo(-100, 9);
  const held = driveStates(biased({ capacitance, outputCapacitance: 0 }));
  expect(
    stateNamed(held, "power-down: rails gone, output off after high").potentials[1],
  ).toBeCloseTo(0, 12);
  // The same kept charge against the poling of the upper layer: it must be flagged without diodes.
  const flags = judgeWiring(free, [0.2e6, 0.2e6]).flags.map(
    (flag) => `${flag.layer} ${flag.state}`,
  );
  expect(flags).toContain("2 power-down: rails gone, output off after high");
  expect(judgeWiring(biased({ capacitance }), [0.2e6, 0.2e6]).flags).toEqual([]);
});

test("an open lead leaves its electrode where its charge stays zero", () => {
  const model = biased();
  const state = stateNamed(driveStates(model), "lead e1 open, output high");
  const g = electrodeCapacitance(model);
  let charge = 0;
  for (let f = 0; f < 3; f++) charge += g[3 + f]! * state.potentials[f]!;
  expect(Math.abs(charge)).toBeLessThan(1e-20);
  expect(state.potentials[1]).toBeGreaterThan(80);
  expect(state.potentials[1]).toBeLessThan(120);
});

test("overshoot of the edge adds to both switch states", () => {
  const states = driveStates(biased({ overshoot: 0.25 }));
  expect(stateNamed(states, "ringing to high").potentials[1]).toBeCloseTo(250, 12);
  expect(stateNamed(states, "ringing to low").potentials[1]).toBeCloseTo(-50, 12);
  const verdict = judgeWiring(biased({ overshoot: 0.25 }), [0.2e6, 0.2e6]);
  expect(verdict.flags.map((flag) => [flag.layer, flag.state, Math.round(flag.field)])).toEqual([
    [2, "ringing to high", -250000],
    [0, "ringing to low", -250000],
  ]);
  expect(verdict.flags[0]!.text).toContain("series resistor");
});

test("a bias rail of its own that fails while the output is high is flagged against the poling", () => {
  const model = biased({
    rails: [
      { name: "bias", voltage: 200 },
      { name: "pulse", voltage: 200 },
    ],
    switchHigh: "pulse",
  });
  const flag = judgeWiring(model, [0.2e6, 0.2e6]).flags.find(
    (one) => one.state === "rail bias missing, output high",
  );
  expect(flag?.layer).toBe(2);
  expect(flag?.field).toBeCloseTo(-1e6, 3);
  expect(flag?.text).toContain("from one rail");
});

test("an isolated set of electrodes is reported and never gives a number that is not finite", () => {
  const model = modelOf(STACKS[3]!, ["ground", "switched", "open", "open"], [1, 1]);
  const solved = solvePotentials(model, { rails: [200, 150], output: 200 });
  expect(solved.undetermined.length).toBe(1);
  expect([...solved.potentials, ...solved.deltaV].every(Number.isFinite)).toBe(true);
});

test("refusals name what is wrong", () => {
  const ids = (model: WiringModel) =>
    judgeWiring(
      model,
      model.layers.map(() => 1e6),
    ).reasons.map((reason) => reason.id);
  expect(ids(biased())).toEqual([]);
  expect(ids(biased({ terminals: ["ground", null, "bias"] }))).toEqual([
    "electrode not assigned",
    "switched output missing",
  ]);
  expect(ids(biased({ terminals: ["ground", "switched", "bais"] }))).toEqual(["unknown terminal"]);
  expect(ids(biased({ switchHigh: "pulse" }))).toContain("unknown terminal");
  expect(ids(biased({ switchHigh: null }))).toContain("no switch");
  expect(ids(biased({ switchHigh: "bias", switchLow: "bias" }))).toContain("switch does nothing");
  expect(ids(biased({ terminals: ["ground", "ground", "bias"] }))).toEqual([
    "switched output missing",
    "same deflection",
  ]);
  expect(ids(biased({ terminals: ["switched", "switched", "switched"] }))).toEqual([
    "no driven layer",
  ]);
  const shorted = biased();
  const layers = shorted.layers.map((layer, k) => (k === 1 ? { ...layer, top: 1 } : layer));
  expect(ids({ ...shorted, layers })).toContain("layer shorted");
  expect(
    ids({ ...shorted, layers: shorted.layers.map((layer) => ({ ...layer, poling: 0, theta: 0 })) }),
  ).toContain("not poled");
});

test("a capacitance matrix of the wrong size is refused", () => {
  expect(() => driveStates(biased({ capacitance: new Float64Array(3) }))).toThrow(RangeError);
});
