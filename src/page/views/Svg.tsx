import { useLayoutEffect, useRef } from "react";
import { redraw } from "./drawing.ts";
import type { Lines } from "./drawingLines.ts";
import type { Pressed } from "./pressParts.ts";

/**
 * A drawing made elsewhere as text. It is put in as it is: all of it comes from this program, and
 * texts of the design are escaped there. `onDrawn` runs after each change of it.
 */
export function Svg({
  text,
  label,
  onDrawn,
  press,
}: {
  text: string;
  label: string;
  onDrawn?: (root: SVGSVGElement) => void;
  press?: Pressed;
}) {
  const ref = useRef<HTMLDivElement>(null);
  const shown = useRef<Lines | null>(null);
  useLayoutEffect(() => {
    const holder = ref.current;
    if (holder === null) return;
    const drawn = redraw(holder, shown.current, text);
    shown.current = drawn.shown;
    const root = holder.querySelector("svg");
    if (root === null) return;
    if (drawn.anew) {
      root.removeAttribute("style");
      root.removeAttribute("aria-labelledby");
      root.querySelector("title")?.remove();
    }
    if (root.getAttribute("aria-label") !== label) root.setAttribute("aria-label", label);
    onDrawn?.(root);
  }, [text, label, onDrawn]);
  return <div className="svg" ref={ref} {...press} />;
}
