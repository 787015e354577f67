import type { ShapeLine } from "../../worker/pulseRequests.ts";

const HEADS = [
  "drive",
  "shaped edges",
  "at the seat",
  "at worst",
  "satellites, worst",
  "opens after",
  "gas",
  "need",
] as const;

/** Drives compared, the step first; what can't be made says why. */
export function ShapeTable({ drives }: { drives: readonly ShapeLine[] }) {
  const refused = drives.filter(({ shaped }) => shaped === "can't be made");
  const made = drives.filter((line) => !refused.includes(line));
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key
    <section className="ways rate-figures" tabIndex={0} aria-label="Drives compared">
      <table className="plain-table">
        <caption>
          Drives compared: at the design's resonance and, at worst, with it off by 5 %
        </caption>
        <thead>
          <tr>
            {HEADS.map((head) => (
              <th scope="col" key={head}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {made.map((line) => (
            <tr key={line.id} className={line.taken ? "taken" : undefined}>
              <th scope="row">
                {line.name}
                {line.taken ? " (best)" : ""}
              </th>
              <td>{line.shaped}</td>
              <td>{line.lands}</td>
              <td>{line.worst}</td>
              <td>{line.satellites}</td>
              <td>{line.opens}</td>
              <td>{line.gas}</td>
              <td>{line.need}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {refused.map(({ id, name, remark }) => (
        <p className="quiet-text" key={id}>
          No {name}: {remark ?? "no reason known"}.
        </p>
      ))}
    </section>
  );
}
