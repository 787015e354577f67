import type { DrawingZoom } from "./useZoom.ts";

/** Looks at the drawing from nearer by buttons. */
export function ZoomButtons({ near, seat }: { near: DrawingZoom; seat: boolean }) {
  const { zoom, whole, by, toPart } = near;
  return (
    <fieldset className="zoom-buttons">
      <legend className="spoken">How near the drawing is</legend>
      <button type="button" onClick={whole} disabled={zoom.k === 1}>
        Whole
      </button>
      {seat && (
        <button type="button" onClick={() => toPart("pad")}>
          Seat
        </button>
      )}
      <button type="button" onClick={() => by(1.5)}>
        Nearer
      </button>
      <button type="button" onClick={() => by(1 / 1.5)} disabled={zoom.k === 1}>
        Farther
      </button>
    </fieldset>
  );
}
