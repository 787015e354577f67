import { kindOfUnit, printQuantity } from "../../../report/figureUnits.ts";
import { percentText } from "../../../report/text/marginTable.ts";
import type { MarginRow } from "../../../sheet/result.ts";
import { pulseNow, usePulse } from "../../compute/pulse.ts";
import { set, usePage } from "../../state.ts";
import { Bar } from "../Margins.tsx";
import { mendsOf } from "./mends.ts";

/** What is asked of the pulse, in the manner of the margins; a row leads to what can mend it. */
export function PulseMargins() {
  const rows = usePulse((state) => pulseNow(state)?.result.margins ?? null);
  const dragging = usePage((state) => state.preview !== null);
  if (rows === null || rows.length === 0) return null;
  const unmet = rows.filter((row) => !row.met).length;
  // While something is dragged the rows keep their places.
  const shown = dragging ? [...rows].sort((a, b) => (a.id < b.id ? -1 : 1)) : rows;
  return (
    <div className="pulse-margins">
      <h2>
        In the pulse
        <span className="quiet-text">
          {unmet === 0 ? `all ${rows.length} met` : `${unmet} of ${rows.length} not met`}
        </span>
      </h2>
      <ol>
        {shown.map((row) => (
          <Row key={row.id} row={row} />
        ))}
      </ol>
    </div>
  );
}

function Row({ row }: { row: MarginRow }) {
  const kind = kindOfUnit(row.unit, `${row.id} ${row.requirement}`);
  const print = (x: number) => printQuantity(x, null, kind, row.unit, {});
  return (
    <li className={row.met ? "margin" : "margin unmet"}>
      <button type="button" onClick={() => set(mendsOf(row.id))}>
        <span className="margin-name">
          {row.met ? null : <b className="cross">× </b>}
          {row.requirement}
        </span>
        <span className="margin-left">{percentText(row.margin)}</span>
        <span className="margin-value">
          {row.value === null ? "not known" : print(row.value)}{" "}
          <span className="limit">
            {row.sense === "at least" ? "≥" : "≤"} {print(row.limit)}
          </span>
        </span>
        <Bar row={row} />
        {row.note !== undefined && <span className="margin-note">{row.note}</span>}
      </button>
    </li>
  );
}
