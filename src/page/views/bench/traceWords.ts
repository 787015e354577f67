import { formatQuantity } from "../../../units/index.ts";
import type { TraceAxis, TraceChannel, TracePart } from "../../worker/benchTrace.ts";

/** A place along the bottom in words: "1.234 ms", "row 17". */
export function placeWords(axis: TraceAxis, x: number): string {
  if (axis.kind === null) return `row ${Math.round(x) + 1}`;
  return formatQuantity(x, 0, axis.kind, { digits: 6 });
}

/** What a channel holds at a place: one value, or the ends of what lies in that pixel column. */
export function channelWords(part: TracePart, channel: TraceChannel, x: number): string {
  const { drawn, kind } = channel;
  const say = (value: number) => formatQuantity(value, 0, kind, { digits: 4 });
  if (drawn.kind === "points") {
    let best = -1;
    for (let i = 0; i < drawn.x.length; i++)
      if (best < 0 || Math.abs(drawn.x[i]! - x) < Math.abs(drawn.x[best]! - x)) best = i;
    const value = drawn.y[best];
    return value === undefined || Number.isNaN(value) ? "no value" : say(value);
  }
  const share = (x - part.view[0]) / (part.view[1] - part.view[0]);
  const column = Math.min(drawn.low.length - 1, Math.max(0, Math.floor(share * drawn.low.length)));
  const [low, high] = [drawn.low[column]!, drawn.high[column]!];
  if (Number.isNaN(low)) return "no value";
  return say(low) === say(high) ? say(low) : `${say(low)} to ${say(high)}`;
}

/** Everything at a place in one sentence, for a screen reader. */
export function traceWords(part: TracePart, x: number): string {
  const channels = part.channels.map((each) => `${each.role} ${channelWords(part, each, x)}`);
  return [placeWords(part.axis, x), ...channels].join("; ");
}
