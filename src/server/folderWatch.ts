import { type FSWatcher, watch } from "node:fs";
import type { ListedDesign, StoreChange } from "./store.ts";

/** Time after a sign from the system until the folder is looked at: one saving gives several, ms. */
const SETTLE_MS = 50;

/** Time between two looks where no sign comes, ms. */
const POLL_MS = 2000;

export interface FolderWatch {
  /** Adds a listener; the promise is kept when every change from then on will be told. */
  add(listener: (change: StoreChange) => void): Promise<() => void>;
  /** Looks at once, where someone watches. */
  look(): Promise<void>;
}

/**
 * Compares what `list` gives, at every sign from the system and now and then, for as long as someone
 * listens. Signs are lost on some disks (networks, other systems' folders); the looks are not.
 */
export function folderWatch(
  folder: string,
  list: () => Promise<ListedDesign[]>,
  pollMs: number = POLL_MS,
): FolderWatch {
  const listeners = new Set<(change: StoreChange) => void>();
  let seen = new Map<string, string | null>();
  let started: Promise<void> = Promise.resolve();
  let looking: Promise<void> | null = null;
  let again = false;
  let system: FSWatcher | null = null;
  let poll: NodeJS.Timeout | undefined;
  let settle: NodeJS.Timeout | undefined;

  const scan = async (): Promise<Map<string, string | null>> => {
    try {
      return new Map((await list()).map(({ name, sha256 }) => [name, sha256]));
    } catch {
      // A folder that can't be read holds nothing for now.
      return new Map();
    }
  };
  const compare = async () => {
    const now = await scan();
    const before = seen;
    seen = now;
    for (const name of new Set([...before.keys(), ...now.keys()])) {
      const sha256 = now.get(name) ?? null;
      if (sha256 === (before.get(name) ?? null)) continue;
      for (const listener of [...listeners]) listener({ name, sha256 });
    }
  };
  /** One look at a time; a sign during a look leads to one more. */
  const look = async (): Promise<void> => {
    if (listeners.size === 0) return;
    // The first look is what the next ones are compared with.
    await started;
    again = true;
    looking ??= (async () => {
      while (again) {
        again = false;
        await compare();
      }
    })().finally(() => {
      looking = null;
    });
    await looking;
  };
  const start = async () => {
    try {
      system = watch(folder, { persistent: false }, () => {
        clearTimeout(settle);
        settle = setTimeout(() => void look(), SETTLE_MS).unref();
      }).on("error", () => system?.close());
    } catch {
      system = null;
    }
    poll = setInterval(() => void look(), pollMs).unref();
    seen = await scan();
  };
  const stop = () => {
    system?.close();
    system = null;
    clearInterval(poll);
    clearTimeout(settle);
  };
  return {
    add: async (listener) => {
      const own = (change: StoreChange) => listener(change);
      listeners.add(own);
      if (listeners.size === 1) started = start();
      await started;
      return () => {
        if (listeners.delete(own) && listeners.size === 0) stop();
      };
    },
    look,
  };
}
