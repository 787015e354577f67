import { type KeyboardEvent, type PointerEvent, useRef } from "react";
import { percentText } from "../../report/text/marginTable.ts";
import { formatQuantity } from "../../units/index.ts";
import { dropPreview, endSteps, lengthNow, previewLength, setLength } from "../actions.ts";
import { set, sheetNow, usePage } from "../state.ts";

/**
 * A handle that drags the free length. The pointer moves it by `metrePerPx` from where it was taken;
 * arrow keys step 0.1 mm, with shift 1 mm; Escape while dragging leaves the old length.
 */
export function LengthHandle({
  className,
  style,
  metrePerPx,
  limits,
  label,
}: {
  className: string;
  style: Record<string, number | string>;
  metrePerPx: number;
  /** Shortest and longest, m. */
  limits: readonly [number, number];
  label: string;
}) {
  const length = usePage((state) => state.answer?.facts.freeLength_m ?? 0);
  const left = usePage((state) => {
    const margins = sheetNow(state)?.margins.map((row) => row.margin ?? -1) ?? [];
    return margins.length === 0 ? null : Math.min(...margins);
  });
  const taken = useRef<{ x: number; from: number; scale: number; to: number } | null>(null);
  const frame = useRef(0);
  const within = (value: number) => Math.min(limits[1], Math.max(limits[0], round(value)));

  const down = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    event.preventDefault();
    event.stopPropagation();
    event.currentTarget.focus();
    event.currentTarget.setPointerCapture(event.pointerId);
    taken.current = { x: event.clientX, from: length, scale: metrePerPx, to: length };
  };
  const move = (event: PointerEvent<HTMLDivElement>) => {
    const held = taken.current;
    if (held === null) return;
    event.stopPropagation();
    const to = within(held.from + (event.clientX - held.x) * held.scale);
    if (to === held.to) return;
    held.to = to;
    cancelAnimationFrame(frame.current);
    frame.current = requestAnimationFrame(() => previewLength(held.from, to));
  };
  const up = () => {
    const held = taken.current;
    if (held === null) return;
    taken.current = null;
    cancelAnimationFrame(frame.current);
    if (held.to === held.from) dropPreview();
    else setLength(held.from, held.to);
  };
  const keys = (event: KeyboardEvent) => {
    if (event.key === "Escape" && taken.current !== null) {
      taken.current = null;
      cancelAnimationFrame(frame.current);
      dropPreview();
      return;
    }
    const way = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[event.key];
    if (way === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    const now = lengthNow();
    const to = within(now + way * (event.shiftKey ? 1e-3 : 1e-4));
    if (to !== now) setLength(now, to, "step strip.free_length");
  };
  const mm = formatQuantity(round(length), 0, "length", { unit: "mm", digits: 6 });
  return (
    <div
      className={className}
      style={style}
      role="slider"
      tabIndex={0}
      aria-label={label}
      aria-valuemin={limits[0] * 1e3}
      aria-valuemax={limits[1] * 1e3}
      aria-valuenow={round(length) * 1e3}
      aria-valuetext={`${mm}${left === null ? "" : `, smallest margin ${percentText(left)}`}`}
      onPointerDown={down}
      onPointerMove={move}
      onPointerUp={up}
      onPointerCancel={() => {
        taken.current = null;
        dropPreview();
      }}
      onKeyDown={keys}
      onBlur={endSteps}
      onFocus={() => set({ said: "" })}
    >
      <span className="grip" aria-hidden="true" />
    </div>
  );
}

/** To 10 µm: finer than a strip is set. */
const round = (length: number) => Math.round(length * 1e5) / 1e5;
