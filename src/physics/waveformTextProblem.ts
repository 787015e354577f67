/** What is wrong with a table of a drive, and where. Nothing is guessed. */
export interface TextProblem {
  /** 1-based line of the text; 0 for the text as a whole. */
  line: number;
  message: string;
  /** What stands there, shortened; empty when nothing does. */
  found: string;
  /** What would be accepted; for a text with two readings, both. */
  allowed: string;
}

/** Problems beyond this are counted, not listed. */
const MOST_LISTED = 20;
const FOUND_LENGTH = 60;

/** Gathers problems in the order in which they are found. */
export interface Problems {
  add(line: number, message: string, found: string, allowed: string): void;
  /** All that were added; beyond twenty their number only. */
  list(): TextProblem[];
}

/** An empty list of problems. */
export function noProblems(): Problems {
  const listed: TextProblem[] = [];
  let more = 0;
  return {
    add(line, message, found, allowed) {
      if (listed.length >= MOST_LISTED) more += 1;
      else listed.push({ line, message, found: shortened(found), allowed });
    },
    list() {
      const message = `and ${more} more ${more === 1 ? "problem" : "problems"}`;
      const rest = { line: 0, message, found: "", allowed: "mend the ones above first" };
      return more === 0 ? [...listed] : [...listed, rest];
    },
  };
}

function shortened(text: string): string {
  const visible = text
    .slice(0, 4 * FOUND_LENGTH)
    .replace(/\s+/g, " ")
    .replace(/\p{C}/gu, "\ufffd");
  return visible.length <= FOUND_LENGTH ? visible : `${visible.slice(0, FOUND_LENGTH - 1)}…`;
}
