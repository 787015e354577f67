import { type ReactNode, useEffect, useRef, useState } from "react";
import { numbersOfRates, type RateKind, ratesPaper, useRates } from "../../compute/rates.ts";
import { useStudy } from "../../compute/useStudy.ts";
import { set, textNow, usePage } from "../../state.ts";
import type { RatesAnswer, RatesRequest } from "../../worker/pulseRequests.ts";
import { FigureTools } from "../FigureTools.tsx";
import { PlotLayer } from "../PlotLayer.tsx";
import { Svg } from "../Svg.tsx";
import { useSize } from "../useSize.ts";
import { studyCommand, studyOrigin } from "./command.ts";
import { RateFigures } from "./RateFigures.tsx";
import { ShapeTable } from "./ShapeTable.tsx";
import { StudyProgress } from "./StudyProgress.tsx";

const WHAT = {
  rates: "Rates computed",
  "rate map": "Map computed",
  shapes: "Pulses tried",
} as const;

/** A scan of rates, a comparison of drives, or a map of gates against rates, that fills in coarse ones first and can be stopped. */
export function RateView({ kind, head }: { kind: RateKind; head: ReactNode }) {
  const place = useRef<HTMLDivElement>(null);
  const size = useSize(place);
  const text = usePage(textNow);
  const [view, setView] = useState<RatesRequest["view"]>(undefined);
  const [stopped, setStopped] = useState(false);
  const request =
    size === null ? null : { kind, size, stopped, ...(view === undefined ? {} : { view }) };
  const { value, text: of, stop } = useStudy<RatesAnswer>(kind, request);
  const verb = kind === "shapes" ? "shape" : "rates";
  const stale = of !== text;
  const whole = value !== null && value.done === value.total;
  useEffect(() => {
    if (value?.result != null)
      useRates.setState({ result: value.result, judged: value.judged, text: of, whole });
  }, [value, of, whole]);
  const figure = value?.figure ?? null;
  return (
    <>
      <figure className={`figure${stale ? " stale" : ""}`} data-figure={kind.replace(" ", "-")}>
        <div className="figure-head">
          {head}
          {value !== null && !whole && value.reason === null && (
            <StudyProgress
              done={value.done}
              total={value.total}
              running={!stopped}
              what={WHAT[kind]}
              onStop={() => {
                stop();
                setStopped(true);
              }}
              onGo={() => setStopped(false)}
            />
          )}
          {figure !== null && request !== null && (
            <FigureTools
              of={{ ...figure, csv: () => numbersOfRates(of, request) }}
              paper={() => ratesPaper(of, request, studyOrigin(verb))}
              whole={view === undefined ? null : () => setView(undefined)}
              command={studyCommand(verb, "--svg pictures")}
            />
          )}
        </div>
        <div className="figure-draw" ref={place}>
          {figure === null ? (
            <Waiting kind={kind} value={value} />
          ) : (
            <>
              <Svg text={figure.svg} label={figure.title} />
              {figure.plot !== undefined && (
                <PlotLayer plot={figure.plot} view={view} onView={setView} label={figure.title} />
              )}
            </>
          )}
        </div>
        <figcaption>
          {value?.reason != null && figure !== null ? `Not gone on: ${value.reason}. ` : ""}
          {figure?.sentence}
        </figcaption>
      </figure>
      {value?.drives != null && <ShapeTable drives={value.drives} />}
      {value?.result != null && <RateFigures result={value.result} whole={whole} />}
    </>
  );
}

/** What stands in place of a picture: that it is being computed, or why it is not. */
function Waiting({ kind, value }: { kind: RateKind; value: RatesAnswer | null }) {
  if (value?.reason != null)
    return (
      <div className="empty">
        <p>
          <b>{value.done > 0 ? "Not gone on" : "Not computed"}:</b> {value.reason}.
        </p>
        <button type="button" className="strong" onClick={() => set({ step: "pulse" })}>
          Mend the pulse
        </button>
      </div>
    );
  return (
    <p className="empty">
      {kind === "shapes" && value !== null
        ? "The picture is drawn when all drives are run; what they give so far stands below."
        : "The first ones are being computed."}
    </p>
  );
}
