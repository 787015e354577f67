import type { CommandRow } from "./options.ts";
import type { SharedRows } from "./pulseCommandRow.ts";

/** `reedlift diagnose` as a row of the table of commands. */
export function diagnoseCommandRow({ json, tables, common }: SharedRows): CommandRow {
  return {
    name: "diagnose",
    summary: "what is wrong with a valve: ranked causes, what is not to blame, the next test",
    about:
      "Ranks causes from what was measured against what the design expects, from symptoms in words and from outcomes of tests, and names the test that tells the likeliest cause from the runner-up, with what to expect under each. Data are files of measured values (docs/calibrate.md) and results of reedlift reduce … --json. What each cause is and how the shares come about stands in docs/diagnose.md.",
    argument: {
      name: "design",
      summary: "design file NAME.reed.yaml, or - for standard input",
      required: true,
      completes: "design",
    },
    rest: {
      name: "data",
      summary: "files of measured values, symptoms, outcomes and series",
      required: false,
      completes: "file",
    },
    options: [
      json,
      {
        flag: "--symptom",
        value: "words",
        summary:
          'what was noticed, such as "leaks always" or "second gas pulse"; may be repeated; without data or symptom the known ones are listed',
        repeatable: true,
      },
      {
        flag: "--outcome",
        value: "test=outcome",
        summary: 'outcome of a test, such as "retorque=f1 comes back"; may be repeated',
        repeatable: true,
      },
      tables,
      ...common,
    ],
    examples: [
      {
        line: 'reedlift diagnose valve.reed.yaml --symptom "no gas"',
        does: "words alone: causes in the usual order, and the first test",
      },
      {
        line: "reedlift diagnose valve.reed.yaml bench.yaml sweep.json",
        does: "from measured values",
      },
      {
        line: 'reedlift diagnose valve.reed.yaml --symptom "f1 dropped" --outcome "retorque=f1 stays low"',
        does: "with the outcome of a test",
      },
    ],
  };
}
