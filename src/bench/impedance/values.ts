import { derived, type Fitted, jointCovariance, type Source } from "../electric/derived.ts";
import type { BudgetLine, Reduction, ResultTable, Value } from "../reduction.ts";
import { type Characteristic, characteristic } from "./characteristic.ts";
import {
  type Branch,
  type Circuit,
  circuitOf,
  freeCapacitance,
  inductance,
  resistance,
} from "./circuit.ts";

/** What the meter itself may be wrong by. */
export interface MeterAccuracy {
  size: number;
  phase: number;
  frequency: number;
  /** F, of the capacitance taken off. */
  fixture: number;
}

/** A circuit and the characteristic frequencies of its branches. */
interface At {
  circuit: Circuit;
  of(k: number): Characteristic;
}

/** Circuits that were asked for before: every derived value asks at the same few points. */
function remembered(branches: number, seriesResistance: number | null): (p: Float64Array) => At {
  const known = new Map<string, At>();
  return (p) => {
    const name = p.join(" ");
    const before = known.get(name);
    if (before !== undefined) return before;
    const circuit = circuitOf(p, branches, seriesResistance);
    const found: Characteristic[] = [];
    const at = {
      circuit,
      of: (k: number) => {
        found[k] ??= characteristic(circuit, k);
        return found[k];
      },
    };
    known.set(name, at);
    return at;
  };
}

/** Values that a circuit has as many of as the fit has parameters; all others follow from them. */
const DETERMINED =
  /^(capacitance_F|loss_tangent|series_resistance_ohm|(series|parallel)_resonance(_\d+)?_Hz|quality_factor(_\d+)?)$/;

/** Everything the fitted circuit says, the strip's first resonance first, with the covariance of what it determines. */
export function circuitValues(
  fitted: Fitted,
  branches: number,
  seriesResistance: number | null,
  meter: MeterAccuracy,
): { values: Value[]; covariance: Reduction["covariance"] } {
  const at = remembered(branches, seriesResistance);
  const { circuit } = at(fitted.p);
  const sources: Source[] = [];
  const size = (v: number): BudgetLine[] => [
    { source: "accuracy of the meter's |Z|", u: Math.abs(v) * meter.size },
  ];
  const hertz = (v: number): BudgetLine[] => [
    { source: "accuracy of the meter's frequency", u: v * meter.frequency },
  ];
  const farad = (v: number): BudgetLine[] => [
    ...size(v),
    { source: "capacitance of the fixture", u: meter.fixture },
  ];
  const angle = (): BudgetLine[] => [{ source: "accuracy of the meter's phase", u: meter.phase }];
  const value = (
    key: string,
    name: string,
    f: (at: At) => number,
    parts?: (v: number) => readonly BudgetLine[],
    none?: string,
  ): Value => {
    const made = derived(key, name, fitted, (p) => f(at(p)), parts, none);
    if (DETERMINED.test(key)) sources.push({ value: made, f: (p) => f(at(p)) });
    return made;
  };
  const plain = (f: (circuit: Circuit) => number) => (point: At) => f(point.circuit);
  const out = [
    value(
      "capacitance_F",
      "capacitance, free (far below the resonances)",
      plain(freeCapacitance),
      farad,
    ),
    value("loss_tangent", "tan δ", ({ circuit: c }) => c.tanDelta, angle),
    value(
      "clamped_capacitance_F",
      "capacitance C0 of the circuit",
      ({ circuit: c }) => c.c0,
      farad,
    ),
  ];
  if (seriesResistance === null)
    out.push(
      value(
        "series_resistance_ohm",
        "series resistance",
        ({ circuit: c }) => c.seriesResistance,
        size,
      ),
    );
  circuit.branches.forEach((_, k) => {
    const n = branches === 1 ? "" : ` ${k + 1}`;
    const key = (text: string) =>
      k === 0 ? text : text.replace(/(_(?:Hz|F|H|ohm))?$/, `_${k + 1}$1`);
    const of = (pick: (x: Characteristic) => number) => (point: At) => pick(point.of(k));
    const own = (pick: (b: Branch) => number) => (point: At) =>
      pick(point.circuit.branches[k] as Branch);
    const noPhase = "the phase does not come to zero: the figure of merit is too small";
    const noExtreme = "|Z| has no such extreme here";
    out.push(
      value(
        key("series_resonance_Hz"),
        `series resonance${n}, f_s`,
        own((b) => b.fs),
        hertz,
      ),
      value(
        key("parallel_resonance_Hz"),
        `parallel resonance${n}, f_p`,
        of((x) => x.fp),
        hertz,
      ),
      value(
        key("coupling_factor"),
        `effective coupling factor${n}, k_eff`,
        of((x) => x.coupling),
      ),
      value(
        key("quality_factor"),
        `mechanical quality factor${n}, Q`,
        own((b) => b.q),
      ),
      value(
        key("motional_capacitance_F"),
        `C1 of resonance${n}`,
        own((b) => b.c1),
        size,
      ),
      value(key("motional_inductance_H"), `L1 of resonance${n}`, own(inductance), size),
      value(key("motional_resistance_ohm"), `R1 of resonance${n}`, own(resistance), size),
      value(
        key("figure_of_merit"),
        `figure of merit${n}, Q k²/(1 − k²)`,
        of((x) => x.figureOfMerit),
      ),
      value(
        key("least_impedance_Hz"),
        `least |Z|${n}, f_m`,
        of((x) => x.fm),
        hertz,
        noExtreme,
      ),
      value(
        key("largest_impedance_Hz"),
        `largest |Z|${n}, f_n`,
        of((x) => x.fn),
        hertz,
        noExtreme,
      ),
      value(
        key("zero_phase_Hz"),
        `zero phase, resonance${n}, f_r`,
        of((x) => x.fr),
        hertz,
        noPhase,
      ),
      value(
        key("zero_phase_upper_Hz"),
        `zero phase, antiresonance${n}, f_a`,
        of((x) => x.fa),
        hertz,
        noPhase,
      ),
    );
  });
  return { values: out, covariance: jointCovariance(fitted, sources) };
}

/** The resonances side by side. */
export function branchTable(circuit: Circuit): ResultTable | null {
  if (circuit.branches.length === 0) return null;
  return {
    key: "resonances",
    title: "resonances of the fitted circuit",
    columns: [
      { key: "resonance", name: "resonance" },
      { key: "series_resonance_Hz", name: "f_s" },
      { key: "parallel_resonance_Hz", name: "f_p" },
      { key: "quality_factor", name: "Q" },
      { key: "coupling_factor", name: "k_eff" },
      { key: "motional_capacitance_F", name: "C1" },
      { key: "motional_inductance_H", name: "L1" },
      { key: "motional_resistance_ohm", name: "R1" },
    ],
    rows: circuit.branches.map((branch, k) => {
      const { fs, fp, coupling } = characteristic(circuit, k);
      return [
        k + 1,
        fs,
        Number.isFinite(fp) ? fp : null,
        branch.q,
        Number.isFinite(coupling) ? coupling : null,
        branch.c1,
        inductance(branch),
        resistance(branch),
      ];
    }),
  };
}
