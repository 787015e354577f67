import { useEffect, useRef, useState } from "react";
import { type ReadResult, readDesign } from "../../../design/readDesign.ts";
import { setText } from "../../actions.ts";
import { set, usePage } from "../../state.ts";

/** Pause in typing after which the text is read, ms. */
const PAUSE = 60;

/** The file as text, for what has no input of its own: materials, gases, comments. */
export function TextDialog({ line }: { line: number | null }) {
  const text = usePage((state) => state.draft?.text ?? "");
  const [typed, setTyped] = useState(text);
  const ref = useRef<HTMLTextAreaElement>(null);
  useEffect(() => {
    const area = ref.current;
    if (area === null || line === null || line < 1) return;
    const lines = area.value.split("\n");
    const start = lines.slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
    area.focus();
    area.setSelectionRange(start, start + (lines[line - 1]?.length ?? 0));
    area.scrollTop = Math.max(0, (line - 6) * 18);
  }, [line]);
  // Read once the text is drawn, and when typing pauses: keys must not wait for it.
  const [read, setRead] = useState<ReadResult | null>(null);
  useEffect(() => {
    const timer = setTimeout(() => setRead(readDesign(typed)), PAUSE);
    return () => clearTimeout(timer);
  }, [typed]);
  return (
    <>
      <textarea
        ref={ref}
        aria-label="Text of the design file"
        spellCheck={false}
        value={typed}
        onChange={(event) => setTyped(event.target.value)}
      />
      {read === null || read.ok ? (
        <p className="quiet-text">
          {read === null ? "Being read." : "Read without a problem."}
          {read?.warnings.map((warning) => ` Line ${warning.line}: ${warning.message}.`)}
        </p>
      ) : (
        <ul className="text-problems">
          {read.problems.slice(0, 8).map((problem) => (
            <li key={`${problem.line} ${problem.path} ${problem.code}`}>
              <b>{problem.line > 0 ? `Line ${problem.line}` : "File"}</b> {problem.path}:{" "}
              {problem.message}. {problem.hint ?? ""}
            </li>
          ))}
        </ul>
      )}
      <div className="dialog-buttons">
        <button
          type="button"
          className="strong"
          disabled={typed === text}
          onClick={() => {
            setText("text of the file", typed);
            set({ dialog: null });
          }}
        >
          Take this text
        </button>
        <button type="button" disabled={typed === text} onClick={() => setTyped(text)}>
          Back to what it was
        </button>
      </div>
    </>
  );
}
