import type { Figure } from "../../report/figures/figure.ts";
import { download } from "../actions.ts";
import { type NumbersOf, set, tell, usePage } from "../state.ts";
import { commandOf } from "./command.ts";

/** What can be done with a picture: whole view, its numbers, files, the command, how it is computed. */
export function FigureTools({
  of,
  paper,
  whole,
  command = commandOf("--svg pictures"),
}: {
  of: NumbersOf;
  /** The picture as a file of its own; absent where there is none. */
  paper?: () => Promise<Figure | null>;
  /** Shows the whole again; null while it is shown. */
  whole: (() => void) | null;
  /** Command line that draws it. */
  command?: string;
}) {
  const step = usePage((state) => state.step);
  const csv = async () => {
    const text = await of.csv();
    if (text !== null) download(`${of.name}.csv`, text, "text/csv");
  };
  const svg = async () => {
    const figure = (await paper?.()) ?? null;
    if (figure !== null) download(`${figure.name}.svg`, figure.svg, "image/svg+xml");
  };
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(command);
      tell("told", `Copied: ${command}`);
    } catch {
      tell("told", command);
    }
  };
  return (
    <div className="figure-tools">
      {whole !== null && (
        <button type="button" onClick={whole}>
          Whole view
        </button>
      )}
      <button type="button" onClick={() => set({ dialog: { kind: "numbers", of } })}>
        Numbers
      </button>
      <button type="button" onClick={() => void csv()}>
        CSV
      </button>
      {paper !== undefined && (
        <>
          <button type="button" onClick={() => void svg()}>
            SVG
          </button>
          <button type="button" onClick={() => void copy()}>
            Command
          </button>
        </>
      )}
      <button type="button" onClick={() => set({ dialog: { kind: "theory", step } })}>
        How computed
      </button>
    </div>
  );
}
