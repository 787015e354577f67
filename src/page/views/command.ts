import { get } from "../state.ts";

/** The command line that gives what is on the page. */
export function commandOf(more = ""): string {
  const name = get().draft?.name ?? "DESIGN.reed.yaml";
  const shown = /^[\w.-]+$/.test(name) ? name : `'${name.replaceAll("'", "'\\''")}'`;
  return `reedlift check ${shown}${more === "" ? "" : ` ${more}`}`;
}

/** Where a picture comes from, in one line. */
export function originOf(): string {
  const version = get().folder?.version ?? "";
  return `reedlift ${version}, ${get().draft?.name ?? "not saved"}; remade by: ${commandOf("--svg pictures")}`;
}
