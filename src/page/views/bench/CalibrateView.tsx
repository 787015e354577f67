import { download } from "../../actions.ts";
import {
  calibrateNow,
  openRevision,
  useCalibrate,
  writeRevision,
} from "../../compute/benchCalibrate.ts";
import { textNow, usePage } from "../../state.ts";
import type { CalibrateGiven } from "../../worker/benchRequests.ts";
import { CalibrateFigure } from "./CalibrateFigure.tsx";
import { Collected } from "./Collected.tsx";
import { Refusals } from "./Refusals.tsx";
import { Verdict } from "./Verdict.tsx";
import { Wide } from "./Wide.tsx";

/** The design corrected by what was measured in this session, and written as a new file. */
export function CalibrateView() {
  const { collected, running, answer, text } = useCalibrate();
  const now = usePage(textNow);
  const used = collected.filter((each) => each.used).length;
  return (
    <div className="bench-view" data-figure="bench-calibrate" aria-busy={running}>
      <h2>Measured values that the design is corrected by</h2>
      <Collected empty="None yet. At Values, keep the values of a measurement for a calibration; several together tell more." />
      <p>
        <button
          type="button"
          className="strong"
          disabled={used === 0 || running}
          onClick={() => void calibrateNow()}
        >
          {running ? "Being computed" : "Calibrate the design"}
        </button>
      </p>
      {answer !== null && text !== now && (
        <p className="quiet-text">The design was changed since: calibrate again.</p>
      )}
      {answer?.ok === false && <Refusals title="Not calibrated" refusals={answer.refusals} />}
      {answer?.ok === true && <Found given={answer} />}
    </div>
  );
}

const en = (value: number | null) => (value === null ? "–" : value.toFixed(2).replace("-", "−"));
const off = (value: number | null) => value !== null && Math.abs(value) > 1;

function Found({ given }: { given: CalibrateGiven }) {
  return (
    <>
      <Verdict text={given.verdict} bad={!given.converged || !given.agrees} />
      <p className="quiet-text">{given.ended}</p>
      <Revision given={given} />
      <h3>Measured against predicted</h3>
      <CalibrateFigure values={given.values} />
      <Wide label="Measured against predicted">
        <table className="plain-table bench-pairs">
          <caption className="spoken">Measured values beside the design, before and after</caption>
          <thead>
            <tr>
              <th scope="col">value</th>
              <th scope="col">measured</th>
              <th scope="col">
                as designed, E<sub>n</sub>
              </th>
              <th scope="col">
                calibrated, E<sub>n</sub>
              </th>
            </tr>
          </thead>
          <tbody>
            {given.values.map((value) => (
              <tr
                key={`${value.name} ${value.from}`}
                className={off(value.enAfter) ? "differs" : ""}
              >
                <th scope="row" title={value.from}>
                  {off(value.enAfter) && <span aria-hidden="true">× </span>}
                  {value.name}
                </th>
                <td>{value.measured}</td>
                <td>
                  {value.before} <span className="of">{en(value.enBefore)}</span>
                </td>
                <td>
                  {value.after} <span className="of">{en(value.enAfter)}</span>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      <h3>What the values tell</h3>
      <Wide label="What the values tell">
        <table className="plain-table bench-pairs">
          <caption className="spoken">Numbers of the design, before and after</caption>
          <thead>
            <tr>
              <th scope="col">number</th>
              <th scope="col">known before</th>
              <th scope="col">calibrated</th>
              <th scope="col">moved, u left</th>
            </tr>
          </thead>
          <tbody>
            {given.parameters.map((p) => (
              <tr key={p.name}>
                <th scope="row" title={p.why}>
                  {p.name}
                </th>
                <td>
                  {p.before} <span className="of">from {p.prior}</span>
                </td>
                <td className="bench-number">{p.after}</td>
                <td>
                  {p.moved} <span className="of">{p.left}</span>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      {given.held.length > 0 && (
        <p className="quiet-text">
          Held, for the values tell nothing of them; their uncertainty counts:{" "}
          {given.held.join("; ")}.
        </p>
      )}
      {given.correlations.length > 0 && (
        <p className="quiet-text">Known only together: {given.correlations.join("; ")}.</p>
      )}
      {given.causes.length > 0 && <Causes given={given} />}
      {given.notes.length > 0 && (
        <ul className="bench-notes">
          {given.notes.map((note) => (
            <li key={note}>{note}</li>
          ))}
        </ul>
      )}
    </>
  );
}

/** One cause alone that would explain the values, and what is not to blame. */
function Causes({ given: { causes, blameless } }: { given: CalibrateGiven }) {
  return (
    <>
      <h3>What would explain the values alone</h3>
      <Wide label="What would explain the values alone">
        <table className="plain-table bench-pairs">
          <caption className="spoken">Single causes</caption>
          <thead>
            <tr>
              <th scope="col">cause</th>
              <th scope="col">as designed</th>
              <th scope="col">would have to be</th>
              <th scope="col">away by</th>
              <th scope="col">chance of the rest</th>
            </tr>
          </thead>
          <tbody>
            {causes.map((cause) => (
              <tr key={cause.name}>
                <th scope="row">{cause.explains ? <b>{cause.name}</b> : cause.name}</th>
                <td>{cause.before}</td>
                <td>{cause.value}</td>
                <td>{cause.distance}</td>
                <td>{cause.chance}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      {blameless.length > 0 && <p>Not to blame alone: {blameless.join(", ")}.</p>}
    </>
  );
}

/** The calibrated design as a new file beside the old one. */
function Revision({ given: { revision, covariance } }: { given: CalibrateGiven }) {
  const written = useCalibrate((state) => state.written);
  if (revision === null) return null;
  return (
    <p className="bench-recipe-line">
      {written === null ? (
        <button type="button" className="strong" onClick={() => void writeRevision()}>
          Write it as {revision.name}
        </button>
      ) : (
        <button type="button" className="strong" onClick={() => void openRevision(written)}>
          Open {written}
        </button>
      )}
      <button
        type="button"
        onClick={() => download(revision.covariance, covariance, "application/json")}
      >
        How its numbers are correlated, as a file
      </button>
      <span className="quiet-text">The design on the page stays as it is.</span>
    </p>
  );
}
