import { checkName, checkSize, sha256Of, titleOf } from "./designText.ts";
import {
  type DesignStore,
  type Expected,
  type ListedDesign,
  type StoreChange,
  type StoredDesign,
  StoreRefusal,
  type Written,
} from "./store.ts";

/** A store that lives as long as the program, with what another program would do to its files. */
export interface MemoryStore extends DesignStore {
  /** Puts a file there as another program would: unasked. */
  put(name: string, text: string): Promise<void>;
  remove(name: string): void;
}

interface Kept extends StoredDesign {
  bytes: number;
  modified: string;
}

/**
 * @param label name of the folder that it stands for
 * @param now the time that a file is changed at, ISO 8601
 */
export function memoryStore(
  label = "memory",
  now: () => string = () => new Date().toISOString(),
): MemoryStore {
  const files = new Map<string, Kept>();
  const listeners = new Set<(change: StoreChange) => void>();
  let queue: Promise<unknown> = Promise.resolve();
  const tell = (change: StoreChange) => {
    for (const listener of listeners) listener(change);
  };
  const keep = async (name: string, text: string): Promise<Kept> => {
    const bytes = new TextEncoder().encode(text);
    checkSize(bytes.length);
    const sha256 = await sha256Of(bytes);
    const kept = { name, text, sha256, bytes: bytes.length, modified: now() };
    files.set(name, kept);
    tell({ name, sha256 });
    return kept;
  };
  const plain = ({ name, text, sha256 }: Kept): StoredDesign => ({ name, text, sha256 });
  const write = async (name: string, text: string, expected: Expected): Promise<Written> => {
    const current = files.get(name);
    const due = expected === "absent" ? undefined : expected.sha256;
    if (current?.sha256 !== due)
      return { kind: "conflict", current: current === undefined ? null : plain(current) };
    const { sha256 } = await keep(name, text);
    return { kind: "written", sha256, created: expected === "absent" };
  };
  return {
    label,
    list: async () =>
      [...files.values()]
        .sort((a, b) => (a.name < b.name ? -1 : 1))
        .map(({ text, ...rest }): ListedDesign => {
          const { name, bytes, modified, sha256 } = rest;
          const title = titleOf(text);
          return { name, bytes, modified, sha256, ...(title === undefined ? {} : { title }) };
        }),
    read: async (name) => {
      checkName(name);
      const kept = files.get(name);
      if (kept === undefined)
        throw new StoreRefusal("no-such-design", `there is no ${name} in this folder`);
      return plain(kept);
    },
    write: (name, text, expected) => {
      const turn = queue.then(() => {
        checkName(name);
        return write(name, text, expected);
      });
      queue = turn.catch(() => undefined);
      return turn;
    },
    watch: async (listener) => {
      // An own function for each call: the same listener may watch twice.
      const own = (change: StoreChange) => listener(change);
      listeners.add(own);
      return () => void listeners.delete(own);
    },
    put: async (name, text) => void (await keep(name, text)),
    remove: (name) => {
      if (files.delete(name)) tell({ name, sha256: null });
    },
  };
}
