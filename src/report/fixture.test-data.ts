import type { Design } from "../design/design.ts";
import { lockout } from "../physics/breakdown.ts";
import type { MarginRow, SheetResult, StateFigures, WindowFigures } from "../sheet/result.ts";

/*
 * Designs and results for the tests of text and pictures: an invented 9 mm strip, its numbers from
 * the hand formulas of a uniform cantilever (f1 = 0.5596/L² √(EI/m), κ = M/EI, k = 3EI/x³). Not a
 * check of the physics: plausible numbers to draw.
 */

const EI = 3.25e-3;
const MASS = 0.01965;
const THETA = 9.8e-6;
const VOLTS = 150;
const PRESSURE = 4e5;
const SEAL = 0.45e-3;
const ORIFICE = 0.12e-3;

const layer = (
  material: string,
  thickness: number,
  rest: Partial<Design["strip"]["layers"][number]>,
): Design["strip"]["layers"][number] => ({
  material,
  thickness,
  width: 5e-3,
  poling: 0,
  bottom: null,
  top: null,
  conductor: null,
  ...rest,
});

/** Two ceramic layers about a brass vane, 9 mm free, pad and seat below, argon at 4 bar. */
export function valveDesign(): Design {
  const ceramic = {
    kind: "ceramic",
    name: "soft ceramic",
    youngModulus: 62e9,
    poissonRatio: 0.31,
    density: 7700,
    d31: -210e-12,
    epsilon33T: 3400 * 8.8541878128e-12,
    thermalExpansion: 4e-6,
    thermalConductivity: 1.1,
    curieTemperature: 503,
    coerciveField: 0.8e6,
    tanDelta: 0.02,
    rayleighRatio: 0.667,
    d31Temperature: 0.002,
    epsilon33TTemperature: 0.005,
  } as const;
  const brass = {
    kind: "metal",
    name: "brass",
    youngModulus: 105e9,
    poissonRatio: 0.34,
    density: 8500,
    thermalExpansion: 19e-6,
    thermalConductivity: 120,
    serviceTemperatureMax: null,
  } as const;
  const rubber = {
    kind: "elastomer",
    name: "FKM 75 Shore A",
    youngModulus: 7e6,
    poissonRatio: 0.499,
    density: 1850,
    dynamicFactor: 2,
    serviceTemperatureMax: 473,
    ventRateMax: 1e5,
  } as const;
  return {
    name: "argon-jet",
    notes: "",
    need: {
      plenumPressure: PRESSURE,
      plenumTemperature: 295.15,
      orificeDiameter: ORIFICE,
      gasPulse: 120e-6,
      rate: 50,
      chamberPressureMax: 1e-2,
      gasLoadMax: null,
      openArea: 1,
      swingMin: null,
      resonanceMin: null,
      hoursPerDay: 8,
      standardState: null,
    },
    strip: {
      width: 5e-3,
      freeLength: 9e-3,
      totalLength: null,
      layers: [
        layer("soft ceramic", 0.2e-3, { poling: 1, bottom: "lower face", top: "vane" }),
        layer("brass", 0.1e-3, { conductor: "vane" }),
        layer("soft ceramic", 0.2e-3, { poling: 1, bottom: "vane", top: "upper face" }),
      ],
      extension: null,
      polarityMark: "marked",
      referenceTemperature: 295.15,
      structuralQ: 30,
    },
    clamp: { length: 5e-3, rotationalStiffness: null, translationalStiffness: null },
    masses: [],
    pad: {
      material: "FKM 75 Shore A",
      thickness: 0.5e-3,
      position: 8.5e-3,
      fromTip: null,
      mass: 4e-6,
      law: "thin layer",
      stiffness: null,
      cordDiameter: null,
      stickForce: 0,
    },
    seat: {
      form: "land",
      diameter: SEAL,
      land: 0.05e-3,
      arrangement: "pressure closes",
      side: "below",
      standOff: 2e-6,
      threadPitch: 0.25e-3,
      bodyDeflection: 0,
      dischargeCurtain: 0.8,
      dischargeOrifice: 0.9,
    },
    plenum: { volume: 20e-6, feedConductance: null },
    chamber: {
      volume: 40e-3,
      pumpingSpeed: 0.6,
      pumpingSpeedGas: "Ar",
      basePressure: 1e-5,
      wallTemperature: 295.15,
      reliefPressure: null,
      exhaustDilution: null,
    },
    electrodes: ["lower face", "vane", "upper face"],
    wiring: { "lower face": "ground", vane: "switched", "upper face": "bias" },
    rails: {
      bias: {
        voltage: -VOLTS,
        currentLimit: 5e-3,
        outputResistance: 100,
        sinks: false,
        storage: 0.47e-6,
        storageEsr: 0.5,
        leakageResistance: null,
        bleeder: 1e6,
      },
    },
    switch: {
      high: "ground",
      low: "bias",
      idle: "low",
      onResistance: 10,
      seriesResistor: 470,
      resistorPulseEnergyMax: null,
      currentMax: null,
      outputCapacitance: 50e-12,
      deadTime: 200e-9,
    },
    cable: { length: 1, capacitancePerMetre: 100e-12, inductancePerMetre: 250e-9 },
    surroundings: {
      wallDistance: null,
      conductorGapMin: 0.3e-3,
      conductorGapMax: 5e-3,
      ambientTemperature: 295.15,
      wetted: [],
    },
    materials: { "soft ceramic": ceramic, brass, "FKM 75 Shore A": rubber },
    gas: {
      name: "Ar",
      gamma: 5 / 3,
      molarMass: 39.948e-3,
      components: [{ name: "Ar", fraction: 1 }],
    } as unknown as NonNullable<Design["gas"]>,
    limits: {
      fieldWithPolingMax: 1.5e6,
      fieldWithPolingCaution: 1e6,
      fieldAgainstPolingMax: 0.2e6,
      coerciveFractionMax: 1 / 3,
      curieFractionMax: 0.5,
      clampStressMax: 30e6,
      crackOpenRatioMin: 1.5,
      openingVoltageFractionMax: 0.8,
      sealStressMin: 0.5e6,
      sealStressPerPressure: 1.5,
      ringDownsPerPeriodMin: 1,
      rateOverResonanceMax: 1 / 3,
      railDroopMax: 0.05,
      plenumDroopMax: 0.02,
      storedVoltageTouch: 50,
      bleedTimeMax: 5,
      lowestExplosiveFractionMax: 0.25,
    },
    model: {
      width: "corrected",
      widthCorrection: 1,
      field: "redistributed",
      beam: "shear",
      largeSignalCapacitanceFactor: 1.8,
      largeSignalTanDelta: 0.15,
      d31Basis: "small signal",
      secondaryEmissionMin: 0.01,
      secondaryEmissionMax: 0.1,
      breakdownFactor: 0.8,
    },
    inputs: [],
    freeLengthRange: null,
  };
}

/** The same valve at a pressure at which it hangs on its seat and snaps. */
export function snapDesign(): Design {
  const design = valveDesign();
  return { ...design, name: "argon-high", need: { ...design.need, plenumPressure: 14.6e5 } };
}

/** The result that goes with {@link valveDesign}: every requirement met. */
export function valveResult(design: Design = valveDesign()): SheetResult {
  const L = design.strip.freeLength;
  const x = design.pad?.position ?? L;
  const k = (3 * EI) / x ** 3;
  const one = (THETA * VOLTS * x * x) / (2 * EI);
  const standOff = design.seat?.standOff ?? 0;
  const f1 = (0.5596 / L ** 2) * Math.sqrt(EI / MASS) * 0.96;
  const gasArea = (Math.PI / 4) * SEAL * SEAL;
  const pressure = design.need.plenumPressure;
  const padStiffness = 2.2e5;
  const gasAt = (lift: number) => {
    const a = (4 * 0.8 * SEAL * Math.max(lift, 0)) / (0.9 * ORIFICE ** 2);
    return -pressure * gasArea * (1 / (1 + (a / 0.7) ** 2));
  };
  const force = (free: number, lift: number) =>
    k * (free - standOff - lift) + gasAt(lift) + Math.max(0, -lift) * padStiffness;
  const rests = (free: number) => {
    const out: { lift: number; stable: boolean }[] = [];
    const at = (i: number) => -20e-6 + i * 0.05e-6;
    for (let i = 0; i < 1000; i++) {
      let [a, b] = [at(i), at(i + 1)];
      const falls = force(free, a) > 0 && force(free, b) <= 0;
      if (!falls && !(force(free, a) < 0 && force(free, b) >= 0)) continue;
      for (let k = 0; k < 50; k++) {
        const middle = 0.5 * (a + b);
        if (force(free, middle) > 0 === falls) a = middle;
        else b = middle;
      }
      out.push({ lift: 0.5 * (a + b), stable: falls });
    }
    return out;
  };
  const closedRests = rests(-one);
  const openRests = rests(one);
  const closedLift = closedRests[0]!.lift;
  const openLift = openRests[openRests.length - 1]!.lift;
  const lifts = Array.from({ length: 121 }, (_, i) => -3e-6 + (26e-6 * i) / 120);
  const state = (
    name: string,
    kind: StateFigures["kind"],
    what: string,
    volts: [number, number, number],
  ): StateFigures => {
    const fields = [-(volts[1] - volts[0]) / 0.2e-3, -(volts[2] - volts[1]) / 0.2e-3];
    const moment = THETA * (volts[1] - volts[0] - (volts[2] - volts[1]));
    return {
      name,
      kind,
      what,
      potentials_V: { "lower face": volts[0], vane: volts[1], "upper face": volts[2] },
      layers: fields.map((field, i) => ({
        material: "soft ceramic",
        layer: i * 2,
        field_V_m: field,
        field_along_poling_V_m: field,
      })),
      free_deflection_m: (moment * x * x) / (2 * EI),
      blocking_force_N: (moment * x * x * k) / (2 * EI),
      u_free_deflection_m: 0.9e-6,
    } as StateFigures;
  };
  const locked = lockout({
    voltage: VOLTS,
    gases: ["Ar"],
    gapMin: 0.3e-3,
    gapMax: 5e-3,
    factor: 0.8,
    secondaryEmissionMin: 0.01,
    secondaryEmissionMax: 0.1,
    temperature: design.need.plenumTemperature,
  });
  const result: SheetResult = {
    verdict: {
      met: true,
      binding: "opening_voltage",
      text: "Every requirement is met; opening voltage over the switched step is tightest, 11 % in hand.",
    },
    margins: marginRows(),
    strip: {
      bending_stiffness_N_m2: EI,
      neutral_plane_m: 0.25e-3,
      mass_per_length_kg_m: MASS,
      swing_at_pad_m: 2 * one,
      swing_at_tip_m: 2 * one * (L / x) ** 2,
      swing_f1_product_m_s: 2 * one * f1,
      blocking_force_at_pad_N: 2 * one * k,
      blocking_force_at_tip_N: 2 * one * k * (x / L),
      tip_stiffness_N_m: (3 * EI) / L ** 3,
      pad_stiffness_N_m: k,
      capacitance_small_signal_F: 13.1e-9,
      capacitance_large_signal_F: 23.6e-9,
      clamp_line_stress_Pa: 11.2e6,
      thermal_shift_at_pad_m_K: 0,
      width_factor_deflection: 1.084,
      width_factor_frequency: 1.028,
      width_factor_compliance: 0.964,
      states: [
        state("high", "switch", "Output switched to ground.", [0, 0, -VOLTS]),
        state("low", "switch", "Output switched to bias.", [0, -VOLTS, -VOLTS]),
        state("idle", "rest", "Between pulses the output stays low.", [0, -VOLTS, -VOLTS]),
        state("all at 0 V", "rest", "All supplies off and discharged.", [0, 0, 0]),
        state(
          "rail bias missing, output high",
          "fault",
          "Rail bias is at 0 V, output high.",
          [0, 0, 0],
        ),
        state(
          "lead upper face open, output low",
          "fault",
          "The lead of electrode upper face is off; it floats without charge, output low.",
          [0, -VOLTS, -118],
        ),
        state(
          "ringing to low",
          "transient",
          "Peak of the electrical edge to low, overshoot 12 % of the step.",
          [0, -168, -VOLTS],
        ),
      ],
    },
    modes: {
      open_vacuum_Hz: [f1, 6.26 * f1, 17.5 * f1, 34.2 * f1],
      open_circuit_vacuum_Hz: [1.05 * f1, 6.36 * f1, 17.6 * f1, 34.3 * f1],
      open_air_Hz: [0.998 * f1, 6.25 * f1, 17.4 * f1, 34.1 * f1],
      open_gas_Hz: [0.985 * f1, 6.18 * f1, 17.3 * f1, 33.8 * f1],
      closed_Hz: [3.9 * f1, 11.2 * f1, 23.8 * f1, 41 * f1],
      q_vacuum: [30, 30, 30, 30],
      q_air: [29.1, 29.7, 29.8, 29.9],
      q_gas: [27.3, 28.8, 29.4, 29.6],
      ring_down_gas_s: 27.3 / (Math.PI * f1),
    },
    seat: {
      pressure_force_N: pressure * gasArea,
      preload_at_zero_pressure_N: k * (one + standOff) * 0.9,
      sealing_force_N: k * (one + standOff) * 0.9 + pressure * gasArea,
      sealing_line_force_N_m: 190,
      sealing_stress_Pa: 3.9e6,
      indentation_closed_m: -closedLift,
      crack_open_force_ratio: 1.72,
      lift_open_m: openLift,
      lift_for_full_opening_m: (ORIFICE * ORIFICE) / (4 * SEAL),
      open_area_ratio: 1.36,
      stable_lifts_m: openRests.filter((e) => e.stable).map((e) => e.lift),
      equilibria: [
        ...closedRests.map((e) => equilibrium("closed", e.lift, e.stable)),
        ...openRests.map((e) => equilibrium("open", e.lift, e.stable)),
      ],
      snaps: openRests.length > 1,
      stand_off_range_m: [-3e-6, 6.4e-6],
      advance_m: standOff,
      advance_turns: standOff / 0.25e-3,
      opening_voltage_V: 106,
      opening_voltage_fraction: 0.71,
      opening_voltage_curve: [
        { pressure_Pa: 0, voltage_V: 87 },
        { pressure_Pa: 4e5, voltage_V: 106 },
      ],
      effective_seal_area_m2: gasArea,
      load_line: {
        lift_m: lifts,
        gas_force_N: lifts.map(gasAt),
        strip_open_N: lifts.map((lift) => k * (one - standOff - lift)),
        strip_closed_N: lifts.map((lift) => k * (-one - standOff - lift)),
        pad_N: lifts.map((lift) => Math.max(0, -lift) * padStiffness),
      },
      f1_against_stand_off: { stand_off_m: [], f1_Hz: [] },
    },
    gas: {
      choked_mass_flow_kg_s: 1.19e-5,
      open_mass_flow_kg_s: 0.96e-5,
      throughput_Pa_m3_s: 0.586,
      gas_per_pulse_mol: 2.9e-8,
      pulse_used_s: 120e-6,
      mean_throughput_Pa_m3_s: 3.5e-3,
      mean_pressure_Pa: 5.9e-3,
      peak_pressure_Pa: 7.4e-3,
      pressure_step_Pa: 1.8e-3,
      pump_time_constant_s: 0.0667,
      plenum_droop_Pa: null,
      shortest_pulse_s: 0.3 / f1,
      compressibility: 0.9974,
      reynolds_orifice: 5600,
      pulses_per_day: 1.44e6,
    },
    stuck_open: { throughput_Pa_m3_s: 0.73, chamber_pressure_Pa: 1.21, time_to_1_mbar_s: null },
    wiring: {
      accepted: true,
      reasons: [],
      closed_state: "low",
      contracting_layers: { high: [2], low: [0] },
    },
    drive: {
      edge_10_90_s: 25e-6,
      peak_current_A: 0.31,
      charge_per_cycle_C: 3.54e-6,
      mean_current_A: 0.177e-3,
      droop_V: 7.1,
      burst_droop_V: 7.3,
      storage_capacitance_F: 0.47e-6,
      supply_current_A: 0.19e-3,
      resistor_energy_per_edge_J: 0.25e-3,
      bleeder_ohm: 1e6,
      bleed_time_s: 0.52,
      strip_heat_W: 3.1e-3,
      strip_temperature_rise_K: 0.3,
      strip_temperature_rise_vacuum_K: 0.42,
      binding_limit: "supply current of bias",
      highest_rate_Hz: 1330,
      overshoot: 0.004,
      rails: [
        {
          name: "bias",
          voltage_V: -VOLTS,
          stored_charge_C: 70.5e-6,
          stored_energy_J: 5.3e-3,
          bleed_time_s: 0.52,
          lift_V: 7.1,
          supply_current_A: 0.19e-3,
          droop_V: 7.1,
        },
      ],
      rate_limits: [
        { what: "supply current of bias", rate_Hz: 1330 },
        { what: "a third of the first resonance", rate_Hz: f1 / 3 },
        { what: "warming of the strip", rate_Hz: 4800 },
      ],
    },
    lockout: (["plenum", "vacuum side"] as const).map((gas_space) => ({
      gas_space,
      gas: "Ar",
      voltage_V: VOLTS,
      from_Pa: locked.band!.from,
      to_Pa: locked.band!.to,
      minimum_measured_V: locked.minimumMeasured,
      minimum_computed_V: locked.minimumComputed!.low,
      gap_min_m: 0.3e-3,
      gap_max_m: 5e-3,
      note: "",
    })),
    window: windowOf(design),
    ways_out: [],
    catalogue: {
      free_length_m: 40e-3,
      d31_scale: 1.08,
      stiffness_scale: 0.96,
      effective_length_m: null,
      consistent: true,
      chi_squared: 1.31,
      degrees_of_freedom: 2,
      rows: [
        {
          figure: "free deflection",
          given: 0.36e-3,
          predicted: 0.334e-3,
          fitted: 0.361e-3,
          unit: "m",
          residual_over_u: -0.06,
        },
        {
          figure: "blocking force",
          given: 0.11,
          predicted: 0.106,
          fitted: 0.11,
          unit: "N",
          residual_over_u: 0.04,
        },
        {
          figure: "first resonance",
          given: 138,
          predicted: 142,
          fitted: 139,
          unit: "Hz",
          residual_over_u: -0.4,
        },
      ],
      not_to_blame: [],
      text: "The figures can belong to one strip with these scales.",
      u_d31_scale: 0.05,
      u_stiffness_scale: 0.04,
    },
    measured: null,
    large_signal: {
      rows: [
        { figure: "swing at the pad", unit: "m", linear: 2 * one, large_signal: 2.5 * one },
        {
          figure: "blocking force at the pad",
          unit: "N",
          linear: 2 * one * k,
          large_signal: 2.5 * one * k,
        },
        { figure: "tension at the clamp line", unit: "Pa", linear: 11.2e6, large_signal: 13.4e6 },
      ],
      loop_width_over_swing: 0.1,
    },
    cautions: [
      {
        id: "lockout.plenum",
        text: "Ar in the plenum breaks down at 150 V somewhere between 0.6 mbar and 90 mbar.",
        action:
          "Interlock the high voltage off inside this band, filling and pumping down included.",
        values: { from_Pa: 60, to_Pa: 9000 },
      },
      {
        id: "cannot_sink.bias",
        text: "The supply of bias can't take charge back: each time the strip returns it, the rail rises by 7.1 V.",
        action: "Mended by a larger storage capacitor.",
        values: { lift_V: 7.1 },
      },
    ],
    inputs: {
      with_uncertainty: 14,
      without_uncertainty: [
        "need.plenum_pressure",
        "need.orifice_diameter",
        "strip.width",
        "strip.free_length",
        "strip.layers.1.thickness",
        "pad.position",
        "seat.diameter",
        "seat.land",
        "seat.stand_off",
      ],
    },
    reasons: {
      "gas.plenum_droop_Pa": "plenum.volume and need.gas_pulse are needed for it",
      "stuck_open.time_to_1_mbar_s": "the pump holds the chamber below 1 mbar",
    },
    not_linear: { "seat.lift_open_m": [9.1e-6, 17.4e-6] },
  };
  const extra = {
    u_swing_at_pad_m: 1.9e-6,
    u_clamp_line_stress_Pa: 0.8e6,
    u_pad_stiffness_N_m: 1.1e3,
  };
  Object.assign(result.strip, extra);
  Object.assign(result.seat as object, { u_lift_open_m: 2.1e-6, u_sealing_stress_Pa: 0.52e6 });
  Object.assign(result.modes, { u_open_gas_Hz: [61, 380, 1050, 2100], u_ring_down_gas_s: 0.9e-3 });
  return result;

  function equilibrium(name: "closed" | "open", lift: number, stable: boolean) {
    return {
      state: name,
      lift_m: lift,
      stable,
      contact_force_N: Math.max(0, -lift) * padStiffness,
      gas_force_N: gasAt(lift),
    };
  }
}

function row(
  id: string,
  requirement: string,
  unit: string,
  sense: MarginRow["sense"],
  value: number | null,
  limit: number,
  more: Partial<MarginRow> = {},
): MarginRow {
  const margin =
    value === null
      ? null
      : (sense === "at least" ? value - limit : limit - value) / Math.abs(limit);
  return {
    id,
    requirement,
    value,
    limit,
    sense,
    unit,
    margin,
    met: margin !== null && margin >= 0,
    ...more,
  };
}

function marginRows(): MarginRow[] {
  return [
    row("opening_voltage", "opening voltage over the switched step", "1", "at most", 0.71, 0.8, {
      u_value: 0.021,
    }),
    row(
      "crack_open_force",
      "blocking force over pressure force and preload",
      "1",
      "at least",
      1.72,
      1.5,
      { u_value: 0.11 },
    ),
    row(
      "gas_pulse",
      "gas pulse asked for, against the shortest",
      "s",
      "at least",
      120e-6,
      105.7e-6,
      { note: "estimate 0.3/f1" },
    ),
    row("mean_pressure", "mean chamber pressure", "Pa", "at most", 5.9e-3, 1e-2),
    row("field_with_poling", "field with the poling, any state", "V/m", "at most", 0.84e6, 1.5e6, {
      note: "layer 1, ringing to low",
    }),
    row("lift", "lift when open", "m", "at least", 12.6e-6, 8e-6, { u_value: 2.1e-6 }),
    row("clamp_stress", "tension at the clamp line", "Pa", "at most", 11.2e6, 30e6, {
      u_value: 0.8e6,
    }),
    row("ring_down", "period over the ring-down time", "1", "at least", 6.1, 1),
    row("sealing", "contact stress on the seat, closed", "Pa", "at least", 3.9e6, 0.6e6, {
      u_value: 0.52e6,
    }),
    row("rate", "rate over the first resonance", "1", "at most", 0.0177, 1 / 3),
    row("discharge", "plenum pressure above the lock-out band", "Pa", "at least", 4e5, 9000),
  ];
}

function windowOf(design: Design): WindowFigures {
  const L0 = design.strip.freeLength;
  const lengths = Array.from({ length: 81 }, (_, i) => L0 * (0.55 + (1.15 * i) / 80));
  const by = (law: (s: number) => number) => lengths.map((l) => law(l / L0));
  const margins: Record<string, number[]> = {
    opening_voltage: by((s) => 0.11 + 1.3 * (1 - 1 / s ** 2.2)),
    crack_open_force: by((s) => 1.147 / s - 1 - 0.03 * s),
    gas_pulse: by((s) => 1.135 / s ** 2 - 1),
    mean_pressure: by((s) => 0.41 - 0.05 * (s - 1)),
    field_with_poling: by(() => 0.44),
    lift: by((s) => (s * s * 16.3 - 2) / 12.6 - 0.5),
    clamp_stress: by((s) => 0.63 + 0.2 * (s - 1)),
    ring_down: by((s) => 6.1 / s ** 2 - 1),
    sealing: by((s) => 6.5 / s - 1),
    rate: by((s) => 1 - 0.053 * s * s),
    discharge: by(() => 43.4),
  };
  const smallest = lengths.map((_, i) => Math.min(...Object.values(margins).map((m) => m[i]!)));
  const first = smallest.findIndex((m) => m >= 0);
  const last = smallest.length - 1 - [...smallest].reverse().findIndex((m) => m >= 0);
  return {
    lengths_m: lengths,
    margins,
    intervals: [
      {
        from_m: lengths[first]!,
        to_m: lengths[last]!,
        bound_from: "opening_voltage",
        bound_to: "gas_pulse",
      },
    ],
    best_m: 8.96e-3,
    best_margin: 0.1,
    best_binding: "opening_voltage",
  };
}

/** A valve that does not meet its need, with ways out and reasons. */
export function unmetResult(): SheetResult {
  const result = valveResult();
  result.verdict = {
    met: false,
    binding: "gas_pulse",
    text: "Not as it stands: 3 requirements are not met, worst gas pulse asked for, against the shortest (−72 %).",
  };
  result.margins = [
    row("exhaust", "exhaust gas over its lower explosive limit", "1", "at most", null, 0.25, {
      note: "no dilution is given",
    }),
    row(
      "gas_pulse",
      "gas pulse asked for, against the shortest",
      "s",
      "at least",
      30e-6,
      105.7e-6,
      { note: "estimate 0.3/f1" },
    ),
    row("mean_pressure", "mean chamber pressure", "Pa", "at most", 1.003e-2, 1e-2, {
      u_value: 3.1e-4,
    }),
    ...marginRows().filter((r) => r.id !== "gas_pulse" && r.id !== "mean_pressure"),
  ];
  result.ways_out = [
    {
      text: "free length 5.2 mm (from 9 mm), orifice 80 μm (from 120 μm), stand-off 1 μm (from 2 μm)",
      changes: [{ key: "strip.free_length", from: 9e-3, to: 5.2e-3, unit: "m" }],
      smallest_margin: 0.031,
      binding: "lift",
      meets_all: true,
    },
    {
      text: "rate 40 Hz (from 50 Hz)",
      changes: [{ key: "need.rate", from: 50, to: 40, unit: "Hz" }],
      smallest_margin: -0.72,
      binding: "gas_pulse",
      meets_all: false,
    },
  ];
  result.window = {
    ...result.window!,
    margins: {
      ...result.window!.margins,
      gas_pulse: result.window!.lengths_m.map((l) => 0.284 / (l / 9e-3) ** 2 - 1),
    },
    intervals: [],
    best_m: 6.9e-3,
    best_margin: -0.517,
    best_binding: "gas_pulse",
    note: "no free length from 4.95 mm to 15.3 mm meets every requirement; gas_pulse binds at the best length",
  };
  return result;
}

/** A bare strip: no gas, pad, seat, chamber. */
export function stripDesign(): Design {
  const { gas: _gas, pad: _pad, seat: _seat, chamber: _chamber, ...rest } = valveDesign();
  return {
    ...rest,
    name: "chopper-blade",
    masses: [{ name: "mirror", mass: 0.8e-6, position: 8.2e-3, fromTip: null, rotaryInertia: 0 }],
    need: { ...rest.need, gasPulse: null, chamberPressureMax: null, swingMin: 25e-6 },
    strip: {
      ...rest.strip,
      extension: { material: "carbon fibre", thickness: 0.3e-3, width: 3e-3, length: 2e-3 },
    },
    surroundings: { ...rest.surroundings, wallDistance: 0.6e-3 },
  };
}

/** The result that goes with {@link stripDesign}. */
export function stripResult(): SheetResult {
  const result = valveResult();
  result.verdict = {
    met: true,
    binding: "swing",
    text: "Every requirement is met; swing between the two states is tightest, 30 % in hand.",
  };
  result.seat = null;
  result.gas = null;
  result.stuck_open = null;
  result.lockout = [];
  result.catalogue = null;
  result.modes.closed_Hz = [];
  const kept = new Set(["field_with_poling", "clamp_stress", "ring_down", "rate"]);
  result.margins = [
    row("swing", "swing between the two states", "m", "at least", 32.5e-6, 25e-6),
    ...marginRows().filter((r) => kept.has(r.id)),
  ];
  const window = result.window!;
  result.window = {
    ...window,
    margins: {
      swing: window.lengths_m.map((l) => 1.3 * (l / 9e-3) ** 2 - 1),
      ...Object.fromEntries(Object.entries(window.margins).filter(([id]) => kept.has(id))),
    },
    intervals: [
      { from_m: 9e-3 / Math.sqrt(1.3), to_m: 15.3e-3, bound_from: "swing", bound_to: "range" },
    ],
    best_m: 10.9e-3,
    best_margin: 0.44,
    best_binding: "field_with_poling",
  };
  result.cautions = [];
  result.reasons = { seat: "the design has no seat", gas: "the design has no gas" };
  result.not_linear = {};
  return result;
}

/** Seat above the strip, pressure opening it. */
export function inletDesign(): Design {
  const design = valveDesign();
  return {
    ...design,
    name: "inlet-above",
    seat: { ...design.seat!, arrangement: "pressure opens", side: "above", form: "flat" },
  };
}

/** Six thin ceramic layers with glue between, four electrodes; fields in two states. */
export function stackDesign(): Design {
  const base = stripDesign();
  const electrodes = ["ground plane", "drive", "bias"];
  const layers = Array.from({ length: 6 }, (_, i) => [
    layer("soft ceramic", 0.06e-3, {
      poling: i % 2 === 0 ? 1 : -1,
      bottom: electrodes[i % 3]!,
      top: electrodes[(i + 1) % 3]!,
    }),
    ...(i < 5 ? [layer("epoxy", 0.008e-3, {})] : []),
  ]).flat();
  return {
    ...base,
    name: "thin-stack",
    electrodes,
    strip: { ...base.strip, layers, extension: null, freeLength: 42e-3 },
    masses: [],
    clamp: { ...base.clamp, length: 8e-3 },
    surroundings: { ...base.surroundings, wallDistance: null },
    wiring: { "ground plane": "ground", drive: "switched", bias: "bias" },
  };
}

/** The result that goes with {@link stackDesign}. */
export function stackResult(): SheetResult {
  const result = stripResult();
  const design = stackDesign();
  result.strip.states = result.strip.states.slice(0, 2).map((state, s) => ({
    ...state,
    potentials_V: { "ground plane": 0, drive: s === 0 ? 60 : 0, bias: 60 },
    free_deflection_m: (s === 0 ? 1 : -1) * 0.41e-3,
    layers: design.strip.layers.flatMap((l, i) => {
      if (l.poling === 0) return [];
      const along = s === 0 ? (i % 4 === 0 ? 0.9e6 : 0.1e6) : i % 4 === 0 ? -0.05e6 : 0.8e6;
      return [
        {
          material: l.material,
          layer: i,
          field_V_m: along * l.poling,
          field_along_poling_V_m: along,
        },
      ];
    }),
  }));
  return result;
}

/** A strip whose wiring is not given yet. */
export function unwired(): { design: Design; result: SheetResult } {
  const { wiring: _wiring, switch: _switch, ...design } = stripDesign();
  const result = stripResult();
  result.strip.states = [];
  result.wiring = null;
  result.drive = null;
  result.window = null;
  result.large_signal = null;
  result.strip.swing_at_pad_m = null;
  result.strip.swing_at_tip_m = null;
  result.reasons = {
    ...result.reasons,
    "strip.swing_at_pad_m": "the design has no wiring",
    "strip.swing_at_tip_m": "the design has no wiring",
    wiring: "the design has no wiring, or no layer with electrodes on both faces",
    drive: "no switched output with two different potentials",
  };
  return { design, result };
}
