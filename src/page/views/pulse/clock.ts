import { create } from "zustand";
import { pulseNow, usePulse } from "../../compute/pulse.ts";

/*
 * Time in the pulse: where the cursor of the traces, the ruler and the moving drawing stand. It goes by itself
 * only after "Play" was pressed, and stands at the end.
 */

/** How much slower than in reality the motion is shown. */
export const SLOWER = [1000, 5000, 20000] as const;

interface Clock {
  /** s from the start of the run. */
  time: number;
  playing: boolean;
  slower: number;
}

export const useClock = create<Clock>()(() => ({ time: 0, playing: false, slower: SLOWER[1] }));

/** Step of the run's grid and its end, s; zero without a pulse. */
function span(): { step: number; end: number } {
  const given = pulseNow(usePulse.getState());
  if (given === null) return { step: 0, end: 0 };
  return { step: given.step, end: given.step * (given.count - 1) };
}

/** The time within the run. */
export const clockTime = (): number => Math.min(useClock.getState().time, span().end);

/** Puts the time somewhere, on the run's grid; a motion stops there. */
export function seek(time: number): void {
  const { step, end } = span();
  if (step === 0) return;
  const inside = Math.min(end, Math.max(0, time));
  useClock.setState({ time: Math.min(end, Math.round(inside / step) * step), playing: false });
}

/** What an arrow key goes, s: one of 360 of what is seen, whole steps of the grid. */
export function arrowStep(seen: number): number {
  const { step } = span();
  return step === 0 ? 0 : step * Math.max(1, Math.round(seen / 360 / step));
}

/** The time after a key on a ruler, null for another key: arrows a step, page keys a tenth, ends. */
export function timeAfterKey(key: string, seen: number): number | null {
  const { end } = span();
  const now = clockTime();
  switch (key) {
    case "ArrowLeft":
    case "ArrowDown":
      return now - arrowStep(seen);
    case "ArrowRight":
    case "ArrowUp":
      return now + arrowStep(seen);
    case "PageDown":
      return now - end / 10;
    case "PageUp":
      return now + end / 10;
    case "Home":
      return 0;
    case "End":
      return end;
    default:
      return null;
  }
}

export function pause(): void {
  if (useClock.getState().playing) useClock.setState({ playing: false });
}

/** Lets the motion go from where it stands, from the start where it is at the end. */
export function play(): void {
  const { end, step } = span();
  if (end === 0) return;
  const time = clockTime();
  useClock.setState({ playing: true, time: time >= end - step / 2 ? 0 : time });
  let before: number | null = null;
  const frame = (now: number) => {
    const { playing, slower } = useClock.getState();
    if (!playing) return;
    const gone = before === null ? 0 : (now - before) / 1000 / slower;
    before = now;
    const { end: last } = span();
    const next = Math.min(last, useClock.getState().time + gone);
    useClock.setState({ time: next, playing: next < last });
    if (next < last) requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
}
