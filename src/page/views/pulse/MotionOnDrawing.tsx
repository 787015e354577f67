import { useEffect, useLayoutEffect, useRef } from "react";
import { pulseNow, usePulse } from "../../compute/pulse.ts";
import { usePage } from "../../state.ts";
import { pxOf } from "../plotPlace.ts";
import { clockTime, useClock } from "./clock.ts";
import { shapeAt } from "./motionShape.ts";
import { moveDrawing, putBack } from "./moveDrawing.ts";
import { valueAt } from "./traceValues.ts";

/** Puts the drawing of the valve where the computed pulse has it at the time of the ruler. */
export function MotionOnDrawing() {
  const here = useRef<HTMLSpanElement>(null);
  const given = usePulse(pulseNow);
  const figure = usePage((state) => state.answer?.figures["side-view"]);
  const solid = usePage((state) => state.shape);
  const plot = figure?.plot;
  const svg = figure?.svg;
  const show = useRef(() => {});
  useLayoutEffect(() => {
    void svg;
    show.current = () => {
      const root = here.current?.closest(".figure-draw")?.querySelector<SVGSVGElement>("svg");
      if (root == null || plot === undefined || given === null) return;
      const time = clockTime();
      const { motion, step, panels } = given;
      const moving = panels.find(({ id }) => id === "lift" || id === "travel")?.curves[0];
      const scale = {
        x0: pxOf(plot.x, 0),
        perLength: pxOf(plot.x, 1) - pxOf(plot.x, 0),
        perDeflection: pxOf(plot.y, 0) - pxOf(plot.y, 1),
      };
      const lift = moving === undefined ? 0 : valueAt(moving.values, step, time);
      moveDrawing(root, motion, scale, solid, shapeAt(motion, time / step), lift);
    };
    show.current();
  }, [plot, svg, given, solid]);
  useEffect(() => {
    const stop = useClock.subscribe(() => show.current());
    return () => {
      stop();
      putBack();
    };
  }, []);
  return <span ref={here} hidden />;
}
