import { type Block, differing, type Lines, linesOf } from "./drawingLines.ts";

const sum = (counts: readonly number[], from: number, to: number): number =>
  counts.slice(from, to).reduce((all, count) => all + count, 0);

/**
 * Puts the picture `svg` into `holder`, which shows `before` (null: nothing that is known).
 * @returns what is shown now, for the next time, and whether the root is a new one
 */
export function redraw(
  holder: Element,
  before: Lines | null,
  svg: string,
): { shown: Lines | null; anew: boolean } {
  const next = linesOf(svg);
  const root = holder.firstElementChild;
  if (next === null || before === null || root === null || next.head !== before.head) {
    holder.innerHTML = next === null ? svg : `${next.head}${next.lines.join("")}</svg>`;
    return { shown: next, anew: true };
  }
  const blocks = differing(before.lines, next.lines);
  const made = document.createElement("template");
  made.innerHTML = `<svg xmlns="http://www.w3.org/2000/svg">${blocks
    .map(({ from, until }) => `<g>${next.lines.slice(from, until).join("")}</g>`)
    .join("")}</svg>`;
  const groups = [...(made.content.firstElementChild?.children ?? [])];
  // From the end, so that places before stay what they were.
  for (let i = blocks.length - 1; i >= 0; i--) {
    const { from, to } = blocks[i] as Block;
    const place = sum(before.counts, 0, from);
    for (let gone = sum(before.counts, from, to); gone > 0; gone--) root.children[place]?.remove();
    const follows = root.children[place] ?? null;
    for (const element of [...(groups[i]?.children ?? [])]) root.insertBefore(element, follows);
  }
  return { shown: next, anew: false };
}
