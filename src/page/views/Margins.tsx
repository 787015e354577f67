import { memo, useRef } from "react";
import { kindOfUnit, printQuantity } from "../../report/figureUnits.ts";
import { percentText, usedTravel } from "../../report/text/marginTable.ts";
import type { MarginRow } from "../../sheet/result.ts";
import { set, sheetNow, usePage } from "../state.ts";
import { PulseMargins, RateMargins } from "./pulse/PulseMargins.tsx";
import { stepOfRow } from "./StepList.tsx";

/** The margins, always in sight: one row a requirement, tightest first. */
export function Margins() {
  const sheet = usePage(sheetNow);
  const dragging = usePage((state) => state.preview !== null);
  const stale = usePage((state) => state.problems.length > 0 || state.stopped !== null);
  const touched = usePage((state) => state.margin);
  const step = usePage((state) => state.step);
  const order = useRef<string[]>([]);
  const rows = sheet?.margins ?? [];
  // While something is dragged the rows keep their places: nothing jumps under the eye.
  const shown = dragging ? inOrder(rows, order.current) : rows;
  if (!dragging) order.current = rows.map(({ id }) => id);
  const unmet = rows.filter((row) => !row.met).length;
  return (
    <section className={`margins${stale ? " stale" : ""}`} aria-label="Margins">
      {step === "pulse" && <PulseMargins />}
      {step === "rate" && <RateMargins />}
      <h2>
        Margins
        <span className="quiet-text">
          {rows.length === 0
            ? ""
            : unmet === 0
              ? `all ${rows.length} met`
              : `${unmet} of ${rows.length} not met`}
        </span>
      </h2>
      {stale && <p className="stale-words">From before the problem in the file.</p>}
      {rows.length === 0 && sheet !== null && (
        <p className="empty">Nothing is asked for yet. Say at Need what the experiment needs.</p>
      )}
      <ol>
        {shown.map((row) => (
          <Row key={row.id} row={row} touched={row.id === touched} />
        ))}
      </ol>
    </section>
  );
}

function inOrder(rows: readonly MarginRow[], order: readonly string[]): MarginRow[] {
  const place = new Map(order.map((id, i) => [id, i]));
  return [...rows].sort((a, b) => (place.get(a.id) ?? 99) - (place.get(b.id) ?? 99));
}

interface RowProps {
  row: MarginRow;
  touched: boolean;
}

/** A row whose numbers are those before is not written again. */
const sameRow = (a: RowProps, b: RowProps): boolean =>
  a.touched === b.touched &&
  a.row.id === b.row.id &&
  a.row.value === b.row.value &&
  a.row.u_value === b.row.u_value &&
  a.row.limit === b.row.limit &&
  a.row.note === b.row.note;

const Row = memo(function Row({ row, touched }: RowProps) {
  const kind = kindOfUnit(row.unit, `${row.id} ${row.requirement}`);
  const print = (x: number, u?: number) => printQuantity(x, u, kind, row.unit, {});
  const touch = () => {
    if (touched) set({ margin: null });
    else
      set((state) => {
        const acts = row.acts ?? state.full?.result.margins.find((m) => m.id === row.id)?.acts;
        return { margin: row.id, step: stepOfRow(row.id, acts) };
      });
  };
  const value = row.value === null ? "not known" : print(row.value, row.u_value);
  return (
    <li className={row.met ? "margin" : "margin unmet"}>
      <button type="button" aria-pressed={touched} onClick={touch}>
        <span className="margin-name">
          {row.met ? null : <b className="cross">× </b>}
          {row.requirement}
        </span>
        <span className="margin-left">{percentText(row.margin)}</span>
        <span className="margin-value">
          {value}{" "}
          <span className="limit">
            {row.sense === "at least" ? "≥" : "≤"} {print(row.limit)}
          </span>
        </span>
        <Bar row={row} />
        {touched && row.note !== undefined && <span className="margin-note">{row.note}</span>}
      </button>
    </li>
  );
}, sameRow);

/** Bar whose end of travel is the limit; a requirement that is not met runs hatched beyond it. */
export function Bar({ row }: { row: MarginRow }) {
  const used = usedTravel(row);
  const share = used === null ? 0 : Math.min(1, Math.max(0, used));
  const over = used === null || row.met ? 0 : Math.min(1, used - 1);
  return (
    <svg className="bar" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
      <rect className="bar-track" x="0" y="2.5" width="86" height="3" />
      {row.met ? (
        <rect className="bar-used" x="0" y="2" width={86 * share} height="4" />
      ) : (
        <>
          <rect className="bar-over" x="0" y="1" width="86" height="6" />
          <rect className="bar-over" x="86" y="1" width={Math.max(3, 14 * over)} height="6" />
        </>
      )}
      <rect className="bar-limit" x="85.4" y="0" width="1.2" height="8" />
    </svg>
  );
}
