import { createHash } from "node:crypto";
import {
  closeSync,
  fstatSync,
  openSync,
  readdirSync,
  readSync,
  type Stats,
  statSync,
} from "node:fs";
import { basename, dirname, join } from "node:path";
import { DESIGN_SIZE_MAX_BYTES } from "../design/document.ts";
import { nearest } from "../design/nearest.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Host } from "./host.ts";
import { trouble } from "./trouble.ts";

/** A text file as read, with what names it in a provenance. */
export interface Input {
  /** As given on the command line; "standard input" for `-`. */
  name: string;
  text: string;
  bytes: number;
  sha256: string;
}

/** What a file is asked to be, in the words of a refusal. */
const DUE = "a text file in YAML or JSON, UTF-8, of at most 1 MB";

/**
 * Reads a text file, or standard input for `-`, which may not be longer than a design file.
 * @throws Stop with exit code 2 for anything that is no such file, before reading what is too long
 */
export async function readInput(path: string, host: Host): Promise<Input> {
  const name = path === "-" ? "standard input" : path;
  const bytes = path === "-" ? await readStdin(host) : readRegular(path);
  return {
    name,
    text: decoded(name, bytes),
    bytes: bytes.length,
    sha256: createHash("sha256").update(bytes).digest("hex"),
  };
}

/** What a provenance says of an input. */
export const described = ({ name, bytes, sha256 }: Input) => ({ name, bytes, sha256 });

function refusal(
  code: string,
  file: string,
  message: string,
  more: { found?: string; hint?: string; line?: number; column?: number } = {},
): Stop {
  return new Stop(EXIT.invalid, trouble(code, message, { file, allowed: DUE, ...more }));
}

const tooLarge = (file: string, found: string) =>
  refusal("too-large", file, "the file is too large", {
    found,
    hint: "a design is a short text; measurements belong beside it",
  });

/** Looked at before it is opened: opening a pipe waits for its writer, opening a device may do things. */
function readRegular(path: string): Uint8Array {
  let fd: number;
  try {
    refuseOther(path, statSync(path));
    fd = openSync(path, "r");
  } catch (error) {
    throw error instanceof Stop ? error : notOpened(path, error as NodeJS.ErrnoException);
  }
  try {
    const stat = fstatSync(fd);
    refuseOther(path, stat);
    // One byte more than its size, to see whether it grew.
    const bytes = new Uint8Array(Math.min(stat.size, DESIGN_SIZE_MAX_BYTES) + 1);
    let at = 0;
    for (let read = -1; read !== 0 && at < bytes.length; at += read)
      read = readSync(fd, bytes, at, bytes.length - at, null);
    if (at > DESIGN_SIZE_MAX_BYTES)
      throw tooLarge(path, `more than ${DESIGN_SIZE_MAX_BYTES} bytes`);
    return bytes.subarray(0, at);
  } catch (error) {
    throw error instanceof Stop ? error : notOpened(path, error as NodeJS.ErrnoException);
  } finally {
    closeSync(fd);
  }
}

function refuseOther(path: string, stat: Stats): void {
  const found = stat.isDirectory()
    ? "a folder"
    : stat.isFIFO()
      ? "a pipe"
      : stat.isSocket()
        ? "a socket"
        : stat.isFile()
          ? ""
          : "a device";
  if (found === "a folder")
    throw refusal("not-a-file", path, "not a file", { found, hint: folderHint(path) });
  if (found !== "")
    throw refusal("not-a-file", path, "not a file", {
      found,
      hint: "to read from a program, give - and pipe it into standard input",
    });
  if (stat.size > DESIGN_SIZE_MAX_BYTES) throw tooLarge(path, `${stat.size} bytes`);
}

const DESIGN_NAME = /\.reed\.(ya?ml|json)$/;

function designsIn(folder: string): string[] {
  try {
    return readdirSync(folder).filter((name) => DESIGN_NAME.test(name));
  } catch {
    return [];
  }
}

function folderHint(path: string): string {
  const [first] = designsIn(path);
  return first === undefined ? "" : `did you mean ${join(path, first)}?`;
}

function notOpened(path: string, { code }: NodeJS.ErrnoException): Stop {
  if (code === "ENOENT" || code === "ENOTDIR") {
    const near = neighbour(path);
    return refusal("no-such-file", path, "there is no such file", {
      hint: near === null ? "" : `did you mean ${near}?`,
    });
  }
  if (code === "EACCES" || code === "EPERM")
    return refusal("no-permission", path, "no permission to read this file");
  return refusal("not-readable", path, `the file can't be read (${code ?? "no reason known"})`);
}

/** The design file in the same folder whose name comes nearest, with or without its endings. */
function neighbour(path: string): string | null {
  const folder = dirname(path);
  const wanted = basename(path);
  const names = designsIn(folder);
  const bare = new Map(names.map((name) => [name.replace(DESIGN_NAME, ""), name]));
  const found = nearest(wanted, names) ?? bare.get(nearest(wanted, bare.keys()) ?? "");
  if (found === undefined) return null;
  return folder === "." && !path.startsWith(".") ? found : join(folder, found);
}

function decoded(name: string, bytes: Uint8Array): string {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    // The reader that replaces what it can't read shows the place.
    const before = new TextDecoder().decode(bytes).split("\ufffd")[0] as string;
    const lines = before.split("\n");
    throw refusal("not-utf-8", name, "not UTF-8 text", {
      line: lines.length,
      column: (lines[lines.length - 1] as string).length + 1,
      hint: bytes.includes(0)
        ? "this looks like a binary file, or text in UTF-16"
        : "save the file as UTF-8",
    });
  }
}

async function readStdin(host: Host): Promise<Uint8Array> {
  const parts: Uint8Array[] = [];
  let size = 0;
  for await (const part of host.stdin()) {
    const bytes = typeof part === "string" ? Buffer.from(part) : part;
    size += bytes.length;
    if (size > DESIGN_SIZE_MAX_BYTES)
      throw tooLarge("standard input", `more than ${DESIGN_SIZE_MAX_BYTES} bytes`);
    parts.push(bytes);
  }
  return Buffer.concat(parts);
}
