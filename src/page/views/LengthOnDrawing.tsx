import { usePage } from "../state.ts";
import { LengthHandle } from "./LengthHandle.tsx";
import { pxOf } from "./plotPlace.ts";

/** The handle at the end of the free length, on the drawing of the valve seen `near` times larger. */
export function LengthOnDrawing({ near }: { near: number }) {
  const plot = usePage((state) => state.answer?.figures["side-view"]?.plot);
  const facts = usePage((state) => state.answer?.facts);
  if (plot === undefined || facts === undefined) return null;
  const [a, b] = [pxOf(plot.x, 0), pxOf(plot.x, facts.freeLength_m)];
  const y = pxOf(plot.y, 0);
  const perPx = b === a ? 0 : facts.freeLength_m / (b - a) / near;
  return (
    <LengthHandle
      className="length-grip"
      style={{ left: b, top: y }}
      metrePerPx={perPx}
      limits={[facts.freeLength_m * 0.3, facts.freeLength_m * 3]}
      label="Free length, on the drawing"
    />
  );
}
