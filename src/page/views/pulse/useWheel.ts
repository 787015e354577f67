import { useEffect, useRef } from "react";

/**
 * A wheel over an element. Where the page around it can be scrolled it is heard only while the element has the
 * focus, so that nobody is held on the way down.
 */
export function useWheel(
  ref: { readonly current: HTMLElement | null },
  onWheel: (event: WheelEvent) => void,
): void {
  const latest = useRef(onWheel);
  latest.current = onWheel;
  useEffect(() => {
    const element = ref.current;
    const heard = (event: WheelEvent) => {
      if (element === null) return;
      if (document.activeElement !== element && scrolls(element)) return;
      latest.current(event);
    };
    element?.addEventListener("wheel", heard, { passive: false });
    return () => element?.removeEventListener("wheel", heard);
  }, [ref]);
}

/** Whether something around the element can be scrolled. */
function scrolls(element: HTMLElement): boolean {
  for (let at = element.parentElement; at !== null; at = at.parentElement)
    if (at.scrollHeight > at.clientHeight + 1 && /auto|scroll/.test(getComputedStyle(at).overflowY))
      return true;
  return false;
}
