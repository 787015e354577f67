/*
 * A picture comes as text with one element or a few a line. The next picture takes the place of the
 * one before line by line: what did not change keeps its elements, so that the browser neither reads
 * nor lays out nor paints them anew.
 */

/** A picture in lines: its opening tag, then `<defs>` as one line, then what is drawn. */
export interface Lines {
  head: string;
  lines: readonly string[];
  /** How many elements each line holds. */
  counts: readonly number[];
}

/** The lines of a picture without its title; null for a text whose lines are not whole elements. */
export function linesOf(svg: string): Lines | null {
  const [head = "", ...rest] = svg.trimEnd().split("\n");
  if (rest.pop() !== "</svg>") return null;
  const [from, to] = [rest.indexOf("<defs>"), rest.indexOf("</defs>")];
  if (from >= 0) rest.splice(from, to + 1 - from, rest.slice(from, to + 1).join(""));
  const lines = rest.filter((line) => !line.startsWith("<title"));
  const counts = lines.map(elementsIn);
  return counts.includes(Number.NaN) ? null : { head, lines, counts };
}

/** Elements that stand side by side in a line; NaN where one is not closed in it. */
function elementsIn(line: string): number {
  let depth = 0;
  let count = 0;
  for (const [tag] of line.matchAll(/<[^>]*>/g)) {
    if (tag.startsWith("</")) depth -= 1;
    else {
      if (depth === 0) count += 1;
      if (!tag.endsWith("/>")) depth += 1;
    }
    if (depth < 0) return Number.NaN;
  }
  return depth === 0 ? count : Number.NaN;
}

/** Lines `from`…`to` of the old picture whose place lines `from`…`until` of the new one take. */
export interface Block {
  from: number;
  to: number;
  until: number;
}

/** What differs: single lines where as many came as went, else all between the first and the last. */
export function differing(old: readonly string[], fresh: readonly string[]): Block[] {
  const most = Math.min(old.length, fresh.length);
  let from = 0;
  while (from < most && old[from] === fresh[from]) from += 1;
  let tail = 0;
  while (tail < most - from && old[old.length - 1 - tail] === fresh[fresh.length - 1 - tail])
    tail += 1;
  const [to, until] = [old.length - tail, fresh.length - tail];
  if (to !== until) return [{ from, to, until }];
  const blocks: Block[] = [];
  for (let i = from; i < to; i++)
    if (old[i] !== fresh[i]) blocks.push({ from: i, to: i + 1, until: i + 1 });
  return blocks;
}
