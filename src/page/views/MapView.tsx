import { type ReactNode, useRef } from "react";
import type { MapKind } from "../../studies/maps.ts";
import { download } from "../actions.ts";
import { useStudy } from "../compute/useStudy.ts";
import { set, textNow, usePage } from "../state.ts";
import type { MapAnswer } from "../worker/requests.ts";
import { Svg } from "./Svg.tsx";
import { useSize } from "./useSize.ts";

/** A map over two inputs that fills in coarse cells first; it can be stopped at any time. */
export function MapView({ map, head, empty }: { map: MapKind; head: ReactNode; empty: string }) {
  const place = useRef<HTMLDivElement>(null);
  const size = useSize(place);
  const text = usePage(textNow);
  const step = usePage((state) => state.step);
  const study = useStudy<MapAnswer>(
    `map ${map}`,
    size === null ? null : { kind: "map", map, columns: 41, rows: 31, size },
  );
  const { value, done, since } = study;
  const stale = study.text !== text;
  return (
    <figure className={`figure${stale ? " stale" : ""}`} data-figure={`map-${map}`}>
      <div className="figure-head">
        {head}
        {value !== null && !done && <Progress value={value} since={since} onStop={study.stop} />}
        {value !== null && (
          <div className="figure-tools">
            <button
              type="button"
              onClick={() => download(`${value.figure.name}.csv`, value.figure.csv, "text/csv")}
            >
              CSV
            </button>
            <button type="button" onClick={() => set({ dialog: { kind: "theory", step } })}>
              How computed
            </button>
          </div>
        )}
      </div>
      <div className="figure-draw" ref={place}>
        {value !== null ? (
          <Svg text={value.figure.svg} label={value.figure.title} />
        ) : (
          <p className="empty">{done ? empty : "The first cells are being computed."}</p>
        )}
      </div>
      <figcaption>{value?.figure.sentence}</figcaption>
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
