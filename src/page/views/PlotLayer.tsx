import { type KeyboardEvent, type PointerEvent, useEffect, useRef, useState } from "react";
import type { Plot } from "../../report/figures/figure.ts";
import { set } from "../state.ts";
import { axisText, curveAt, pxOf, valueAtPx } from "./plotPlace.ts";
import {
  type At,
  ends,
  LEAST,
  pinched,
  shifted,
  span,
  type View,
  withView,
  zoomed,
} from "./plotView.ts";

/**
 * What lies over a chart: cursor with readout, zoom box (drag), pan (shift and drag), whole view
 * (double click); two fingers zoom and pan. By keyboard: arrows move the cursor, plus and minus zoom, shift and arrows pan,
 * 0 shows the whole.
 */
export function PlotLayer({
  plot,
  view,
  onView,
  label,
}: {
  plot: Plot;
  view: View;
  onView: (view: View) => void;
  label: string;
}) {
  const ref = useRef<HTMLDivElement>(null);
  const [cursor, setCursor] = useState<At | null>(null);
  const [box, setBox] = useState<{ from: At; to: At; pan: Plot | null } | null>(null);
  const fingers = useRef(new Map<number, At>());
  const pinch = useRef<{ plot: Plot; from: readonly [At, At] } | null>(null);
  const [left, right] = ends(plot.x);
  const [top, bottom] = ends(plot.y);
  const inside = (at: At) => ({
    x: Math.min(right, Math.max(left, at.x)),
    y: Math.min(bottom, Math.max(top, at.y)),
  });
  const at = (event: PointerEvent): At => {
    const rect = (ref.current as HTMLDivElement).getBoundingClientRect();
    return inside({ x: event.clientX - rect.left + left, y: event.clientY - rect.top + top });
  };

  // The browser would take two fingers for a scroll of the page.
  useEffect(() => {
    const element = ref.current;
    const held = (event: TouchEvent) => {
      if (event.touches.length > 1) event.preventDefault();
    };
    const options = { passive: false };
    element?.addEventListener("touchstart", held, options);
    element?.addEventListener("touchmove", held, options);
    return () => {
      element?.removeEventListener("touchstart", held);
      element?.removeEventListener("touchmove", held);
    };
  }, []);
  const two = (): readonly [At, At] | null => {
    const [a, b] = fingers.current.values();
    return a === undefined || b === undefined ? null : [a, b];
  };

  const down = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    const from = at(event);
    if (event.pointerType === "touch") {
      fingers.current.set(event.pointerId, from);
      const held = two();
      pinch.current = held === null ? null : { plot: withView(plot, view), from: held };
      if (held !== null) setCursor(null);
      return;
    }
    event.currentTarget.setPointerCapture(event.pointerId);
    setBox({ from, to: from, pan: event.shiftKey ? withView(plot, view) : null });
  };
  const move = (event: PointerEvent<HTMLDivElement>) => {
    const now = at(event);
    if (fingers.current.has(event.pointerId)) fingers.current.set(event.pointerId, now);
    const [held, start] = [two(), pinch.current];
    if (held !== null && start !== null) {
      onView(pinched(start.plot, start.from, held));
      return;
    }
    setCursor(now);
    if (box === null) return;
    // Against the chart that was there when it began: the one on the page may be a few moves behind.
    if (box.pan !== null) onView(shifted(box.pan, box.from.x - now.x, box.from.y - now.y));
    else setBox({ ...box, to: now });
  };
  const lift = (event: PointerEvent) => {
    fingers.current.delete(event.pointerId);
    pinch.current = null;
  };
  const up = (event: PointerEvent) => {
    lift(event);
    if (box !== null && box.pan === null) {
      const [x0, x1] = [Math.min(box.from.x, box.to.x), Math.max(box.from.x, box.to.x)];
      const [y0, y1] = [Math.min(box.from.y, box.to.y), Math.max(box.from.y, box.to.y)];
      if (x1 - x0 > LEAST && y1 - y0 > LEAST)
        onView({ x: span(plot.x, x0, x1), y: span(plot.y, y0, y1) });
    }
    setBox(null);
  };
  const keys = (event: KeyboardEvent) => {
    const way = WAYS[event.key];
    if (way !== undefined) {
      event.preventDefault();
      const [dx, dy] = [way[0] * (right - left), way[1] * (bottom - top)];
      if (event.shiftKey) onView(shifted(withView(plot, view), dx / 10, dy / 10));
      else {
        const now = cursor ?? { x: (left + right) / 2, y: (top + bottom) / 2 };
        const next = inside({ x: now.x + dx / 50, y: now.y + dy / 50 });
        setCursor(next);
        set({ said: readout(plot, next).join("; ") });
      }
    } else if (event.key === "+" || event.key === "=")
      onView(zoomed(withView(plot, view), cursor, 0.7));
    else if (event.key === "-") onView(zoomed(withView(plot, view), cursor, 1 / 0.7));
    else if (event.key === "0" || event.key === "Escape") onView(undefined);
  };

  const lines = cursor === null ? [] : readout(plot, cursor);
  return (
    <>
      {/* biome-ignore lint/a11y/useSemanticElements: a chart that is read by keys has no element of its own */}
      <div
        ref={ref}
        className={`plot-layer${view === undefined ? "" : " zoomed"}`}
        role="group"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the cursor is moved by keys
        tabIndex={0}
        aria-label={`${label}: cursor. Arrows move it, plus and minus zoom, shift and arrows pan, 0 shows the whole.`}
        style={{ left, top, width: right - left, height: bottom - top }}
        onPointerDown={down}
        onPointerMove={move}
        onPointerUp={up}
        onPointerCancel={lift}
        onPointerLeave={(event) => {
          lift(event);
          if (box === null) setCursor(null);
        }}
        onBlur={() => setCursor(null)}
        onDoubleClick={() => onView(undefined)}
        onKeyDown={keys}
      >
        {cursor !== null && (
          <span className="plot-hair" style={{ left: cursor.x - left }} aria-hidden="true" />
        )}
        {box !== null && box.pan === null && (
          <span className="zoom-box" style={boxStyle(box, left, top)} />
        )}
      </div>
      {lines.length > 0 && (
        <div
          className="readout"
          aria-hidden="true"
          style={
            (cursor as At).x > (left + right) / 2
              ? { left: left + 8, top: top + 8 }
              : { right: `calc(100% - ${right - 8}px)`, top: top + 8 }
          }
        >
          {lines.map((line) => (
            <span key={line}>{line}</span>
          ))}
        </div>
      )}
    </>
  );
}

const WAYS: Record<string, readonly [number, number] | undefined> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** Curves listed at the cursor at most. */
const LISTED = 6;

function readout(plot: Plot, at: At): string[] {
  const x = valueAtPx(plot.x, at.x);
  const lines = [`${plot.x.name} ${axisText(plot.x, x)}`];
  const curves = plot.series.flatMap((series) => {
    const y = curveAt(series, x);
    return y === null ? [] : [{ name: series.name, y, px: Math.abs(pxOf(plot.y, y) - at.y) }];
  });
  curves.sort((a, b) => a.px - b.px);
  if (curves.length === 0)
    lines.push(`${plot.y.name} ${axisText(plot.y, valueAtPx(plot.y, at.y))}`);
  for (const { name, y } of curves.slice(0, LISTED)) lines.push(`${name} ${axisText(plot.y, y)}`);
  return lines;
}

function boxStyle({ from, to }: { from: At; to: At }, left: number, top: number) {
  return {
    left: Math.min(from.x, to.x) - left,
    top: Math.min(from.y, to.y) - top,
    width: Math.abs(from.x - to.x),
    height: Math.abs(from.y - to.y),
  };
}
