import { useRef } from "react";
import { PARAMETERS } from "../../../design/parameters.ts";
import { parseQuantity } from "../../../units/index.ts";
import { dropPreview, previewValue, setValue } from "../../actions.ts";
import { pulseNow, usePulse } from "../../compute/pulse.ts";
import { useStudy } from "../../compute/useStudy.ts";
import { rewritten } from "../../document/values.ts";
import type { GateWindow } from "../../worker/pulseStudies.ts";
import { metSpans } from "./metSpans.ts";

const PATH = ["pulse", "gate"];
const PARAMETER = PARAMETERS.find(({ path }) => path === PATH.join("."));
/** Steps of the slider from end to end. */
const STEPS = 1000;

/**
 * A slider of the gate by equal ratios, before the gates with which everything asked of the pulse is met. The
 * pulse follows while it is dragged; letting go makes the change. By keyboard the text above it is stepped.
 */
export function GateTrack({ text }: { text: string }) {
  const range = usePulse((state) => pulseNow(state)?.gates ?? null);
  const present = usePulse((state) => pulseNow(state)?.result.drive.gate_s ?? null);
  const { value: window } = useStudy<GateWindow>("gates", { kind: "gates" });
  const dragged = useRef<string | null>(null);
  if (range === null || PARAMETER === undefined) return null;
  const [from, to] = range;
  const read = parseQuantity(text, "time");
  const gate = read.ok ? read.quantity.value : present;
  if (gate === null) return null;
  const share = (value: number) => Math.log(value / from) / Math.log(to / from);
  const spans = window === null ? [] : metSpans(window.tried);
  const words =
    spans.length > 0
      ? "gates with which everything asked of the pulse is met lie behind it"
      : "no gate tried meets everything asked of the pulse";
  const letGo = () => {
    const last = dragged.current;
    dragged.current = null;
    if (last === null) dropPreview();
    else setValue(PATH, last);
  };
  return (
    <div className="track" data-tried={window?.tried.length ?? 0}>
      <svg
        className="track-ground"
        viewBox="0 0 100 6"
        preserveAspectRatio="none"
        aria-hidden="true"
      >
        <rect className="track-line" x="0" y="2.4" width="100" height="1.2" />
        {spans.map(([a, b]) => (
          <rect
            key={a}
            className="track-window"
            x={100 * share(a)}
            y="0.5"
            width={Math.max(0.6, 100 * (share(b) - share(a)))}
            height="5"
          />
        ))}
      </svg>
      <input
        type="range"
        tabIndex={-1}
        aria-label={`gate length, ${words}`}
        min={0}
        max={STEPS}
        value={Math.round(Math.min(1, Math.max(0, share(gate))) * STEPS)}
        onChange={(event) => {
          const value = from * (to / from) ** (Number(event.target.value) / STEPS);
          const step = 10 ** (Math.floor(Math.log10(value)) - 2);
          dragged.current = rewritten(PARAMETER, text, value, step);
          previewValue(PATH, dragged.current);
        }}
        onPointerUp={letGo}
        onPointerCancel={() => {
          dragged.current = null;
          dropPreview();
        }}
        onKeyUp={letGo}
      />
    </div>
  );
}
