import { diffLines } from "diff";
import { keepMine, takeDisk } from "../../actions.ts";
import { set, usePage } from "../../state.ts";

/** Both versions of a file that was changed in two places, line by line. */
export function ConflictDialog() {
  const conflict = usePage((state) => state.conflict);
  const mine = usePage((state) => state.draft?.text ?? "");
  if (conflict === null) return <p>Both versions are the same now.</p>;
  const { name, disk } = conflict;
  const pieces = disk === null ? [] : diffLines(disk.text, mine);
  return (
    <>
      <p>
        {disk === null
          ? `${name} is gone from the folder while you have changes of your own.`
          : `${name} was changed on disk while you have changes of your own. Nothing is lost: both are shown, and what you do not take can be undone or saved under another name.`}
      </p>
      {disk !== null && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key
        <section className="versions" tabIndex={0} aria-label="Both versions, line by line">
          {pieces.map((piece, i) => {
            const kind = piece.added ? "mine" : piece.removed ? "disk" : "both";
            return (
              // biome-ignore lint/suspicious/noArrayIndexKey: pieces have no name of their own
              <pre key={i} className={kind}>
                {kind === "both" ? null : <b>{kind === "mine" ? "here" : "on disk"}</b>}
                {kind === "both" ? shortened(piece.value) : piece.value}
              </pre>
            );
          })}
        </section>
      )}
      <div className="dialog-buttons">
        <button type="button" className="strong" onClick={() => void keepMine()}>
          Save mine over it
        </button>
        {disk !== null && (
          <button type="button" onClick={takeDisk}>
            Take the one on disk
          </button>
        )}
        <button type="button" onClick={() => set({ dialog: { kind: "save-as" } })}>
          Save mine under another name
        </button>
      </div>
    </>
  );
}

/** Lines that both have, all but the nearest to a difference left out. */
function shortened(text: string): string {
  const lines = text.split("\n");
  if (lines.length <= 9) return text;
  return [...lines.slice(0, 3), `  … ${lines.length - 7} lines alike …`, ...lines.slice(-4)].join(
    "\n",
  );
}
