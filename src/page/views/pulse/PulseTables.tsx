import { useState } from "react";
import { kindOfUnit } from "../../../report/figureUnits.ts";
import type { AuditFigures, ConvergenceRow } from "../../../studies/pulseResult.ts";
import { formatQuantity, type QuantityKind } from "../../../units/index.ts";

const say = (value: number, kind: QuantityKind, digits = 3) =>
  formatQuantity(value, 0, kind, { digits });
const KINDS = [
  { kind: "in", head: "in" },
  { kind: "lost", head: "lost" },
  { kind: "stored", head: "change of store" },
] as const;
/** Share of all energies below which a row is left to the file. */
const SMALL = 1e-6;

/** Where the energy came from and where it went, folded away. */
export function Audit({ audit }: { audit: AuditFigures }) {
  const [open, setOpen] = useState(false);
  const { in_J, lost_J, stored_change_J, residual_J, relative } = audit;
  const scale = Math.abs(lost_J) + Math.abs(stored_change_J) + Math.abs(in_J);
  const rows = KINDS.flatMap(({ kind }) =>
    audit.rows
      .filter((row) => row.kind === kind && Math.abs(row.energy_J) > SMALL * scale)
      .sort((a, b) => Math.abs(b.energy_J) - Math.abs(a.energy_J)),
  );
  return (
    <details className="more" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Where the energy went</summary>
      {open && (
        <>
          <table className="plain-table">
            <caption className="spoken">Energies of the pulse</caption>
            <thead>
              <tr>
                <th scope="col">energy</th>
                {KINDS.map(({ head }) => (
                  <th scope="col" key={head}>
                    {head}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {rows.map(({ what, kind, energy_J }) => (
                <tr key={`${kind} ${what}`}>
                  <th scope="row">{what}</th>
                  {KINDS.map((column) => (
                    <td key={column.kind}>{column.kind === kind ? say(energy_J, "energy") : ""}</td>
                  ))}
                </tr>
              ))}
              <tr>
                <th scope="row">together</th>
                {[in_J, lost_J, stored_change_J].map((energy, i) => (
                  <td key={KINDS[i]?.kind}>{say(energy, "energy")}</td>
                ))}
              </tr>
            </tbody>
          </table>
          <p className="quiet-text">
            Left open by the computation: {say(residual_J, "energy")},{" "}
            {say(100 * relative, "ratio", 2)} % of losses and change of stores.
          </p>
        </>
      )}
    </details>
  );
}

/** The same figures at half the step, folded away. */
export function Convergence({ rows, step }: { rows: readonly ConvergenceRow[]; step: number }) {
  const print = (value: number | null, unit: string) => {
    if (value === null) return "none";
    const kind = unit === "mol/s" ? "molar flow" : kindOfUnit(unit);
    return kind === null ? String(value) : say(value, kind, 5);
  };
  return (
    <details className="more">
      <summary>The same at half the step</summary>
      <table className="plain-table">
        <caption className="spoken">Figures at the step and at half of it</caption>
        <thead>
          <tr>
            <th scope="col">figure</th>
            <th scope="col">step {say(step, "time")}</th>
            <th scope="col">step {say(step / 2, "time")}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ figure, unit, value, at_half_step }) => (
            <tr key={figure}>
              <th scope="row">{figure}</th>
              <td>{print(value, unit)}</td>
              <td>{print(at_half_step, unit)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}
