import type { KeyboardEvent, MouseEvent } from "react";

/** Parts of a drawing that lead to their inputs can be reached by pointer and by keyboard. */
export function markParts(root: SVGSVGElement, leads: boolean): void {
  root.setAttribute("role", leads ? "group" : "img");
  if (!leads) return;
  const parts = [...root.querySelectorAll<SVGGElement>("[data-part]")];
  const chosen = new Set(reachable(parts));
  for (const part of parts) {
    part.classList.add("part");
    if (chosen.has(part) === part.hasAttribute("tabindex")) continue;
    if (!chosen.has(part)) {
      for (const name of ["tabindex", "role", "aria-label"]) part.removeAttribute(name);
      continue;
    }
    part.setAttribute("tabindex", "0");
    part.setAttribute("role", "button");
    // A part with words of its own is called by them.
    if (part.querySelector("text") === null)
      part.setAttribute("aria-label", (part.dataset.part as string).replaceAll("-", " "));
  }
}

export interface Pressed {
  onClick?: (event: MouseEvent) => void;
  onKeyDown?: (event: KeyboardEvent) => void;
}

/** What a holder of such a drawing does with a press: the innermost part under it is meant. */
export function pressed(onPart: ((part: string) => void) | undefined): Pressed {
  if (onPart === undefined) return {};
  const partAt = (target: EventTarget) =>
    (target as Element).closest<SVGGElement>("[data-part]")?.dataset.part;
  return {
    onClick: (event: MouseEvent) => {
      const part = partAt(event.target);
      if (part !== undefined) onPart(part);
    },
    onKeyDown: (event: KeyboardEvent) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      const part = partAt(event.target);
      if (part === undefined) return;
      event.preventDefault();
      onPart(part);
    },
  };
}

/** One group of each name for the keyboard, none inside another: the one with words, else the first. */
function reachable(parts: readonly SVGGElement[]): SVGGElement[] {
  const chosen = new Map<string, SVGGElement>();
  for (const part of parts) {
    if (part.parentElement?.closest("[data-part]") != null) continue;
    const name = part.dataset.part as string;
    const before = chosen.get(name);
    const better = before?.querySelector("text") === null && part.querySelector("text") !== null;
    if (before === undefined || better) chosen.set(name, part);
  }
  return [...chosen.values()];
}
