import { type KeyboardEvent, useId, useState } from "react";
import type { Setting } from "../../../bench/kind.ts";
import type { Parameter } from "../../../design/parameter.ts";
import { allowedText } from "../../../units/index.ts";
import { stepLastDigit } from "../../../units/step.ts";
import { setSetting, useBench } from "../../compute/bench.ts";
import { type Understood, understood } from "../../document/values.ts";

/** One setting of the set-up: label, text as it was written, how it was read, what is wrong with it. */
export function SettingField({
  kind,
  setting,
  files,
}: {
  kind: string;
  setting: Setting;
  files: number;
}) {
  const id = useId();
  const { key, choices, summary } = setting;
  const text = useBench((state) => state.settings[kind]?.[key] ?? "");
  const [typed, setTyped] = useState<string | null>(null);
  const shown = typed ?? text;
  const read = readSetting(setting, shown, files);
  const commit = (value: string) => {
    if (!readSetting(setting, value, files).ok) return;
    if (value.trim() !== text.trim()) setSetting(key, value.trim());
    setTyped(null);
  };
  const keys = (event: KeyboardEvent<HTMLInputElement>) => {
    if (event.key === "Enter") commit(shown);
    else if (event.key === "Escape") setTyped(null);
    else if ((event.key === "ArrowUp" || event.key === "ArrowDown") && setting.kind !== null) {
      const way = (event.key === "ArrowUp" ? 1 : -1) * (event.shiftKey ? 10 : 1);
      const next = stepLastDigit(shown, way);
      if (next === null) return;
      event.preventDefault();
      commit(next);
    }
  };
  const closed = choices !== undefined && setting.kind === null;
  const described = `${id}-read`;
  const common = {
    id,
    className: "field-input",
    "aria-describedby": described,
    "aria-invalid": !read.ok,
  };
  return (
    <div className={`field${read.ok ? "" : " wrong"}`} data-setting={key} title={summary}>
      <label htmlFor={id}>{label(key)}</label>
      {closed ? (
        <select {...common} value={shown} onChange={(event) => commit(event.target.value)}>
          <option value="">{emptyWords(setting)}</option>
          {choices.map((each) => (
            <option key={each} value={each}>
              {each}
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
          placeholder={emptyWords(setting)}
          list={choices === undefined ? undefined : `${id}-list`}
          onChange={(event) => setTyped(event.target.value)}
          onKeyDown={keys}
          onBlur={() => commit(shown)}
        />
      )}
      {!closed && choices !== undefined && (
        <datalist id={`${id}-list`}>
          {choices.map((each) => (
            <option key={each} value={each} />
          ))}
        </datalist>
      )}
      <p className="field-read" id={described}>
        {read.ok ? (
          <>
            {read.reading !== null && <span>read as {read.reading}. </span>}
            <span className="bench-setting-words">{summary}</span>
          </>
        ) : (
          <>
            <b>Not taken: </b>
            {read.message}
            {read.hint === undefined ? "" : ` (${read.hint})`}
          </>
        )}
      </p>
    </div>
  );
}

const label = (key: string) => key.replaceAll("-", " ");

function emptyWords({ standard, required, summary }: Setting): string {
  if (standard !== null) return standard;
  if (/from the design/.test(summary)) return "from the design";
  return required ? "to be given" : "not given";
}

/** How a text is taken; one for each file where the setting has it so. */
function readSetting(setting: Setting, text: string, files: number): Understood {
  const { kind, choices, perFile } = setting;
  if (text.trim() === "") return { ok: true, quantity: null, reading: null };
  const parts = perFile === true ? text.split(",").map((part) => part.trim()) : [text.trim()];
  if (parts.length > 1 && files > 0 && parts.length !== files)
    return {
      ok: false,
      message: `${parts.length} values for ${files} ${files === 1 ? "file" : "files"}`,
      hint: "one for each file, separated by commas, or one for all",
    };
  const readings: string[] = [];
  for (const part of parts) {
    if (choices?.includes(part) === true) continue;
    if (kind === null) {
      if (choices !== undefined)
        return { ok: false, message: `one of ${choices.join(", ")} is due` };
      continue;
    }
    const read = understood({ kind: "quantity", quantity: kind } as Parameter, part);
    if (!read.ok) return { ...read, hint: read.hint ?? allowedText(kind) };
    if (read.reading !== null) readings.push(read.reading);
  }
  return { ok: true, quantity: null, reading: readings.length > 0 ? readings.join(", ") : null };
}
