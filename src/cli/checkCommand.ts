import { setImmediate } from "node:timers/promises";
import type { Design } from "../design/design.ts";
import { nearest } from "../design/nearest.ts";
import type { ReadResult } from "../design/readDesign.ts";
import { pathPrinters } from "../report/pathUnits.ts";
import { budgetText } from "../report/text/budgetText.ts";
import { sheetText } from "../report/text/sheetText.ts";
import { toAscii } from "../report/text/style.ts";
import type { Budget } from "../sheet/uncertainty.ts";
import { type FullCheck, fullCheck } from "../studies/fullCheck.ts";
import { palette } from "./colour.ts";
import { understoodDesign } from "./designInput.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { described, type Input, readInput } from "./input.ts";
import { counted, type Look, type Outcome } from "./outcome.ts";
import { readTablesFile } from "./tablesFile.ts";
import { type Trouble, trouble } from "./trouble.ts";
import { VERSION } from "./version.ts";
import { checkFolder, writeFiles } from "./writeFile.ts";

/** `reedlift check`: the verdict sheet of a design, its pictures, its budgets. */
export async function checkCommand(
  argument: string | null,
  flags: Flags,
  look: Look,
  host: Host,
): Promise<Outcome> {
  const seed = flags.seed ?? 1;
  if (flags.svg !== undefined) checkFolder(flags.svg, [], true);
  if (argument === "-" && flags.tables === "-")
    throw new Stop(
      EXIT.invalid,
      trouble("usage", "design and tables can't both come from standard input"),
    );
  const tables = flags.tables === undefined ? null : await readTablesFile(flags.tables, host);
  const input = await readInput(argument as string, host);
  const provenance = {
    design: described(input),
    tables: tables === null ? null : described(tables.input),
    seed,
  };
  const { read, troubles } = understoodDesign(input, tables, provenance);
  if (flags.dryRun === true) return understood(read, flags, look, troubles, provenance);

  const budgets = flags.budget ?? [];
  const checked = fullCheck(read.design, { seed, budgets });
  for (const figure of budgets)
    if (checked.budgets[figure] === null) throw unknownFigure(figure, checked.figures);
  // A turn of the event loop: an interrupt during the computation ends here, before any file.
  await setImmediate();
  const notes = flags.svg === undefined ? [] : await draw(read.design, checked, input, flags);
  const { result } = checked;
  return {
    code: result.verdict.met || flags.exitZero === true ? EXIT.met : EXIT.notMet,
    result: budgets.length === 0 ? result : { ...result, budgets: checked.budgets },
    text: () => (budgets.length === 0 ? sheet(read.design, checked, look) : shares(checked, look)),
    troubles,
    notes,
    provenance,
  };
}

function understood(
  read: ReadResult & { ok: true },
  flags: Flags,
  { ascii }: Look,
  troubles: readonly Trouble[],
  provenance: Record<string, unknown>,
): Outcome {
  const pictures = flags.svg === undefined ? [] : [`Pictures would go to ${flags.svg}.`];
  return {
    code: EXIT.met,
    result: { understood: read.canonical },
    text: () => (ascii ? toAscii(read.canonical) : read.canonical),
    troubles,
    notes: ["Nothing computed, nothing written (--dry-run).", ...pictures],
    provenance,
  };
}

/** Writes the pictures and says so. */
async function draw(
  design: Design,
  checked: FullCheck,
  input: Input,
  flags: Flags,
): Promise<string[]> {
  const { figuresOf } = await import("../report/figures/set.ts");
  const folder = flags.svg as string;
  const origin = `reedlift ${VERSION}, ${input.name}, sha256 ${input.sha256.slice(0, 12)}; remade by: reedlift check ${input.name} --svg ${folder}`;
  const files = figuresOf(design, checked.result, { origin }).flatMap((figure) => [
    { name: `${figure.name}.svg`, text: figure.svg },
    { name: `${figure.name}.csv`, text: figure.csv },
  ]);
  checkFolder(
    folder,
    files.map((file) => file.name),
    flags.force === true,
  );
  writeFiles(folder, files);
  return [
    `${counted(files.length / 2, "picture")} (SVG, with the numbers as CSV) in ${folder}: ${files
      .flatMap(({ name }) => (name.endsWith(".svg") ? [name.slice(0, -4)] : []))
      .join(", ")}`,
  ];
}

function sheet(design: Design, { result }: FullCheck, look: Look): string {
  return sheetText(design, result, styleOf(look));
}

function shares({ result, budgets }: FullCheck, look: Look): string {
  const printers = pathPrinters(result);
  return Object.values(budgets)
    .filter((budget): budget is Budget => budget !== null)
    .map((budget) => budgetText(budget, { ...styleOf(look), print: printers(budget.figure) }))
    .join("\n");
}

const styleOf = ({ ascii, colour, columns }: Look) => ({
  ascii,
  columns,
  palette: palette(colour),
});

/** Longest list of figures in a hint. */
const LISTED = 6;

function unknownFigure(figure: string, figures: readonly string[]): Stop {
  const ending = figures.filter((path) => path.endsWith(`.${figure}`));
  const near = nearest(figure, figures);
  const meant = ending.length > 0 ? ending.slice(0, LISTED) : near === null ? [] : [near];
  return new Stop(
    EXIT.invalid,
    trouble("unknown-figure", `the sheet has no figure "${figure}" with a budget`, {
      allowed: "a path in the result of --json, such as seat.lift_open_m",
      hint: meant.length === 0 ? "" : `did you mean ${meant.join(" or ")}?`,
    }),
  );
}
