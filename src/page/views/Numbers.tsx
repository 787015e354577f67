import { usePage } from "../state.ts";
import type { Step } from "../steps.ts";

/** Figures of the step as the terminal prints them. */
export function Numbers({ step }: { step: Step }) {
  const groups = usePage((state) => state.answer?.groups);
  const shown = groups?.filter(({ id }) => step.groups.includes(id)) ?? [];
  if (shown.length === 0) return null;
  return (
    <div className="numbers">
      {shown.map(({ id, title, rows }) => (
        <details key={id}>
          <summary>Figures: {title}</summary>
          <dl>
            {rows.map(({ label, text }) => (
              <div key={label}>
                <dt>{label}</dt>
                <dd>{text}</dd>
              </div>
            ))}
          </dl>
        </details>
      ))}
    </div>
  );
}
