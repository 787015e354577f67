import type { Problem } from "../design/problem.ts";

/** One problem as every command reports it, on stderr and in `problems` of `--json`. */
export interface Trouble {
  /** "error" or "warning". */
  severity: Problem["severity"];
  /** Fixed word for programs: "unknown-key", "no-such-file", "usage". */
  code: string;
  message: string;
  /** File or argument that it concerns; "" for none. */
  file: string;
  /** Dotted path in the file; "" for the file as a whole. */
  path: string;
  /** 1-based; 0 where there is no such place. */
  line: number;
  column: number;
  /** What stands there; "" for nothing. */
  found: string;
  /** What would be accepted; "" when the message says it all. */
  allowed: string;
  /** What to try; "" for nothing in particular. */
  hint: string;
}

/** A trouble that concerns a file or the command line as a whole. */
export function trouble(
  code: string,
  message: string,
  more: Partial<Omit<Trouble, "code" | "message">> = {},
): Trouble {
  return {
    severity: "error",
    code,
    message,
    file: "",
    path: "",
    line: 0,
    column: 0,
    found: "",
    allowed: "",
    hint: "",
    ...more,
  };
}

/** A problem of a design file, with the file's name. */
export function inFile(file: string, problem: Problem): Trouble {
  return { ...trouble(problem.code, problem.message), ...problem, file, hint: problem.hint ?? "" };
}

/**
 * A trouble as lines for a person: `file:line:column  path: what is wrong`, then what was found,
 * what is allowed, and a hint. Ends with a newline.
 */
export function troubleText(item: Trouble): string {
  const place =
    item.line > 0 ? `${item.file}:${item.line}:${item.column}` : item.file || "reedlift";
  const head = item.path === "" ? place : `${place}  ${item.path}`;
  const lines = [`${head}: ${item.severity === "warning" ? "note: " : ""}${item.message}`];
  if (item.found !== "") lines.push(`    found    ${item.found}`);
  if (item.allowed !== "")
    lines.push(`    allowed  ${item.allowed.replaceAll("\n", "\n             ")}`);
  if (item.hint !== "") lines.push(`    hint     ${item.hint}`);
  return `${lines.join("\n")}\n`;
}
