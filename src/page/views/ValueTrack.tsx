import { type ChangeEvent, useRef } from "react";
import { percentText } from "../../report/text/marginTable.ts";
import type { InputWindow } from "../../studies/inputWindow.ts";
import { parseQuantity } from "../../units/index.ts";
import { dropPreview, previewValue, setLength, setValue } from "../actions.ts";
import { keyOf, rewritten } from "../document/values.ts";
import { usePage } from "../state.ts";
import type { FieldSpec } from "./fields.ts";
import { useInputWindow } from "./inputWindows.ts";

/** Steps of the slider from end to end. */
const STEPS = 1000;

/**
 * A slider behind whose track the window lies in which every requirement is met. Dragging shows the
 * change at once; letting go makes it. By keyboard the text above it is stepped.
 */
export function ValueTrack({ spec, text }: { spec: FieldSpec; text: string }) {
  const { path, parameter } = spec;
  const key = keyOf(path);
  const window = useInputWindow(key);
  const isLength = key === "strip.free_length";
  const free = usePage((state) => (isLength ? (state.answer?.facts.freeLength_m ?? 0) : 0));
  const dragged = useRef<{ text: string; value: number } | null>(null);
  if (window === undefined || parameter.quantity === undefined) return null;
  const read = parseQuantity(text.replace(/\sto\s.*/, ""), parameter.quantity);
  if (!read.ok) return null;
  const scale = scaleOf(window);
  const at = scale.share(read.quantity.value);
  const input = (event: ChangeEvent<HTMLInputElement>) => {
    const value = scale.value(Number(event.target.value) / STEPS);
    const step = 10 ** Math.floor(Math.log10(Math.abs(window.to - window.from) / 300));
    const next = rewritten(parameter, text, value, step);
    dragged.current = { text: next, value };
    previewValue(path, next);
  };
  const done = () => {
    const last = dragged.current;
    dragged.current = null;
    if (last === null) dropPreview();
    else if (isLength) setLength(free, last.value);
    else setValue(path, last.text);
  };
  return (
    <div className="track">
      <svg
        className="track-ground"
        viewBox="0 0 100 6"
        preserveAspectRatio="none"
        aria-hidden="true"
      >
        <rect className="track-line" x="0" y="2.4" width="100" height="1.2" />
        {window.intervals.map(({ from, to }) => {
          const [a, b] = [scale.share(from), scale.share(to)].sort((x, y) => x - y) as [
            number,
            number,
          ];
          return (
            <rect
              key={from}
              className="track-window"
              x={100 * a}
              y="0.5"
              width={Math.max(0.6, 100 * (b - a))}
              height="5"
            />
          );
        })}
      </svg>
      <input
        type="range"
        tabIndex={-1}
        aria-label={`${parameter.label}, ${windowWords(window)}`}
        min={0}
        max={STEPS}
        value={Math.round(Math.min(1, Math.max(0, at)) * STEPS)}
        onChange={input}
        onPointerUp={done}
        onPointerCancel={() => {
          dragged.current = null;
          dropPreview();
        }}
        onKeyUp={done}
      />
    </div>
  );
}

/** Even, or by equal ratios where the ends lie far apart on one side of zero. */
function scaleOf({ from, to }: InputWindow) {
  const byRatio = from * to > 0 && Math.max(to / from, from / to) > 6;
  if (!byRatio)
    return {
      share: (value: number) => (value - from) / (to - from),
      value: (share: number) => from + share * (to - from),
    };
  return {
    share: (value: number) => (value / from > 0 ? Math.log(value / from) / Math.log(to / from) : 0),
    value: (share: number) => from * (to / from) ** share,
  };
}

function windowWords({ intervals, margin }: InputWindow): string {
  const best = Math.max(...margin.map((each) => each ?? -1));
  return intervals.length === 0
    ? `no value looked at meets everything, best ${percentText(best)}`
    : "the window in which everything is met lies behind it";
}
