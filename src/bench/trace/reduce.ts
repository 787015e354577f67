import type { Design } from "../../design/design.ts";
import { column } from "../columns.ts";
import type { Data, Settings } from "../kind.ts";
import {
  BenchProblem,
  type Reduction,
  type TraceMark,
  type Value,
  type Warning,
} from "../reduction.ts";
import { optional, word } from "../settings.ts";
import { missing } from "../together.ts";
import { givenLevels, type Levels, stateLevels } from "./levels.ts";
import { delayValues, durations, edgeValues, levelValues } from "./measures.ts";
import { type Pairing, type Statistics, statisticsOf } from "./pairing.ts";
import { ringValues } from "./ringValues.ts";
import { type Channel, surveyChannel } from "./samples.ts";
import { SIGNAL_UNITS } from "./settings.ts";
import { settledLevels } from "./settled.ts";
import { spectrumTable } from "./spectrum.ts";
import {
  type Clock,
  clockOf,
  type Edge,
  edgesOf,
  firstDirection,
  type GateEdges,
  gateEdges,
  pairUp,
} from "./states.ts";
import { pulseTable } from "./table.ts";
import { type Found, findTransitions } from "./transitions.ts";
import { counted, meanValue, statisticsValue } from "./values.ts";
import { channelWarnings, edgeWarnings, jitterWarnings, mirrorWarnings } from "./warnings.ts";

/** Marks of instants on the trace, at most. */
const MARKS = 400;

interface Read {
  channel: Channel;
  levels: Levels;
  found: Found;
}

function readChannel(role: string, y: Float64Array, data: Data, settings: Settings): Read {
  const channel = surveyChannel(role, y, data.firstRow);
  const low = role === "signal" ? optional(settings, "low-level") : null;
  const high = role === "signal" ? optional(settings, "high-level") : null;
  if ((low === null) !== (high === null))
    throw new BenchProblem(
      `setting ${low === null ? "low-level" : "high-level"}`,
      "not given",
      "both levels, or neither",
    );
  const rule = word(settings, "levels") === "mean" ? "mean" : "mode";
  let levels: Levels;
  if (low !== null && high !== null) levels = givenLevels(low, high);
  else {
    levels = stateLevels(channel, rule);
    if (rule === "mode") levels = settledLevels(channel, levels);
  }
  return { channel, levels, found: findTransitions(channel, levels) };
}

/** Levels, transitions, aberrations, delays, ring-down and, when asked for, the spectrum of one trace. */
export function reduceTrace(
  [data]: readonly Data[],
  settings: Settings,
  design: Design | null,
): Reduction {
  if (data === undefined) throw new BenchProblem("files", "none", "one file is needed");
  const clock = clockOf(data, column(data, "time", 8));
  const y = data.columns.get("signal");
  if (y === undefined)
    throw new BenchProblem(data.name, "no column for signal", "name the column that holds it");
  const unit = SIGNAL_UNITS.get(data.kinds.get("signal") ?? "voltage") ?? "_V";
  const signal = readChannel("signal", y, data, settings);
  if (signal.found.transitions.length === 0)
    throw new BenchProblem(
      `${data.name}, column signal`,
      "no transition from one level to the other",
      "a trace in which the signal goes from one state to the other",
    );
  const gateColumn = data.columns.get("gate");
  const gate = gateColumn === undefined ? null : readChannel("gate", gateColumn, data, settings);
  const gates = gate === null ? null : gateOf(gate, clock, settings);
  const direction = openingDirection(signal.found, clock, gates, settings);
  const band = optional(settings, "settling-band")?.value ?? 0.02;
  const edges = edgesOf(signal.channel, signal.levels, signal.found, clock, direction, band);
  const opening = edges.filter((edge) => edge.opening);
  const closing = edges.filter((edge) => !edge.opening);
  const step = clock.step(signal.found.transitions[0]!.middle.index);
  const pairing = gates === null ? null : pairsOf(gates.opening, opening, settings, step);
  const delays =
    pairing === null || gates === null ? null : delaysOf(pairing, gates.opening, opening);
  const closings = gates === null ? null : pairsOf(gates.closing, closing, settings, step);
  const closingDelays =
    closings === null || gates === null ? null : delaysOf(closings, gates.closing, closing);
  const ring = ringValues(
    y,
    signal.channel.noise,
    edges,
    clock,
    {
      after: word(settings, "ring-after") ?? "longest",
      from: optional(settings, "ring-from")?.value ?? null,
      to: optional(settings, "ring-to")?.value ?? null,
      modes: optional(settings, "modes")?.value ?? null,
    },
    unit.slice(1),
  );
  const widths = durations(edges);
  const values: Value[] = [
    ...levelValues(signal.levels, unit, settings),
    ...delayValues(delays, pairing, gates, step),
    ...edgeValues(opening, "rise_10_90_s", "opening", signal.levels, signal.channel),
    ...edgeValues(closing, "fall_90_10_s", "closing", signal.levels, signal.channel),
    meanValue("pulse_duration_s", "pulse duration at 50 %", widths, "no opening that closes again"),
    closingDelays === null
      ? missing("closing_delay_s", "delay of closing", "no gate, or no closing after its end")
      : statisticsValue("closing_delay_s", "delay of closing", closingDelays),
    ...ring.values,
    counted("openings", "openings", opening.length),
    counted(
      "runts",
      "excursions beyond 50 % that do not reach the other state",
      signal.found.runts.length,
    ),
    counted("ring_crossings", "crossings that are ringing", signal.found.ringing),
  ];
  const warnings: Warning[] = [
    ...channelWarnings(signal.channel, signal.levels, signal.found),
    ...(gate === null ? [] : channelWarnings(gate.channel, gate.levels, gate.found)),
    ...edgeWarnings(signal.channel, signal.levels, edges, step, settings),
    ...jitterWarnings(delays, step),
    ...pairWarnings(pairing),
    ...ring.warnings,
    ...mirrorWarnings(design, settings),
  ];
  const tables = [pulseTable(opening, edges, gates, pairing)];
  if (word(settings, "spectrum") === "yes" && clock.interval !== null) {
    const segment = optional(settings, "segment")?.value ?? null;
    tables.push(spectrumTable(y, clock.interval, segment, unit.slice(1)));
  }
  return {
    kind: "trace",
    values,
    fits: ring.fits,
    warnings,
    tables,
    marks: marksOf(signal.levels, edges, ring.window),
    covariance: null,
  };
}

function gateOf(gate: Read, clock: Clock, settings: Settings): GateEdges {
  const falling = word(settings, "gate-edge") === "falling";
  return gateEdges(gate.found, clock, falling ? -1 : 1);
}

function openingDirection(
  found: Found,
  clock: Clock,
  gates: GateEdges | null,
  settings: Settings,
): 1 | -1 {
  const asked = word(settings, "response-edge") ?? "first";
  if (asked !== "first") return asked === "falling" ? -1 : 1;
  return firstDirection(found, clock, gates?.opening[0]?.time ?? Number.NEGATIVE_INFINITY) ?? 1;
}

function pairsOf(
  gates: readonly { time: number }[],
  edges: readonly Edge[],
  settings: Settings,
  step: number,
): Pairing {
  const longest = optional(settings, "longest-delay")?.value ?? Number.POSITIVE_INFINITY;
  return pairUp(gates, edges, longest, step);
}

function delaysOf(
  pairing: Pairing,
  gates: readonly { time: number; u: number }[],
  edges: readonly Edge[],
): Statistics | null {
  return statisticsOf(
    pairing.pairs.map(({ delay }) => delay),
    pairing.pairs.map(({ gate, response }) =>
      Math.hypot(gates[gate]!.u, edges[response]!.middle.u),
    ),
  );
}

function pairWarnings(pairing: Pairing | null): Warning[] {
  if (pairing === null || pairing.missed.length + pairing.extra.length === 0) return [];
  const text = [
    pairing.missed.length > 0 ? `${pairing.missed.length} gate edges have no response` : "",
    pairing.extra.length > 0 ? `${pairing.extra.length} responses have no gate edge` : "",
  ]
    .filter((part) => part !== "")
    .join(", ");
  return [
    {
      key: "unpaired",
      text: `${text}; the table has each of them. Delay and jitter are those of the ${pairing.pairs.length} pairs only.`,
    },
  ];
}

function marksOf(
  levels: Levels,
  edges: readonly Edge[],
  window: { from: number; to: number } | null,
): TraceMark[] {
  const marks: TraceMark[] = [
    { role: "signal", kind: "level", name: "low level", from: levels.low.value },
    { role: "signal", kind: "level", name: "high level", from: levels.high.value },
  ];
  for (const { middle, opening } of edges.slice(0, MARKS))
    marks.push({
      role: "signal",
      kind: "instant",
      name: opening ? "opens, 50 %" : "closes, 50 %",
      from: middle.time,
    });
  if (window !== null)
    marks.push({
      role: "signal",
      kind: "span",
      name: "ring-down",
      from: window.from,
      to: window.to,
    });
  return marks;
}
