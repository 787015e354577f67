import { type FormEvent, useId, useState } from "react";
import type { Parameter } from "../../../design/parameter.ts";
import { parameterAt } from "../../../design/parameters.ts";
import { percentText } from "../../../report/text/marginTable.ts";
import type { Proposals, StripProposal } from "../../../studies/proposals.ts";
import { formatQuantity } from "../../../units/index.ts";
import { startNew } from "../../actions.ts";
import { useStudy } from "../../compute/useStudy.ts";
import { pathOf, understood, writtenValue } from "../../document/values.ts";
import { tell } from "../../state.ts";
import type { StudyRequest } from "../../worker/requests.ts";

/** What a new design asks: the need, nothing else. Keys of the file, with a first text each. */
const ASKED = [
  { key: "need.gas", start: "Ar" },
  { key: "need.plenum_pressure", start: "3 bar" },
  { key: "need.orifice_diameter", start: "0.15 mm" },
  { key: "need.gas_pulse", start: "200 µs" },
  { key: "need.rate", start: "20 Hz" },
  { key: "need.chamber_pressure_max", start: "1e-4 mbar" },
  { key: "chamber.volume", start: "40 l" },
  { key: "chamber.pumping_speed", start: "600 l/s" },
] as const;

/** Proposals listed. */
const LISTED = 8;

/** A new design from the need alone: stock strips are tried and ranked by their smallest margin. */
export function NewDialog() {
  const [texts, setTexts] = useState<Record<string, string>>(
    Object.fromEntries(ASKED.map(({ key, start }) => [key, start])),
  );
  const [request, setRequest] = useState<StudyRequest | null>(null);
  const { value, done } = useStudy<Proposals>("proposals", request);
  const wrong = ASKED.some(
    ({ key }) => texts[key] === "" || !understood(rowOf(key), texts[key] ?? "").ok,
  );
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (wrong) return;
    const of = (group: string) =>
      Object.fromEntries(
        ASKED.filter(({ key }) => key.startsWith(`${group}.`)).map(({ key }) => [
          key.slice(group.length + 1),
          writtenValue(rowOf(key), texts[key] ?? ""),
        ]),
      );
    setRequest({ kind: "proposals", need: { need: of("need"), chamber: of("chamber") } });
  };
  return (
    <form onSubmit={submit} className="new-design">
      <p>
        Say what the experiment needs. Plain stock strips are tried with it; each proposal is a
        whole design that you can change afterwards.
      </p>
      <div className="asked">
        {ASKED.map(({ key }) => (
          <Asked
            key={key}
            parameter={rowOf(key)}
            text={texts[key] ?? ""}
            onText={(text) => {
              setTexts({ ...texts, [key]: text });
              setRequest(null);
            }}
          />
        ))}
      </div>
      <div className="dialog-buttons">
        <button type="submit" className="strong" disabled={wrong}>
          Propose strips
        </button>
        <button type="button" onClick={() => startNew(BARE)}>
          Start from a bare strip, without gas
        </button>
      </div>
      {request !== null && <Ranking value={value} done={done} />}
    </form>
  );
}

const rowOf = (key: string): Parameter => parameterAt(pathOf(key)) as Parameter;

function Asked({
  parameter,
  text,
  onText,
}: {
  parameter: Parameter;
  text: string;
  onText: (text: string) => void;
}) {
  const id = useId();
  const read = understood(parameter, text);
  return (
    <p className="form-line">
      <label htmlFor={id}>{parameter.label}</label>
      <span>
        <input
          id={id}
          type="text"
          autoComplete="off"
          value={text}
          aria-invalid={!read.ok}
          aria-describedby={`${id}-read`}
          onChange={(event) => onText(event.target.value)}
        />
        <span id={`${id}-read`} className={read.ok ? "quiet-text" : "wrong-words"}>
          {read.ok ? (read.reading === null ? "" : `read as ${read.reading}`) : read.message}
        </span>
      </span>
    </p>
  );
}

function Ranking({ value, done }: { value: Proposals | null; done: boolean }) {
  if (value === null) return <p className="quiet-text">The first strip is being tried.</p>;
  if (!value.ok)
    return (
      <ul className="text-problems">
        {value.problems.map((problem) => (
          <li key={`${problem.path} ${problem.code}`}>
            {problem.path}: {problem.message}. {problem.hint ?? ""}
          </li>
        ))}
      </ul>
    );
  const shown = value.proposals.slice(0, LISTED);
  return (
    <>
      <h3>
        Strips, largest margin first{" "}
        <span className="quiet-text">
          {done ? `${value.total} tried` : `${value.done} of ${value.total} tried`}
        </span>
      </h3>
      <ol className="files">
        {shown.map((proposal) => (
          <li key={proposal.name}>
            <button type="button" onClick={() => take(proposal)}>
              <b>{proposal.name}</b>
              <span className="quiet-text">
                free {mm(proposal.free_length_m)},{" "}
                {formatQuantity(proposal.voltage_V, 0, "voltage", { unit: "V", digits: 4 })};{" "}
                {proposal.meets_all ? "meets everything, " : "not everything, "}
                {percentText(proposal.margin)} at{" "}
                {(proposal.binding ?? "nothing").replaceAll(/[_.]/g, " ")}
              </span>
            </button>
          </li>
        ))}
      </ol>
    </>
  );
}

const mm = (x: number) => formatQuantity(x, 0, "length", { unit: "mm", digits: 4 });

function take(proposal: StripProposal): void {
  startNew(proposal.text);
  tell("told", `A design from ${proposal.name}. Nothing is written until you save it.`);
}

const BARE = `reedlift: 1
name: new strip
need: {swing_min: 30 µm, resonance_min: 500 Hz}
strip:
  width: 5 mm
  free_length: 9 mm
  layers:                      # bottom to top
    - {material: soft ceramic, thickness: 0.20 mm, poling: up, bottom: lower face, top: vane}
    - {material: brass, thickness: 0.10 mm, conductor: vane}
    - {material: soft ceramic, thickness: 0.20 mm, poling: up, bottom: vane, top: upper face}
clamp: {length: 5 mm}
wiring: {lower face: ground, vane: switched, upper face: bias}
rails: {bias: {voltage: -150 V, storage: 1 µF, bleeder: 1 MΩ}}
switch: {high: ground, low: bias, idle: low, series_resistor: 470 Ω}
`;
