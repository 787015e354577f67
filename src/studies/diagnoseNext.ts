import type { Design } from "../design/design.ts";
import { formatQuantity } from "../units/index.ts";
import { type Conditions, USUAL } from "./calibrateMeasured.ts";
import { type Bench, observableNamed } from "./calibrateObservables.ts";
import type { Evidence, Explained } from "./diagnose.ts";
import { benchWith } from "./diagnoseCauses.ts";
import type { NextTest } from "./diagnoseResult.ts";
import { TESTS } from "./diagnoseTests.ts";

/** Values that a bench can take next, with the standard uncertainty that is usual. Common practice, no source. */
const NEXT: readonly { figure: string; relative: number; conditions?: Partial<Conditions> }[] = [
  { figure: "resonance_ratio", relative: 0.003 },
  { figure: "first_resonance_Hz", relative: 0.005 },
  { figure: "stiffness_N_m", relative: 0.03 },
  { figure: "swing_m", relative: 0.03 },
  { figure: "capacitance_F", relative: 0.02 },
  { figure: "coupling", relative: 0.03 },
  { figure: "quality_factor", relative: 0.1 },
  { figure: "touching_resonance_Hz", relative: 0.01 },
  { figure: "opening_voltage_V", relative: 0.03 },
];

/** Below this the two are not told apart: a likelihood ratio of e. */
const TELLS = 1;
const LISTED = 3;

/** Tests not yet made that tell the likeliest cause from the runner-up, best first. */
export function nextTests(
  design: Design,
  { values, outcomes }: Evidence,
  ranked: readonly Explained[],
): NextTest[] {
  const [first, second] = ranked;
  if (first === undefined || second === undefined) return [];
  const between: [string, string] = [first.cause.id, second.cause.id];
  const out: NextTest[] = [];
  for (const { id, name, outcomes: possible, given } of TESTS) {
    const [a, b] = [given[between[0]], given[between[1]]];
    if (a === undefined || b === undefined || outcomes[id] !== undefined) continue;
    const tells = a.reduce((sum, p, k) => sum + (p - b[k]!) * Math.log(p / b[k]!), 0);
    const usual = (p: readonly number[]) => possible[p.indexOf(Math.max(...p))] as string;
    if (usual(a) !== usual(b))
      out.push({ test: name, between, expect: [usual(a), usual(b)], tells });
  }
  const measured = new Set(values.values.map(({ figure }) => figure));
  const benches = [first, second].map(({ cause, sizes }) => benchWith(design, cause, sizes));
  for (const { figure, relative, conditions } of NEXT) {
    if (measured.has(figure)) continue;
    const under = benches.map((bench) => figureOf(bench, figure, { ...USUAL, ...conditions }));
    const [a, b] = under;
    if (a == null || b == null) continue;
    const u = relative * Math.max(Math.abs(a), Math.abs(b));
    const tells = ((a - b) / u) ** 2;
    const observable = observableNamed(figure);
    const print = (x: number) => formatQuantity(x, 0, observable?.kind ?? "ratio", { digits: 4 });
    out.push({
      test: `measure the ${observable?.names[0] ?? figure}`,
      between,
      expect: [print(a), print(b)],
      tells,
    });
  }
  return out
    .filter(({ tells }) => tells > TELLS)
    .sort((a, b) => b.tells - a.tells)
    .slice(0, LISTED);
}

function figureOf(bench: Bench, figure: string, conditions: Conditions): number | null {
  try {
    return bench.figure(figure, conditions);
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}
