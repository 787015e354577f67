import { set, usePage } from "../state.ts";

const KINDS = [
  ["switch", "Switched"],
  ["rest", "At rest"],
  ["transient", "Passing"],
  ["fault", "Faults"],
] as const;

/** Which state of the strip the picture shows, faults among them. */
export function StateChoice({ none = "both switched states" }: { none?: string }) {
  const states = usePage((state) => state.answer?.states);
  const chosen = usePage((state) => state.stripState);
  if (states === undefined || states.length === 0) return null;
  const what = states.find(({ name }) => name === chosen)?.what;
  return (
    <label className="state-choice">
      <span>State</span>
      <select
        value={chosen ?? ""}
        onChange={(event) =>
          set({ stripState: event.target.value === "" ? null : event.target.value })
        }
      >
        <option value="">{none}</option>
        {KINDS.map(([kind, name]) => (
          <optgroup key={kind} label={name}>
            {states
              .filter((state) => state.kind === kind)
              .map((state) => (
                <option key={state.name} value={state.name}>
                  {state.name}
                </option>
              ))}
          </optgroup>
        ))}
      </select>
      {what !== undefined && <span className="quiet-text">{what}</span>}
    </label>
  );
}
