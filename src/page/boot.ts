import {
  diskChanged,
  keepNow,
  missedChanges,
  openDesign,
  refreshFolder,
  takeUp,
} from "./actions.ts";
import { startComputation } from "./compute/engine.ts";
import { type Kept, keptElsewhere } from "./document/keep.ts";
import { followFolder } from "./server.ts";
import { get, set, tell } from "./state.ts";
import { livingTabs, tabName, takeTabName } from "./tab.ts";
import { restoreTheme } from "./theme.ts";

/** From an empty page to a computed design: the one named in the address, else the first of the folder. */
export async function boot(): Promise<void> {
  restoreTheme();
  startComputation();
  await Promise.all([takeTabName(), refreshFolder()]);
  const named = nameInAddress();
  const first = get().folder?.files.find((file) => file.reason === undefined)?.name;
  const opened = named !== null && (await openDesign(named));
  if (!opened && first !== undefined) await openDesign(first);
  if (!opened && first === undefined && get().serverThere) set({ dialog: { kind: "new" } });
  followWhileSeen();
  window.addEventListener("hashchange", () => {
    const name = nameInAddress();
    if (name !== null && name !== get().draft?.name) void openDesign(name);
  });
  window.addEventListener("pagehide", keepNow);
  document.addEventListener("visibilitychange", keepNow);
  await offerLeftBehind();
}

/** The folder is followed while the tab is seen: a browser has few lines to one server. */
function followWhileSeen(): void {
  let stop: (() => void) | null = null;
  const follow = () => {
    stop?.();
    stop = null;
    if (document.visibilityState === "hidden") return;
    stop = followFolder(
      ({ name, sha256 }) => void diskChanged(name, sha256),
      (there) => {
        const before = get().serverThere;
        set({ serverThere: there });
        if (there && !before) tell("told", "The program behind this page answers again.");
        if (there) void missedChanges();
      },
    );
  };
  document.addEventListener("visibilitychange", follow);
  follow();
}

function nameInAddress(): string | null {
  const wanted = new URLSearchParams(location.hash.slice(1)).get("design");
  return wanted === null || wanted === "" ? null : wanted;
}

/** Drafts whose tab is gone, and the warning that a living tab has changes of the same file. */
async function offerLeftBehind(): Promise<void> {
  const living = await livingTabs();
  const elsewhere = keptElsewhere(localStorage, tabName());
  const left = elsewhere.find((kept) => !living.has(kept.tab));
  if (left !== undefined) offer(left);
  const name = get().draft?.name ?? null;
  if (elsewhere.some((kept) => living.has(kept.tab) && kept.draft.name === name))
    tell(
      "caution",
      "Another tab has unsaved changes of this design. Save there first, or both are shown when they meet.",
    );
}

function offer(kept: Kept): void {
  const what = kept.draft.name ?? "a design without a name";
  tell("caution", `Unsaved changes of ${what} were left behind in a tab that is gone.`, {
    name: "Take them up",
    do: () => void takeUp(kept),
  });
}
