import { createHash } from "node:crypto";
import { type FileHandle, open, stat } from "node:fs/promises";
import {
  type ArrayFormat,
  arrayFormat,
  type ImportOptions,
  type ImportResult,
  startImport,
} from "../bench/import/index.ts";
import { importArrays } from "./dataInputArrays.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Host } from "./host.ts";
import { trouble } from "./trouble.ts";

/** What came of one file, with what names it in a provenance. */
export interface Measured {
  result: ImportResult;
  /** Path as given; "standard input" for `-`. */
  name: string;
  /** Null where the rest was not read because its first lines said enough. */
  bytes: number | null;
  sha256: string | null;
}

/** Bytes that are read at once. */
const CHUNK = 1 << 22;
/** Largest binary file that is taken into memory. */
const ARRAYS_MAX = 2 ** 31 - 1;

/**
 * Reads a file of measured data in one pass: hashed as it is read, never held as a whole while it is text.
 * @param progress told how much of it has been read
 * @throws Stop with exit code 4 where the file can't be read
 */
export async function readMeasured(
  path: string,
  host: Host,
  options: Omit<ImportOptions, "name">,
  progress: (bytes: number) => void,
): Promise<Measured> {
  const name = path === "-" ? "standard input" : path;
  const chunks = path === "-" ? streamed(host) : await opened(path);
  const hash = createHash("sha256");
  const text = startImport({ ...options, name });
  let format: ArrayFormat | null = null;
  const parts: Uint8Array[] = [];
  let bytes = 0;
  let [whole, enough] = [false, false];
  try {
    for await (const chunk of chunks) {
      if (bytes === 0) format = arrayFormat(chunk);
      bytes += chunk.length;
      hash.update(chunk);
      if (format !== null) {
        if (bytes > ARRAYS_MAX) throw tooLarge(name, bytes);
        parts.push(chunk.slice());
      } else if (text.push(chunk) === "enough") {
        enough = true;
        break;
      }
      progress(bytes);
    }
    whole = format !== null || !enough;
  } catch (error) {
    throw error instanceof Stop ? error : unreadable(name, error as NodeJS.ErrnoException);
  }
  const result =
    format === null
      ? text.finish()
      : await importArrays(format, Buffer.concat(parts), { ...options, name });
  return whole
    ? { result, name, bytes, sha256: hash.digest("hex") }
    : { result, name, bytes: null, sha256: null };
}

async function* streamed(host: Host): AsyncIterable<Uint8Array> {
  for await (const part of host.stdin()) yield typeof part === "string" ? Buffer.from(part) : part;
}

/** Bytes of a file; 0 where that is not known. */
export async function sizeOf(path: string): Promise<number> {
  if (path === "-") return 0;
  try {
    return (await stat(path)).size;
  } catch {
    return 0;
  }
}

async function opened(path: string): Promise<AsyncIterable<Uint8Array>> {
  let handle: FileHandle;
  try {
    const found = await stat(path);
    if (!found.isFile())
      throw new Stop(
        EXIT.unreadable,
        trouble("not-a-file", "not a file", {
          file: path,
          found: found.isDirectory() ? "a folder" : "a pipe or device",
          allowed: "a file of measured data",
          hint: found.isDirectory() ? "" : "to read from a program, give - and pipe it in",
        }),
      );
    handle = await open(path, "r");
  } catch (error) {
    throw error instanceof Stop ? error : unreadable(path, error as NodeJS.ErrnoException);
  }
  return pieces(handle);
}

/** Pieces of a file; the same memory is used for each second one. */
async function* pieces(handle: FileHandle): AsyncIterable<Uint8Array> {
  try {
    const buffers = [new Uint8Array(CHUNK), new Uint8Array(CHUNK)];
    const read = (k: number) => handle.read(buffers[k % 2] as Uint8Array, 0, CHUNK, null);
    let next = read(0);
    for (let k = 0; ; k++) {
      const { bytesRead } = await next;
      if (bytesRead === 0) return;
      // The next piece is fetched while this one is worked on.
      next = read(k + 1);
      next.catch(() => undefined);
      yield (buffers[k % 2] as Uint8Array).subarray(0, bytesRead);
    }
  } finally {
    await handle.close();
  }
}

function unreadable(file: string, { code }: NodeJS.ErrnoException): Stop {
  const [word, message] =
    code === "ENOENT" || code === "ENOTDIR"
      ? ["no-such-file", "there is no such file"]
      : code === "EACCES" || code === "EPERM"
        ? ["no-permission", "no permission to read this file"]
        : ["not-readable", `the file can't be read (${code ?? "no reason known"})`];
  return new Stop(EXIT.unreadable, trouble(word as string, message as string, { file }));
}

function tooLarge(file: string, bytes: number): Stop {
  return new Stop(
    EXIT.unreadable,
    trouble("too-large", "a binary file of this size is not read", {
      file,
      found: `more than ${bytes} bytes`,
      allowed: `${ARRAYS_MAX} bytes; a text table may be longer`,
    }),
  );
}
