import { useEffect, useState } from "react";
import { usePage } from "../state.ts";
import type { Piece } from "../worker/jobs.ts";
import type { StudyRequest } from "../worker/requests.ts";
import { bareName, runStudy } from "./engine.ts";
import type { WorkerLine } from "./line.ts";

/** Time that a piece of a study takes, ms: short enough that nothing newer waits. */
const PIECE = 60;

/** How long the text rests before a study of it begins, ms. */
const REST = 250;
/** Workers that a study may lose before it gives up. */
const TRIES = 3;

export interface StudyState<T> {
  value: T | null;
  done: boolean;
  /** Text that the value belongs to. */
  text: string | null;
  /** When it began, ms of the page's clock. */
  since: number;
  stop: () => void;
}

/**
 * Runs a study of the design that rests on the page, piece by piece, and starts anew when the text
 * changes. What was there before stays until the first new piece is.
 * @param request null: nothing is asked for
 */
export function useStudy<T>(name: string, request: StudyRequest | null): StudyState<T> {
  const ofDesign = request !== null && request.kind !== "proposals";
  const text = usePage((state) => {
    if (!ofDesign) return "";
    return state.problems.length > 0 ? null : (state.draft?.text ?? null);
  });
  const design = usePage((state) => bareName(state.draft?.name ?? null));
  const [state, setState] = useState<StudyState<T>>({
    value: null,
    done: false,
    text: null,
    since: 0,
    stop: () => {},
  });
  const asked = JSON.stringify(request);
  useEffect(() => {
    const wanted = JSON.parse(asked) as StudyRequest | null;
    if (wanted === null || text === null) return;
    let job: number | null = null;
    let over = false;
    let started = 0;
    const since = performance.now();
    let tries = 0;
    const study = async (line: WorkerLine) => {
      if (over) return false;
      if (job !== null && line.started !== started) job = null;
      if (job === null) tries += 1;
      if (tries > TRIES) return false;
      started = line.started;
      job ??= await line.call(
        (remote) => remote.startStudy(text, design, wanted) as Promise<number | null>,
      );
      if (job === null) return false;
      const id = job;
      const piece = (await line.call(
        (remote) => remote.advanceStudy(id, PIECE) as Promise<Piece<unknown>>,
      )) as Piece<T>;
      if (over) return false;
      setState({ value: piece.value, done: piece.done, text, since, stop });
      return !piece.done;
    };
    let drop = () => {};
    const waits = setTimeout(() => {
      drop = runStudy(name, study);
    }, REST);
    const stop = () => {
      over = true;
      drop();
      setState((old) => ({ ...old, done: true }));
    };
    return () => {
      over = true;
      clearTimeout(waits);
      drop();
    };
  }, [name, asked, text, design]);
  return state;
}
