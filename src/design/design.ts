import type { GasMixture } from "../physics/gases.ts";
import type { Material } from "../physics/materials.ts";
import type {
  Ampere,
  CubicMetre,
  CubicMetrePerSecond,
  Farad,
  Hertz,
  Kelvin,
  Kilogram,
  KilogramSquareMetre,
  Metre,
  Newton,
  NewtonMetrePerRadian,
  NewtonPerMetre,
  Ohm,
  Pascal,
  PascalCubicMetrePerSecond,
  Radian,
  Ratio,
  Second,
  Volt,
  VoltPerMetre,
} from "../units/aliases.ts";

/**
 * A checked design: plain records of SI numbers, nothing optional that the physics needs.
 * Built by `buildDesign` from a design file; changed only by `withValues` (which copies).
 * Optional keys are parts that the valve does not have.
 */
export interface Design {
  name: string;
  /** The file's free text, empty when there is none. */
  notes: string;
  need: Need;
  strip: StripDesign;
  clamp: ClampDesign;
  masses: LumpedMass[];
  pad?: PadDesign;
  seat?: SeatDesign;
  plenum: PlenumDesign;
  chamber?: ChamberDesign;
  /** Electrode names in the order of their first appearance, bottom to top. */
  electrodes: string[];
  /** Electrode name → where it goes. Absent: the wiring is not given yet. */
  wiring?: Record<string, Terminal>;
  rails: Record<string, Rail>;
  switch?: SwitchDesign;
  pulse: PulseDesign;
  cable: { length: Metre; capacitancePerMetre: number; inductancePerMetre: number };
  surroundings: Surroundings;
  /** Every material used, by the name that layers and pad use. */
  materials: Record<string, Material>;
  gas?: GasMixture;
  limits: Limits;
  model: ModelOptions;
  catalogue?: SupplierFigures;
  measured?: SupplierFigures;
  /** Every number that entered, with its uncertainty: what propagation and budgets use. */
  inputs: DesignInput[];
  /** Range of the free length where the file gives one (`{from, to}`), else null. */
  freeLengthRange: { from: Metre; to: Metre } | null;
}

/** One number of the design: `path` leads to it inside {@link Design}. */
export interface DesignInput {
  path: (string | number)[];
  /** The key as the file spells it, e.g. `strip.layers.0.thickness` or `materials.soft ceramic.d31`. */
  key: string;
  value: number;
  /** Standard uncertainty, 0 when none is given. */
  u: number;
  distribution: "normal" | "rectangular";
  /** Quantity kind of `units/`, e.g. "length". */
  kind: string;
  origin: "file" | "table" | "default";
}

export interface Need {
  /** 0 where there is no gas. */
  plenumPressure: Pascal;
  plenumTemperature: Kelvin;
  /** 0 where the file gives none (it must with a seat). */
  orificeDiameter: Metre;
  /** Wanted full width at half maximum of the gas pulse; null: not asked. */
  gasPulse: Second | null;
  rate: Hertz | null;
  chamberPressureMax: Pascal | null;
  gasLoadMax: PascalCubicMetrePerSecond | null;
  /** Fraction of the orifice's own area that the curtain must offer when open, default 1. */
  openArea: Ratio;
  /** Wanted swing at the pad (or tip) where there is no seat; null: not asked. */
  swingMin: Metre | null;
  /** Wanted lowest first resonance; null: not asked. */
  resonanceMin: Hertz | null;
  hoursPerDay: number;
  nozzle: "sonic" | "cone";
  coneHalfAngle: Radian | null;
  /** From the orifice; null: none, or not asked. */
  skimmerDistance: Metre | null;
  skimmerDiameter: Metre | null;
  interactionDistance: Metre | null;
  /** State that sccm and slm refer to; null: such flows are not used. */
  standardState: { temperature: Kelvin; pressure: Pascal } | null;
}

export interface LayerDesign {
  material: string;
  thickness: Metre;
  /** Defaults to the strip's width. */
  width: Metre;
  poling: 1 | -1 | 0;
  /** Electrode on the lower and the upper face, null where there is none. */
  bottom: string | null;
  top: string | null;
  /** Name of the conductor that this (metal) layer is, else null. */
  conductor: string | null;
}

/** A piece of the free length that lacks an electrode or a layer. */
export interface StripSegment {
  /** From the clamp edge, or from the end of the free length. */
  measuredFrom: "clamp" | "tip";
  from: Metre;
  to: Metre;
  /** Electrodes whose metal is off. */
  bare: readonly string[];
  /** Layers that are cut away, 0 the lowest. */
  removed: readonly number[];
}

export interface StripDesign {
  width: Metre;
  /** At the end of the free length, even taper; null: as wide as at the clamp. */
  widthAtTip: Metre | null;
  freeLength: Metre;
  totalLength: Metre | null;
  layers: LayerDesign[];
  segments: StripSegment[];
  /** Passive piece that continues the strip beyond the free length. */
  extension: { material: string; thickness: Metre; width: Metre; length: Metre } | null;
  polarityMark: "marked" | "unmarked";
  /** Temperature at which the strip is straight. */
  referenceTemperature: Kelvin;
  structuralQ: Ratio;
}

export interface ClampDesign {
  length: Metre;
  /** Clamped length under electrodes: counts for the capacitance only. */
  electrodeLength: Metre;
  /** null: rigid. */
  rotationalStiffness: NewtonMetrePerRadian | null;
  translationalStiffness: NewtonPerMetre | null;
  /** Force per length and deflection of what the clamped length lies on, N/m²; null: none. */
  foundationModulus: Pascal | null;
}

export interface LumpedMass {
  name: string;
  mass: Kilogram;
  /** Centre from the clamp edge. */
  position: Metre;
  /** Distance from the tip where the file gives the place so (it then moves with the tip), else null. */
  fromTip: Metre | null;
  rotaryInertia: KilogramSquareMetre;
}

export interface PadDesign {
  material: string;
  thickness: Metre;
  /** Centre of the pad from the clamp edge. */
  position: Metre;
  /** Distance from the tip where the file gives the place so (it then moves with the tip), else null. */
  fromTip: Metre | null;
  mass: Kilogram;
  law: "thin layer" | "round cord" | "linear";
  /** For the linear law only. */
  stiffness: NewtonPerMetre | null;
  /** Cord diameter, round cord only. */
  cordDiameter: Metre | null;
  stickForce: Newton;
  restitution: Ratio;
  /** Angle between pad and seat when closed. */
  tilt: Radian;
}

export interface SeatDesign {
  form: "land" | "o-ring" | "flat";
  diameter: Metre;
  land: Metre;
  arrangement: "pressure closes" | "pressure opens";
  /** Where the seat is, seen from the strip. "below": opening is +z. */
  side: "below" | "above";
  /** Seat plane relative to the strip at rest (0 V), positive towards opening. */
  standOff: Metre;
  threadPitch: Metre;
  /** Seat plane moves away from the strip per pressure, m/Pa (positive: stand-off falls). */
  bodyDeflection: number;
  dischargeCurtain: Ratio;
  dischargeOrifice: Ratio;
}

export interface PlenumDesign {
  volume: CubicMetre | null;
  feedConductance: CubicMetrePerSecond | null;
}

export interface ChamberDesign {
  volume: CubicMetre;
  pumpingSpeed: CubicMetrePerSecond;
  /** Gas the pumping speed is stated for; null: not said. */
  pumpingSpeedGas: string | null;
  basePressure: Pascal;
  wallTemperature: Kelvin;
  reliefPressure: Pascal | null;
  /** Flow of diluting air or nitrogen in the exhaust, m³/s at 20 °C and 1 bar; null: none. */
  exhaustDilution: CubicMetrePerSecond | null;
}

/** "ground", "switched", "open" or the name of a rail. */
export type Terminal = string;

export interface Rail {
  voltage: Volt;
  currentLimit: Ampere | null;
  outputResistance: Ohm;
  sinks: boolean;
  storage: Farad | null;
  storageEsr: Ohm;
  leakageResistance: Ohm | null;
  bleeder: Ohm | null;
}

export interface SwitchDesign {
  /** Node of the output in each state: "ground" or a rail. */
  high: Terminal;
  low: Terminal;
  /** Which state closes the valve or, without seat, is the rest state; null: found from the wiring. */
  idle: "high" | "low" | "off" | null;
  onResistance: Ohm;
  seriesResistor: Ohm;
  /** Pulse energy rating of the series resistor, J; null: not given. */
  resistorPulseEnergyMax: number | null;
  currentMax: Ampere | null;
  outputCapacitance: Farad;
  deadTime: Second;
  delay: Second;
  /** null: the series resistor. */
  seriesResistorHigh: Ohm | null;
  seriesResistorLow: Ohm | null;
}

/** The command to the valve; nulls are filled in where the pulse is computed. */
export interface PulseDesign {
  gate: Second | null;
  duration: Second | null;
  step: Second;
}

export interface Surroundings {
  /** Gap between strip and the wall under it, null: unbounded. */
  wallDistance: Metre | null;
  /** Smallest and largest distance between bare conductors at different potential, through gas or along a surface. */
  conductorGapMin: Metre;
  conductorGapMax: Metre;
  ambientTemperature: Kelvin;
  /** Wetted materials named by the user: "copper", "brass", "silver"… */
  wetted: string[];
}

/** Limits the margins use; each has a default in the parameter table and can be set in the file. */
export interface Limits {
  fieldWithPolingMax: VoltPerMetre;
  fieldWithPolingCaution: VoltPerMetre;
  fieldAgainstPolingMax: VoltPerMetre;
  coerciveFractionMax: Ratio;
  curieFractionMax: Ratio;
  clampStressMax: Pascal;
  crackOpenRatioMin: Ratio;
  openingVoltageFractionMax: Ratio;
  sealStressMin: Pascal;
  sealStressPerPressure: Ratio;
  ringDownsPerPeriodMin: Ratio;
  rateOverResonanceMax: Ratio;
  railDroopMax: Ratio;
  plenumDroopMax: Ratio;
  storedVoltageTouch: Volt;
  bleedTimeMax: Second;
  lowestExplosiveFractionMax: Ratio;
}

export interface ModelOptions {
  width: "corrected" | "narrow";
  /** Multiplies (width factor − 1); 1 with u 0.5 when corrected. */
  widthCorrection: Ratio;
  field: "redistributed" | "uniform";
  beam: "shear" | "thin";
  /** Large-signal over free small-signal capacitance. */
  largeSignalCapacitanceFactor: Ratio;
  largeSignalTanDelta: Ratio;
  /** Whether the material's d31 already is a large-signal (catalogue) value. */
  /** In the time domain. */
  ceramic: "large signal" | "linear";
  d31Basis: "small signal" | "catalogue";
  secondaryEmissionMin: Ratio;
  secondaryEmissionMax: Ratio;
  breakdownFactor: Ratio;
}

/** Figures of one strip as a supplier states them, or as measured at the user's own length. */
export interface SupplierFigures {
  freeLength: Metre;
  freeLengthU: Metre;
  voltage: Volt;
  /** How the deflection is counted; the file must say it. */
  deflectionCounted: "one side" | "total travel";
  deflection: { value: Metre; u: Metre } | null;
  blockingForce: { value: Newton; u: Newton } | null;
  capacitance: { value: Farad; u: Farad } | null;
  resonance: { value: Hertz; u: Hertz } | null;
}
