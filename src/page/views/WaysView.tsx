import { percentText } from "../../report/text/marginTable.ts";
import { takeWayOut } from "../actions.ts";
import { set, sheetNow, textNow, usePage } from "../state.ts";

/** What the need comes to: verdict, ways out that were recomputed, cautions. */
export function WaysView() {
  const sheet = usePage(sheetNow);
  const whole = usePage((state) => state.full !== null && state.full.text === textNow(state));
  if (sheet === null) return null;
  const { verdict, ways_out, cautions, margins } = sheet;
  const name = (id: string) => margins.find((row) => row.id === id)?.requirement ?? id;
  return (
    <div className="ways">
      <h2>What it comes to</h2>
      <p className="ways-verdict">{verdict.text}</p>
      {!verdict.met && (
        <>
          <h3>Ways out, best first</h3>
          {!whole ? (
            <p className="quiet-text">Being computed.</p>
          ) : ways_out.length === 0 ? (
            <p>
              No single change or pair of changes that was tried mends it. Ask for less, or try
              another strip.
            </p>
          ) : (
            <ol>
              {ways_out.map((way) => (
                <li key={way.text}>
                  <p>
                    {way.text}
                    <span className="quiet-text">
                      {way.meets_all
                        ? ` meets everything, ${percentText(way.smallest_margin)} in hand (${name(way.binding)})`
                        : ` better, not enough: ${name(way.binding)} ${percentText(way.smallest_margin)}`}
                    </span>
                  </p>
                  <button type="button" onClick={() => takeWayOut(way)}>
                    Take it
                  </button>
                </li>
              ))}
            </ol>
          )}
        </>
      )}
      <h3>Cautions</h3>
      {cautions.length === 0 ? (
        <p className="quiet-text">
          None from the computation. Local codes and licensed practice hold all the same.
        </p>
      ) : (
        <ul className="cautions">
          {cautions.map((caution) => (
            <li key={caution.id}>
              {caution.text} <b>{caution.action}</b>
            </li>
          ))}
        </ul>
      )}
      <button type="button" onClick={() => set({ dialog: { kind: "theory", step: "need" } })}>
        How computed
      </button>
    </div>
  );
}
