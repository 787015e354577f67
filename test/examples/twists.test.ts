import { describe, expect, test } from "vitest";
import { cautionIds, marginOf, sheetOf } from "./support.ts";

/*
 * The scenarios are our own. Each twist is moved across its threshold by its cause alone: it is there
 * on one side, gone on the other, and back.
 */

describe("crossed-beam helium", () => {
  const pulse = (text: string): [RegExp, string][] => [[/gas_pulse: 30 µs/, `gas_pulse: ${text}`]];

  test("a pulse of 30 µs is refused against 0.3/f1 and a longer one is not", () => {
    const asked = sheetOf("crossed-beam-helium");
    const f1 = asked.modes.open_gas_Hz[0] as number;
    expect(asked.gas?.shortest_pulse_s).toBeCloseTo(0.3 / f1, 12);
    expect(marginOf(asked, "gas_pulse").met).toBe(false);
    const shortest = 0.3 / f1;
    expect(
      marginOf(sheetOf("crossed-beam-helium", pulse(`${shortest * 1.001e6} µs`)), "gas_pulse").met,
    ).toBe(true);
    expect(
      marginOf(sheetOf("crossed-beam-helium", pulse(`${shortest * 0.999e6} µs`)), "gas_pulse").met,
    ).toBe(false);
  });

  test("the ways out of 30 µs are recomputed, ranked, better, and never more volts", () => {
    const sheet = sheetOf("crossed-beam-helium", [], true);
    expect(sheet.ways_out.length).toBeGreaterThan(1);
    const before = Math.min(...sheet.margins.map((m) => m.margin ?? -1));
    for (const way of sheet.ways_out) {
      expect(way.smallest_margin).toBeGreaterThanOrEqual(before - 1e-12);
      for (const change of way.changes)
        if (change.key.endsWith(".voltage"))
          expect(Math.abs(change.to)).toBeLessThan(Math.abs(change.from));
    }
    const all = sheet.ways_out.map((way) => way.meets_all);
    expect(all.indexOf(true)).toBe(0);
    expect(all.lastIndexOf(true)).toBe(all.filter(Boolean).length - 1);
  });

  test("the mean pressure is above its limit at 100 Hz and below it at a lower rate", () => {
    const rate = (hz: number): [RegExp, string][] => [[/rate: 100 Hz/, `rate: ${hz} Hz`]];
    const at100 = sheetOf("crossed-beam-helium");
    const row = marginOf(at100, "mean_pressure");
    expect(row.met).toBe(false);
    const threshold = (100 * row.limit) / (row.value as number);
    expect(
      marginOf(sheetOf("crossed-beam-helium", rate(threshold * 0.999)), "mean_pressure").met,
    ).toBe(true);
    expect(
      marginOf(sheetOf("crossed-beam-helium", rate(threshold * 1.001)), "mean_pressure").met,
    ).toBe(false);
  });
});

describe("argon clusters", () => {
  const seat = (d: string): [RegExp, string][] => [[/diameter: 0.30\(1\) mm/, `diameter: ${d}`]];

  test("a seat of 0.8 mm fails on force, and no way out offers more volts", () => {
    expect(marginOf(sheetOf("argon-clusters"), "crack_open_force").met).toBe(true);
    const wide = sheetOf("argon-clusters", seat("0.8 mm"), true);
    expect(marginOf(wide, "crack_open_force").met).toBe(false);
    expect(wide.seat?.pressure_force_N).toBeGreaterThan(2.9);
    for (const way of wide.ways_out)
      for (const change of way.changes)
        if (change.key.endsWith(".voltage"))
          expect(Math.abs(change.to)).toBeLessThan(Math.abs(change.from));
    expect(wide.ways_out.some((way) => way.changes.some((c) => c.key === "seat.diameter"))).toBe(
      true,
    );
  });

  test("the burst energy of the plenum is named and vanishes with a small volume", () => {
    const sheet = sheetOf("argon-clusters");
    const energy = sheet.cautions.find((c) => c.id === "burst_energy")?.values.energy_J;
    expect(energy).toBeGreaterThan(140);
    expect(energy).toBeLessThan(150);
    expect(
      cautionIds(sheetOf("argon-clusters", [[/volume: 20 cm³/, "volume: 0.1 cm³"]])),
    ).not.toContain("burst_energy");
  });

  test("slow venting and the real-gas caution hang on the pressure", () => {
    const at = (p: string) =>
      cautionIds(sheetOf("argon-clusters", [[/plenum_pressure: 60 bar/, `plenum_pressure: ${p}`]]));
    expect(at("60 bar")).toEqual(expect.arrayContaining(["venting", "real_gas"]));
    expect(at("19.9 bar")).not.toContain("venting");
    expect(at("20.1 bar")).toContain("venting");
    expect(at("2 bar")).not.toContain("real_gas");
  });

  test("the lock-out band of argon at 300 V is given for both gas spaces and goes with the voltage", () => {
    const sheet = sheetOf("argon-clusters");
    expect(sheet.lockout.map((b) => b.gas_space).sort()).toEqual(["plenum", "vacuum side"]);
    expect(cautionIds(sheet)).toContain("lockout.plenum");
    const lowest = 0.8 * Math.min(137, sheet.lockout[0]?.minimum_computed_V ?? 0);
    const volts = (v: number): [RegExp, string][] => [[/voltage: 300\(1\) V/, `voltage: ${v} V`]];
    expect(sheetOf("argon-clusters", volts(lowest * 0.99)).lockout).toEqual([]);
    expect(sheetOf("argon-clusters", volts(lowest * 1.01)).lockout.length).toBe(2);
  });

  test("the dense gas lowers the first resonance by about 4 %", () => {
    const { modes } = sheetOf("argon-clusters");
    const drop = 1 - (modes.open_gas_Hz[0] as number) / (modes.open_vacuum_Hz[0] as number);
    expect(drop).toBeGreaterThan(0.025);
    expect(drop).toBeLessThan(0.06);
  });
});

describe("kilohertz hydrogen", () => {
  test("the ring-down outlasts the period at 1 kHz, not at a low rate", () => {
    const sheet = sheetOf("kilohertz-hydrogen");
    expect(cautionIds(sheet)).toContain("ring_down");
    expect(marginOf(sheet, "ring_down").met).toBe(false);
    const slowest = 1 / sheet.modes.ring_down_gas_s;
    const at = (hz: number) =>
      cautionIds(sheetOf("kilohertz-hydrogen", [[/rate: 1 kHz/, `rate: ${hz} Hz`]]));
    expect(at(slowest * 0.99)).not.toContain("ring_down");
    expect(at(slowest * 1.01)).toContain("ring_down");
  });

  test("hydrogen on electroded ceramic is flagged and nitrogen is not", () => {
    const ids = (gas: string) =>
      cautionIds(sheetOf("kilohertz-hydrogen", [[/gas: H2/, `gas: ${gas}`]]));
    expect(ids("H2").some((id) => id.startsWith("gas_material."))).toBe(true);
    expect(ids("N2").some((id) => id.startsWith("gas_material."))).toBe(false);
  });

  test("the exhaust is diluted below a quarter of the explosive limit, or it is not met", () => {
    const at = (flow: string) =>
      marginOf(
        sheetOf("kilohertz-hydrogen", [
          [/exhaust_dilution: \d+ l\/min/, `exhaust_dilution: ${flow}`],
        ]),
        "exhaust",
      );
    const needed = sheetOf("kilohertz-hydrogen").cautions.find((c) => c.id === "flammable_exhaust")
      ?.values.dilution_needed_m3_s as number;
    expect(at(`${needed * 1.001 * 6e4} l/min`).met).toBe(true);
    expect(at(`${needed * 0.999 * 6e4} l/min`).met).toBe(false);
  });

  test("the state without trigger must close the valve", () => {
    const idle = (state: string) =>
      cautionIds(sheetOf("kilohertz-hydrogen", [[/( {2}low: bias\n)/, `$1  idle: ${state}\n`]]));
    const sheet = sheetOf("kilohertz-hydrogen");
    expect(cautionIds(sheet)).toContain("trigger_loss");
    const closed = sheet.wiring?.closed_state as string;
    expect(idle(closed)).not.toContain("trigger_loss");
    expect(idle(closed === "low" ? "high" : "low")).toContain("trigger_loss");
  });
});

describe("krypton buffer gas", () => {
  test("the load is over its limit, and the rate or the orifice that mends it is offered", () => {
    const sheet = sheetOf("krypton-buffer", [], true);
    const row = marginOf(sheet, "gas_load");
    expect(row.met).toBe(false);
    const offers = (key: string) =>
      sheet.ways_out.some((way) => way.changes.some((c) => c.key === key));
    expect(offers("need.rate")).toBe(true);
    expect(offers("need.orifice_diameter")).toBe(true);
    const threshold = (25 * row.limit) / (row.value as number);
    const at = (hz: number) =>
      marginOf(sheetOf("krypton-buffer", [[/rate: 25 Hz/, `rate: ${hz} Hz`]]), "gas_load");
    expect(at(threshold * 0.999).met).toBe(true);
    expect(at(threshold * 1.001).met).toBe(false);
  });

  test("pulses pile up while the chamber empties more slowly than they come", () => {
    const at = (hz: number) =>
      cautionIds(sheetOf("krypton-buffer", [[/rate: 25 Hz/, `rate: ${hz} Hz`]]));
    // 8 l at 80 l/s empty with 0.1 s.
    expect(at(25)).toContain("pile_up");
    expect(at(9.9)).not.toContain("pile_up");
    expect(at(10.1)).toContain("pile_up");
  });

  test("an unmarked strip asks for its polarity before anything else", () => {
    const sheet = sheetOf("krypton-buffer");
    expect(cautionIds(sheet)[0]).toBe("polarity_first");
    expect(
      cautionIds(sheetOf("krypton-buffer", [[/polarity_mark: unmarked/, "polarity_mark: marked"]])),
    ).not.toContain("polarity_first");
  });

  test("the pump's nitrogen figure is questioned for krypton", () => {
    expect(cautionIds(sheetOf("krypton-buffer"))).toContain("pump_gas");
    expect(
      cautionIds(sheetOf("krypton-buffer", [[/pumping_speed_gas: N2/, "pumping_speed_gas: Kr"]])),
    ).not.toContain("pump_gas");
  });

  test("a strip clamped at 14.8 mm shows its length and does not blame d31", () => {
    // The planted error: f1 10.5 % low and swing 12 % high against 14 mm (square law).
    const nominal = sheetOf("krypton-buffer");
    const f1 = nominal.modes.open_vacuum_Hz[0] as number;
    const swing = nominal.strip.swing_at_tip_m as number;
    const force = nominal.strip.blocking_force_at_tip_N as number;
    const measured = `measured: {free_length: 14 mm, voltage: 180 V, deflection_counted: total travel, deflection: ${swing * 1.12 * 1e6} ± ${swing * 0.02 * 1e6} µm, resonance: ${f1 * 0.895} ± ${f1 * 0.005} Hz}`;
    const catalogue = `catalogue: {free_length: 14 mm, voltage: 180 V, deflection_counted: total travel, deflection: ${swing * 1e6} ± ${swing * 0.02 * 1e6} µm, blocking_force: ${force} ± ${force * 0.02} N, resonance: ${f1} ± ${f1 * 0.01} Hz}`;
    const sheet = sheetOf("krypton-buffer", [
      [/^chamber:/m, `${measured}\n${catalogue}\nchamber:`],
    ]);
    const found = sheet.measured;
    expect(found?.effective_length_m).toBeGreaterThan(14.6e-3);
    expect(found?.effective_length_m).toBeLessThan(15.0e-3);
    expect(found?.u_effective_length_m).toBeLessThan(0.25e-3);
    expect(found?.not_to_blame).toContain("d31");
    expect(found?.not_to_blame).not.toContain("free length");
  });
});
