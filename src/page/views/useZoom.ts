import {
  type CSSProperties,
  type FocusEvent,
  type KeyboardEvent,
  type MouseEvent,
  type PointerEvent,
  type RefObject,
  useRef,
  useState,
} from "react";
import { type At, pinchedZoom, WHOLE, within, type Zoom, zoomedAt } from "./zoomPlace.ts";

/** What a drawing needs to be looked at from nearer. */
export interface DrawingZoom {
  zoom: Zoom;
  /** Goes on the element that holds all of the drawing. */
  frame: RefObject<HTMLDivElement | null>;
  style: CSSProperties | undefined;
  /** Go on the element whose edges cut it. */
  handlers: {
    onPointerDown: (event: PointerEvent) => void;
    onPointerMove: (event: PointerEvent) => void;
    onPointerUp: (event: PointerEvent) => void;
    onPointerCancel: (event: PointerEvent) => void;
    onClickCapture: (event: MouseEvent) => void;
    onKeyDown: (event: KeyboardEvent) => void;
    onFocus: (event: FocusEvent) => void;
  };
  whole: () => void;
  by: (factor: number) => void;
  /** Shows a part of the drawing, by its name. */
  toPart: (part: string) => void;
}

/** Px that a pointer moves before it pans. */
const SLACK = 4;
/** Share of the place that a part fills when it is shown. */
const FILLED = 0.3;

/**
 * Zoom of a drawing: drag pans, two fingers zoom and pan, plus and minus zoom, shift and arrows pan,
 * 0 shows the whole. The drawing itself stays as it is.
 */
export function useZoom(): DrawingZoom {
  const [zoom, setZoom] = useState<Zoom>(WHOLE);
  const frame = useRef<HTMLDivElement>(null);
  const fingers = useRef(new Map<number, At>());
  const held = useRef<{ from: readonly At[]; zoom: Zoom } | null>(null);
  const moved = useRef(false);
  const place = () => frame.current?.parentElement ?? null;
  const size = () => ({ width: place()?.clientWidth ?? 1, height: place()?.clientHeight ?? 1 });
  const show = (next: Zoom) => setZoom(within(next, size()));
  const by = (factor: number) => {
    const { width, height } = size();
    show(zoomedAt(zoom, factor, { x: width / 2, y: height / 2 }));
  };
  const whole = () => setZoom(WHOLE);
  const at = (event: PointerEvent): At => {
    const rect = place()?.getBoundingClientRect();
    return { x: event.clientX - (rect?.left ?? 0), y: event.clientY - (rect?.top ?? 0) };
  };
  const hold = () => {
    held.current = { from: [...fingers.current.values()], zoom };
  };
  const lift = (event: PointerEvent) => {
    fingers.current.delete(event.pointerId);
    hold();
  };
  const handlers: DrawingZoom["handlers"] = {
    onPointerDown: (event) => {
      if (event.button !== 0) return;
      moved.current = false;
      fingers.current.set(event.pointerId, at(event));
      hold();
    },
    onPointerMove: (event) => {
      if (!fingers.current.has(event.pointerId)) return;
      if (event.pointerType === "mouse" && event.buttons === 0) {
        lift(event);
        return;
      }
      const now = at(event);
      const [first] = held.current?.from ?? [];
      const far = first === undefined ? 0 : Math.hypot(now.x - first.x, now.y - first.y);
      if (!moved.current && far < SLACK && fingers.current.size === 1) return;
      fingers.current.set(event.pointerId, now);
      if (zoom.k === 1 && fingers.current.size === 1) return;
      if (!moved.current) event.currentTarget.setPointerCapture(event.pointerId);
      moved.current = true;
      const start = held.current;
      if (start !== null) show(pinchedZoom(start.zoom, start.from, [...fingers.current.values()]));
    },
    onPointerUp: lift,
    onPointerCancel: lift,
    // The end of a pan is no press of the part under it.
    onClickCapture: (event) => {
      if (moved.current) event.stopPropagation();
      moved.current = false;
    },
    onKeyDown: (event) => {
      const way = WAYS[event.key];
      const { width, height } = size();
      if (way !== undefined && event.shiftKey && zoom.k > 1)
        show({
          ...zoom,
          x: zoom.x + (way[0] * width) / 8 / zoom.k,
          y: zoom.y + (way[1] * height) / 8 / zoom.k,
        });
      else if (event.key === "+" || event.key === "=") by(1.5);
      else if (event.key === "-") by(1 / 1.5);
      else if (event.key === "0") whole();
      else return;
      event.preventDefault();
    },
    // A part that is reached by key comes into sight.
    onFocus: ({ target }) => {
      if (zoom.k === 1 || !target.matches(":focus-visible")) return;
      const box = target.getBoundingClientRect();
      const own = place()?.getBoundingClientRect() ?? box;
      const seen =
        box.left < own.right &&
        box.right > own.left &&
        box.top < own.bottom &&
        box.bottom > own.top;
      if (!seen) show(centred(zoom.k, middleOf(box)));
    },
  };
  const middleOf = (box: DOMRect): At => {
    const own = frame.current?.getBoundingClientRect() ?? box;
    return {
      x: (box.left + box.width / 2 - own.left) / zoom.k,
      y: (box.top + box.height / 2 - own.top) / zoom.k,
    };
  };
  const centred = (k: number, { x, y }: At): Zoom => {
    const { width, height } = size();
    return { k, x: x - width / 2 / k, y: y - height / 2 / k };
  };
  const toPart = (part: string) => {
    const drawn = [...(frame.current?.querySelectorAll(`[data-part="${part}"]`) ?? [])];
    // Its own shape, not the group of its dimension lines.
    const [box] = drawn
      .map((element) => element.getBoundingClientRect())
      .sort((a, b) => a.width * a.height - b.width * b.height);
    if (box === undefined) return;
    const { width, height } = size();
    const [wide, high] = [box.width / zoom.k, box.height / zoom.k];
    const k = FILLED * Math.min(width / Math.max(wide, 1), height / Math.max(high, 1));
    show(centred(k, middleOf(box)));
  };
  const { k, x, y } = zoom;
  const style = k === 1 ? undefined : { transform: `scale(${k}) translate(${-x}px, ${-y}px)` };
  return { zoom, frame, style, handlers, whole, by, toPart };
}

const WAYS: Record<string, readonly [number, number] | undefined> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};
