import { useState } from "react";
import type { RoleRecipe } from "../../../bench/import/recipe.ts";
import type { ColumnReading, Reading } from "../../../bench/import/types.ts";
import type { Role } from "../../../bench/kind.ts";
import { type BenchFile, choose } from "../../compute/bench.ts";
import type { KindLook } from "../../worker/benchRequests.ts";

/** What a role that no column has is chosen by. */
const NONE = "none";
const FROM_INTERVAL = "interval";

/** Each role of the measurement with the column taken for it: column, unit, scale and offset can be corrected. */
export function RoleTable({
  file,
  kind,
  reading,
}: {
  file: BenchFile;
  kind: KindLook;
  reading: Reading;
}) {
  const unused = reading.columns.filter(({ role }) => role === null);
  return (
    <>
      <table className="plain-table bench-roles">
        <caption className="spoken">Columns and what they were taken for</caption>
        <thead>
          <tr>
            <th scope="col">what</th>
            <th scope="col">column</th>
            <th scope="col">unit</th>
            <th scope="col">times</th>
            <th scope="col">plus</th>
          </tr>
        </thead>
        <tbody>
          {kind.roles.map((role) => (
            <RoleLine key={role.key} file={file} role={role} reading={reading} />
          ))}
        </tbody>
      </table>
      {unused.length > 0 && (
        <p className="quiet-text">Not used: {unused.map((column) => nameOf(column)).join(", ")}.</p>
      )}
    </>
  );
}

const nameOf = ({ name, unit, number }: ColumnReading) =>
  `${name === "" ? `column ${number}` : name}${unit === null ? "" : ` / ${unit}`}`;

function RoleLine({ file, role, reading }: { file: BenchFile; role: Role; reading: Reading }) {
  const column = reading.columns.find((each) => each.role === role.key) ?? null;
  const said = file.choices.roles?.[role.key] ?? null;
  const byInterval = column === null && role.key === "time" && reading.interval !== null;
  const say = (part: RoleRecipe) => choose(file.id, { roles: { [role.key]: part } });
  return (
    <tr data-role={role.key}>
      <th scope="row">
        {role.key.replaceAll("-", " ")}
        {!role.required && <span className="quiet-text"> (optional)</span>}
        {column !== null && (
          <span className="sample" title="first values, as written">
            {column.sample.slice(0, 3).join("  ")}
          </span>
        )}
      </th>
      <td>
        <select
          aria-label={`Column of ${role.key}`}
          title={column?.why ?? role.summary}
          value={column === null ? (byInterval ? FROM_INTERVAL : NONE) : String(column.number)}
          onChange={({ target: { value } }) => {
            if (value === NONE) choose(file.id, { roles: { [role.key]: null } });
            else if (value !== FROM_INTERVAL) say({ column: Number(value) });
          }}
        >
          {column === null && !byInterval && (
            <option value={NONE}>{role.required ? "to be chosen" : "not in the file"}</option>
          )}
          {byInterval && <option value={FROM_INTERVAL}>from the interval</option>}
          {column !== null && !role.required && <option value={NONE}>not in the file</option>}
          {reading.columns
            .filter(({ holds }) => holds === "numbers")
            .map((each) => (
              <option key={each.number} value={each.number}>
                {nameOf(each)}
              </option>
            ))}
        </select>
      </td>
      <Cell
        label={`Unit of ${role.key}`}
        value={said?.unit ?? column?.unit ?? ""}
        placeholder={byInterval ? "s" : "none"}
        disabled={column === null}
        onValue={(unit) => say({ unit: unit === "" ? "1" : unit })}
      />
      <Cell
        label={`Factor of ${role.key}`}
        value={said?.scale ?? file.by?.roles?.[role.key]?.scale ?? ""}
        placeholder="1"
        disabled={column === null}
        onValue={(scale) => say({ scale: scale === "" ? "1" : scale })}
      />
      <Cell
        label={`Offset of ${role.key}`}
        value={said?.offset ?? file.by?.roles?.[role.key]?.offset ?? ""}
        placeholder="0"
        disabled={column === null}
        onValue={(offset) => say({ offset })}
      />
    </tr>
  );
}

/** A cell that takes its text at Enter or when it is left. */
export function Cell({
  label,
  value,
  placeholder,
  disabled = false,
  onValue,
}: {
  label: string;
  value: string;
  placeholder: string;
  disabled?: boolean;
  onValue: (value: string) => void;
}) {
  const [typed, setTyped] = useState<string | null>(null);
  const commit = () => {
    if (typed !== null && typed.trim() !== value) onValue(typed.trim());
    setTyped(null);
  };
  return (
    <td>
      <input
        type="text"
        autoComplete="off"
        spellCheck={false}
        aria-label={label}
        value={typed ?? value}
        placeholder={placeholder}
        disabled={disabled}
        onChange={(event) => setTyped(event.target.value)}
        onKeyDown={(event) => {
          if (event.key === "Enter") commit();
          else if (event.key === "Escape") setTyped(null);
        }}
        onBlur={commit}
      />
    </td>
  );
}
