import type { Data } from "../kind.ts";
import { BenchProblem } from "../reduction.ts";
import type { Sweep } from "./circuitFit.ts";

/** Pairs of columns that make an admittance, likeliest first. */
const PAIRS = [
  ["impedance", "phase"],
  ["resistance", "reactance"],
  ["conductance", "susceptance"],
  ["capacitance", "loss"],
] as const;
type Pair = (typeof PAIRS)[number];

export interface ReadSweep {
  sweep: Sweep;
  pair: Pair;
  /** Rows left out: outside the window. */
  outside: number;
}

/**
 * Complex admittance from whichever pair the file has, sorted by frequency, within [from, to].
 * @throws BenchProblem for a file without a pair, with two, or with numbers that no strip gives
 */
export function readSweep(data: Data, from: number, to: number): ReadSweep {
  const where = `file ${data.name}`;
  const have = PAIRS.filter((pair) => pair.every((key) => data.columns.has(key)));
  const pairs = PAIRS.map((pair) => pair.join(" and ")).join("; ");
  if (have.length === 0) {
    const columns = [...data.columns.keys()].join(", ");
    throw new BenchProblem(where, `columns ${columns}`, `beside frequency one pair of: ${pairs}`);
  }
  if (have.length > 1)
    throw new BenchProblem(
      where,
      `both ${have.map((pair) => pair.join(" and ")).join(" and ")}`,
      "one pair; leave out the columns of the other",
    );
  const pair = have[0] as Pair;
  const f = data.columns.get("frequency") as Float64Array;
  const first = data.columns.get(pair[0]) as Float64Array;
  const second = data.columns.get(pair[1]) as Float64Array;
  const order: number[] = [];
  for (let i = 0; i < data.rows; i++) {
    if (!(f[i]! > 0))
      throw new BenchProblem(rowOf(data, i), `frequency ${f[i]} Hz`, "frequencies above 0 Hz");
    if (f[i]! >= from && f[i]! <= to) order.push(i);
  }
  if (order.length === 0)
    throw new BenchProblem(
      where,
      `no row between ${from} and ${to} Hz`,
      "a window that holds some",
    );
  order.sort((a, b) => f[a]! - f[b]!);
  const sweep: Sweep = {
    f: Float64Array.from(order, (i) => f[i]!),
    g: new Float64Array(order.length),
    b: new Float64Array(order.length),
  };
  order.forEach((i, k) => {
    const [g, b] = admittanceOf(pair, f[i]!, first[i]!, second[i]!);
    if (!(Number.isFinite(g) && Number.isFinite(b)) || (g === 0 && b === 0))
      throw new BenchProblem(
        rowOf(data, i),
        `${pair[0]} ${first[i]} with ${pair[1]} ${second[i]}`,
        "numbers that make a finite admittance",
      );
    sweep.g[k] = g;
    sweep.b[k] = b;
  });
  capacitive(where, pair, sweep);
  return { sweep, pair, outside: data.rows - order.length };
}

const rowOf = (data: Data, i: number) =>
  data.firstRow === null
    ? `file ${data.name}, value ${i + 1}`
    : `file ${data.name}, row ${data.firstRow + i}`;

function admittanceOf(pair: Pair, f: number, a: number, b: number): [number, number] {
  const omega = 2 * Math.PI * f;
  if (pair[0] === "impedance") return [Math.cos(b) / a, -Math.sin(b) / a];
  if (pair[0] === "resistance") return [a / (a * a + b * b), -b / (a * a + b * b)];
  if (pair[0] === "conductance") return [a, b];
  return [omega * a * b, omega * a];
}

/** A strip is a capacitor nearly everywhere: the other sign means swapped leads of the phase, or another part. */
function capacitive(where: string, pair: Pair, { b }: Sweep): void {
  let below = 0;
  for (const x of b) if (x < 0) below++;
  if (below > 0.7 * b.length)
    throw new BenchProblem(
      where,
      `inductive in ${below} of ${b.length} rows`,
      `a capacitor's sign: ${pair[1] === "phase" ? "phase of Z near −90°" : pair[1] === "reactance" ? "reactance below 0" : "susceptance above 0"} off resonance`,
    );
}
