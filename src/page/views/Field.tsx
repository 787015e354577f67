import { type KeyboardEvent, memo, useEffect, useId, useRef, useState } from "react";
import { stepLastDigit } from "../../units/step.ts";
import { endSteps, setValue, treeOf } from "../actions.ts";
import { keyOf, textAt, understood } from "../document/values.ts";
import { set, textNow, usePage } from "../state.ts";
import { Acts } from "./Acts.tsx";
import { choicesFor } from "./choices.ts";
import { type FieldSpec, labelOf } from "./fields.ts";
import { GateTrack } from "./pulse/GateTrack.tsx";
import { ValueTrack } from "./ValueTrack.tsx";

interface FieldProps {
  spec: FieldSpec;
  /** With a slider below, where the input has a window. */
  track?: boolean;
}

const sameField = (a: FieldProps, b: FieldProps): boolean =>
  a.track === b.track &&
  a.spec.parameter === b.spec.parameter &&
  keyOf(a.spec.path) === keyOf(b.spec.path);

/** One input: label, text as the file has it, how it was read, what is wrong with it. */
export const Field = memo(function Field({ spec, track = false }: FieldProps) {
  const { path, parameter } = spec;
  const key = keyOf(path);
  const id = useId();
  const text = usePage((state) => textAt(treeOf(textNow(state) ?? ""), path));
  const problem = usePage((state) => state.problems.find((p) => p.path === key));
  const wantsFocus = usePage((state) => state.focus === key);
  const atPulse = usePage((state) => state.step === "pulse");
  const [typed, setTyped] = useState<string | null>(null);
  const input = useRef<HTMLInputElement & HTMLSelectElement>(null);
  const choices = usePage((state) => choicesFor(path, parameter, state));
  const shown = typed ?? text;
  const read = understood(parameter, shown);
  const wrong = !read.ok
    ? read
    : problem === undefined
      ? null
      : { message: problem.message, hint: problem.hint };

  useEffect(() => {
    if (!wantsFocus) return;
    input.current?.focus();
    input.current?.scrollIntoView({ block: "nearest" });
    set({ focus: null });
  }, [wantsFocus]);

  const commit = (value: string, merge?: string) => {
    if (value.trim() === text.trim()) {
      setTyped(null);
      return;
    }
    if (!understood(parameter, value).ok) return;
    if (setValue(path, value, merge)) setTyped(null);
  };
  const keys = (event: KeyboardEvent<HTMLInputElement>) => {
    if (event.key === "Enter") commit(shown);
    else if (event.key === "Escape") setTyped(null);
    else if (event.key === "ArrowUp" || event.key === "ArrowDown") {
      if (parameter.kind !== "quantity" || shown === "") return;
      const way = (event.key === "ArrowUp" ? 1 : -1) * (event.shiftKey ? 10 : 1);
      const next = stepLastDigit(shown, way);
      if (next === null) return;
      event.preventDefault();
      if (understood(parameter, next).ok) commit(next, `step ${key}`);
    }
  };
  const described = `${id}-read`;
  const common = {
    id,
    ref: input,
    className: "field-input",
    "aria-describedby": described,
    "aria-invalid": wrong !== null,
    onFocus: () => set({ said: "" }),
  };

  return (
    <div className={`field${wrong === null ? "" : " wrong"}`} data-key={key}>
      <label htmlFor={id}>
        {labelOf(spec)}
        <Acts inputKey={key} />
      </label>
      {choices?.closed === true ? (
        <select {...common} value={shown} onChange={(event) => setValue(path, event.target.value)}>
          {text === "" && <option value="">{emptyWords(spec)}</option>}
          {choices.values.includes(text) || text === "" ? null : <option>{text}</option>}
          {choices.values.map((value) => (
            <option key={value} value={value}>
              {value}
            </option>
          ))}
        </select>
      ) : (
        <input
          {...common}
          type="text"
          autoComplete="off"
          spellCheck={false}
          value={shown}
          placeholder={emptyWords(spec)}
          list={choices === null ? undefined : `${id}-list`}
          onChange={(event) => setTyped(event.target.value)}
          onKeyDown={keys}
          onBlur={() => {
            commit(shown);
            endSteps();
          }}
        />
      )}
      {choices !== null && !choices.closed && (
        <datalist id={`${id}-list`}>
          {choices.values.map((value) => (
            <option key={value} value={value} />
          ))}
        </datalist>
      )}
      <p className="field-read" id={described}>
        {wrong !== null ? (
          <>
            <b>Not taken: </b>
            {wrong.message}
            {wrong.hint === undefined ? "" : ` (${wrong.hint})`}
          </>
        ) : read.ok && read.reading !== null ? (
          `read as ${read.reading}`
        ) : null}
      </p>
      {track && key === "pulse.gate" && atPulse && <GateTrack text={text} />}
      {track && key !== "pulse.gate" && parameter.kind === "quantity" && (
        <ValueTrack spec={spec} text={text} />
      )}
    </div>
  );
}, sameField);

function emptyWords({ parameter }: FieldSpec): string {
  if (parameter.default !== undefined) return parameter.default;
  if (parameter.required === true) return "to be given";
  return parameter.absent ?? "not given";
}
