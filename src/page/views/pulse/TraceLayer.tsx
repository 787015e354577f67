import { type KeyboardEvent, useCallback, useEffect, useLayoutEffect, useRef } from "react";
import type { Plot } from "../../../report/figures/figure.ts";
import type { PulsePanel } from "../../worker/pulseRequests.ts";
import { pxOf, valueAtPx } from "../plotPlace.ts";
import { clockTime, seek, timeAfterKey, useClock } from "./clock.ts";
import { farther, moved, type Span } from "./timeView.ts";
import { heightOf, momentWords, panelWords, timeWords, valueAt } from "./traceValues.ts";
import { useTracePointer } from "./useTracePointer.ts";
import { useWheel } from "./useWheel.ts";

/** Zoom of a key. */
const ZOOM = 0.7;

/**
 * What lies over the traces: the cursor that is the time of the moving drawing, with the values there. Press sets
 * it, its line or a finger drags it; dragging elsewhere draws a zoom box; wheel and two fingers zoom, with shift
 * they pan; double press shows the whole. Keys: arrows a step, page keys a tenth, ends; plus, minus, 0; shift and
 * arrows pan.
 */
export function TraceLayer({
  plot,
  panels,
  step,
  end,
  zoomed,
  label,
  onTime,
}: {
  plot: Plot;
  panels: readonly PulsePanel[];
  /** Step of the grid and end of the run, s. */
  step: number;
  end: number;
  zoomed: boolean;
  label: string;
  /** Another part of the time; null: all of it. */
  onTime: (part: Span | null) => void;
}) {
  const ref = useRef<HTMLDivElement>(null);
  const hair = useRef<HTMLSpanElement>(null);
  const values = useRef<HTMLDivElement>(null);
  const { x } = plot;
  const [left, right] = [Math.min(...x.range), Math.max(...x.range)];
  const top = Math.min(...panels.map((panel) => panel.top));
  const bottom = Math.max(...panels.map((panel) => panel.bottom));
  const seen: Span = [x.from, x.to];
  const timeAt = (px: number) => valueAtPx(x, Math.min(right, Math.max(left, px)));

  const show = useCallback(() => {
    const [line, holder] = [hair.current, values.current];
    if (line === null || holder === null) return;
    const time = clockTime();
    const px = pxOf(x, time);
    line.style.visibility = px >= left - 0.5 && px <= right + 0.5 ? "visible" : "hidden";
    line.style.transform = `translateX(${px - left}px)`;
    const dots = line.querySelectorAll<HTMLElement>(".trace-dot");
    let d = 0;
    for (const [i, panel] of panels.entries()) {
      const cell = holder.children[i];
      if (cell !== undefined) cell.textContent = panelWords(panel, step, time);
      for (const curve of panel.curves) {
        const at = heightOf(panel, valueAt(curve.values, step, time)) - top;
        dots[d]?.style.setProperty("transform", `translateY(${at}px)`);
        d += 1;
      }
    }
    if (useClock.getState().playing) return;
    ref.current?.setAttribute("aria-valuenow", String(1e6 * time));
    ref.current?.setAttribute("aria-valuetext", momentWords(panels, step, time));
  }, [x, left, right, top, panels, step]);
  useLayoutEffect(show, [show]);
  useEffect(() => useClock.subscribe(show), [show]);

  useWheel(ref, (event) => {
    event.preventDefault();
    const rect = (ref.current as HTMLDivElement).getBoundingClientRect();
    const about = timeAt(event.clientX - rect.left + left);
    const sideways = event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY);
    const by = event.deltaY === 0 ? event.deltaX : event.deltaY;
    if (sideways) onTime(moved(seen, ((x.to - x.from) * by) / 1000, end));
    else onTime(farther(seen, about, Math.exp(by / 400), end, step));
  });
  const { box, handlers } = useTracePointer(ref, x, { end, step, onTime });

  const keys = (event: KeyboardEvent) => {
    const { key } = event;
    if (event.shiftKey && (key === "ArrowLeft" || key === "ArrowRight")) {
      event.preventDefault();
      onTime(moved(seen, ((key === "ArrowLeft" ? -1 : 1) * (x.to - x.from)) / 10, end));
      return;
    }
    const next = timeAfterKey(key, x.to - x.from);
    if (next !== null) {
      event.preventDefault();
      seek(next);
      const now = clockTime();
      const middle = (x.from + x.to) / 2;
      if (now < x.from || now > x.to) onTime(moved(seen, now - middle, end));
    } else if (key === "+" || key === "=") onTime(farther(seen, clockTime(), ZOOM, end, step));
    else if (key === "-") onTime(farther(seen, clockTime(), 1 / ZOOM, end, step));
    else if (key === "0" || key === "Escape") onTime(null);
  };
  return (
    <>
      <div
        ref={ref}
        className={`plot-layer trace-layer${zoomed ? " zoomed" : ""}`}
        role="slider"
        tabIndex={0}
        aria-label={`${label}: cursor. Arrows a step, page keys a tenth; plus and minus zoom, shift and arrows pan, 0 shows the whole.`}
        aria-orientation="horizontal"
        aria-valuemin={0}
        aria-valuemax={1e6 * end}
        aria-valuenow={0}
        aria-valuetext={timeWords(0)}
        style={{ left, top, width: right - left, height: bottom - top }}
        onDoubleClick={() => onTime(null)}
        onKeyDown={keys}
        {...handlers}
      >
        <span ref={hair} className="trace-hair" aria-hidden="true">
          <span className="trace-grip" />
          {panels.flatMap((panel) =>
            panel.curves.map((curve) => (
              <span className="trace-dot" key={`${panel.id} ${curve.id}`} />
            )),
          )}
        </span>
        {box !== null && (
          <span
            className="zoom-box"
            style={{ left: box[0] - left, width: box[1] - box[0], top: 0, bottom: 0 }}
          />
        )}
      </div>
      <div ref={values} className="trace-values" aria-hidden="true">
        {panels.map((panel) => (
          <span key={panel.id} style={{ left, width: right - left, top: panel.top - 17 }} />
        ))}
      </div>
    </>
  );
}
