import type { Role } from "../bench/kind.ts";
import type { Design } from "../design/design.ts";
import { fitTrace, type TraceOverlay } from "../studies/calibrateTrace.ts";
import { parseQuantity } from "../units/index.ts";
import { stopped } from "./designInput.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { type Measured, readMeasured } from "./reduceCommandData.ts";
import { keptRecipe } from "./reduceCommandRecipe.ts";
import { asked, refused } from "./reduceCommandRefusal.ts";
import { trouble } from "./trouble.ts";
import { checkFolder, writeFiles } from "./writeFile.ts";

const ROLES: readonly Role[] = [
  {
    key: "time",
    kinds: ["time"],
    summary: "time from the gate's opening edge",
    required: true,
    words: ["time", "t"],
  },
  {
    key: "lift",
    kinds: ["length"],
    summary: "lift of the pad, positive the way the valve opens",
    required: true,
    words: ["lift", "position", "deflection", "displacement"],
  },
];

/** A recording as read, with what names it in a provenance. */
export interface TraceRead {
  time: Float64Array;
  lift: Float64Array;
  described: { name: string; bytes: number | null; sha256: string | null };
}

const PICTURES = ["trace.svg", "trace.csv"];

/** Stops with 2 where pictures can't be written, or options of a trace stand without one. */
export function checkTraceOptions(flags: Flags): void {
  if (flags.trace === undefined) {
    const alone = (["gate", "recipe", "svg"] as const).find((key) => flags[key] !== undefined);
    if (alone !== undefined)
      throw new Stop(
        EXIT.invalid,
        trouble("usage", `--${alone} belongs to a step trace`, { hint: "give --trace FILE" }),
      );
    return;
  }
  if (flags.svg !== undefined) checkFolder(flags.svg, PICTURES, flags.force === true);
}

/** The recording; @throws Stop: 4 where it can't be read, 2 where it has two readings. */
export async function readTrace(flags: Flags, host: Host): Promise<TraceRead | null> {
  if (flags.trace === undefined) return null;
  const recipe = flags.recipe === undefined ? null : await keptRecipe(flags.recipe, host);
  const options = { roles: ROLES, ...(recipe === null ? {} : { recipe: recipe.recipe }) };
  const found: Measured = await readMeasured(flags.trace, host, options, () => undefined);
  const { result, name, bytes, sha256 } = found;
  if (result.outcome === "refused")
    throw new Stop(EXIT.unreadable, ...refused(name, result.problems));
  if (result.outcome === "ask")
    throw new Stop(
      EXIT.invalid,
      ...asked(name, result.questions).map((each) => ({
        ...each,
        hint: "write it into a recipe and give that with --recipe (reedlift reduce … --save-recipe makes one)",
      })),
    );
  const column = (key: string) => result.data.columns.get(key) as Float64Array;
  return { time: column("time"), lift: column("lift"), described: { name, bytes, sha256 } };
}

/** Fits the recording; the gate is that of the command line, else of the design. */
export function overlaid(
  before: Design,
  calibrated: Design,
  read: TraceRead,
  flags: Flags,
  provenance: Record<string, unknown>,
): TraceOverlay {
  const gate = gateOf(before, flags);
  try {
    return fitTrace(before, calibrated, { time: read.time, lift: read.lift, gate });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw stopped(
      new Stop(
        EXIT.failed,
        trouble("not-computed", `the trace can't be compared: ${error.message}`, {
          file: read.described.name,
        }),
      ),
      provenance,
    );
  }
}

function gateOf(design: Design, { gate }: Flags): number {
  const wrong = (message: string, found: string, allowed: string) =>
    new Stop(EXIT.invalid, trouble("option", message, { found, allowed }));
  if (gate === undefined) {
    if (design.pulse.gate !== null) return design.pulse.gate;
    throw wrong(
      "a step trace needs the length of its gate",
      "",
      '--gate with its unit, such as "400 µs", or pulse.gate in the design; for a step that stays open the length of the recording',
    );
  }
  const read = parseQuantity(gate, "time");
  if (!read.ok) throw wrong(`--gate: ${read.problem.message}`, gate, read.problem.allowed);
  if (!(read.quantity.value > 0)) throw wrong("--gate must be above zero", gate, "a time above 0");
  return read.quantity.value;
}

/** Writes the overlay; says where. */
export async function drawTrace(
  name: string,
  overlay: TraceOverlay,
  folder: string,
  origin: string,
): Promise<string> {
  const { calibrateTraceChart } = await import("../report/figures/calibrateTraceChart.ts");
  const figure = calibrateTraceChart({ name }, overlay, { origin });
  writeFiles(folder, [
    { name: "trace.svg", text: figure.svg },
    { name: "trace.csv", text: figure.csv },
  ]);
  return `1 picture (SVG, with the numbers as CSV) in ${folder}: trace`;
}
