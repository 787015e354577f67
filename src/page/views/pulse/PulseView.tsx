import { type ReactNode, useEffect, useRef, useState } from "react";
import { numbersOfPulse, pulseNow, pulsePaper, usePulse, wantPulse } from "../../compute/pulse.ts";
import { usePage } from "../../state.ts";
import type { PulseGiven } from "../../worker/pulseRequests.ts";
import { FigureTools } from "../FigureTools.tsx";
import { Svg } from "../Svg.tsx";
import { useSize } from "../useSize.ts";
import { Cautions } from "./Cautions.tsx";
import { clockTime } from "./clock.ts";
import { pulseCommand, pulseOrigin } from "./command.ts";
import { Refused } from "./Refused.tsx";
import { TraceLayer } from "./TraceLayer.tsx";
import { farther, type Span } from "./timeView.ts";

/** Zoom of a button. */
const ZOOM = 0.6;

/** The pulse in time: traces over one axis; the cursor on them is the time of the moving drawing. */
export function PulseView({ head }: { head: ReactNode }) {
  const place = useRef<HTMLDivElement>(null);
  const size = useSize(place);
  const [time, setTime] = useState<Span | null>(null);
  useEffect(() => {
    if (size !== null) wantPulse({ size, ...(time === null ? {} : { time }) });
  }, [size, time]);
  useEffect(() => () => wantPulse(null), []);
  const refused = usePulse((state) => (state.answer?.ok === false ? state.answer : null));
  const given = usePulse(pulseNow);
  const stale = usePage((state) => state.problems.length > 0);
  return (
    <figure className={`figure traces${stale ? " stale" : ""}`} data-figure="pulse-traces">
      <div className="figure-head">
        {head}
        {given !== null && (
          <>
            <TimeButtons given={given} time={time} onTime={setTime} />
            <FigureTools
              of={{ ...given.traces, csv: numbersOfPulse }}
              paper={() => pulsePaper(pulseOrigin(given))}
              whole={time === null ? null : () => setTime(null)}
              command={pulseCommand(given, "--svg pictures")}
            />
          </>
        )}
      </div>
      <div className="figure-draw" ref={place}>
        {refused !== null && <Refused refused={refused} />}
        {refused === null && given === null && (
          <p className="empty">The pulse is being computed.</p>
        )}
        {given?.traces.plot !== undefined && given.panels.length > 0 && (
          <>
            <Svg text={given.traces.svg} label={given.traces.title} />
            <TraceLayer
              plot={given.traces.plot}
              panels={given.panels}
              step={given.step}
              end={given.step * (given.count - 1)}
              zoomed={time !== null}
              label={given.traces.title}
              onTime={setTime}
            />
          </>
        )}
      </div>
      <figcaption>{given?.traces.sentence}</figcaption>
      {given !== null && <Cautions cautions={given.cautions} />}
    </figure>
  );
}

function TimeButtons({
  given: { step, count, main },
  time,
  onTime,
}: {
  given: PulseGiven;
  time: Span | null;
  onTime: (part: Span | null) => void;
}) {
  const end = step * (count - 1);
  const by = (factor: number) => {
    const seen = time ?? [0, end];
    const now = clockTime();
    const inside = now > seen[0] && now < seen[1];
    onTime(farther(seen, inside ? now : (seen[0] + seen[1]) / 2, factor, end, step));
  };
  return (
    <div className="figure-tools time-tools">
      {main !== null && (
        <button type="button" onClick={() => onTime(main)}>
          Main opening
        </button>
      )}
      <button type="button" onClick={() => by(ZOOM)}>
        Closer
      </button>
      <button type="button" disabled={time === null} onClick={() => by(1 / ZOOM)}>
        Wider
      </button>
    </div>
  );
}
