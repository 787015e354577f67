import type { Design } from "../../design/design.ts";
import { GAS_CONSTANT, type GasMixture, gasNamed } from "../../physics/gases.ts";
import { formatQuantity } from "../../units/index.ts";
import { positive } from "../columns.ts";
import type { Data, Given, Settings } from "../kind.ts";
import { checkedLinear } from "../monteCarlo.ts";
import { BenchProblem, type Reduction, type ResultTable, type Value } from "../reduction.ts";
import { eachFile, given, optional, word } from "../settings.ts";
import { missing, type Part, propagatedTogether } from "../together.ts";
import { type Rise, riseOf } from "./rise.ts";
import { type Behind, type Passage, type Separation, separated } from "./separate.ts";
import { leakWarnings } from "./warnings.ts";

/*
 * Q = V dp/dt at the temperature of the chamber. One record cannot tell a leak from outgassing; two with another gas
 * or pressure behind the seat can, since outgassing stays and a leak does not.
 */

/** One-sided 95 % points of both errors together: L. A. Currie, Analytical Chemistry 40 (1968) 586: 2 × 1.645. */
const DETECTION = 3.29;
/** Room temperature of a record without its own, K. */
const ROOM: Given = { value: 295.15, u: 2 };

export function reduceLeak(
  files: readonly Data[],
  settings: Settings,
  design: Design | null,
): Reduction {
  const volume = positive(given(settings, "volume"), "volume");
  const temperature = optional(settings, "gas-temperature") ?? ROOM;
  const drift = optional(settings, "temperature-drift") ?? { value: 0, u: 0 };
  const rises = files.map((data) => riseOf(data, settings, temperature, drift));
  const behind = behindOf(files, rises, settings, design);
  const factors = eachFile(settings, "gauge-factor", files.length);
  const factor = (i: number): Given => {
    const found = factors?.[i];
    return found === undefined || typeof found === "string" ? { value: 1, u: 0 } : found;
  };
  const rates = rises.map((rise, i) => rise.rate * factor(i).value);
  const first = rises[0]!;
  const volumePart: Part = {
    source: `volume ${formatQuantity(volume.value, volume.u, "volume")}`,
    ...volume,
  };
  const ratePart: Part = {
    source: first.parts.length === 1 ? first.parts[0]!.source : "rise of pressure",
    value: first.rate,
    u: first.u,
    degreesOfFreedom: first.degreesOfFreedom,
  };
  const parts: Part[] = [ratePart, volumePart, { source: "factor of the gauge", ...factor(0) }];
  const inflow = checkedLinear(
    propagatedTogether(
      "inflow_Pa_m3_s",
      "leak and outgassing together",
      parts,
      (y) => y[0]! * y[1]! * y[2]!,
    ),
    parts,
    (y) => y[0]! * y[1]! * y[2]!,
  );
  const opened = withRecordParts(inflow, first, volume.value * factor(0).value);
  const laws = (["viscous", "molecular"] as const).flatMap((passage) => {
    if (behind === null || files.length < 2) return [];
    const us = rises.map((rise, i) =>
      Math.hypot(rise.u * factor(i).value, rise.rate * factor(i).u),
    );
    return separated(passage, rates, us, behind) ?? [];
  });
  const chosen = chooseLaw(laws, word(settings, "passage"));
  const freedoms = Math.min(...rises.map((rise) => rise.degreesOfFreedom));
  const values = [
    ...leakValues(chosen, freedoms, volumePart, files.length, behind),
    opened,
    {
      ...propagatedTogether("pressure_rise_Pa_s", "rise of pressure", [ratePart], (y) => y[0]!),
      budget: first.parts,
    },
    propagatedTogether(
      "inflow_mol_s",
      "leak and outgassing together, amount",
      [...parts, { source: "temperature", value: first.temperature, u: temperature.u }],
      (y) => (y[0]! * y[1]! * y[2]!) / (GAS_CONSTANT * y[3]!),
    ),
    detectionValue(first.u * volume.value * factor(0).value),
  ];
  return {
    kind: "leak",
    values,
    fits: rises.map((rise) => rise.fit),
    warnings: [
      ...rises.flatMap((rise) => rise.warnings),
      ...leakWarnings(rises, behind, chosen, laws, values, {
        settings,
        drift,
        factors: factors !== null,
      }),
    ],
    tables: files.length > 1 ? [recordTable(rises, rates, volume.value, behind, chosen)] : [],
    marks: [],
    covariance: null,
  };
}

/** The record's own parts in place of their sum. */
function withRecordParts(value: Value, rise: Rise, scale: number): Value {
  if (rise.parts.length === 1) return value;
  const budget = [
    ...value.budget.filter((line) => line.source !== "rise of pressure"),
    ...rise.parts.map((part) => ({ source: part.source, u: part.u * scale })),
  ].sort((a, b) => b.u - a.u);
  return { ...value, budget };
}

/** Gas and pressure behind the seat, one a file; null when one of them is not known. */
function behindOf(
  files: readonly Data[],
  rises: readonly Rise[],
  settings: Settings,
  design: Design | null,
): Behind[] | null {
  const gases = eachFile(settings, "gas", files.length);
  const pressures = eachFile(settings, "plenum-pressure", files.length);
  const out: Behind[] = [];
  for (let i = 0; i < files.length; i++) {
    const name = gases?.[i];
    const gas = name === undefined ? (design?.gas ?? null) : named(name, i);
    const pressure = pressures?.[i];
    const upstream =
      pressure === undefined || typeof pressure === "string"
        ? (design?.need.plenumPressure ?? null)
        : pressure.value;
    if (gas === null || upstream === null) return null;
    const { temperature, meanPressure } = rises[i]!;
    out.push({ gas, upstream, downstream: Math.min(upstream, meanPressure), temperature });
  }
  return out;
}

function named(name: Given | string, i: number): GasMixture {
  try {
    return gasNamed(String(name));
  } catch (error) {
    throw new BenchProblem(
      `setting gas, file ${i + 1}`,
      `"${String(name)}"`,
      error instanceof Error ? error.message : "a gas of the tables",
    );
  }
}

/** The law asked for, else the one that fits alone, else viscous. */
function chooseLaw(laws: readonly Separation[], wanted: string | null): Separation | null {
  const asked = laws.find((law) => law.passage === wanted);
  if (asked !== undefined) return asked;
  const fitting = laws.filter((law) => law.fits === true);
  if (fitting.length === 1) return fitting[0]!;
  return laws.reduce<Separation | null>(
    (best, law) => (best === null || law.chiSquared < 0.999 * best.chiSquared ? law : best),
    null,
  );
}

function leakValues(
  law: Separation | null,
  degreesOfFreedom: number,
  volume: Part,
  files: number,
  behind: readonly Behind[] | null,
): Value[] {
  const key = "leak_rate_Pa_m3_s";
  if (law === null) {
    const why =
      files < 2
        ? "one record cannot tell a leak from outgassing: measure again with another gas or pressure behind the seat"
        : behind === null
          ? "gas and plenum-pressure of each record are needed to tell a leak from outgassing"
          : "what drives the leak differs by less than a tenth between the records";
    return [missing(key, "leak", why), missing("outgassing_Pa_m3_s", "outgassing", why)];
  }
  const group: Part = {
    source: "rises of pressure",
    values: [law.outgassing, law.conductance],
    covariance: law.covariance,
    degreesOfFreedom,
  };
  const parts = [group, volume];
  const g = law.driving[0]!;
  return [
    propagatedTogether(
      key,
      `leak of the first record, ${law.passage}`,
      parts,
      (y) => y[1]! * g * y[2]!,
    ),
    propagatedTogether("outgassing_Pa_m3_s", "outgassing", parts, (y) => y[0]! * y[2]!),
  ];
}

const detectionValue = (u: number): Value => ({
  key: "detection_limit_Pa_m3_s",
  name: "smallest inflow that this record would show",
  value: DETECTION * u,
  reason: "a limit: 3.29 standard uncertainties of the inflow",
  u: null,
  degreesOfFreedom: Number.POSITIVE_INFINITY,
  budget: [],
});

function recordTable(
  rises: readonly Rise[],
  rates: readonly number[],
  volume: number,
  behind: readonly Behind[] | null,
  law: Separation | null,
): ResultTable {
  const passage: Passage | "" = law?.passage ?? "";
  return {
    key: "records",
    title: "Records",
    columns: [
      { key: "file", name: "file" },
      { key: "gas", name: "gas" },
      { key: "plenum_pressure_Pa", name: "pressure behind" },
      { key: "inflow_Pa_m3_s", name: "leak and outgassing" },
      { key: "fitted_Pa_m3_s", name: passage === "" ? "fitted" : `outgassing and ${passage} leak` },
    ],
    rows: rises.map((rise, i) => [
      rise.name,
      behind?.[i]?.gas.name ?? null,
      behind?.[i]?.upstream ?? null,
      rates[i]! * volume,
      law === null ? null : (law.outgassing + law.conductance * law.driving[i]!) * volume,
    ]),
  };
}
