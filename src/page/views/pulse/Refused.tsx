import { set } from "../../state.ts";
import type { PulseRefused } from "../../worker/pulseRequests.ts";

const MENDS = {
  wiring: "Mend the wiring",
  drive: "Add the switch",
  pulse: "Change the pulse",
} as const;

/** Why there is no pulse, and where that is mended. */
export function Refused({ refused: { reason, mend } }: { refused: PulseRefused }) {
  return (
    <div className="empty">
      <p>
        <b>There is no pulse to compute:</b> {reason}.
      </p>
      {mend !== null && (
        <button
          type="button"
          className="strong"
          onClick={() => set({ step: mend.step, focus: mend.focus })}
        >
          {MENDS[mend.step]}
        </button>
      )}
    </div>
  );
}
