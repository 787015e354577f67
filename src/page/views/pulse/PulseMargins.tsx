import { kindOfUnit, printQuantity } from "../../../report/figureUnits.ts";
import { percentText } from "../../../report/text/marginTable.ts";
import type { MarginRow } from "../../../sheet/result.ts";
import { formatQuantity } from "../../../units/index.ts";
import { pulseNow, usePulse } from "../../compute/pulse.ts";
import { useRates } from "../../compute/rates.ts";
import { set, textNow, usePage } from "../../state.ts";
import { Bar } from "../Margins.tsx";
import { mendsOf } from "./mends.ts";

/** What is asked of the pulse, in the manner of the margins; a row leads to what can mend it. */
export function PulseMargins() {
  const rows = usePulse((state) => pulseNow(state)?.result.margins ?? null);
  return <Rows title="In the pulse" rows={rows} />;
}

/** What is asked of a train at the wanted rate, or at the highest one that keeps everything. */
export function RateMargins() {
  const text = usePage(textNow);
  const result = useRates((state) => (state.text === text ? state.result : null));
  const rate = useRates((state) => state.judged);
  const at = rate === null ? "" : ` at ${formatQuantity(rate, 0, "frequency", { digits: 4 })}`;
  return <Rows title={`In the train${at}`} rows={result?.margins ?? null} />;
}

function Rows({ title, rows }: { title: string; rows: readonly MarginRow[] | null }) {
  const dragging = usePage((state) => state.preview !== null);
  if (rows === null || rows.length === 0) return null;
  const unmet = rows.filter((row) => !row.met).length;
  // While something is dragged the rows keep their places.
  const shown = dragging ? [...rows].sort((a, b) => (a.id < b.id ? -1 : 1)) : rows;
  return (
    <div className="pulse-margins">
      <h2>
        {title}
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
