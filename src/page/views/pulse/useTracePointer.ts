import { type PointerEvent, useRef, useState } from "react";
import type { PlotAxis } from "../../../report/figures/figure.ts";
import { pxOf, valueAtPx } from "../plotPlace.ts";
import { clockTime, seek } from "./clock.ts";
import { moved, type Span, spread } from "./timeView.ts";

/** How near to the cursor a press takes it, and how far a press must go to be a drag, px. */
const NEAR = 9;
const LEAST = 6;

type Drag =
  | { kind: "cursor" }
  | { kind: "box"; from: number; to: number }
  | { kind: "pan"; from: number; span: Span };

/**
 * What a pointer does on the traces: near the cursor, or with one finger, it drags it; elsewhere it draws a zoom
 * box, with shift it pans; two fingers zoom and pan; a press alone puts the cursor there.
 * @returns the zoom box, px of the picture, and the handlers of the layer
 */
export function useTracePointer(
  ref: { readonly current: HTMLElement | null },
  x: PlotAxis,
  { end, step, onTime }: { end: number; step: number; onTime: (part: Span | null) => void },
) {
  const [drag, setDrag] = useState<Drag | null>(null);
  const fingers = useRef(new Map<number, number>());
  const pinch = useRef<{ from: readonly [number, number]; span: Span } | null>(null);
  const [left, right] = [Math.min(...x.range), Math.max(...x.range)];
  const timeAt = (px: number) => valueAtPx(x, Math.min(right, Math.max(left, px)));
  const pxIn = (event: PointerEvent) => {
    const rect = (ref.current as HTMLElement).getBoundingClientRect();
    return Math.min(right, Math.max(left, event.clientX - rect.left + left));
  };
  const two = (): readonly [number, number] | null => {
    const [a, b] = [...fingers.current.values()];
    return a === undefined || b === undefined ? null : [a, b];
  };
  const down = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    const px = pxIn(event);
    event.currentTarget.setPointerCapture(event.pointerId);
    if (event.pointerType === "touch") {
      fingers.current.set(event.pointerId, px);
      const held = two();
      pinch.current = held === null ? null : { from: held, span: [x.from, x.to] };
      setDrag(held === null ? { kind: "cursor" } : null);
    } else if (event.shiftKey) setDrag({ kind: "pan", from: px, span: [x.from, x.to] });
    else if (Math.abs(px - pxOf(x, clockTime())) <= NEAR) setDrag({ kind: "cursor" });
    else setDrag({ kind: "box", from: px, to: px });
  };
  const move = (event: PointerEvent<HTMLDivElement>) => {
    const px = pxIn(event);
    if (fingers.current.has(event.pointerId)) fingers.current.set(event.pointerId, px);
    const [held, begun] = [two(), pinch.current];
    if (held !== null && begun !== null)
      onTime(spread(begun.span, begun.from, held, [left, right], end, step));
    else if (drag?.kind === "cursor") seek(timeAt(px));
    else if (drag?.kind === "box") setDrag({ ...drag, to: px });
    else if (drag?.kind === "pan") {
      const [a, b] = drag.span;
      onTime(moved(drag.span, ((b - a) * (drag.from - px)) / (right - left), end));
    }
  };
  const lift = (event: PointerEvent) => {
    fingers.current.delete(event.pointerId);
    pinch.current = null;
    setDrag(null);
  };
  const up = (event: PointerEvent) => {
    const px = pxIn(event);
    if (drag?.kind === "box" && Math.abs(px - drag.from) >= LEAST) {
      const [a, b] = [timeAt(Math.min(drag.from, px)), timeAt(Math.max(drag.from, px))];
      if (b - a > 2 * step) onTime([a, b]);
    } else if (drag?.kind === "box" || drag?.kind === "cursor") seek(timeAt(px));
    lift(event);
  };
  const box =
    drag?.kind === "box"
      ? ([Math.min(drag.from, drag.to), Math.max(drag.from, drag.to)] as const)
      : null;
  return {
    box,
    handlers: {
      onPointerDown: down,
      onPointerMove: move,
      onPointerUp: up,
      onPointerCancel: lift,
    },
  };
}
