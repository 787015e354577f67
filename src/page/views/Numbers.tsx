import { useState } from "react";
import { usePage } from "../state.ts";
import type { Step } from "../steps.ts";
import type { FigureGroup } from "../worker/requests.ts";

/** Figures of the step as the terminal prints them. */
export function Numbers({ step }: { step: Step }) {
  const groups = usePage((state) => state.answer?.groups);
  const shown = groups?.filter(({ id }) => step.groups.includes(id)) ?? [];
  if (shown.length === 0) return null;
  return (
    <div className="numbers">
      {shown.map((group) => (
        <Group key={group.id} group={group} />
      ))}
    </div>
  );
}

/** A group that is closed has no rows: they would be written anew with every change. */
function Group({ group: { title, rows } }: { group: FigureGroup }) {
  const [open, setOpen] = useState(false);
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Figures: {title}</summary>
      {open && (
        <dl>
          {rows.map(({ label, text }) => (
            <div key={label}>
              <dt>{label}</dt>
              <dd>{text}</dd>
            </div>
          ))}
        </dl>
      )}
    </details>
  );
}
