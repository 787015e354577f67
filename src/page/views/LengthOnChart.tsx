import { usePage } from "../state.ts";
import { LengthHandle } from "./LengthHandle.tsx";
import { pxOf, valueAtPx } from "./plotPlace.ts";

/** The handle at the present length on the window chart. */
export function LengthOnChart() {
  const plot = usePage((state) => state.answer?.figures.window?.plot);
  const length = usePage((state) => state.answer?.facts.freeLength_m);
  if (plot === undefined || length === undefined) return null;
  const [left, right] = [Math.min(...plot.x.range), Math.max(...plot.x.range)];
  const x = pxOf(plot.x, length);
  if (x < left - 1 || x > right + 1) return null;
  const [top, bottom] = [Math.min(...plot.y.range), Math.max(...plot.y.range)];
  const perPx = valueAtPx(plot.x, left + 1) - valueAtPx(plot.x, left);
  return (
    <LengthHandle
      className="length-line"
      style={{ left: x, top, height: bottom - top }}
      metrePerPx={perPx}
      limits={[plot.x.from, plot.x.to]}
      label="Free length, on the window chart"
    />
  );
}
