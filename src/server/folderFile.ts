import { constants, type Stats } from "node:fs";
import { lstat, open, realpath, stat } from "node:fs/promises";
import { isAbsolute, join, relative, sep } from "node:path";
import { DESIGN_SIZE_MAX_BYTES } from "../design/document.ts";
import { checkSize, tooLarge } from "./designText.ts";
import { isAbsent, linkRefusal } from "./fileRefusal.ts";
import { StoreRefusal } from "./store.ts";

/** A name of the folder, followed to where its file really lies. */
export interface Place {
  path: string;
  /** null for a file that is not there. */
  file: Stats | null;
}

/**
 * Follows a name, which is one piece of a path.
 * @throws StoreRefusal for a link out of the folder, and for what is no file
 */
export async function placeOf(folder: string, name: string): Promise<Place> {
  let root: string;
  try {
    root = await realpath(folder);
  } catch (error) {
    if (!isAbsent(error)) throw error;
    throw new StoreRefusal("no-folder", "the folder is not there any more");
  }
  const path = join(root, name);
  let real: string;
  try {
    real = await realpath(path);
  } catch (error) {
    if (!isAbsent(error)) throw error;
    if (await leadsNowhere(path)) throw linkRefusal(name);
    return { path, file: null };
  }
  const way = relative(root, real);
  if (way === "" || way === ".." || way.startsWith(`..${sep}`) || isAbsolute(way))
    throw linkRefusal(name);
  const file = await stat(real);
  if (!file.isFile())
    throw new StoreRefusal(
      "not-a-file",
      `${name} is ${file.isDirectory() ? "a folder" : "a pipe or a device"}, not a file`,
    );
  return { path: real, file };
}

async function leadsNowhere(path: string): Promise<boolean> {
  try {
    return (await lstat(path)).isSymbolicLink();
  } catch {
    return false;
  }
}

/** Never waits for the other end of a pipe, never follows a link that was put there since. */
const READING = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);

/**
 * The bytes of a file of at most the size of a design.
 * @throws StoreRefusal for a larger one, before reading it
 */
export async function bytesAt(path: string): Promise<Uint8Array<ArrayBuffer>> {
  const handle = await open(path, READING);
  try {
    const { size } = await handle.stat();
    checkSize(size);
    // One byte more than its size, to see whether it grew.
    const bytes = new Uint8Array(size + 1);
    let at = 0;
    for (let read = -1; read !== 0 && at < bytes.length; at += read)
      read = (await handle.read(bytes, at, bytes.length - at, null)).bytesRead;
    if (at > DESIGN_SIZE_MAX_BYTES) tooLarge(`more than ${DESIGN_SIZE_MAX_BYTES} bytes`);
    return bytes.slice(0, at);
  } finally {
    await handle.close();
  }
}

/** Two looks at a file that give the same found the same content, as far as the file system tells. */
export const traceOf = (file: Stats): string =>
  [file.dev, file.ino, file.size, file.mtimeMs, file.ctimeMs].join(" ");
