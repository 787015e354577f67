import { useId, useState } from "react";
import type { Recipe } from "../../../bench/import/recipe.ts";
import type { Delimiter, Mark, Reading } from "../../../bench/import/types.ts";
import { type BenchFile, choose, readBy } from "../../compute/bench.ts";
import { isCorrected } from "./corrected.ts";

const DELIMITERS: readonly (readonly [Delimiter, string])[] = [
  ["comma", "comma"],
  ["semicolon", "semicolon"],
  ["tab", "tab"],
  ["space", "spaces"],
  ["none", "one column"],
];
const MARKS: readonly (readonly [Mark, string])[] = [
  ["dot", "point: 1.5"],
  ["comma", "comma: 1,5"],
];
const GROUPS: readonly (readonly [Mark | "none", string])[] = [
  ["none", "none"],
  ["comma", "comma: 1,000"],
  ["dot", "point: 1.000"],
];

/** How the text was split: separator, decimals, rows, interval; each can be corrected. */
export function TakenChoices({ file, reading }: { file: BenchFile; reading: Reading }) {
  const say = (said: Recipe) => choose(file.id, said);
  const { delimiter, numbers, namesRow, unitsRow, firstRow, interval } = reading;
  return (
    <div className="bench-taken">
      <Choice
        label="Separator"
        value={delimiter ?? ""}
        choices={DELIMITERS}
        onValue={(value) => say({ delimiter: value as Delimiter })}
      />
      <Choice
        label="Decimals"
        value={numbers?.decimal ?? ""}
        choices={MARKS}
        onValue={(value) => say({ decimal: value as Mark })}
      />
      <Choice
        label="Thousands"
        value={numbers?.groups ?? ""}
        choices={GROUPS}
        onValue={(value) => say({ groups: value as Mark | "none" })}
      />
      <Line
        label="Names in line"
        value={namesRow === null ? "" : String(namesRow)}
        placeholder="none"
        onValue={(value) => wholeOf(value, 0, (namesRow) => say({ namesRow }))}
      />
      <Line
        label="Units in line"
        value={unitsRow === null ? "" : String(unitsRow)}
        placeholder="none"
        onValue={(value) => wholeOf(value, 0, (unitsRow) => say({ unitsRow }))}
      />
      <Line
        label="Numbers from line"
        value={firstRow === null ? "" : String(firstRow)}
        placeholder="not found"
        onValue={(value) => wholeOf(value, 1, (firstRow) => say({ firstRow }))}
      />
      <Line
        label="Sample interval"
        value={file.choices.interval ?? (interval === null ? "" : `${interval.seconds * 1e6} µs`)}
        placeholder="a time column"
        title={interval?.from}
        onValue={(value) => value !== "" && say({ interval: value })}
      />
      {isCorrected(file) && (
        <button type="button" onClick={() => readBy(file.id, null)}>
          Take back what was said
        </button>
      )}
    </div>
  );
}

/** A whole number of at least so much; another text is not taken. */
function wholeOf(text: string, least: number, take: (value: number) => void): void {
  const value = text === "" ? least : Number(text);
  if (Number.isInteger(value) && value >= least) take(value);
}

function Choice({
  label,
  value,
  choices,
  onValue,
}: {
  label: string;
  value: string;
  choices: readonly (readonly [string, string])[];
  onValue: (value: string) => void;
}) {
  const id = useId();
  return (
    <div className="bench-taken-one">
      <label htmlFor={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onValue(event.target.value)}>
        {value === "" && <option value="">not settled</option>}
        {choices.map(([key, says]) => (
          <option key={key} value={key}>
            {says}
          </option>
        ))}
      </select>
    </div>
  );
}

function Line({
  label,
  value,
  placeholder,
  title,
  onValue,
}: {
  label: string;
  value: string;
  placeholder: string;
  title?: string | undefined;
  onValue: (value: string) => void;
}) {
  const id = useId();
  const [typed, setTyped] = useState<string | null>(null);
  const commit = () => {
    if (typed !== null && typed.trim() !== value) onValue(typed.trim());
    setTyped(null);
  };
  return (
    <div className="bench-taken-one">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="text"
        autoComplete="off"
        title={title}
        value={typed ?? value}
        placeholder={placeholder}
        onChange={(event) => setTyped(event.target.value)}
        onKeyDown={(event) => {
          if (event.key === "Enter") commit();
          else if (event.key === "Escape") setTyped(null);
        }}
        onBlur={commit}
      />
    </div>
  );
}
