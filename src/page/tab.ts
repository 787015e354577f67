/*
 * Each tab has a name of its own that lives as long as its session, and holds a lock of that name,
 * by which other tabs see that it is alive. A duplicated tab takes a new name.
 */

const KEY = "reedlift tab";
let name = "";

export const tabName = (): string => name;

const lockOf = (tab: string) => `reedlift tab ${tab}`;

/** Takes this tab's name; resolves when its lock is held. */
export async function takeTabName(): Promise<void> {
  name = sessionStorage.getItem(KEY) ?? fresh();
  if (!(await hold(name))) {
    name = fresh();
    await hold(name);
  }
  sessionStorage.setItem(KEY, name);
}

const fresh = (): string => crypto.randomUUID().slice(0, 8);

/** Holds the lock until the tab goes away; false when another tab has it. */
function hold(tab: string): Promise<boolean> {
  return new Promise((resolve) => {
    void navigator.locks.request(lockOf(tab), { ifAvailable: true }, (lock) => {
      resolve(lock !== null);
      return lock === null ? undefined : new Promise(() => {});
    });
  });
}

/** Names of the tabs that are alive. */
export async function livingTabs(): Promise<Set<string>> {
  const { held = [] } = await navigator.locks.query();
  return new Set(held.map((lock) => (lock.name ?? "").replace("reedlift tab ", "")));
}
