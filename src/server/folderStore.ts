import { constants } from "node:fs";
import { access, readdir } from "node:fs/promises";
import { basename, resolve } from "node:path";
import { DESIGN_SUFFIX, nameProblem } from "./designName.ts";
import { checkName, checkSize, sha256Of, textOf, titleOf } from "./designText.ts";
import { isAbsent, readRefusal, writeRefusal } from "./fileRefusal.ts";
import { bytesAt, type Place, placeOf, traceOf } from "./folderFile.ts";
import { folderWatch } from "./folderWatch.ts";
import {
  type DesignStore,
  type Expected,
  type ListedDesign,
  type StoredDesign,
  StoreRefusal,
  type Written,
} from "./store.ts";
import { type Disk, writeWhole } from "./writeWhole.ts";

export interface FolderStoreOptions {
  /** Time between two looks at the folder while someone watches, ms. Default: 2000. */
  pollMs?: number;
  /** What is written with. Default: the file system. */
  disk?: Disk;
}

/** A store of the design files of one folder; folders in it are not looked into. */
export function folderStore(folder: string, options: FolderStoreOptions = {}): DesignStore {
  const root = resolve(folder);
  /** What was found behind each name, as long as the file's trace is the same. */
  const known = new Map<string, { trace: string; found: ListedDesign }>();
  let queue: Promise<unknown> = Promise.resolve();

  const list = async (): Promise<ListedDesign[]> => {
    const names = await namesIn(root);
    for (const name of known.keys()) if (!names.includes(name)) known.delete(name);
    const found: ListedDesign[] = [];
    for (const name of names) {
      const design = await look(name);
      if (design !== null) found.push(design);
    }
    return found;
  };
  const look = async (name: string): Promise<ListedDesign | null> => {
    const unread = { name, bytes: 0, modified: "", sha256: null };
    const problem = nameProblem(name);
    if (problem !== null) return { ...unread, reason: `its name ${problem}` };
    try {
      const { path, file } = await placeOf(root, name);
      if (file === null) return null;
      const trace = traceOf(file);
      const before = known.get(name);
      if (before?.trace === trace) return before.found;
      const about = { name, bytes: file.size, modified: file.mtime.toISOString() };
      const found = { ...about, ...(await contentAt(path, name)) };
      // A file changed within the last tick of the clock may change again without a trace.
      if (Date.now() - file.mtimeMs > CLOCK_TICK_MS) known.set(name, { trace, found });
      return found;
    } catch (error) {
      if (isAbsent(error)) return null;
      return { ...unread, reason: readRefusal(error, name).message };
    }
  };
  const read = async (name: string): Promise<StoredDesign> => {
    checkName(name);
    try {
      const { path, file } = await placeOf(root, name);
      if (file === null)
        throw new StoreRefusal("no-such-design", `there is no ${name} in this folder`);
      return await designAt(path, name);
    } catch (error) {
      throw readRefusal(error, name);
    }
  };
  const write = async (name: string, text: string, expected: Expected): Promise<Written> => {
    checkName(name);
    const bytes = new TextEncoder().encode(text);
    checkSize(bytes.length);
    const sha256 = await sha256Of(bytes);
    let place = await placed(root, name);
    const current = place.file === null ? null : await designAt(place.path, name, true);
    const due = expected === "absent" ? undefined : expected.sha256;
    if (current?.sha256 !== due) return { kind: "conflict", current };
    try {
      if (place.file !== null) await access(place.path, constants.W_OK);
      const still = async () => {
        const before = place;
        place = await placed(root, name);
        return before.path === place.path && trace(before) === trace(place);
      };
      if (await writeWhole(place.path, bytes, place.file, still, options.disk)) {
        void watched.look();
        return { kind: "written", sha256, created: current === null };
      }
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw writeRefusal(error, name);
    }
    // Another program was there between the first look and the last.
    const now = await placed(root, name);
    return { kind: "conflict", current: now.file && (await designAt(now.path, name, true)) };
  };
  const watched = folderWatch(root, list, options.pollMs);
  return {
    label: basename(root) || root,
    list,
    read,
    write: (name, text, expected) => {
      const turn = queue.then(() => write(name, text, expected));
      queue = turn.catch(() => undefined);
      return turn;
    },
    watch: (listener) => watched.add(listener),
  };
}

/** Coarsest clock of a file system in use (FAT: 2 s; common practice, no source). */
const CLOCK_TICK_MS = 2500;

async function namesIn(root: string): Promise<string[]> {
  try {
    const names = await readdir(root);
    return names.filter((name) => DESIGN_SUFFIX.test(name) && !name.startsWith(".")).sort();
  } catch (error) {
    if (isAbsent(error)) throw new StoreRefusal("no-folder", "the folder is not there any more");
    throw readRefusal(error, "the folder");
  }
}

/** Hash and title; the reason where the content is no text that a design could be. */
async function contentAt(
  path: string,
  name: string,
): Promise<Pick<ListedDesign, "sha256" | "title" | "reason">> {
  try {
    const { text, sha256 } = await designAt(path, name);
    const title = titleOf(text);
    return { sha256, ...(title === undefined ? {} : { title }) };
  } catch (error) {
    if (isAbsent(error)) throw error;
    return { sha256: null, reason: readRefusal(error, name).message };
  }
}

async function designAt(path: string, name: string, inWords = false): Promise<StoredDesign> {
  try {
    const bytes = await bytesAt(path);
    return { name, text: textOf(bytes), sha256: await sha256Of(bytes) };
  } catch (error) {
    throw inWords ? readRefusal(error, name) : error;
  }
}

async function placed(root: string, name: string): Promise<Place> {
  try {
    return await placeOf(root, name);
  } catch (error) {
    throw readRefusal(error, name);
  }
}

const trace = ({ file }: Place): string => (file === null ? "" : traceOf(file));
