import { formatQuantity } from "../../units/index.ts";
import type { ResultTable, Value, Warning } from "../reduction.ts";
import { type Cause, causesOf, type Signs } from "./causes.ts";
import type { Measured } from "./cut.ts";

/*
 * Accept tests of a cut strip (common practice, no source): capacitance goes with area within 5 %; tan δ at small
 * signal not above 0.03 and not above that before; insulation at least 1 GΩ at 100 V, dry; resonance and coupling as
 * before after the correction for length.
 */
const AREA = 0.05;
const LOSS_MOST = 0.03;
const INSULATION = 1e9;
/** Last digit of tan δ that a bridge shows. */
const DIGIT = 1e-4;
/** Standard uncertainties between a value and a limit from which on it is called decided. */
const DECIDED = 2;
/** Below this insulation an edge is bridged, whatever else. */
const BRIDGED = 1e6;

interface Test {
  name: string;
  value: Value | undefined;
  low: number;
  high: number;
  limit: string;
  sign: keyof Signs;
}

interface Judged {
  table: ResultTable;
  causes: ResultTable | null;
  warnings: Warning[];
}

export function judged(values: readonly Value[], measured: Measured, tolerance: number): Judged {
  const find = (key: string) => values.find((value) => value.key === key);
  const around = (part: number) => ({
    low: 1 - part,
    high: 1 + part,
    limit: `1 ± ${Number(part.toPrecision(3))}`,
  });
  const tests: Test[] = [
    {
      name: "capacitance goes with area",
      value: find("capacitance_over_area"),
      ...around(AREA),
      sign: "capacitance",
    },
    {
      name: "tan δ is small",
      value: find("loss_tangent_after"),
      low: -1,
      high: LOSS_MOST,
      limit: `at most ${LOSS_MOST}`,
      sign: "loss",
    },
    {
      name: "tan δ has not risen",
      value: find("loss_change"),
      low: -1,
      high: 0,
      limit: "at most 0",
      sign: "loss",
    },
    {
      name: "insulation, dry, at 100 V",
      value: find("insulation_after_ohm"),
      low: INSULATION,
      high: Number.POSITIVE_INFINITY,
      limit: "at least 1 GΩ",
      sign: "insulation",
    },
    {
      name: "resonance follows 1/L²",
      value: find("resonance_after_length"),
      ...around(tolerance),
      sign: "resonance",
    },
    {
      name: "coupling is as before",
      value: find("coupling_ratio"),
      ...around(tolerance),
      sign: "coupling",
    },
    {
      name: "deflection follows L²",
      value: find("deflection_after_length"),
      ...around(tolerance),
      sign: "deflection",
    },
  ];
  const signs: Signs = {};
  const rows = tests.map((test): (number | string | null)[] => {
    const { value } = test;
    if (value === undefined || value.value === null)
      return [test.name, null, null, test.limit, value?.reason ?? "not measured"];
    const found = verdictOf(test, value.value, value.u ?? 0);
    const before = signs[test.sign];
    if (found.sign !== null && (before === undefined || before === 0))
      signs[test.sign] = found.sign;
    return [test.name, value.value, value.u, test.limit, found.word];
  });
  const ratio = find("capacitance_over_area")?.value ?? null;
  const causes = causesOf(signs, ratio);
  return {
    table: {
      key: "accept",
      title: "is the piece as a good cut should be",
      columns: [
        { key: "test", name: "test" },
        { key: "found", name: "found" },
        { key: "u_found", name: "u" },
        { key: "limit", name: "limit" },
        { key: "verdict", name: "verdict" },
      ],
      rows,
    },
    causes: causes.length === 0 ? null : causeTable(causes),
    warnings: warningsOf(rows, find("capacitance_over_area"), measured, causes),
  };
}

/**
 * Within its limits, beyond them by two standard uncertainties, or too uncertain to say: nearer beyond a limit than
 * that, or within limits that are narrower than twice that to either side.
 */
function verdictOf(
  { low, high }: Test,
  value: number,
  u: number,
): { word: string; sign: number | null } {
  const undecided = { word: "undecided: u too large", sign: null };
  const beyond = Math.max(value - high, low - value);
  if (high === 0 && beyond <= DIGIT) return { word: "as it should be", sign: 0 };
  if (beyond > DECIDED * u) return { word: "not as it should be", sign: value > high ? 1 : -1 };
  // "Has not risen" has no width: within two standard uncertainties of 0 it has not.
  if (high === 0) return { word: "as it should be", sign: 0 };
  const tooWide = low > 0 && Number.isFinite(high) && high - low < 2 * DECIDED * u;
  return beyond > 0 || tooWide ? undecided : { word: "as it should be", sign: 0 };
}

const causeTable = (causes: readonly Cause[]): ResultTable => ({
  key: "causes",
  title: "what fits, best first",
  columns: [
    { key: "cause", name: "cause" },
    { key: "fits", name: "fits (1: all that was measured)" },
    { key: "next", name: "next test" },
  ],
  rows: causes.map(({ text, fits, next }) => [text, fits, next]),
});

function warningsOf(
  rows: readonly (readonly (number | string | null)[])[],
  area: Value | undefined,
  measured: Measured,
  causes: readonly Cause[],
): Warning[] {
  const out: Warning[] = [];
  const capacitance = rows[0]?.[4];
  if (capacitance === "not as it should be" && area?.value != null)
    out.push({
      key: "capacitance-unexplained",
      text: `Capacitance changed more than cutting explains: ${formatQuantity(area.value, area.u ?? 0, "ratio", area.u ? {} : { digits: 3 })} of what the area leaves.`,
    });
  const insulation = measured.get("insulation-after");
  if (insulation !== undefined && insulation.value < BRIDGED)
    out.push({
      key: "edge-bridged",
      text: `The insulation of ${formatQuantity(insulation.value, 0, "resistance", { digits: 2 })} is that of a bridged edge. No high voltage on this piece before the edge is cleaned and measured again.`,
    });
  if (rows.some((row) => row[4] === "undecided: u too large"))
    out.push({
      key: "undecided",
      text: "Some tests can't be decided within their uncertainty: give lengths and widths with a smaller one, or repeat the measurement.",
    });
  const untested = rows.filter((row) => row[1] === null).length;
  if (untested > 0)
    out.push({
      key: "not-all-tested",
      text:
        untested === rows.length
          ? `None of the ${rows.length} tests has its numbers: nothing is said of the piece. The table says what each needs.`
          : `${untested} of ${rows.length} tests lack a number (see the table): the piece is judged by the others only.`,
    });
  if (rows.some((row) => row[4] === "not as it should be") && causes.length === 0)
    out.push({
      key: "no-cause",
      text: "No usual fault of cutting fits this pattern: check that both measurements were made alike (clamp, leads, temperature, time since cutting).",
    });
  return out;
}
