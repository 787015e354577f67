import { useEffect, useRef } from "react";
import { pulseNow, usePulse } from "../../compute/pulse.ts";
import type { PulseGiven } from "../../worker/pulseRequests.ts";
import { clockTime, pause, play, SLOWER, seek, timeAfterKey, useClock } from "./clock.ts";
import { momentWords, timeWords } from "./traceValues.ts";

/** Under the moving drawing: play and pause, how much slower, and the ruler of time that can be dragged. */
export function MotionBar() {
  const given = usePulse(pulseNow);
  const playing = useClock((state) => state.playing);
  const slower = useClock((state) => state.slower);
  useEffect(() => {
    const root = document.documentElement;
    root.dataset.motion = "shown";
    return () => {
      delete root.dataset.motion;
      pause();
    };
  }, []);
  return (
    <section className="motion-bar" aria-label="Motion of the pulse">
      <button
        type="button"
        className="strong motion-play"
        disabled={given === null}
        onClick={playing ? pause : play}
      >
        {playing ? "Pause" : "Play"}
      </button>
      <select
        className="motion-slower"
        aria-label="How much slower than in reality"
        value={slower}
        onChange={(event) => useClock.setState({ slower: Number(event.target.value) })}
      >
        {SLOWER.map((times) => (
          <option key={times} value={times}>
            {times}× slower
          </option>
        ))}
      </select>
      {given === null ? (
        <p className="quiet-text">There is no computed motion yet.</p>
      ) : (
        <Ruler given={given} />
      )}
    </section>
  );
}

function Ruler({ given }: { given: PulseGiven }) {
  const { step, count, panels, result } = given;
  const input = useRef<HTMLInputElement>(null);
  const words = useRef<HTMLOutputElement>(null);
  const end = step * (count - 1);
  const share = (time: number) => (100 * Math.min(time, end)) / end;
  const { gate_s: gate } = result.drive;
  const last = result.pulses.at(-1);
  const opened = last?.first_open_s ?? null;
  useEffect(() => {
    const show = () => {
      const time = clockTime();
      const range = input.current;
      if (range !== null) {
        range.value = String(Math.round(time / step));
        if (!useClock.getState().playing)
          range.setAttribute("aria-valuetext", momentWords(panels, step, time));
      }
      if (words.current !== null) words.current.textContent = timeWords(time);
    };
    show();
    return useClock.subscribe(show);
  }, [step, panels]);
  return (
    <>
      <div className="motion-ruler">
        <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
          {opened !== null && (
            <rect
              className="ruler-open"
              x={share(opened)}
              y="0"
              width={share(last?.first_contact_s ?? end) - share(opened)}
              height="10"
            />
          )}
          <rect className="ruler-line" x="0" y="4" width="100" height="2" />
          {gate !== null && (
            <rect className="ruler-gate" x="0" y="3" width={share(gate)} height="4" />
          )}
        </svg>
        <input
          ref={input}
          type="range"
          min={0}
          max={count - 1}
          step={1}
          defaultValue={0}
          aria-label="Time in the pulse"
          onInput={(event) => seek(Number(event.currentTarget.value) * step)}
          onKeyDown={(event) => {
            const next = timeAfterKey(event.key, end);
            if (next === null) return;
            event.preventDefault();
            seek(next);
          }}
        />
      </div>
      <output ref={words} className="motion-time" />
    </>
  );
}
