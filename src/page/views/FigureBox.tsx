import { type ReactNode, useCallback, useRef, useState } from "react";
import { download } from "../actions.ts";
import { pictureOnPaper } from "../compute/engine.ts";
import { set, tell, usePage } from "../state.ts";
import type { FigureId, FigureRequest } from "../worker/requests.ts";
import { commandOf, originOf } from "./command.ts";
import { PlotLayer } from "./PlotLayer.tsx";
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
  const onReady = useCallback((root: SVGSVGElement) => makeParts(root, onPart), [onPart]);

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
            <Svg text={figure.svg} label={figure.title} onReady={onReady} />
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

/** Parts of a drawing that lead to their inputs can be reached by keyboard too. */
function makeParts(root: SVGSVGElement, onPart: ((part: string) => void) | undefined): void {
  if (onPart === undefined) {
    root.setAttribute("role", "img");
    return;
  }
  root.setAttribute("role", "group");
  const parts = [...root.querySelectorAll<SVGGElement>("[data-part]")];
  for (const part of parts) {
    part.classList.add("part");
    part.addEventListener("click", (event) => {
      event.stopPropagation();
      onPart(part.dataset.part as string);
    });
  }
  for (const part of reachable(parts)) {
    const name = part.dataset.part as string;
    part.setAttribute("tabindex", "0");
    part.setAttribute("role", "button");
    // A part with words of its own is called by them.
    if (part.querySelector("text") === null)
      part.setAttribute("aria-label", name.replaceAll("-", " "));
    part.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      onPart(name);
    });
  }
}

/** One group of each name for the keyboard, none inside another: the one with words, else the first. */
function reachable(parts: readonly SVGGElement[]): SVGGElement[] {
  const chosen = new Map<string, SVGGElement>();
  for (const part of parts) {
    if (part.parentElement?.closest("[data-part]") != null) continue;
    const name = part.dataset.part as string;
    const before = chosen.get(name);
    const better = before?.querySelector("text") === null && part.querySelector("text") !== null;
    if (before === undefined || better) chosen.set(name, part);
  }
  return [...chosen.values()];
}
