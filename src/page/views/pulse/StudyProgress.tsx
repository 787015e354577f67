import { useRef } from "react";

/** How far a long study is, about how long it takes still, and the button that stops or goes on with it. */
export function StudyProgress({
  done,
  total,
  running,
  what,
  onStop,
  onGo,
}: {
  done: number;
  total: number;
  running: boolean;
  what: string;
  onStop: () => void;
  onGo: () => void;
}) {
  // Counted from where it went on: what was known before took no time.
  const begun = useRef<{ done: number; at: number } | null>(null);
  if (!running || (begun.current !== null && begun.current.done > done)) begun.current = null;
  else begun.current ??= { done, at: performance.now() };
  const since = begun.current;
  const made = since === null ? 0 : done - since.done;
  const left =
    since === null || made < 2
      ? null
      : ((performance.now() - since.at) / 1000 / made) * (total - done);
  return (
    <p className="progress">
      <progress value={total === 0 ? 0 : done / total} aria-label={what} /> {done} of {total}
      {left === null ? " " : `, about ${Math.max(1, Math.round(left))} s left `}
      <button type="button" onClick={running ? onStop : onGo}>
        {running ? "Stop" : "Go on"}
      </button>
    </p>
  );
}
