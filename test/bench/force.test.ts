import { expect, test } from "vitest";
import { FORCE } from "../../src/bench/force/kind.ts";
import { KINDS } from "../../src/bench/kinds.ts";
import { randomStream } from "../../src/numerics/random.ts";
import { exampleDesign } from "../examples/support.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

/** A strip of 20 N/mm at 5 mN/V behind a balance that gives 5 µm/N; contact at 40 µm, tare 12 mN. */
const K = 2e4;
const B = 5e-3;
const GIVE = 5e-6;
const held = 1 / (1 + K * GIVE);
const reading = (z: number, v: number, loop = 0) =>
  0.012 + Math.max(0, held * (K * (z - 40e-6) + B * v) + loop / 2);
const UP = Array.from({ length: 25 }, (_, i) => i * 5e-6);
const TRAVEL = [...UP, ...UP.slice(0, -1).reverse()];
const SET = { "balance-compliance": [GIVE, 2e-7] } as const;
const keysOf = (found: ReturnType<typeof FORCE.reduce>) => found.warnings.map((w) => w.key);

test("is among the kinds", () => {
  expect(KINDS).toContain(FORCE);
});

test("travel: stiffness with the balance's give taken out, contact point, loop", () => {
  const force = TRAVEL.map((z, i) => reading(z, 0, i < 25 ? 0.02 : -0.02));
  const found = FORCE.reduce([dataOf({ travel: TRAVEL, force })], settingsOf(SET), null);
  expect(valueAt(found, "stiffness_N_m").value! / K).toBeCloseTo(1, 2);
  expect(valueAt(found, "hysteresis_N").value).toBeCloseTo(0.02, 3);
  const plain = FORCE.reduce(
    [dataOf({ travel: TRAVEL, force: TRAVEL.map((z) => reading(z, 0)) })],
    settingsOf(SET),
    null,
  );
  expect(valueAt(plain, "stiffness_N_m").value! / K).toBeCloseTo(1, 9);
  expect(valueAt(plain, "contact_travel_m").value).toBeCloseTo(40e-6, 10);
  expect(plain.fits[0]!.parameters[0]!.value).toBeCloseTo(0.012, 10);
  // Taken as stiff, the strip looks softer by 1 + k c.
  const stiff = FORCE.reduce(
    [dataOf({ travel: TRAVEL, force: TRAVEL.map((z) => reading(z, 0)) })],
    settingsOf({}),
    null,
  );
  expect(valueAt(stiff, "stiffness_N_m").value! / (K * held)).toBeCloseTo(1, 9);
  expect(keysOf(stiff)).toContain("balance-gives");
  // u of the give: k² u(c).
  expect(valueAt(plain, "stiffness_N_m").u! / (K * K * 2e-7)).toBeCloseTo(1, 2);
});

test("load lines at several voltages: blocking force, free deflection where they meet zero force", () => {
  const rows = [0, 60, 120, 180].flatMap((v) =>
    [60e-6, 80e-6, 100e-6, 120e-6].map((z) => [z, v] as const),
  );
  const data = dataOf({
    travel: rows.map(([z]) => z),
    voltage: rows.map(([, v]) => v),
    force: rows.map(([z, v]) => reading(z, v)),
  });
  const found = FORCE.reduce([data], settingsOf({ ...SET, "swing-voltage": [180, 1] }), null);
  expect(valueAt(found, "stiffness_N_m").value! / K).toBeCloseTo(1, 9);
  expect(valueAt(found, "force_per_volt_N_V").value! / B).toBeCloseTo(1, 9);
  expect(valueAt(found, "blocking_force_N").value! / (180 * B)).toBeCloseTo(1, 9);
  expect(valueAt(found, "free_deflection_m").value! / ((180 * B) / K)).toBeCloseTo(1, 9);
  expect(valueAt(found, "contact_travel_m").value).toBeNull();
  expect(keysOf(found)).toContain("no-tare");
  const blocking = valueAt(found, "blocking_force_N");
  expect(blocking.budget.map((line) => line.source).join()).toMatch(/voltage between the states/);
});

test("voltage alone: the strip's stiffness corrects for the give; without it free deflection has a reason", () => {
  const volts = Array.from({ length: 20 }, (_, i) => 10 * i);
  const force = volts.map((v) => 0.012 + Math.max(0, held * (B * v - 0.2)));
  const data = dataOf({ voltage: volts, force });
  const found = FORCE.reduce([data], settingsOf({ ...SET, "strip-stiffness": [K, 500] }), null);
  expect(valueAt(found, "force_per_volt_N_V").value! / B).toBeCloseTo(1, 9);
  expect(valueAt(found, "deflection_per_volt_m_V").value! / (B / K)).toBeCloseTo(1, 9);
  expect(valueAt(found, "contact_voltage_V").value).toBeCloseTo(40, 8);
  const bare = FORCE.reduce([data], settingsOf({}), null);
  expect(valueAt(bare, "deflection_per_volt_m_V").value).toBeNull();
  expect(valueAt(bare, "deflection_per_volt_m_V").reason).toMatch(/travel/);
});

test("a balance reads a mass: gravity with its uncertainty", () => {
  const mass = TRAVEL.map((z) => reading(z, 0) / 9.81);
  const found = FORCE.reduce(
    [dataOf({ travel: TRAVEL, force: mass }, { force: "mass" })],
    settingsOf({ ...SET, gravity: [9.81, 0.02] }),
    null,
  );
  expect(valueAt(found, "stiffness_N_m").value! / K).toBeCloseTo(1, 9);
  expect(valueAt(found, "stiffness_N_m").budget.map((line) => line.source)).toContain(
    "gravity and scale of the balance",
  );
});

test("what a careful colleague says", () => {
  const s = randomStream(6, 0);
  const run = (force: readonly number[], settings = {}) =>
    keysOf(
      FORCE.reduce([dataOf({ travel: TRAVEL, force })], settingsOf({ ...SET, ...settings }), null),
    );
  const noise = () => 1e-4 * s.normal();
  expect(run(TRAVEL.map((z) => reading(z, 0) + noise()))).toEqual([]);
  expect(run(TRAVEL.map((z) => 0.012 + 2e8 * Math.max(0, z - 40e-6) ** 2 + noise()))).toContain(
    "line-bent",
  );
  expect(
    run(
      TRAVEL.map((z) => reading(z, 0) + noise()),
      { "balance-compliance": 6e-5 },
    ),
  ).toContain("balance-too-soft");
  expect(run(TRAVEL.map((z, i) => reading(z, 0) + i * 3e-4 + noise()))).toContain("tare-drifts");
  expect(
    run(TRAVEL.map((z, i) => (z > 40e-6 ? reading(z, 0, i < 25 ? 1.4 : 0) : 0.012) + noise())),
  ).toContain("loop-wide");
  expect(() => FORCE.reduce([dataOf({ force: [1, 2, 3, 4] })], settingsOf({}), null)).toThrow(
    /travel or voltage/,
  );
  expect(() =>
    FORCE.reduce([dataOf({ force: [1, 2, 3, 4], travel: [1, 1, 1, 1] })], settingsOf({}), null),
  ).toThrow(/neither/);
});

test("predictions of the sheet at pad and tip, scaled to the voltage that is given", () => {
  const design = exampleDesign("crossed-beam-helium");
  const of = (settings: Record<string, number | string>) =>
    new Map(FORCE.predict!(design, [], settingsOf(settings), {} as never).map((p) => [p.key, p]));
  const pad = of({ "swing-voltage": 180 });
  const tip = of({ "swing-voltage": 180, place: "tip" });
  expect(pad.get("stiffness_N_m")!.value).toBeGreaterThan(tip.get("stiffness_N_m")!.value);
  const { value: force } = pad.get("blocking_force_N")!;
  const { value: travel } = pad.get("free_deflection_m")!;
  expect(force / (pad.get("stiffness_N_m")!.value * travel)).toBeCloseTo(1, 9);
  for (const p of pad.values()) expect(p.u).toBeGreaterThan(0);
});

test("95 % intervals of 1500 synthetic runs up and down through the contact", () => {
  const truths = {
    stiffness_N_m: K,
    contact_travel_m: 42e-6,
    hysteresis_N: 0,
  };
  const found = statistics(1500, truths, (s) => {
    const give = GIVE + 5e-7 * s.normal();
    const force = TRAVEL.map(
      (z) => 0.012 + Math.max(0, held * K * (z - 42e-6)) + 0.01 * s.normal(),
    );
    return FORCE.reduce(
      [dataOf({ travel: TRAVEL, force })],
      settingsOf({ "balance-compliance": [give, 5e-7] }),
      null,
    );
  });
  for (const [key, { coverage, bias }] of Object.entries(found)) {
    expect(coverage, key).toBeGreaterThan(0.92);
    expect(coverage, key).toBeLessThan(0.98);
    expect(Math.abs(bias), key).toBeLessThan(0.1);
  }
});

test("95 % intervals of 1500 synthetic sets of load lines", () => {
  const truths = { force_per_volt_N_V: B, free_deflection_m: (180 * B) / K, stiffness_N_m: K };
  const rows = [0, 60, 120, 180].flatMap((v) => [60e-6, 80e-6, 100e-6].map((z) => [z, v] as const));
  const found = statistics(1500, truths, (s) => {
    const data = dataOf({
      travel: rows.map(([z]) => z),
      voltage: rows.map(([, v]) => v),
      force: rows.map(([z, v]) => reading(z, v) + 0.01 * s.normal()),
    });
    return FORCE.reduce(
      [data],
      settingsOf({ "balance-compliance": [GIVE, 0], "swing-voltage": 180 }),
      null,
    );
  });
  for (const [key, { coverage, bias }] of Object.entries(found)) {
    expect(coverage, key).toBeGreaterThan(0.92);
    expect(coverage, key).toBeLessThan(0.98);
    expect(Math.abs(bias), key).toBeLessThan(0.1);
  }
});
