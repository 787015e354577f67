import type { Design } from "../../design/design.ts";
import { evaluate } from "../../sheet/evaluate.ts";
import { fromModel, fromSheet } from "../fromDesign.ts";
import type { Kind, Prediction } from "../kind.ts";
import { reduceOpening } from "./reduce.ts";
import { swingVoltage } from "./values.ts";

/**
 * The sheet's opening line: voltage at zero pressure difference, volts per pascal, force that opens without pressure,
 * preload with stick force, slope as an area and as its circle's diameter. Null without a seat.
 */
function sheetLine(design: Design): readonly number[] | null {
  const at = (p: number) =>
    evaluate(
      { ...design, need: { ...design.need, plenumPressure: p } },
      { detail: false, marginsOnly: true },
    );
  const p0 = design.need.plenumPressure;
  const down = design.chamber?.basePressure ?? 0;
  if (!(p0 > down)) return null;
  const full = at(p0);
  const half = at((p0 + down) / 2);
  const swing = swingVoltage(new Map(), design);
  const force = full.strip.blocking_force_at_pad_N;
  if (full.seat === null || half.seat === null || swing === null || force === null) return null;
  const perVolt = force / swing.value;
  // The threshold is a straight line in the pressure: two points give it.
  const slope = (full.seat.opening_voltage_V - half.seat.opening_voltage_V) / ((p0 - down) / 2);
  const zero = full.seat.opening_voltage_V - slope * (p0 - down);
  const area = Math.abs(slope) * perVolt;
  const preload = full.seat.preload_at_zero_pressure_N + (design.pad?.stickForce ?? 0);
  return [zero, slope, zero * perVolt, preload, area, Math.sqrt((4 * area) / Math.PI)];
}

function predict(design: Design): readonly Prediction[] {
  return [
    ...fromModel(
      design,
      [
        "opening_voltage_at_zero_V",
        "opening_voltage_slope_V_Pa",
        "opening_force_at_zero_N",
        "preload_at_zero_N",
        "effective_seal_area_m2",
        "seal_diameter_m",
      ],
      "sheet: seat.opening_voltage_V at two pressures, strip.blocking_force_at_pad_N",
      sheetLine,
    ),
    ...fromSheet(design, "opening_voltage_V", "seat.opening_voltage_V"),
  ];
}

/** Opening voltage against plenum pressure. */
export const OPENING: Kind = {
  name: "opening",
  summary: "opening voltage against plenum pressure: preload, effective seal diameter, stick force",
  roles: [
    {
      key: "pressure",
      kinds: ["pressure"],
      summary: "absolute plenum pressure",
      required: true,
      words: ["pressure", "plenum", "p0", "supply"],
    },
    {
      key: "voltage",
      kinds: ["voltage"],
      summary: "output voltage at which gas first comes",
      required: true,
      words: ["open", "voltage", "v", "u"],
    },
    {
      key: "closing",
      kinds: ["voltage"],
      summary: "output voltage, lowered again, at which the gas stops",
      required: false,
      words: ["clos", "shut"],
    },
  ],
  settings: [
    {
      key: "closed-voltage",
      kind: "voltage",
      summary: "output voltage of the closed state, from which opening is counted",
      required: false,
      standard: "0 V",
    },
    {
      key: "down-pressure",
      kind: "pressure",
      summary: "absolute pressure on the other side of the orifice",
      required: false,
      standard: "0 Pa",
    },
    {
      key: "blocking-force",
      kind: "force",
      summary:
        "blocking force at the pad between the two switch states; from the design without it",
      required: false,
      standard: null,
    },
    {
      key: "swing-voltage",
      kind: "voltage",
      summary: "voltage between the two switch states that belongs to that force",
      required: false,
      standard: null,
    },
    {
      key: "strip-stiffness",
      kind: "stiffness",
      summary: "stiffness of the strip at the pad; from the design without it",
      required: false,
      standard: null,
    },
    {
      key: "pad-stiffness",
      kind: "stiffness",
      summary: "preload over indentation of the pad; from the design without it",
      required: false,
      standard: null,
    },
    {
      key: "rail",
      kind: "voltage",
      summary: "highest voltage that the drive can give; the swing voltage without it",
      required: false,
      standard: null,
    },
    {
      key: "working-pressure",
      kind: "pressure",
      summary: "absolute plenum pressure at which the opening voltage is wanted",
      required: false,
      standard: null,
    },
    {
      key: "pressure-reading",
      kind: "pressure",
      summary: "standard uncertainty of each pressure reading",
      required: false,
      standard: null,
    },
    {
      key: "voltage-reading",
      kind: "voltage",
      summary:
        "standard uncertainty of each voltage reading (a search in steps: the step over √12)",
      required: false,
      standard: null,
    },
    {
      key: "pressure-scale",
      kind: "ratio",
      summary: "what pressure readings are to be multiplied by, with its uncertainty: 1.000(5)",
      required: false,
      standard: "1",
    },
    {
      key: "voltage-scale",
      kind: "ratio",
      summary: "what voltage readings are to be multiplied by, with its uncertainty",
      required: false,
      standard: "1",
    },
  ],
  files: { min: 1, max: 1 },
  reduce: ([data], settings, design) => reduceOpening(data!, settings, design),
  predict,
  mismatches: [
    {
      key: "opening_voltage_at_zero_V",
      high: "the pad is pressed more than the stand-off says, or it sticks: compare the closing voltage, then the advance from first touch",
      low: "the pad is pressed less than the stand-off says: creep or set of the pad, or the screw has turned back; look at the resonance, touching and free",
    },
    {
      key: "opening_voltage_slope_V_Pa",
      high: "the sealing line is wider than drawn (pad seals on the outer rim of the land, or is worn), or the strip gives less force per volt",
      low: "the sealing line is narrower than drawn, gas leaks under the pad before it opens, or the body gives way under pressure and takes load off the seat",
    },
    {
      key: "seal_diameter_m",
      high: "the pad seals on the outer rim of the land, or the land is flattened",
      low: "the pad seals on the inner rim, or the body gives way under pressure",
    },
    {
      key: "preload_at_zero_N",
      high: "the stand-off is larger than stated, or the pad sticks",
      low: "the stand-off is smaller than stated, or the pad has set",
    },
    {
      key: "opening_voltage_V",
      high: "preload or sealing line is larger than drawn; the line against pressure tells which",
      low: "preload or sealing line is smaller than drawn; the line against pressure tells which",
    },
  ],
};
