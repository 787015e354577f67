import { useId, useState } from "react";
import { noteAt, noteEdit } from "../../design/notes.ts";
import { change } from "../actions.ts";
import { pathOf } from "../document/values.ts";
import { tell, usePage } from "../state.ts";

/** The note of an input: the comment on its line of the file. */
export function NoteLine({ inputKey }: { inputKey: string }) {
  const id = useId();
  const text = usePage((state) => state.draft?.text ?? "");
  const found = noteAt(text, pathOf(inputKey));
  const [typed, setTyped] = useState<{ key: string; text: string } | null>(null);
  const shown = typed?.key === inputKey ? typed.text : (found?.note ?? "");
  const commit = () => {
    if (typed === null || typed.key !== inputKey) return;
    setTyped(null);
    if (typed.text.trim() === (found?.note ?? "")) return;
    const made = noteEdit(text, pathOf(inputKey), typed.text);
    if (made.ok) change(`note at ${inputKey}`, [made.edit]);
    else tell("caution", `No note there: ${made.reason}.`);
  };
  return (
    <p className="note-line">
      <label htmlFor={id}>Note{found?.shared === true ? " (of the whole line)" : ""}</label>
      <input
        id={id}
        type="text"
        autoComplete="off"
        value={shown}
        placeholder="kept as a comment in the file"
        onChange={(event) => setTyped({ key: inputKey, text: event.target.value })}
        onKeyDown={(event) => {
          if (event.key === "Enter") commit();
          if (event.key === "Escape") setTyped(null);
        }}
        onBlur={commit}
      />
    </p>
  );
}
