import { type ReactNode, useEffect } from "react";
import type { PulseResult } from "../../../studies/pulseResult.ts";
import { download } from "../../actions.ts";
import { bareName } from "../../compute/engine.ts";
import { pulseNow, usePulse, wantPulse } from "../../compute/pulse.ts";
import { useStudy } from "../../compute/useStudy.ts";
import { get, set, textNow, usePage } from "../../state.ts";
import type { PulseGiven, PulseGroup } from "../../worker/pulseRequests.ts";
import { Cautions } from "./Cautions.tsx";
import { Audit, Convergence } from "./PulseTables.tsx";
import { Refused } from "./Refused.tsx";

/** Where the traces are not on the page, their size does not matter. */
const UNSEEN = { size: { width: 520, height: 420 } };

/** Figures of the pulse in the words of the terminal, its surprises, its energy audit, its jet. */
export function PulseFigures({ head }: { head: ReactNode }) {
  useEffect(() => {
    wantPulse(UNSEEN);
    return () => wantPulse(null);
  }, []);
  const given = usePulse(pulseNow);
  const refused = usePulse((state) => (state.answer?.ok === false ? state.answer : null));
  const { value, text } = useStudy<PulseResult>("whole pulse", { kind: "pulse" });
  const now = usePage(textNow);
  const whole = text === now ? value : null;
  return (
    <div className="ways pulse-figures" data-figure="pulse-figures">
      <div className="figure-head">{head}</div>
      {refused !== null && <Refused refused={refused} />}
      {given === null && refused === null && (
        <p className="quiet-text">The pulse is being computed.</p>
      )}
      {given !== null && (
        <>
          <p className="ways-verdict">{given.result.verdict.text}</p>
          <p className="quiet-text">{given.result.drive.text}</p>
          <Cautions cautions={given.cautions} />
          {whole !== null && whole.surprises.length > 0 && (
            <ul className="cautions">
              {whole.surprises.map(({ id, rail, text: words, mend }) => (
                <li key={`${id} ${rail}`}>
                  {words} <b>{mend ?? "No change of one component was found that mends it."}</b>
                </li>
              ))}
            </ul>
          )}
          {given.groups
            .filter(({ id }) => id !== "jet")
            .map(({ id, title, rows }) => (
              <section key={id} aria-label={title}>
                <h3>{title}</h3>
                <Rows rows={rows} />
              </section>
            ))}
          <Jet given={given} />
          <Audit audit={given.result.audit} />
          {whole?.convergence != null && (
            <Convergence rows={whole.convergence} step={whole.drive.step_s} />
          )}
          <p className="pulse-tools">
            <button type="button" disabled={whole === null} onClick={() => save(whole)}>
              Pulse as JSON
            </button>
            <button
              type="button"
              onClick={() => set({ dialog: { kind: "theory", step: "pulse" } })}
            >
              How computed
            </button>
          </p>
        </>
      )}
    </div>
  );
}

/** The `result` of `reedlift pulse --halve-step --json`. */
function save(result: PulseResult | null): void {
  if (result === null) return;
  const name = `${bareName(get().draft?.name ?? null)}-pulse.json`;
  download(name, `${JSON.stringify(result, null, 2)}\n`, "application/json");
}

function Rows({ rows }: { rows: PulseGroup["rows"] }) {
  return (
    <dl className="pulse-rows">
      {rows.map(({ label, value, from }) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd className="pulse-value">{value ?? "none"}</dd>
          <dd className="quiet-text">{from}</dd>
        </div>
      ))}
    </dl>
  );
}

/** The jet behind the orifice at the peak of the flow, or why there is none. */
function Jet({ given }: { given: PulseGiven }) {
  const { jet, reasons } = given.result;
  const rows = given.groups.find(({ id }) => id === "jet")?.rows ?? [];
  if (jet === null && reasons.jet === undefined) return null;
  return (
    <section aria-label="Free jet">
      <h3>Free jet at the peak of the flow</h3>
      {jet === null ? (
        <p className="quiet-text">None: {reasons.jet}.</p>
      ) : (
        <>
          <Rows rows={rows.filter(({ value }) => value !== null)} />
          {jet.advice.map((text) => (
            <p key={text}>{text}</p>
          ))}
          <ul className="cautions">
            {jet.cautions.map(({ id, text, action }) => (
              <li key={id}>
                {text} <b>{action}</b>
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
