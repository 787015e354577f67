import { setImmediate } from "node:timers/promises";
import type { Design } from "../design/design.ts";
import { nearest } from "../design/nearest.ts";
import { diagnoseText } from "../report/text/diagnoseText.ts";
import { evaluate } from "../sheet/evaluate.ts";
import type { SheetResult } from "../sheet/result.ts";
import { joined } from "../studies/calibrateMeasured.ts";
import { ownMeasured } from "../studies/calibrateOwn.ts";
import { diagnose, type Evidence } from "../studies/diagnose.ts";
import { nearSymptom, SYMPTOMS, symptomNamed } from "../studies/diagnoseSymptoms.ts";
import { TESTS, testNamed } from "../studies/diagnoseTests.ts";
import type { Symptom } from "../studies/diagnoseTypes.ts";
import { readDataFiles, understoodData } from "./calibrateCommandData.ts";
import { palette } from "./colour.ts";
import { stopped, understoodDesign } from "./designInput.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { described, readInput } from "./input.ts";
import type { Look, Outcome } from "./outcome.ts";
import { readTablesFile } from "./tablesFile.ts";
import { notFinite } from "./transient.ts";
import { type Trouble, trouble } from "./trouble.ts";

/** `reedlift diagnose`: ranked causes with the next test. */
export async function diagnoseCommand(
  argument: string | null,
  flags: Flags,
  look: Look,
  host: Host,
  rest: readonly string[],
): Promise<Outcome> {
  const asked = wordsOf(flags);
  const tables = flags.tables === undefined ? null : await readTablesFile(flags.tables, host);
  const input = await readInput(argument as string, host);
  const files = readDataFiles(rest);
  const provenance = {
    design: described(input),
    tables: tables === null ? null : described(tables.input),
    data: files.map(({ name, bytes, sha256 }) => ({ name, bytes, sha256 })),
  };
  const { read, troubles } = understoodDesign(input, tables, provenance);
  const { design } = read;
  let sheet: SheetResult | null = null;
  const reads = understoodData(files, design, () => {
    sheet ??= evaluate(design, { detail: false });
    return sheet;
  });
  const own = ownMeasured(design);
  const evidence: Evidence = {
    symptoms: [...asked.symptoms, ...reads.flatMap(({ told }) => [...told.symptoms])],
    values: joined([...reads.map(({ set }) => set), ...(own === null ? [] : [own])]),
    series: reads.flatMap(({ told }) => [...told.series]),
    outcomes: Object.assign({}, ...reads.map(({ told }) => told.outcomes), asked.outcomes),
  };
  if (
    evidence.symptoms.length === 0 &&
    evidence.values.values.length === 0 &&
    evidence.series.length === 0 &&
    Object.keys(evidence.outcomes).length === 0
  )
    throw stopped(
      new Stop(
        EXIT.invalid,
        trouble("no-data", "nothing to go by", {
          file: input.name,
          allowed: `--symptom with one of: ${SYMPTOMS.map(({ id }) => id).join(", ")}; or files of measured values`,
        }),
      ),
      provenance,
    );
  await setImmediate();
  const result = found(design, evidence, input.name, provenance);
  return {
    code: EXIT.met,
    result,
    text: () =>
      diagnoseText(design.name, result, {
        ascii: look.ascii,
        columns: look.columns,
        palette: palette(look.colour),
      }),
    troubles,
    notes: [],
    provenance,
  };
}

function found(
  design: Design,
  evidence: Evidence,
  file: string,
  provenance: Record<string, unknown>,
) {
  try {
    const result = diagnose(design, evidence);
    const place = notFinite(result, "result");
    if (place !== null) throw new RangeError(`${place} is not finite`);
    return result;
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw stopped(
      new Stop(EXIT.invalid, trouble("not-diagnosed", error.message, { file })),
      provenance,
    );
  }
}

/** Symptoms and outcomes of the command line; @throws Stop with all that are none. */
function wordsOf({ symptom = [], outcome = [] }: Flags): Pick<Evidence, "symptoms" | "outcomes"> {
  const troubles: Trouble[] = [];
  const symptoms = symptom.flatMap((word): Symptom[] => {
    const found = symptomNamed(word);
    if (found !== null) return [found];
    const near = nearSymptom(word);
    troubles.push(
      trouble("option", "--symptom: no such symptom", {
        found: word,
        allowed: SYMPTOMS.map(({ id }) => id).join(", "),
        hint: near === null ? "" : `did you mean ${near}?`,
      }),
    );
    return [];
  });
  const outcomes: Record<string, string> = {};
  for (const text of outcome) {
    const cut = text.indexOf("=");
    const test = testNamed(cut < 0 ? text : text.slice(0, cut));
    const told = text.slice(cut + 1).trim();
    if (test === null) {
      const ids = TESTS.map(({ id }) => id);
      const near = nearest(cut < 0 ? text : text.slice(0, cut), ids);
      troubles.push(
        trouble("option", "--outcome: no such test", {
          found: text,
          allowed: ids.join(", "),
          hint: near === null ? "" : `did you mean ${near}?`,
        }),
      );
    } else if (cut < 0 || !test.outcomes.includes(told))
      troubles.push(
        trouble("option", `--outcome: not an outcome of ${test.id}`, {
          found: text,
          allowed: test.outcomes.map((each) => `${test.id}=${each}`).join("; "),
        }),
      );
    else outcomes[test.id] = told;
  }
  if (troubles.length > 0) throw new Stop(EXIT.invalid, ...troubles);
  return { symptoms, outcomes };
}
