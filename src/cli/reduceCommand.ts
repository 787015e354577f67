import { type Comparison, compare } from "../bench/compare.ts";
import { type ImportResult, readingText, recipeText } from "../bench/import/index.ts";
import type { Data, Prediction } from "../bench/kind.ts";
import { BenchProblem, type Reduction } from "../bench/reduction.ts";
import type { Design } from "../design/design.ts";
import { readingResult, reduceResult } from "../report/reduceResult.ts";
import { readingWords } from "../report/text/reduceReading.ts";
import { reduceText } from "../report/text/reduceText.ts";
import { toAscii } from "../report/text/style.ts";
import { palette } from "./colour.ts";
import { type Provenance, stopped, understoodDesign } from "./designInput.ts";
import { EXIT, type ExitCode, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { described, readInput } from "./input.ts";
import type { Look, Outcome } from "./outcome.ts";
import { type Measured, readMeasured, sizeOf } from "./reduceCommandData.ts";
import { checkReduceFiles, writeReduceFiles } from "./reduceCommandFiles.ts";
import { type ReduceAsked, reduceOptions } from "./reduceCommandOptions.ts";
import { keptRecipe, writeRecipe } from "./reduceCommandRecipe.ts";
import { asked, refused } from "./reduceCommandRefusal.ts";
import { settingsText } from "./reduceCommandSettings.ts";
import { readTablesFile } from "./tablesFile.ts";
import { told } from "./transient.ts";
import { type Trouble, trouble } from "./trouble.ts";
import { VERSION } from "./version.ts";

type Read = Extract<ImportResult, { outcome: "data" }>;

/** `reedlift reduce`: files of one kind of measurement to values with uncertainty. */
export async function reduceCommand(
  argument: string | null,
  flags: Flags,
  look: Look,
  host: Host,
  rest: readonly string[],
): Promise<Outcome> {
  const wanted = reduceOptions(argument as string, rest, flags);
  checkReduceFiles(wanted.kind, flags);
  const known = await designOf(flags, host);
  const recipe = flags.recipe === undefined ? null : await keptRecipe(flags.recipe, host);
  const provenance: Record<string, unknown> = {
    kind: wanted.kind.name,
    data: [],
    design: known.described,
    tables: known.tables,
    recipe: recipe?.described ?? null,
  };
  const measured = await readAll(wanted, recipe?.recipe ?? null, flags, look, host, provenance);
  const open = unsettled(measured, provenance);
  if (flags.dryRun === true) return shown(wanted, measured, open, look, provenance);
  if (open !== null) throw open;
  const reads = measured.map(({ result }) => result as Read);

  const data = reads.map((read) => read.data);
  const troubles: Trouble[] = [...known.troubles];
  const reduction = reduced(wanted, data, known.design, provenance);
  const comparisons = compared(wanted, data, reduction, known.design, troubles);
  const origin = originOf(measured, wanted);
  const notes = await writeReduceFiles(
    { kind: wanted.kind, data, reduction, comparisons, origin },
    flags,
  );
  if (flags.saveRecipe !== undefined)
    notes.push(writeRecipe(flags.saveRecipe, (reads[0] as Read).recipe));
  const settings = settingsText(wanted, look.ascii);
  return {
    code: codeOf(reduction, comparisons, flags),
    result: reduceResult(
      reduction,
      comparisons,
      wanted.settings.settings,
      reads.map((read, k) => readingResult(read, (measured[k] as Measured).name)),
    ),
    text: () =>
      reduceText(
        {
          reduction,
          reading: reads.map(({ reading, data: { rows }, passed, recipe: used }, k) => ({
            file: (measured[k] as Measured).name,
            words: readingWords(reading, rows, passed, used),
          })),
          settings,
          design: known.design?.name ?? null,
          comparisons,
        },
        {
          ascii: look.ascii,
          columns: look.columns,
          palette: palette(look.colour),
          ...(flags.svg === undefined && !wanted.files.includes("-")
            ? {
                pictures: `reedlift reduce ${wanted.kind.name} ${wanted.files.join(" ")} --svg FOLDER`,
              }
            : {}),
        },
      ),
    troubles,
    notes,
    provenance,
  };
}

interface KnownDesign {
  design: Design | null;
  described: unknown;
  tables: unknown;
  troubles: readonly Trouble[];
}

async function designOf(flags: Flags, host: Host): Promise<KnownDesign> {
  const tables = flags.tables === undefined ? null : await readTablesFile(flags.tables, host);
  const tablesDescribed = tables === null ? null : described(tables.input);
  if (flags.design === undefined)
    return { design: null, described: null, tables: tablesDescribed, troubles: [] };
  const input = await readInput(flags.design, host);
  const { read, troubles } = understoodDesign(input, tables, {
    design: described(input),
    tables: tablesDescribed,
  });
  return { design: read.design, described: described(input), tables: tablesDescribed, troubles };
}

/** Every file, read; stops with 4 at one that can't be. */
async function readAll(
  { kind, files, choices }: ReduceAsked,
  recipe: Parameters<typeof readMeasured>[2]["recipe"] | null,
  flags: Flags,
  look: Look,
  host: Host,
  provenance: Record<string, unknown>,
): Promise<Measured[]> {
  const sizes = await Promise.all(files.map(sizeOf));
  const total = sizes.reduce((sum, size) => sum + size, 0);
  const progress = told(host, look, flags, "megabyte", Math.max(1, Math.round(total / 1e6)));
  let before = 0;
  const out: Measured[] = [];
  try {
    for (const [k, file] of files.entries()) {
      const done = before;
      const options = {
        roles: kind.roles,
        choices,
        ...(recipe === null || recipe === undefined ? {} : { recipe }),
      };
      out.push(
        await readMeasured(file, host, options, (bytes) =>
          progress.at(total === 0 ? 0 : (done + bytes) / total),
        ),
      );
      before += sizes[k] as number;
    }
  } catch (error) {
    throw error instanceof Stop ? stopped(error, provenance) : error;
  } finally {
    progress.end();
  }
  provenance.data = out.map(({ name, bytes, sha256 }) => ({ name, bytes, sha256 }));
  return out;
}

/** What has two readings (2) and what can't be used (4), of all files at once; null: nothing. */
function unsettled(out: readonly Measured[], provenance: Provenance): Stop | null {
  const open = out.flatMap(({ result, name }) =>
    result.outcome === "ask" ? asked(name, result.questions) : [],
  );
  const broken = out.flatMap(({ result, name }) =>
    result.outcome === "refused" ? refused(name, result.problems) : [],
  );
  const choice = out.some(
    ({ result }) =>
      result.outcome === "refused" &&
      result.problems.every(({ fault }) => fault === "choice" || fault === "recipe"),
  );
  if (open.length + broken.length === 0) return null;
  const code = broken.length > 0 && !choice ? EXIT.unreadable : EXIT.invalid;
  return stopped(new Stop(code, ...broken, ...open), provenance);
}

function reduced(
  { kind, settings, files }: ReduceAsked,
  data: readonly Data[],
  design: Design | null,
  provenance: Provenance,
): Reduction {
  try {
    return kind.reduce(data, settings.settings, design);
  } catch (error) {
    const file = files.length === 1 ? (data[0] as Data).name : "";
    if (error instanceof BenchProblem) {
      const { where, found, allowed, failed } = error;
      const word = failed ? "not-found" : "not-usable";
      const setting = /^setting ([\w-]+)$/.exec(where)?.[1];
      const hint = failed
        ? ""
        : setting !== undefined && found === "not given" && design === null
          ? `--set ${setting}=VALUE, or --design DESIGN where the design knows it`
          : `reedlift reduce ${kind.name} --help`;
      throw stopped(
        new Stop(
          failed ? EXIT.failed : EXIT.invalid,
          trouble(word, `${where}: ${found}`, { file, allowed, hint }),
        ),
        provenance,
      );
    }
    if (!(error instanceof RangeError)) throw error;
    const hint = "look for an extreme value in the file or the settings";
    throw stopped(
      new Stop(
        EXIT.failed,
        trouble("not-computed", `the measurement could not be reduced: ${error.message}`, {
          file,
          hint,
        }),
      ),
      provenance,
    );
  }
}

/** The values beside what the design expects; a design that can't be computed takes only the comparison away. */
function compared(
  { kind, settings }: ReduceAsked,
  data: readonly Data[],
  reduction: Reduction,
  design: Design | null,
  troubles: Trouble[],
): Comparison[] {
  if (design === null || kind.predict === undefined) return [];
  let predictions: readonly Prediction[];
  try {
    predictions = kind.predict(design, data, settings.settings, reduction);
  } catch (error) {
    if (!(error instanceof RangeError || error instanceof BenchProblem)) throw error;
    troubles.push({
      ...trouble("not-compared", `nothing to compare with: ${error.message}`, {
        hint: "reedlift check DESIGN shows what can be computed of it",
      }),
      severity: "warning",
    });
    return [];
  }
  return compare(kind, reduction, predictions);
}

/** A fit that failed counts first, then a value beyond what was expected. */
function codeOf(
  { fits, values }: Reduction,
  comparisons: readonly Comparison[],
  flags: Flags,
): ExitCode {
  if (fits.some(({ status }) => status !== "converged")) return EXIT.failed;
  if (values.every(({ value }) => value === null)) return EXIT.failed;
  const off = comparisons.some(({ agrees }) => agrees === false);
  return off && flags.exitZero !== true ? EXIT.notMet : EXIT.met;
}

function originOf(measured: readonly Measured[], { kind }: ReduceAsked): string {
  const files = measured
    .map(({ name, sha256 }) => `${name} sha256 ${(sha256 ?? "").slice(0, 12)}`)
    .join(", ");
  return `reedlift ${VERSION}; reduce ${kind.name}; ${files}`;
}

/** What was taken for what, for --dry-run; also of a file that is refused. */
function shown(
  { kind }: ReduceAsked,
  measured: readonly Measured[],
  open: Stop | null,
  { ascii }: Look,
  provenance: Provenance,
): Outcome {
  const whole = measured.flatMap(({ name, result }) => dryLines(name, result)).join("\n");
  return {
    code: open?.code ?? EXIT.met,
    result: {
      kind: kind.name,
      reading: measured.map(({ name, result }) =>
        result.outcome === "data" ? readingResult(result, name) : { file: name, ...result },
      ),
    },
    text: () => (ascii ? toAscii(whole) : whole),
    troubles: open?.troubles ?? [],
    notes: ["Nothing reduced, nothing written (--dry-run)."],
    provenance,
  };
}

const indented = (lines: readonly string[]) => lines.map((line) => `  ${line}`);

function dryLines(name: string, result: ImportResult): string[] {
  const { reading } = result;
  const head = reading === null ? [] : indented(readingText(reading));
  if (result.outcome !== "data")
    return [
      `${name}: ${result.outcome === "ask" ? "has more than one reading" : "can't be used as it is"}`,
      ...head,
      ...(reading === null || reading.lines.length === 0
        ? []
        : [
            "its first lines:",
            ...reading.lines.map((line, k) => `${String(k + 1).padStart(4)}  ${line}`),
          ]),
      "",
    ];
  return [
    `${name}: ${result.data.rows} rows`,
    ...head,
    ...indented(result.passed.map(({ message }) => `let pass: ${message}`)),
    "as a recipe:",
    ...indented(recipeText(result.recipe).trimEnd().split("\n")),
    "",
  ];
}
