import { useEffect } from "react";
import { useCalibrate } from "../../compute/benchCalibrate.ts";
import {
  diagnoseNow,
  lookAtSymptoms,
  notice,
  tellOutcome,
  useDiagnose,
} from "../../compute/benchDiagnose.ts";
import type { DiagnoseGiven } from "../../worker/benchRequests.ts";
import { Collected } from "./Collected.tsx";
import { Refusals } from "./Refusals.tsx";
import { Verdict } from "./Verdict.tsx";
import { Wide } from "./Wide.tsx";

/** What was noticed and measured, the causes ranked by it, and the test that tells the first ones apart. */
export function SymptomsView() {
  const { look, noticed, outcomes, running, answer } = useDiagnose();
  const collected = useCalibrate((state) => state.collected);
  useEffect(() => {
    void lookAtSymptoms();
  }, []);
  useEffect(() => {
    void collected;
    void diagnoseNow();
  }, [collected]);
  return (
    <div className="bench-view" data-figure="bench-symptoms" aria-busy={running}>
      <fieldset className="bench-noticed">
        <legend>What was noticed</legend>
        {look?.symptoms.map(({ id, name }) => (
          <label key={id}>
            <input
              type="checkbox"
              checked={noticed.includes(id)}
              onChange={(event) => notice(id, event.target.checked)}
            />{" "}
            {name}
          </label>
        ))}
      </fieldset>
      <h3>Measured values that count</h3>
      <Collected empty="None: keep values of a measurement at Values, and they count here." />
      {answer?.ok === false && <Refusals title="Nothing ranked" refusals={answer.refusals} />}
      {answer?.ok === true && <Ranked given={answer} />}
      {answer === null && (
        <p className="quiet-text">Tick what was noticed: causes and the next test appear here.</p>
      )}
      {look !== null && (
        <details className="more">
          <summary>Outcomes of tests that were made ({Object.keys(outcomes).length})</summary>
          {look.tests.map((test) => (
            <Outcome key={test.id} test={test} />
          ))}
        </details>
      )}
    </div>
  );
}

function Outcome({
  test: { id, name, outcomes },
}: {
  test: { id: string; name: string; outcomes: readonly string[] };
}) {
  const told = useDiagnose((state) => state.outcomes[id] ?? "");
  return (
    <label className="bench-outcome">
      <span>{name}</span>
      <select value={told} onChange={(event) => tellOutcome(id, event.target.value)}>
        <option value="">not made</option>
        {outcomes.map((outcome) => (
          <option key={outcome}>{outcome}</option>
        ))}
      </select>
    </label>
  );
}

/** Causes that are listed at once. */
const LISTED = 6;
const percent = (share: number) => (share < 0.005 ? "< 1 %" : `${Math.round(100 * share)} %`);

function Ranked({ given }: { given: DiagnoseGiven }) {
  const look = useDiagnose((state) => state.look);
  const listed = given.causes.filter(({ blameless }) => !blameless).slice(0, LISTED);
  const blameless = given.causes.filter((cause) => cause.blameless);
  return (
    <>
      <Verdict text={given.verdict} />
      <ol className="bench-causes">
        {listed.map(({ id, name, mend, share, before, sizes }) => (
          <li key={id} data-cause={id}>
            <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
              <rect width="100" height="10" className="budget-ground" />
              <rect width={Math.max(0.5, 100 * share)} height="10" className="budget-bar" />
              <rect
                x={Math.max(0, 100 * before - 0.6)}
                width="1.2"
                height="10"
                className="before"
              />
            </svg>
            <span className="share">{percent(share)}</span>
            <div>
              <b>{name}</b>
              {sizes === "" ? "" : `: ${sizes}`}
              <p className="quiet-text">{mend}</p>
            </div>
          </li>
        ))}
      </ol>
      <p className="quiet-text">
        Bars: share of all causes with these data; mark: from what was noticed alone.
        {blameless.length > 0 && ` Not to blame: ${blameless.map(({ name }) => name).join("; ")}.`}
      </p>
      {given.tests.length > 0 && <h3>The next test</h3>}
      <ol className="bench-tests">
        {given.tests.map(({ id, name, expect }) => {
          const test = look?.tests.find((each) => each.id === id) ?? null;
          return (
            <li key={name}>
              <b>{name}</b>
              <ul>
                {expect.map((words) => (
                  <li key={words}>{words}</li>
                ))}
              </ul>
              {test !== null && <Outcome test={{ ...test, name: "It gave" }} />}
            </li>
          );
        })}
      </ol>
      {given.values.length > 0 && (
        <>
          <h3>Values against the design as it is</h3>
          <Wide label="Values against the design as it is">
            <table className="plain-table">
              <caption className="spoken">Values against the design as it is</caption>
              <thead>
                <tr>
                  <th scope="col">value</th>
                  <th scope="col">measured</th>
                  <th scope="col">as designed</th>
                  <th scope="col">
                    E<sub>n</sub>
                  </th>
                  <th scope="col">with the first cause</th>
                </tr>
              </thead>
              <tbody>
                {given.values.map(({ name, measured, expected, en, explained }) => (
                  <tr key={name}>
                    <th scope="row">{name}</th>
                    <td>{measured}</td>
                    <td>{expected}</td>
                    <td>{en.toFixed(2).replace("-", "−")}</td>
                    <td>{explained ?? "–"}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </Wide>
        </>
      )}
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
