import { useEffect, useState } from "react";
import { download } from "../../actions.ts";
import type { NumbersOf } from "../../state.ts";

/** Rows shown at most; the CSV has them all. */
const SHOWN = 200;

/** The numbers behind a picture as a table, with its sentence. */
export function NumbersDialog({ of: { name, title, sentence, csv: ask } }: { of: NumbersOf }) {
  const [csv, setCsv] = useState<string | null | undefined>(undefined);
  useEffect(() => {
    let over = false;
    ask().then(
      (found) => over || setCsv(found),
      () => over || setCsv(null),
    );
    return () => {
      over = true;
    };
  }, [ask]);
  if (csv === undefined) return <p className="quiet-text">Being written.</p>;
  if (csv === null) return <p>This picture is not on the page.</p>;
  const lines = csv.split("\n").filter((line) => line !== "");
  const notes = lines.filter((line) => line.startsWith("#")).map((line) => line.slice(1).trim());
  const [names = [], units = [], ...rows] = lines
    .filter((line) => !line.startsWith("#"))
    .map((line) => cells(line));
  return (
    <>
      <p>{sentence}</p>
      <button type="button" onClick={() => download(`${name}.csv`, csv, "text/csv")}>
        CSV
      </button>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key */}
      <section className="table-scroll" tabIndex={0} aria-label={`Numbers: ${title}`}>
        <table>
          <caption>{title}</caption>
          <thead>
            <tr>
              {names.map((name, i) => (
                <th key={name} scope="col">
                  {name}
                  <span className="quiet-text">
                    {units[i] === "1" || units[i] === "-" ? "" : ` / ${units[i]}`}
                  </span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.slice(0, SHOWN).map((row) => (
              <tr key={row.join(",")}>
                {row.map((cell, i) => (
                  <td key={names[i] ?? i}>{short(cell)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {rows.length > SHOWN && (
        <p className="quiet-text">{`The first ${SHOWN} of ${rows.length} rows; the CSV has them all.`}</p>
      )}
      <p className="quiet-text">{notes.join(" · ")}</p>
    </>
  );
}

/** Cells of a line of our own CSV: quotes only where a cell holds a comma. */
function cells(line: string): string[] {
  return [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)]
    .map((match) => match[1] as string)
    .slice(0, line.endsWith(",") ? undefined : -1)
    .map((cell) => (cell.startsWith('"') ? cell.slice(1, -1).replaceAll('""', '"') : cell));
}

function short(cell: string): string {
  const value = Number(cell);
  return cell === "" || Number.isNaN(value) ? cell : String(Number(value.toPrecision(6)));
}
