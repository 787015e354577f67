import { letGo, putIn, useCalibrate } from "../../compute/benchCalibrate.ts";

/** Values that were kept in this session, each used or not. */
export function Collected({ empty }: { empty: string }) {
  const collected = useCalibrate((state) => state.collected);
  if (collected.length === 0) return <p className="quiet-text">{empty}</p>;
  return (
    <ul className="bench-collected">
      {collected.map(({ id, name, used }) => (
        <li key={id}>
          <label>
            <input
              type="checkbox"
              checked={used}
              onChange={(event) => putIn(id, event.target.checked)}
            />{" "}
            {name}
          </label>
          <button type="button" className="quiet" onClick={() => letGo(id)}>
            let go<span className="spoken"> of {name}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}
