import { type ReactNode, useCallback, useRef, useState } from "react";
import { numbersOf, pictureOnPaper } from "../compute/engine.ts";
import { usePage } from "../state.ts";
import type { FigureId, FigureRequest } from "../worker/requests.ts";
import { originOf } from "./command.ts";
import { FigureTools } from "./FigureTools.tsx";
import { PlotLayer } from "./PlotLayer.tsx";
import { markParts, pressed } from "./pressParts.ts";
import { Svg } from "./Svg.tsx";
import { useFigure } from "./useFigure.ts";
import { useSize } from "./useSize.ts";
import type { DrawingZoom } from "./useZoom.ts";

type View = FigureRequest["view"];

/** A picture of the sheet with its readout, its zoom, its numbers and its words. */
export function FigureBox({
  id,
  head,
  empty,
  children,
  onPart,
  near,
}: {
  id: FigureId;
  /** Choices that stand over the picture. */
  head?: ReactNode;
  /** What to do where the design has no such picture. */
  empty: string;
  /** What lies over the drawing, such as a handle. */
  children?: ReactNode;
  onPart?: (part: string) => void;
  /** Where the drawing can be looked at from nearer. */
  near?: DrawingZoom;
}) {
  const place = useRef<HTMLDivElement>(null);
  const size = useSize(place);
  const [view, setView] = useState<View>(undefined);
  const figure = useFigure(id, size, view);
  const drawn = usePage((state) => state.answer !== null);
  const leads = onPart !== undefined;
  const onDrawn = useCallback((root: SVGSVGElement) => markParts(root, leads), [leads]);
  const press = pressed(onPart);

  return (
    <figure className="figure" data-figure={id}>
      <div className="figure-head">
        {head}
        {figure !== undefined && (
          <FigureTools
            of={{ ...figure, csv: () => numbersOf(id) }}
            paper={() => pictureOnPaper(id, originOf())}
            whole={view === undefined ? null : () => setView(undefined)}
          />
        )}
      </div>
      <div className="figure-draw" ref={place} {...near?.handlers}>
        {figure === undefined ? (
          drawn && <p className="empty">{empty}</p>
        ) : (
          <div className="figure-frame" ref={near?.frame} style={near?.style}>
            <Svg text={figure.svg} label={figure.title} onDrawn={onDrawn} press={press} />
            {figure.plot !== undefined && id !== "side-view" && (
              <PlotLayer plot={figure.plot} view={view} onView={setView} label={figure.title} />
            )}
            {children}
          </div>
        )}
      </div>
      <figcaption>{figure?.sentence}</figcaption>
    </figure>
  );
}
