import { comparisonPaper } from "../../compute/bench.ts";
import type { BesideLine } from "../../worker/benchRequests.ts";
import { FigureTools } from "../FigureTools.tsx";
import { benchCommand } from "./command.ts";
import { Wide } from "./Wide.tsx";

/** Each value beside what the design and the catalogue say of it, with En, and what a mismatch usually means. */
export function Beside({ lines }: { lines: readonly BesideLine[] }) {
  const words = lines.filter(({ agrees }) => agrees !== true);
  return (
    <section className="bench-beside" aria-label="Against what was expected">
      <div className="figure-head">
        <h3>Against what was expected</h3>
        <FigureTools
          of={{
            name: "comparison",
            title: "Measured beside expected",
            sentence: lines.map(sentenceOf).join("; "),
            csv: async () => (await comparisonPaper())?.csv ?? null,
          }}
          paper={comparisonPaper}
          whole={null}
          command={benchCommand("--svg pictures")}
        />
      </div>
      <Wide label="Measured values beside predictions">
        <table className="plain-table">
          <caption className="spoken">Measured values beside predictions</caption>
          <thead>
            <tr>
              <th scope="col">value</th>
              <th scope="col">measured</th>
              <th scope="col">expected</th>
              <th scope="col">difference</th>
              <th scope="col">
                E<sub>n</sub>
              </th>
              <th scope="col" className="en-column">
                <span className="spoken">picture of En</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <tr
                key={`${line.key} ${line.of} ${line.from}`}
                className={line.agrees === false ? "differs" : ""}
              >
                <th scope="row">
                  {line.agrees === false && <span aria-hidden="true">× </span>}
                  {line.name}
                </th>
                <td>{line.measured}</td>
                <td title={line.from}>
                  {line.predicted}
                  <span className="of">{line.of}</span>
                </td>
                <td>{line.difference}</td>
                <td>{line.en ?? "not judged"}</td>
                <td className="en-column">{line.en !== null && <EnBar en={line.en} />}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      {words.length > 0 && (
        <ul className="bench-says">
          {words.map((line) => (
            <li
              key={`${line.key} ${line.of} ${line.from}`}
              className={line.agrees === false ? "differs" : ""}
            >
              <b>{line.name}</b> {line.says}.
            </li>
          ))}
        </ul>
      )}
      <details className="more">
        <summary>Where the expected values come from</summary>
        <ul>
          {lines.map((line) => (
            <li key={`${line.key} ${line.of} ${line.from}`}>
              {line.name}, {line.of}: {line.from}.
            </li>
          ))}
        </ul>
        <p className="quiet-text">
          E<sub>n</sub> is the difference over the expanded uncertainty (k = 2) of both sides;
          within ±1 they agree.
        </p>
      </details>
    </section>
  );
}

const sentenceOf = ({ name, of, measured, predicted, en }: BesideLine) =>
  `${name} ${measured}, by the ${of} ${predicted}${en === null ? "" : `, En ${en}`}`;

/** Ends of the picture, in En. */
const REACH = 3;

/** En on a line from −3 to 3 with the band in which both agree. */
function EnBar({ en }: { en: string }) {
  const value = Number(en.replace("−", "-"));
  const beyond = Math.abs(value) > REACH;
  const x = 50 + (50 / REACH) * Math.max(-REACH, Math.min(REACH, value)) * 0.94;
  const inside = Math.abs(value) <= 1;
  return (
    <svg className="en-bar" viewBox="0 0 100 14" aria-hidden="true">
      <rect x={50 - 47 / REACH} y="2" width={(2 * 47) / REACH} height="10" className="en-band" />
      <line x1="2" x2="98" y1="7" y2="7" className="en-line" />
      <line x1="50" x2="50" y1="3" y2="11" className="en-line" />
      {beyond ? (
        <path d={value > 0 ? "M92 2 L99 7 L92 12 Z" : "M8 2 L1 7 L8 12 Z"} className="en-dot off" />
      ) : (
        <circle cx={x} cy="7" r="3.6" className={inside ? "en-dot" : "en-dot off"} />
      )}
    </svg>
  );
}
