import { type ReactNode, useLayoutEffect, useRef, useState } from "react";

/** A table that may be wider than its column: it scrolls, and takes the focus only then. */
export function Wide({ label, children }: { label: string; children: ReactNode }) {
  const ref = useRef<HTMLElement>(null);
  const [over, setOver] = useState(false);
  useLayoutEffect(() => {
    const element = ref.current;
    if (element === null) return;
    const measure = () => setOver(element.scrollWidth > element.clientWidth + 1);
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    for (const child of element.children) observer.observe(child);
    return () => observer.disconnect();
  }, []);
  return (
    <section ref={ref} className="bench-scroll" tabIndex={over ? 0 : undefined} aria-label={label}>
      {children}
    </section>
  );
}
