import { percentText } from "../../report/text/marginTable.ts";
import { download, redoChange, refreshFolder, save, undoChange } from "../actions.ts";
import { bareName } from "../compute/engine.ts";
import { canRedo, canUndo, isDirty } from "../document/draft.ts";
import { get, set, sheetNow, usePage } from "../state.ts";
import { nextTheme, showTheme } from "../theme.ts";

/** Name of the design, what can be done with its file, the verdict. */
export function Header() {
  const draft = usePage((state) => state.draft);
  const saving = usePage((state) => state.saving);
  const conflict = usePage((state) => state.conflict !== null);
  const there = usePage((state) => state.serverThere);
  const theme = usePage((state) => state.theme);
  const dirty = draft !== null && isDirty(draft);
  const undoWhat = draft?.log[draft.at - 1]?.what;
  const redoWhat = draft?.log[draft.at]?.what;
  return (
    <header className="head">
      <h1>
        <span className="product">Reedlift</span>
        {draft !== null && <span className="design-name">{draft.name ?? "new design"}</span>}
      </h1>
      <p className={`file-state${conflict ? " caution" : ""}`}>
        {draft === null
          ? ""
          : conflict
            ? "two versions"
            : saving
              ? "saving"
              : dirty
                ? "changes kept here"
                : "saved"}
        {there ? "" : ", program gone"}
      </p>
      <Verdict />
      <nav className="head-tools" aria-label="Design">
        <button
          type="button"
          onClick={() => {
            void refreshFolder();
            set({ dialog: { kind: "open" } });
          }}
        >
          Open
        </button>
        <button type="button" onClick={() => set({ dialog: { kind: "new" } })}>
          New
        </button>
        {draft !== null && (
          <>
            <button
              type="button"
              className={dirty ? "strong" : undefined}
              onClick={() => void save()}
              disabled={saving || (!dirty && !conflict)}
            >
              Save
            </button>
            <button type="button" onClick={() => set({ dialog: { kind: "save-as" } })}>
              Duplicate
            </button>
            <button
              type="button"
              onClick={() =>
                download(draft.name ?? `${bareName(null)}.reed.yaml`, draft.text, "text/yaml")
              }
            >
              Download
            </button>
            <span className="gap" />
            <button
              type="button"
              onClick={undoChange}
              disabled={!canUndo(draft)}
              title={undoWhat === undefined ? "" : `Undo: ${undoWhat}`}
            >
              Undo
            </button>
            <button
              type="button"
              onClick={redoChange}
              disabled={!canRedo(draft)}
              title={redoWhat === undefined ? "" : `Redo: ${redoWhat}`}
            >
              Redo
            </button>
            <span className="gap" />
            <button type="button" onClick={() => set({ dialog: { kind: "text" } })}>
              Text
            </button>
          </>
        )}
        <button type="button" onClick={() => showTheme(nextTheme(get().theme))}>
          Light: {theme === "as the system" ? "auto" : theme === "light" ? "day" : "night"}
        </button>
        <button type="button" onClick={() => set({ dialog: { kind: "keys" } })}>
          Keys
        </button>
      </nav>
    </header>
  );
}

/** The verdict in a few words; its sentence stands at Need, its rows in the margins. */
function Verdict() {
  const sheet = usePage(sheetNow);
  const wrong = usePage((state) => state.problems.length);
  if (wrong > 0)
    return (
      <p className="verdict not-met">
        <b>Not read</b> {wrong === 1 ? "one problem" : `${wrong} problems`} in the file; the figures
        are those before.
      </p>
    );
  if (sheet === null || sheet.margins.length === 0) return <p className="verdict" />;
  const unmet = sheet.margins.filter((row) => !row.met).length;
  const smallest = Math.min(...sheet.margins.map((row) => row.margin ?? -1));
  return sheet.verdict.met ? (
    <p className="verdict met">
      <b>Met</b> {percentText(smallest)} in hand
    </p>
  ) : (
    <p className="verdict not-met">
      <b>Not met</b>{" "}
      {sheet.wiring?.accepted === false
        ? "the wiring is refused"
        : `${unmet} of ${sheet.margins.length}, worst ${percentText(smallest)}`}
    </p>
  );
}
