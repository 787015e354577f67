import { lazy, Suspense, useEffect, useRef } from "react";
import { set, usePage } from "../state.ts";
import { KeysDialog } from "./dialogs/KeysDialog.tsx";
import { NumbersDialog } from "./dialogs/NumbersDialog.tsx";
import { OpenDialog } from "./dialogs/OpenDialog.tsx";
import { SaveAsDialog } from "./dialogs/SaveAsDialog.tsx";

const ConflictDialog = lazy(async () => ({
  default: (await import("./dialogs/ConflictDialog.tsx")).ConflictDialog,
}));
const NewDialog = lazy(async () => ({
  default: (await import("./dialogs/NewDialog.tsx")).NewDialog,
}));
const TextDialog = lazy(async () => ({
  default: (await import("./dialogs/TextDialog.tsx")).TextDialog,
}));
const TheoryDialog = lazy(async () => ({
  default: (await import("./dialogs/TheoryDialog.tsx")).TheoryDialog,
}));

const TITLES = {
  open: "Open a design",
  new: "New design",
  text: "Text of the file",
  "save-as": "Save a copy",
  conflict: "Two versions of one file",
  keys: "Keys",
  theory: "How it is computed",
  numbers: "Numbers behind the picture",
} as const;

/** The one dialog that is open, as the browser's own: Escape closes it, the focus stays in it. */
export function Dialogs() {
  const dialog = usePage((state) => state.dialog);
  const ref = useRef<HTMLDialogElement>(null);
  const kind = dialog?.kind ?? null;
  useEffect(() => {
    const element = ref.current;
    if (element === null) return;
    if (kind === null) element.close();
    else if (!element.open) element.showModal();
  }, [kind]);
  const close = () => set({ dialog: null });
  return (
    <dialog
      ref={ref}
      className={`dialog ${kind ?? ""}`}
      aria-label={kind === null ? "Dialog" : TITLES[kind]}
      onCancel={(event) => {
        event.preventDefault();
        close();
      }}
    >
      {dialog !== null && (
        <>
          <div className="dialog-head">
            <h2>{TITLES[dialog.kind]}</h2>
            <button type="button" className="quiet" onClick={close}>
              Close
            </button>
          </div>
          <Suspense fallback={<p className="quiet-text">Being fetched.</p>}>
            {dialog.kind === "open" && <OpenDialog />}
            {dialog.kind === "new" && <NewDialog />}
            {dialog.kind === "text" && <TextDialog line={dialog.line ?? null} />}
            {dialog.kind === "save-as" && <SaveAsDialog why={dialog.why ?? null} />}
            {dialog.kind === "conflict" && <ConflictDialog />}
            {dialog.kind === "keys" && <KeysDialog />}
            {dialog.kind === "theory" && <TheoryDialog step={dialog.step} />}
            {dialog.kind === "numbers" && <NumbersDialog of={dialog.of} />}
          </Suspense>
        </>
      )}
    </dialog>
  );
}
