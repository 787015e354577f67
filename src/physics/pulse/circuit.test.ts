import { expect, test } from "vitest";
import { buildCircuit, type CircuitRail, type CircuitSpec, networkOf } from "./circuit.ts";
import { commandsOf } from "./program.ts";

const rail = (change: Partial<CircuitRail> & { voltage: number }): CircuitRail => ({
  name: "bias",
  outputResistance: 100,
  currentLimit: 5e-3,
  sinks: false,
  storage: 1e-6,
  storageEsr: 0.5,
  leakageResistance: 1e9,
  bleeder: 1e6,
  ...change,
});
const sw = {
  high: 1,
  low: 0,
  onResistance: 10,
  seriesHigh: 470,
  seriesLow: 220,
  currentMax: 20e-3,
  outputCapacitance: 2e-10,
  deadTime: 200e-9,
  delay: 50e-9,
};
const spec: CircuitSpec = {
  electrodes: ["ground", "switched", 0, "open"],
  rails: [rail({ voltage: -150 }), rail({ name: "pulse", voltage: 80, storage: 0, sinks: true })],
  switch: sw,
};

test("nodes: output, each rail's terminal and the inside of a storage with resistance, open electrodes", () => {
  const circuit = buildCircuit(spec);
  expect(circuit.names).toEqual([
    "output",
    "rail bias",
    "storage of bias",
    "rail pulse",
    "open electrode 4",
  ]);
  expect(Array.from(circuit.electrodeNode)).toEqual([-1, 0, 1, 4]);
  expect(Array.from(circuit.storageNode)).toEqual([2, -1]);
  expect(circuit.own[0]).toBe(2e-10);
  expect(circuit.own[2]).toBe(1e-6);
  // A node without capacitance has a stray one, so that no potential jumps.
  expect(circuit.own[1]).toBeGreaterThan(0);
  expect(circuit.own[1]).toBeLessThan(1e-10);
  const plain = buildCircuit({ ...spec, rails: [rail({ voltage: 1, storageEsr: 0 })] });
  expect(plain.storageNode[0]).toBe(plain.railNode[0]);
  expect(plain.own[plain.railNode[0]!]).toBe(1e-6);
});

test.each(["high", "low", "off", "diode high", "diode low", "limited", "wave"] as const)(
  "output %s: conductances are symmetric, rows sum to what goes to ground, powers add up to v·i",
  (output) => {
    const circuit = buildCircuit(spec);
    const n = circuit.nodes;
    for (const supply of ["linear", "limited", "blocked"] as const) {
      const net = networkOf(
        circuit,
        output,
        output === "limited" ? 1 : 0,
        [supply, "linear"],
        [-1, 1],
      );
      for (let i = 0; i < n; i++) {
        let sum = 0;
        for (let j = 0; j < n; j++) {
          sum += net.conductance[i * n + j]!;
          expect(net.conductance[i * n + j]).toBe(net.conductance[j * n + i]);
        }
        expect(sum).toBeGreaterThanOrEqual(-1e-9);
      }
      // Tellegen: what comes in minus what is lost is what flows into the capacitances, vᵀ(J − Y v).
      const v = Float64Array.from({ length: n }, (_, i) => 30 * Math.sin(3 * i + 1) - 40);
      const drive = 17;
      const x = [...v, 1, drive];
      const value = (row: Float64Array) => row.reduce((sum, a, i) => sum + a * x[i]!, 0);
      let inward = 0;
      let lost = 0;
      let scale = 0;
      for (const { account, a, b } of net.powers) {
        const p = value(a) * value(b);
        scale += Math.abs(p);
        if (account.startsWith("in: ")) inward += p;
        else lost += p;
      }
      let stored = 0;
      for (let i = 0; i < n; i++) {
        let current = net.source[i]! + net.perDrive[i]! * drive;
        for (let j = 0; j < n; j++) current -= net.conductance[i * n + j]! * v[j]!;
        stored += v[i]! * current;
      }
      expect(Math.abs(inward - lost - stored) / scale).toBeLessThan(1e-12);
    }
  },
);

test("losses in resistors are never negative, whatever the potentials", () => {
  const circuit = buildCircuit(spec);
  const n = circuit.nodes;
  for (const output of ["high", "low", "diode high", "diode low"] as const) {
    const net = networkOf(circuit, output, 0, ["linear", "linear"], [1, 1]);
    for (let seed = 1; seed < 40; seed++) {
      const x = [...Array.from({ length: n }, (_, i) => 200 * Math.sin(seed * (i + 1.3))), 1, 0];
      const value = (row: Float64Array) => row.reduce((sum, a, i) => sum + a * x[i]!, 0);
      for (const { account, a, b } of net.powers)
        if (!account.startsWith("in: ")) expect(value(a) * value(b)).toBeGreaterThanOrEqual(0);
    }
  }
});

test("an edge becomes: let go after the delay, turn on after the dead time", () => {
  const commands = commandsOf(
    [
      { time: 0, state: "high" },
      { time: 1e-4, state: "low" },
    ],
    sw,
  );
  expect(commands.map(({ state }) => state)).toEqual(["off", "high", "off", "low"]);
  const times = [50e-9, 250e-9, 1e-4 + 50e-9, 1e-4 + 250e-9];
  commands.forEach(({ time }, i) => {
    expect(time).toBeCloseTo(times[i]!, 15);
  });
});

test("without a dead time there is one command an edge, and off needs none", () => {
  const edges = [
    { time: 0, state: "high" },
    { time: 2e-6, state: "off" },
  ] as const;
  expect(commandsOf(edges, { ...sw, deadTime: 0 }).map(({ state }) => state)).toEqual([
    "high",
    "off",
  ]);
  expect(commandsOf(edges, sw).map(({ state }) => state)).toEqual(["off", "high", "off"]);
});

test("an edge within the dead time of the one before replaces what had not come", () => {
  const commands = commandsOf(
    [
      { time: 0, state: "high" },
      { time: 100e-9, state: "low" },
    ],
    sw,
  );
  // Let go at 50 ns; at 150 ns the turn to high (250 ns) is given up.
  expect(commands.map(({ state }) => state)).toEqual(["off", "off", "low"]);
  for (let i = 1; i < commands.length; i++)
    expect(commands[i]!.time).toBeGreaterThan(commands[i - 1]!.time);
});

test("edges that do not rise, or lie before the start, are refused with the times", () => {
  expect(() => commandsOf([{ time: -1e-6, state: "high" }], sw)).toThrow("got -0.000001 s");
  expect(() =>
    commandsOf(
      [
        { time: 2e-6, state: "high" },
        { time: 2e-6, state: "low" },
      ],
      sw,
    ),
  ).toThrow("must rise");
});
