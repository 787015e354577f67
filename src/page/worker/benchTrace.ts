import type { QuantityKind } from "../../units/index.ts";
import {
  type Drawn,
  drawnPart,
  extremes,
  indexAt,
  type Pyramid,
  pyramidOf,
} from "./benchPyramid.ts";

/*
 * The trace of a file as it is looked at: only what the pixel columns need leaves the worker.
 */

/** What lies along the bottom. */
export interface TraceAxis {
  name: string;
  /** null: rows of the file, numbered from 1. */
  kind: QuantityKind | null;
  /** Ends of the whole trace, SI. */
  from: number;
  to: number;
  /** Smallest distance of two samples that may be looked at. */
  least: number;
}

export interface TraceChannel {
  role: string;
  kind: QuantityKind;
  /** Smallest and largest of the whole channel, and of the part that is seen. */
  whole: readonly [number, number];
  seen: readonly [number, number];
  drawn: Drawn;
}

export interface TracePart {
  axis: TraceAxis;
  /** The part that is seen, SI. */
  view: readonly [number, number];
  /** Pixel columns. */
  width: number;
  /** Samples in the part, and in all. */
  samples: number;
  rows: number;
  channels: TraceChannel[];
}

/** Columns of a file, ready to be looked at from any distance. */
export interface Trace {
  axis: TraceAxis;
  /** null: rows. */
  places: Float64Array | null;
  channels: { role: string; kind: QuantityKind; pyramid: Pyramid }[];
  rows: number;
}

interface Columns {
  columns: ReadonlyMap<string, Float64Array>;
  kinds: ReadonlyMap<string, QuantityKind>;
  rows: number;
}

/** Roles that may lie along the bottom, likeliest first. */
const ALONG = ["time", "frequency", "position", "pressure", "voltage", "force"];

/** Chooses what lies along the bottom, a column that rises, and builds the blocks of the others. */
export function traceOf({ columns, kinds, rows }: Columns): Trace {
  const along = ALONG.find((role) => rises(columns.get(role)));
  const places = along === undefined ? null : (columns.get(along) as Float64Array);
  const channels = [...columns]
    .filter(([role]) => role !== along)
    .map(([role, values]) => ({
      role,
      kind: kinds.get(role) ?? "ratio",
      pyramid: pyramidOf(values),
    }));
  const [from, to] = places === null ? [0, rows - 1] : [places[0]!, places[rows - 1]!];
  const axis: TraceAxis = {
    name: along ?? "row",
    kind: along === undefined ? null : (kinds.get(along) ?? "ratio"),
    from,
    to: to > from ? to : from + 1,
    least: (8 * (to - from)) / Math.max(1, rows - 1) || 1e-12,
  };
  return { axis, places, channels, rows };
}

function rises(values: Float64Array | undefined): boolean {
  if (values === undefined || values.length < 2) return false;
  for (let i = 1; i < values.length; i++) if (!(values[i]! >= values[i - 1]!)) return false;
  return values.at(-1)! > values[0]!;
}

/** A part of a trace on so many pixel columns; the view is kept within the trace. */
export function partOf(trace: Trace, view: readonly [number, number], width: number): TracePart {
  const { axis, places, channels, rows } = trace;
  const at = (x: number) =>
    places === null ? Math.min(rows, Math.max(0, Math.ceil(x))) : indexAt(places, x);
  const [first, last] = [at(view[0]), Math.min(rows, at(view[1]) + 1)];
  return {
    axis,
    view,
    width,
    samples: last - first,
    rows,
    channels: channels.map(({ role, kind, pyramid }) => ({
      role,
      kind,
      whole: extremes(pyramid, 0, rows),
      seen: extremes(pyramid, Math.max(0, first - 1), last + 1),
      drawn: drawnPart(pyramid, places, view, width),
    })),
  };
}

/** Buffers of a part, to be handed over instead of copied. */
export const buffersOf = (part: TracePart): ArrayBuffer[] =>
  part.channels.flatMap(({ drawn }) =>
    (drawn.kind === "bars" ? [drawn.low, drawn.high] : [drawn.x, drawn.y]).map(
      ({ buffer }) => buffer as ArrayBuffer,
    ),
  );
