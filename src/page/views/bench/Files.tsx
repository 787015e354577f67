import { type DragEvent, useRef, useState } from "react";
import {
  type BenchFile,
  closeFile,
  openFiles,
  readAgain,
  stopReading,
  useBench,
} from "../../compute/bench.ts";
import type { KindLook } from "../../worker/benchRequests.ts";

/** The files of the measurement: opened by a button or dropped, each with how far it is. */
export function Files({ kind }: { kind: KindLook }) {
  const files = useBench((state) => state.files);
  const at = useBench((state) => state.at ?? state.files[0]?.id ?? null);
  const reducing = useBench((state) => state.reducing);
  const input = useRef<HTMLInputElement>(null);
  const [over, setOver] = useState(false);
  const drop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    const list = [...event.dataTransfer.files];
    if (list.length > 0) openFiles(list);
  };
  const many = kind.files.max > 1;
  return (
    <fieldset
      className={`block bench-files${over ? " over" : ""}`}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={drop}
    >
      <legend>{many ? "Files" : "File"}</legend>
      {files.map((file, i) => (
        <FileLine
          key={file.id}
          file={file}
          label={kind.files.labels?.[i] ?? null}
          current={file.id === at}
        />
      ))}
      {reducing && <p className="quiet-text">The values are being computed.</p>}
      <p className="bench-open">
        <button type="button" className="strong" onClick={() => input.current?.click()}>
          {files.length === 0
            ? many
              ? "Open files"
              : "Open a file"
            : many
              ? "Add files"
              : "Open another"}
        </button>{" "}
        <span className="quiet-text">or drop {many ? "them" : "it"} here</span>
        <input
          ref={input}
          type="file"
          className="spoken"
          tabIndex={-1}
          aria-label="Files of the measurement"
          multiple={many}
          onChange={(event) => {
            const list = [...(event.target.files ?? [])];
            event.target.value = "";
            if (list.length > 0) openFiles(list);
          }}
        />
      </p>
      <p className="quiet-text">{wanted(kind, files.length)}</p>
    </fieldset>
  );
}

/** What is still to be opened. */
function wanted({ files: { min, max, labels } }: KindLook, count: number): string {
  const next = labels?.[count];
  if (next !== undefined) return `Next: ${next}.`;
  if (count < min)
    return `${min - count} more ${min - count === 1 ? "file is" : "files are"} needed.`;
  if (count === 0) return "Text, NPY, NPZ or Parquet.";
  return max > count && Number.isFinite(max) ? `Up to ${max} files.` : "";
}

function FileLine({
  file,
  label,
  current,
}: {
  file: BenchFile;
  label: string | null;
  current: boolean;
}) {
  const { id, progress, answer, trouble } = file;
  return (
    <div className={`bench-file${current ? " current" : ""}`}>
      <button
        type="button"
        className="bench-file-name"
        aria-current={current ? "true" : undefined}
        onClick={() => useBench.setState({ at: id })}
      >
        {label !== null && <span className="quiet-text">{label}: </span>}
        {file.file.name}
      </button>
      <button
        type="button"
        className="quiet"
        aria-label={`Take out ${file.file.name}`}
        onClick={() => closeFile(id)}
      >
        take out
      </button>
      {progress !== null ? (
        <p className="progress">
          <progress value={progress.share} aria-label={`Reading ${file.file.name}`} />{" "}
          {progress.rows > 0
            ? `${progress.rows.toLocaleString("en").replaceAll(",", "\u202f")} rows `
            : "looked at "}
          <button type="button" onClick={() => stopReading(id)}>
            Stop
          </button>
        </p>
      ) : (
        <p className={`bench-file-state ${answer?.outcome ?? "none"}`}>
          {trouble !== null ? `Not read: ${trouble}.` : stateWords(file)}{" "}
          {answer?.outcome === "stopped" && (
            <button type="button" onClick={() => void readAgain(id)}>
              Read it
            </button>
          )}
        </p>
      )}
    </div>
  );
}

function stateWords({ answer }: BenchFile): string {
  if (answer === null) return "";
  switch (answer.outcome) {
    case "data":
      return `${answer.rows.toLocaleString("en").replaceAll(",", "\u202f")} rows: ${answer.roles.join(", ")}`;
    case "ask":
      return answer.questions.length === 1
        ? "? One question is open"
        : `? ${answer.questions.length} questions are open`;
    case "refused":
      return `× ${answer.problems[0]?.message ?? "refused"}`;
    case "stopped":
      return "Stopped.";
  }
}
