import { type ReactNode, useRef, useState } from "react";
import type { MapKind } from "../../studies/maps.ts";
import { numbersOfMap } from "../compute/engine.ts";
import { useStudy } from "../compute/useStudy.ts";
import { textNow, usePage } from "../state.ts";
import type { MapAnswer, MapRequest } from "../worker/requests.ts";
import { FigureTools } from "./FigureTools.tsx";
import { PlotLayer } from "./PlotLayer.tsx";
import { Svg } from "./Svg.tsx";
import { useMapPart } from "./useMapPart.ts";
import { useSize } from "./useSize.ts";

/** A map over two inputs that fills in coarse cells first; it can be stopped at any time. */
export function MapView({ map, head, empty }: { map: MapKind; head: ReactNode; empty: string }) {
  const place = useRef<HTMLDivElement>(null);
  const size = useSize(place);
  const text = usePage(textNow);
  const [view, setView] = useState<MapRequest["view"]>(undefined);
  const whole: MapRequest | null =
    size === null ? null : { kind: "map", map, columns: 41, rows: 31, size };
  const study = useStudy<MapAnswer>(`map ${map}`, whole);
  const { value, done, since } = study;
  const part = useMapPart(
    study.text,
    whole === null || view === undefined ? null : { ...whole, view },
    value,
  );
  const shown = (view === undefined ? value : part) ?? value;
  const stale = study.text !== text;
  const csv = async () =>
    whole === null || study.text === null ? null : numbersOfMap(study.text, whole);
  return (
    <figure className={`figure${stale ? " stale" : ""}`} data-figure={`map-${map}`}>
      <div className="figure-head">
        {head}
        {value !== null && !done && <Progress value={value} since={since} onStop={study.stop} />}
        {shown !== null && (
          <FigureTools
            of={{ ...shown.figure, csv }}
            whole={view === undefined ? null : () => setView(undefined)}
          />
        )}
      </div>
      <div className="figure-draw" ref={place}>
        {shown === null ? (
          <p className="empty">{done ? empty : "The first cells are being computed."}</p>
        ) : (
          <>
            <Svg text={shown.figure.svg} label={shown.figure.title} />
            {shown.figure.plot !== undefined && (
              <PlotLayer
                plot={shown.figure.plot}
                view={view}
                onView={setView}
                label={shown.figure.title}
              />
            )}
          </>
        )}
      </div>
      <figcaption>{shown?.figure.sentence}</figcaption>
    </figure>
  );
}

function Progress({
  value,
  since,
  onStop,
}: {
  value: MapAnswer;
  since: number;
  onStop: () => void;
}) {
  const share = value.done / value.total;
  const left = ((performance.now() - since) / 1000) * (1 / Math.max(share, 0.01) - 1);
  return (
    <p className="progress">
      <progress value={share} aria-label="Map computed" /> {Math.round(100 * share)} %, about{" "}
      {Math.max(1, Math.round(left))} s left{" "}
      <button type="button" onClick={onStop}>
        Stop
      </button>
    </p>
  );
}
