import { type ReactNode, useCallback, useRef, useState } from "react";
import { download } from "../actions.ts";
import { pictureOnPaper } from "../compute/engine.ts";
import { set, tell, usePage } from "../state.ts";
import type { FigureId, FigureRequest } from "../worker/requests.ts";
import { commandOf, originOf } from "./command.ts";
import { PlotLayer } from "./PlotLayer.tsx";
import { markParts, pressed } from "./pressParts.ts";
import { Svg } from "./Svg.tsx";
import { useFigure } from "./useFigure.ts";
import { useSize } from "./useSize.ts";

type View = FigureRequest["view"];

/** A picture of the sheet with its readout, its zoom, its numbers and its words. */
export function FigureBox({
  id,
  head,
  empty,
  children,
  onPart,
}: {
  id: FigureId;
  /** Choices that stand over the picture. */
  head?: ReactNode;
  /** What to do where the design has no such picture. */
  empty: string;
  /** What lies over the drawing, such as a handle. */
  children?: ReactNode;
  onPart?: (part: string) => void;
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
        <FigureTools id={id} zoomed={view !== undefined} onWhole={() => setView(undefined)} />
      </div>
      <div className="figure-draw" ref={place}>
        {figure === undefined ? (
          drawn && <p className="empty">{empty}</p>
        ) : (
          <>
            <Svg text={figure.svg} label={figure.title} onDrawn={onDrawn} press={press} />
            {figure.plot !== undefined && id !== "side-view" && (
              <PlotLayer plot={figure.plot} view={view} onView={setView} label={figure.title} />
            )}
            {children}
          </>
        )}
      </div>
      <figcaption>{figure?.sentence}</figcaption>
    </figure>
  );
}

function FigureTools({
  id,
  zoomed,
  onWhole,
}: {
  id: FigureId;
  zoomed: boolean;
  onWhole: () => void;
}) {
  const figure = usePage((state) => state.answer?.figures[id]);
  const step = usePage((state) => state.step);
  if (figure === undefined) return null;
  const svg = async () => {
    const paper = await pictureOnPaper(id, originOf());
    if (paper != null) download(`${paper.name}.svg`, paper.svg, "image/svg+xml");
  };
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(commandOf("--svg pictures"));
      tell("told", `Copied: ${commandOf("--svg pictures")}`);
    } catch {
      tell("told", commandOf("--svg pictures"));
    }
  };
  return (
    <div className="figure-tools">
      {zoomed && (
        <button type="button" onClick={onWhole}>
          Whole view
        </button>
      )}
      <button type="button" onClick={() => set({ dialog: { kind: "numbers", figure: id } })}>
        Numbers
      </button>
      <button type="button" onClick={() => download(`${figure.name}.csv`, figure.csv, "text/csv")}>
        CSV
      </button>
      <button type="button" onClick={() => void svg()}>
        SVG
      </button>
      <button type="button" onClick={() => void copy()}>
        Command
      </button>
      <button type="button" onClick={() => set({ dialog: { kind: "theory", step } })}>
        How computed
      </button>
    </div>
  );
}
