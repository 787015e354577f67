import { type KeyboardEvent, type PointerEvent, useEffect, useRef, useState } from "react";
import type { TraceMark } from "../../../bench/reduction.ts";
import { usePage } from "../../state.ts";
import type { TracePart } from "../../worker/benchTrace.ts";
import { useWheel } from "../pulse/useWheel.ts";
import { useSize } from "../useSize.ts";
import { placeOf } from "./traceDraw.ts";
import { closer, type Span, TracePainter, within } from "./traceView.ts";
import { channelWords, placeWords, traceWords } from "./traceWords.ts";

/** Zoom of a key or a button, and how far a press must go to be a drag, px. */
const ZOOM = 0.6;
const LEAST = 6;

type Drag =
  | { kind: "box"; from: number; to: number }
  | { kind: "pan"; from: number; view: Span }
  | { kind: "pinch"; from: readonly [number, number]; view: Span };

/**
 * A trace of any length: drag draws a zoom box, shift and drag pans, two fingers do both, the wheel zooms; arrows
 * move the cursor, plus and minus zoom, shift and arrows pan, 0 shows the whole.
 */
export function TraceCanvas({
  whole,
  marks,
  fit,
  view,
  onView,
  ask,
  onPart,
  label,
}: {
  /** The whole trace at any width: its axis and channels. */
  whole: TracePart;
  marks: readonly TraceMark[];
  fit: boolean;
  view: Span;
  onView: (view: Span) => void;
  ask: (view: Span, width: number) => Promise<TracePart | null>;
  onPart: (part: TracePart) => void;
  label: string;
}) {
  const place = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const painter = useRef<TracePainter | null>(null);
  const layer = useRef<HTMLDivElement>(null);
  const size = useSize(place);
  const theme = usePage((state) => state.theme);
  const [readout, setReadout] = useState<string[] | null>(null);
  const [box, setBox] = useState<readonly [number, number] | null>(null);
  const drag = useRef<Drag | null>(null);
  const fingers = useRef(new Map<number, number>());
  const latest = useRef({ ask, onPart, view });
  latest.current = { ask, onPart, view };
  const { axis } = whole;

  useEffect(() => {
    const element = canvas.current;
    if (element === null || size === null) return;
    const made = new TracePainter(
      element,
      (part, columns) => latest.current.ask(part, columns),
      (part) => latest.current.onPart(part),
    );
    // Another size leaves the cursor where it is.
    const cursor = painter.current?.scene?.cursor ?? null;
    painter.current = made;
    made.begin({
      part: whole,
      view: latest.current.view,
      width: size.width,
      height: size.height,
      fit: false,
      marks: [],
      cursor,
    });
    return () => made.end();
  }, [whole, size]);
  useEffect(() => {
    void size;
    void whole;
    painter.current?.show({ view }, true);
  }, [view, size, whole]);
  useEffect(() => {
    void size;
    void theme;
    void whole;
    painter.current?.show({ marks, fit }, false);
  }, [marks, fit, size, theme, whole]);
  useEffect(() => {
    const query = matchMedia("(prefers-color-scheme: dark)");
    const again = () => painter.current?.show({}, false);
    query.addEventListener("change", again);
    return () => query.removeEventListener("change", again);
  }, []);

  const ends = (): readonly [number, number] => {
    const found = painter.current?.layout;
    return found == null ? [0, 1] : [found.left, found.right];
  };
  const pxIn = (event: { clientX: number }) => {
    const rect = (place.current as HTMLDivElement).getBoundingClientRect();
    const [left, right] = ends();
    return Math.min(right, Math.max(left, event.clientX - rect.left));
  };
  const valueAt = (px: number) => {
    const [left, right] = ends();
    return view[0] + ((px - left) / (right - left)) * (view[1] - view[0]);
  };
  const cursorTo = (x: number | null) => {
    painter.current?.show({ cursor: x }, false);
    const scene = painter.current?.scene;
    if (x === null || scene == null) {
      setReadout(null);
      return;
    }
    const { part } = scene;
    setReadout([
      placeWords(axis, x),
      ...part.channels.map((each) => `${each.role} ${channelWords(part, each, x)}`),
    ]);
    const element = layer.current;
    element?.setAttribute("aria-valuenow", String((x - axis.from) / (axis.to - axis.from)));
    element?.setAttribute("aria-valuetext", traceWords(part, x));
  };

  const down = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    const px = pxIn(event);
    event.currentTarget.setPointerCapture(event.pointerId);
    if (event.pointerType === "touch") {
      fingers.current.set(event.pointerId, px);
      const [a, b] = [...fingers.current.values()];
      drag.current =
        a !== undefined && b !== undefined
          ? { kind: "pinch", from: [a, b], view }
          : { kind: "pan", from: px, view };
    } else
      drag.current = event.shiftKey
        ? { kind: "pan", from: px, view }
        : { kind: "box", from: px, to: px };
  };
  const move = (event: PointerEvent<HTMLDivElement>) => {
    const px = pxIn(event);
    if (fingers.current.has(event.pointerId)) fingers.current.set(event.pointerId, px);
    const [left, right] = ends();
    const held = drag.current;
    if (held === null) cursorTo(valueAt(px));
    else if (held.kind === "pan") {
      const by = ((held.from - px) / (right - left)) * (held.view[1] - held.view[0]);
      onView(within([held.view[0] + by, held.view[1] + by], axis));
    } else if (held.kind === "pinch") {
      const [a, b] = [...fingers.current.values()] as [number, number];
      onView(pinched(held, [a, b], [left, right], axis));
    } else {
      drag.current = { ...held, to: px };
      setBox([Math.min(held.from, px), Math.max(held.from, px)]);
    }
  };
  const up = (event: PointerEvent<HTMLDivElement>) => {
    const held = drag.current;
    fingers.current.delete(event.pointerId);
    drag.current = null;
    setBox(null);
    if (held?.kind !== "box") return;
    const [a, b] = [Math.min(held.from, held.to), Math.max(held.from, held.to)];
    if (b - a >= LEAST) onView(within([valueAt(a), valueAt(b)], axis));
    else cursorTo(valueAt(a));
  };
  useWheel(layer, (event) => {
    event.preventDefault();
    const sideways = event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY);
    const by = event.deltaY === 0 ? event.deltaX : event.deltaY;
    const length = view[1] - view[0];
    if (sideways)
      onView(within([view[0] + (length * by) / 1000, view[1] + (length * by) / 1000], axis));
    else onView(closer(view, valueAt(pxIn(event)), Math.exp(by / 400), axis));
  });
  const keys = (event: KeyboardEvent) => {
    const length = view[1] - view[0];
    const cursor = painter.current?.scene?.cursor ?? (view[0] + view[1]) / 2;
    const way = { ArrowLeft: -1, ArrowRight: 1, PageDown: -10, PageUp: 10 }[event.key];
    if (way !== undefined && event.shiftKey)
      onView(within([view[0] + (way * length) / 10, view[1] + (way * length) / 10], axis));
    else if (way !== undefined) {
      const x = Math.min(axis.to, Math.max(axis.from, cursor + (way * length) / 100));
      cursorTo(x);
      if (x < view[0] || x > view[1]) onView(within([x - length / 2, x + length / 2], axis));
    } else if (event.key === "Home") cursorTo(view[0]);
    else if (event.key === "End") cursorTo(view[1]);
    else if (event.key === "+" || event.key === "=") onView(closer(view, cursor, ZOOM, axis));
    else if (event.key === "-") onView(closer(view, cursor, 1 / ZOOM, axis));
    else if (event.key === "0" || event.key === "Escape") onView([axis.from, axis.to]);
    else return;
    event.preventDefault();
  };

  const found = painter.current?.layout ?? null;
  const right = found !== null && readout !== null && isRight(painter.current, view, found);
  return (
    <div className="bench-trace-place" ref={place}>
      <canvas ref={canvas} className="bench-trace-canvas" />
      <div
        ref={layer}
        className="plot-layer bench-trace-layer"
        role="slider"
        tabIndex={0}
        aria-label={`${label}: cursor. Arrows move it, plus and minus zoom, shift and arrows pan, 0 shows the whole.`}
        aria-orientation="horizontal"
        aria-valuemin={0}
        aria-valuemax={1}
        aria-valuenow={0.5}
        aria-valuetext="no place is chosen"
        onPointerDown={down}
        onPointerMove={move}
        onPointerUp={up}
        onPointerCancel={up}
        onPointerLeave={() => drag.current === null && cursorTo(null)}
        onDoubleClick={() => onView([axis.from, axis.to])}
        onKeyDown={keys}
        onBlur={() => cursorTo(null)}
      >
        {box !== null && (
          <span
            className="zoom-box"
            style={{ left: box[0], width: box[1] - box[0], top: 0, bottom: 38 }}
          />
        )}
      </div>
      {readout !== null && (
        <div className={`readout bench-readout${right ? " at-left" : ""}`} aria-hidden="true">
          {readout.map((line) => (
            <span key={line}>{line}</span>
          ))}
        </div>
      )}
    </div>
  );
}

function isRight(
  painter: TracePainter | null,
  view: Span,
  layout: NonNullable<TracePainter["layout"]>,
): boolean {
  const cursor = painter?.scene?.cursor ?? null;
  if (cursor === null) return false;
  return placeOf(layout, view, cursor) > (layout.left + layout.right) / 2;
}

/** The part after two fingers moved: what lay under them stays there. */
function pinched(
  { from, view }: { from: readonly [number, number]; view: Span },
  now: readonly [number, number],
  [left, right]: readonly [number, number],
  axis: TracePart["axis"],
): Span {
  const apart = ([a, b]: readonly [number, number]) => Math.max(8, Math.abs(a - b));
  const share = ([a, b]: readonly [number, number]) => ((a + b) / 2 - left) / (right - left);
  const length = ((view[1] - view[0]) * apart(from)) / apart(now);
  const held = view[0] + share(from) * (view[1] - view[0]);
  const start = held - share(now) * length;
  return within([start, start + length], axis);
}
