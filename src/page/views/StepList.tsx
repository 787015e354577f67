import { treeOf } from "../actions.ts";
import { type PulseState, usePulse } from "../compute/pulse.ts";
import { type RatesState, useRates } from "../compute/rates.ts";
import { at } from "../document/values.ts";
import type { PageState } from "../state.ts";
import { set, sheetNow, textNow, usePage } from "../state.ts";
import { STEPS, type StepId, stepForKey, stepForMargin } from "../steps.ts";

type Mark = "answered" | "open question" | "not met" | "not read" | "not looked at";

/** The steps of the job in plain words, each with how it stands. */
export function StepList() {
  const step = usePage((state) => state.step);
  const marks = usePage((state) => STEPS.map(({ id }) => markOf(state, id)).join(","));
  const list = marks.split(",") as Mark[];
  const text = usePage(textNow);
  const ofPulse = usePulse((state) => pulseMark(state, text));
  const ofRates = useRates((state) => rateMark(state, text));
  const ofBench = usePage((state) => state.benchMark);
  return (
    <nav className="steps" aria-label="Steps">
      <ol>
        {STEPS.map(({ id, name }, i) => {
          const found = list[i] as Mark;
          const own = { pulse: ofPulse, rate: ofRates, bench: ofBench }[id as string] ?? found;
          const mark = found === "not read" ? found : own;
          return (
            <li key={id}>
              <button
                type="button"
                aria-current={id === step ? "step" : undefined}
                onClick={() => set({ step: id })}
              >
                <span className="step-name">{name}</span>
                <span className={`step-mark ${mark.replaceAll(" ", "-")}`}>{mark}</span>
              </button>
            </li>
          );
        })}
      </ol>
    </nav>
  );
}

/** Keys without which a step leaves a question open. */
const QUESTIONS: Partial<Record<StepId, readonly string[][]>> = {
  need: [["need"]],
  strip: [["strip", "layers"]],
  wiring: [["wiring"], ["switch"]],
  seat: [["seat"]],
  drive: [["rails"], ["switch", "resistor_pulse_energy_max"]],
};

function markOf(state: PageState, id: StepId): Mark {
  if (state.problems.some(({ path }) => stepForKey(path) === id)) return "not read";
  const sheet = sheetNow(state);
  const unmet = sheet?.margins.filter((row) => !row.met) ?? [];
  if (unmet.some((row) => stepOfRow(row.id, row.acts) === id)) return "not met";
  if (id === "wiring" && sheet?.wiring?.accepted === false) return "not met";
  const tree = treeOf(textNow(state) ?? "");
  const open = QUESTIONS[id]?.some((path) => at(tree, path) === undefined) ?? false;
  const needsNoSeat = id === "seat" && at(tree, ["need", "gas"]) === undefined;
  return open && !needsNoSeat ? "open question" : "answered";
}

/** Pulse and rates are computed only while they are looked at; while one slides the last pulse counts. */
function pulseMark({ answer, text, wanted }: PulseState, now: string | null): Mark {
  if (answer === null || (text !== now && wanted === null)) return "not looked at";
  if (!answer.ok) return "open question";
  return answer.result.verdict.met ? "answered" : "not met";
}

function rateMark({ result, text, whole }: RatesState, now: string | null): Mark {
  if (result === null || text !== now || !whole) return "not looked at";
  return result.verdict.met ? "answered" : "not met";
}

/** The step that can mend a requirement: that of its strongest input. */
export function stepOfRow(id: string, acts: readonly { key: string }[] | undefined): StepId {
  const first = acts?.[0];
  return first === undefined ? stepForMargin(id) : stepForKey(first.key);
}
