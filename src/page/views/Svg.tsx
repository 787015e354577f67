import { useLayoutEffect, useRef } from "react";

/**
 * A drawing made elsewhere as text. It is put in as it is: all of it comes from this program, and
 * texts of the design are escaped there. `onReady` runs after each new drawing.
 */
export function Svg({
  text,
  label,
  onReady,
}: {
  text: string;
  label: string;
  onReady?: (root: SVGSVGElement) => void;
}) {
  const ref = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const holder = ref.current;
    if (holder === null) return;
    holder.innerHTML = text;
    const root = holder.querySelector("svg");
    if (root === null) return;
    root.removeAttribute("style");
    root.removeAttribute("aria-labelledby");
    root.setAttribute("aria-label", label);
    root.querySelector("title")?.remove();
    onReady?.(root);
  }, [text, label, onReady]);
  return <div className="svg" ref={ref} />;
}
