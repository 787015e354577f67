import { existsSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { setImmediate } from "node:timers/promises";
import type { Design } from "../design/design.ts";
import { calibrateText } from "../report/text/calibrateText.ts";
import { evaluate } from "../sheet/evaluate.ts";
import type { SheetResult } from "../sheet/result.ts";
import { type Calibration, calibrate } from "../studies/calibrate.ts";
import { joined, type MeasuredSet } from "../studies/calibrateMeasured.ts";
import { ownMeasured } from "../studies/calibrateOwn.ts";
import { calibratedDesign } from "../studies/calibrateParameters.ts";
import {
  calibratedBefore,
  countedAlready,
  nextName,
  type Origin,
  OWN_SECTION,
  revisedDesign,
} from "../studies/calibrateRevision.ts";
import { readDataFiles, understoodData } from "./calibrateCommandData.ts";
import { checkTraceOptions, drawTrace, overlaid, readTrace } from "./calibrateCommandTrace.ts";
import { palette } from "./colour.ts";
import { stopped, understoodDesign } from "./designInput.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { described, type Input, readInput } from "./input.ts";
import type { Look, Outcome } from "./outcome.ts";
import { readTablesFile } from "./tablesFile.ts";
import { notFinite } from "./transient.ts";
import { trouble } from "./trouble.ts";
import { VERSION } from "./version.ts";
import { checkFolder, writeFiles } from "./writeFile.ts";

/** `reedlift calibrate`: a design corrected by measured values, as a result and as a new revision. */
export async function calibrateCommand(
  argument: string | null,
  flags: Flags,
  look: Look,
  host: Host,
  rest: readonly string[],
): Promise<Outcome> {
  const out = outputOf(argument as string, flags);
  checkTraceOptions(flags);
  const tables = flags.tables === undefined ? null : await readTablesFile(flags.tables, host);
  const input = await readInput(argument as string, host);
  const files = readDataFiles(rest);
  const recorded = await readTrace(flags, host);
  const provenance = {
    design: described(input),
    tables: tables === null ? null : described(tables.input),
    data: files.map(({ name, bytes, sha256 }) => ({ name, bytes, sha256 })),
    trace: recorded?.described ?? null,
  };
  const { read, troubles } = understoodDesign(input, tables, provenance);
  const { design } = read;
  refuseTwice(input, files, provenance);
  let sheet: SheetResult | null = null;
  const reads = understoodData(files, design, () => {
    sheet ??= evaluate(design, { detail: false });
    return sheet;
  });
  const origins: Origin[] = files.map(({ name, sha256 }) => ({ name, sha256 }));
  const sets: MeasuredSet[] = reads.map(({ set }) => set);
  const own = ownMeasured(design);
  const ownOrigin = { name: OWN_SECTION, sha256: "the file above" };
  if (own !== null && countedAlready(input.text, [ownOrigin]).length === 0) {
    sets.push(own);
    origins.push(ownOrigin);
  }
  const data = joined(sets.filter((set) => set.values.length > 0));
  if (data.values.length === 0)
    throw stopped(
      new Stop(
        EXIT.invalid,
        trouble("no-data", "no measured value is given", {
          file: input.name,
          allowed: "files of measured values, or a measured section in the design",
          hint: "docs/calibrate.md shows a file of measured values",
        }),
      ),
      provenance,
    );
  if (flags.dryRun === true) return understood(data, troubles, provenance, look);

  await setImmediate();
  const found = computed(input, provenance, () =>
    calibrate(design, data, {
      free: flags.free ?? [],
      hold: flags.hold ?? [],
      lengthKnown: calibratedBefore(input.text, "strip.free_length"),
    }),
  );
  const { result } = found;
  const overlay =
    recorded === null || result.status !== "converged"
      ? null
      : overlaid(design, calibratedBy(design, found), recorded, flags, provenance);
  if (overlay !== null) result.trace = overlay.figures;
  const notes =
    out === null || result.status !== "converged"
      ? []
      : write(out, input, read.design, found, origins, flags.force === true);
  if (overlay !== null && flags.svg !== undefined) {
    const origin = `reedlift ${VERSION}, ${input.name}, sha256 ${input.sha256.slice(0, 12)}; ${recorded?.described.name}, sha256 ${recorded?.described.sha256?.slice(0, 12)}`;
    notes.push(await drawTrace(design.name, overlay, flags.svg, origin));
  }
  const next =
    out === null && input.name !== "standard input"
      ? { next: `reedlift calibrate ${[input.name, ...rest].join(" ")} --out next` }
      : {};
  return {
    code:
      result.status !== "converged" || (overlay !== null && overlay.figures.status !== "converged")
        ? EXIT.failed
        : result.agreement.agree || flags.exitZero === true
          ? EXIT.met
          : EXIT.notMet,
    result,
    text: () =>
      calibrateText(design.name, result, {
        ascii: look.ascii,
        columns: look.columns,
        palette: palette(look.colour),
        ...next,
      }),
    troubles,
    notes,
    provenance,
  };
}

/** The design with what was fitted. */
function calibratedBy(design: Design, { parameters, posterior }: Calibration): Design {
  return calibratedDesign(design, parameters, posterior.parameters);
}

/** Where the revision goes; checked before anything is read. */
function outputOf(design: string, { out, force }: Flags): string | null {
  if (out === undefined) return null;
  if (out === "-" || (out === "next" && design === "-"))
    throw new Stop(
      EXIT.invalid,
      trouble("usage", "--out needs the name of a file: standard output has the result", {
        found: out,
      }),
    );
  let path = out;
  if (out === "next") for (path = nextName(design); existsSync(path); ) path = nextName(path);
  if (path === design)
    throw new Stop(
      EXIT.invalid,
      trouble("would-overwrite", "a revision never takes the place of its design", {
        file: path,
        allowed: "another name, or --out next",
      }),
    );
  checkFolder(dirname(path), [basename(path), covarianceName(basename(path))], force === true);
  return path;
}

const covarianceName = (name: string) =>
  `${name.replace(/(\.reed)?\.(ya?ml|json)$/, "")}.covariance.json`;

/** The same values twice would count twice. */
function refuseTwice(
  input: Input,
  files: readonly Origin[],
  provenance: Record<string, unknown>,
): void {
  const twice = countedAlready(input.text, files);
  if (twice.length === 0) return;
  throw stopped(
    new Stop(
      EXIT.invalid,
      ...twice.map(({ name }) =>
        trouble("counted-twice", "these values are in this design already", {
          file: name,
          hint: `${input.name} was calibrated with them: give the design that it was made from, or other values`,
        }),
      ),
    ),
    provenance,
  );
}

function computed(
  input: Input,
  provenance: Record<string, unknown>,
  run: () => Calibration,
): Calibration {
  try {
    const found = run();
    const place = notFinite(found.result, "result");
    if (place !== null) throw new RangeError(`${place} is not finite`);
    return found;
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw stopped(
      new Stop(
        EXIT.invalid,
        trouble("not-calibrated", error.message, {
          file: input.name,
          hint: `reedlift check ${input.name} shows the figures of the design`,
        }),
      ),
      provenance,
    );
  }
}

function write(
  path: string,
  input: Input,
  design: Design,
  { result, parameters }: Calibration,
  data: readonly Origin[],
  force: boolean,
): string[] {
  const covariance = covarianceName(basename(path));
  const origins = { design: { name: input.name, sha256: input.sha256 }, data, covariance };
  const revision = revisedDesign(input.text, design, parameters, result, origins);
  const document = {
    reedlift_covariance: 1,
    revision: basename(path),
    program: `reedlift ${VERSION}`,
    made_from: origins.design,
    data,
    parameters: [...result.parameters, ...result.held].flatMap((p) =>
      result.covariance.keys.includes(p.key) ? [{ key: p.key, kind: p.kind }] : [],
    ),
    keys: result.covariance.keys,
    matrix: result.covariance.matrix,
  };
  const files = [
    { name: basename(path), text: revision.text },
    { name: covariance, text: `${JSON.stringify(document, null, 2)}\n` },
  ];
  checkFolder(
    dirname(path),
    files.map(({ name }) => name),
    force,
  );
  writeFiles(dirname(path), files);
  return [
    `The calibrated design in ${path}: ${revision.changes.map(({ key, after }) => `${key} ${after}`).join("; ")}.`,
    `How its numbers are correlated in ${join(dirname(path), covariance)}.`,
  ];
}

function understood(
  data: MeasuredSet,
  troubles: Outcome["troubles"],
  provenance: Record<string, unknown>,
  { ascii }: Look,
): Outcome {
  const lines = data.values.map(
    ({ name, value, u, from }) =>
      `${name} = ${value} ${ascii ? "+/-" : "±"} ${u} (SI), from ${from}`,
  );
  return {
    code: EXIT.met,
    result: { values: data.values, covariance: [...data.covariance], notes: data.notes },
    text: () => `${lines.join("\n")}\n`,
    troubles,
    notes: ["Nothing computed, nothing written (--dry-run)."],
    provenance,
  };
}
