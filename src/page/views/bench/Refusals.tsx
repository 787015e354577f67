import type { Refusal } from "../../worker/benchRequests.ts";

/** Why nothing came out: where, what was found, what is allowed. */
export function Refusals({ title, refusals }: { title: string; refusals: readonly Refusal[] }) {
  return (
    <section className="bench-faults" aria-label={title}>
      <h2>{title}</h2>
      <ul>
        {refusals.map(({ where, found, allowed }) => (
          <li key={`${where} ${found}`}>
            <p>
              <b>
                {where}: {found}.
              </b>
            </p>
            {allowed !== "" && <p className="quiet-text">Wanted: {allowed}.</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}
