import { get } from "../state.ts";

/** Name of the file as a shell takes it. */
export function shellName(): string {
  const name = get().draft?.name ?? "DESIGN.reed.yaml";
  return /^[\w.-]+$/.test(name) ? name : `'${name.replaceAll("'", "'\\''")}'`;
}

/** The command line that gives what is on the page. */
export const commandOf = (more = ""): string =>
  `reedlift check ${shellName()}${more === "" ? "" : ` ${more}`}`;

/** Where a picture comes from, in one line. */
export function originOf(): string {
  const version = get().folder?.version ?? "";
  return `reedlift ${version}, ${get().draft?.name ?? "not saved"}; remade by: ${commandOf("--svg pictures")}`;
}
