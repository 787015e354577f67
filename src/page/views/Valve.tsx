import { useCallback } from "react";
import { set, usePage } from "../state.ts";
import { FigureBox } from "./FigureBox.tsx";
import { LengthOnDrawing } from "./LengthOnDrawing.tsx";
import { placeOfPart } from "./parts.ts";
import { MotionBar } from "./pulse/MotionBar.tsx";
import { MotionOnDrawing } from "./pulse/MotionOnDrawing.tsx";
import { useZoom } from "./useZoom.ts";
import { ZoomButtons } from "./ZoomButtons.tsx";

/** The valve itself, to scale, across the page. */
export function Valve() {
  const shape = usePage((state) => state.shape);
  const name = usePage((state) => state.answer?.facts.name ?? "");
  const hasSeat = usePage((state) => state.answer?.facts.hasSeat ?? true);
  const moves = usePage((state) => state.step === "pulse");
  const near = useZoom();
  const onPart = useCallback((part: string) => {
    const place = placeOfPart(part);
    if (place !== null) set(place);
  }, []);
  return (
    <section className="valve" aria-label="The valve to scale">
      <FigureBox
        id="side-view"
        onPart={onPart}
        near={near}
        empty="Nothing to draw yet."
        head={
          <>
            <h2>{name}</h2>
            <fieldset className="choice">
              <legend className="spoken">State drawn solid</legend>
              {(["closed", "open"] as const).map((state) => (
                <label key={state}>
                  <input
                    type="radio"
                    name="shape"
                    checked={shape === state}
                    onChange={() => set({ shape: state })}
                  />
                  <span>{hasSeat ? state : state === "closed" ? "down" : "up"}</span>
                </label>
              ))}
            </fieldset>
            <ZoomButtons near={near} seat={hasSeat} />
          </>
        }
      >
        <LengthOnDrawing near={near.zoom.k} />
        {moves && <MotionOnDrawing />}
      </FigureBox>
      {moves && <MotionBar />}
    </section>
  );
}
