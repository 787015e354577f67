import { UNVERIFIED } from "../sourced.ts";

/** What a limit on stored electricity compares. */
export type HazardQuantity = "voltage" | "charge" | "energy" | "capacitance";

export interface ElectricalLimit {
  readonly id: string;
  readonly quantity: HazardQuantity;
  /** SI: V, C, J or F. */
  readonly value: number;
  /** Voltages to which the limit applies, V: from (inclusive) to (exclusive). */
  readonly from: number;
  readonly to: number;
  readonly text: string;
  readonly source: string;
}

const CHECK = "check the current edition";
const IEC_61010 = `IEC 61010-1:2010+A1:2016 clause 6.3; ${UNVERIFIED}; ${CHECK}`;
const IEC_60335 = `IEC 60335-1 clause 8.1.4 (behind protective impedance), quoted second hand, edition not stated; ${CHECK}`;
const DOE = `DOE-HDBK-1092-98 figure 10-1 (page seen); ${CHECK}`;

/** Common limits for charged parts that can be touched. Numbers to compare with, not a permission. */
export const ELECTRICAL_LIMITS: readonly ElectricalLimit[] = [
  {
    id: "touch voltage 60 V",
    quantity: "voltage",
    value: 60,
    from: 0,
    to: Number.POSITIVE_INFINITY,
    text: "direct voltage that counts as hazardous to touch",
    source: IEC_61010,
  },
  {
    id: "capacitance 0.1 uF",
    quantity: "capacitance",
    value: 0.1e-6,
    from: 42.4,
    to: 450,
    text: "capacitance that may be touched between 42.4 V and 450 V",
    source: IEC_60335,
  },
  {
    id: "charge 45 uC",
    quantity: "charge",
    value: 45e-6,
    from: 60,
    to: 15e3,
    text: "charge that may be touched, up to 15 kV",
    source: IEC_61010,
  },
  {
    id: "energy 350 mJ",
    quantity: "energy",
    value: 0.35,
    from: 15e3,
    to: Number.POSITIVE_INFINITY,
    text: "energy that may be touched above 15 kV",
    source: IEC_61010,
  },
  {
    id: "reflex 0.25 J",
    quantity: "energy",
    value: 0.25,
    from: 60,
    to: Number.POSITIVE_INFINITY,
    text: "energy from which a shock makes a person jerk away",
    source: DOE,
  },
  {
    id: "injury 10 J",
    quantity: "energy",
    value: 10,
    from: 60,
    to: Number.POSITIVE_INFINITY,
    text: "energy from which a shock injures directly",
    source: DOE,
  },
];
