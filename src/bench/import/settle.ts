import type { Role } from "../kind.ts";
import { type Candidate, candidates, type HeadLine } from "./candidates.ts";
import { cellsOf } from "./cells.ts";
import { problemOf } from "./faults.ts";
import { type Heading, headingOf } from "./heading.ts";
import { intervalsIn } from "./interval.ts";
import { type Mapping, mapped } from "./mapping.ts";
import { merged, type Recipe } from "./recipe.ts";
import { misfit } from "./recipeFit.ts";
import type { ColumnReading, FileProblem, ImportOptions, Question, Reading } from "./types.ts";
import { COMPUTED } from "./words.ts";

/** What the head of a text file settles: how to read its rows, or why that is not certain. */
export type Settled =
  | {
      outcome: "rows";
      reading: Reading;
      candidate: Candidate;
      first: number;
      mapping: Mapping;
      said: Recipe;
    }
  | { outcome: "ask"; reading: Reading; questions: readonly Question[] }
  | { outcome: "refused"; reading: Reading | null; problems: readonly FileProblem[] };

/** Lines that a reading shows. */
const SHOWN = 30;
const SAMPLES = 3;

export function settled(lines: readonly HeadLine[], options: ImportOptions): Settled {
  const said = merged(options.recipe ?? {}, options.choices ?? {});
  const found = candidates(lines, said);
  if (found.length === 0) return nothingFound(lines, options, said);
  const ways = byNames(found, lines, said);
  const [candidate] = ways as [Candidate];
  const heading = headingOf(lines, candidate, said);
  const bare = readingOf(lines, candidate, heading);
  if (ways.length > 1) return { outcome: "ask", reading: bare, questions: [whichWay(lines, ways)] };
  const doubt = groupsDoubt(lines, candidate, said);
  if (doubt !== null) return { outcome: "ask", reading: bare, questions: [doubt] };
  if (options.recipe !== undefined) {
    const why = misfit(options.recipe, bare);
    if (why.length > 0)
      return {
        outcome: "refused",
        reading: bare,
        problems: why.map((says) => recipeProblem(options.recipe as Recipe, says)),
      };
  }
  const stated = intervalsIn(lines, heading.first, candidate);
  const mapping = mapped(options.roles, bare, stated, said);
  const questions = [
    ...(heading.question === null ? [] : [heading.question]),
    ...mapping.questions,
  ];
  const reading = withRoles(bare, options.roles, mapping);
  if (mapping.problems.length > 0)
    return { outcome: "refused", reading, problems: mapping.problems };
  if (questions.length > 0) return { outcome: "ask", reading, questions };
  return { outcome: "rows", reading, candidate, first: heading.first, mapping, said };
}

const recipeProblem = ({ name }: Recipe, says: string): FileProblem =>
  problemOf("recipe", 1, [], {
    says: `the recipe${name === undefined ? "" : ` ${name}`} is for another layout: ${says}`,
  });

function nothingFound(lines: readonly HeadLine[], options: ImportOptions, said: Recipe): Settled {
  const { recipe } = options;
  if (recipe !== undefined) {
    const [other] = candidates(lines, options.choices ?? {});
    if (other !== undefined)
      return {
        outcome: "refused",
        reading: readingOf(lines, other, headingOf(lines, other, options.choices ?? {})),
        problems: [
          recipeProblem(
            recipe,
            `it is for ${wayText(recipe.delimiter, recipe.decimal)}, this file has ${wayText(other.delimiter, other.numbers.decimal)}`,
          ),
        ],
      };
  }
  const [first] = lines.filter((line) => !line.idle);
  const restricted =
    said.delimiter !== undefined || said.decimal !== undefined || said.groups !== undefined;
  return {
    outcome: "refused",
    reading: null,
    problems: [
      problemOf(
        "no-data",
        1,
        first === undefined ? [] : [{ row: first.row, column: 0, found: first.text.slice(0, 40) }],
        {
          says: restricted
            ? "no rows of numbers when read as was chosen"
            : first === undefined
              ? "an empty file"
              : "no rows of numbers from here on",
        },
      ),
    ],
  };
}

const wayText = (delimiter = "any delimiter", decimal = "any") =>
  `${delimiter === "none" ? "one column" : delimiter}, decimal ${decimal}`;

/** A single column with decimal commas or two columns: the names may tell. */
function byNames(
  found: readonly Candidate[],
  lines: readonly HeadLine[],
  said: Recipe,
): Candidate[] {
  if (found.length < 2) return [...found];
  const commas = found.filter((candidate) => candidate.delimiter === "comma");
  const others = found.filter((candidate) => candidate.delimiter !== "comma");
  const [comma] = commas;
  if (comma === undefined || others.some(({ delimiter }) => delimiter !== "none"))
    return [...found];
  const { names, units } = headingOf(lines, comma, said);
  // "U, V" above one column names its unit.
  const certain =
    names !== null &&
    units.every((unit, j) => j === 0 || unit !== null || !/^\S{1,3}$/.test(names[j] as string));
  if (certain && names.every((name) => name !== "")) return commas;
  return [...found];
}

function whichWay(lines: readonly HeadLine[], ways: readonly Candidate[]): Question {
  const [first] = ways as [Candidate];
  const line =
    lines.find(
      (l, i) =>
        i >= first.first &&
        !l.idle &&
        ways.every((way) => cellsOf(l.text, way.delimiter)?.length === way.cells),
    ) ?? (lines[first.first] as HeadLine);
  const sameDelimiter = ways.every((way) => way.delimiter === first.delimiter);
  return {
    key: sameDelimiter ? "decimal" : "delimiter",
    text: `row ${line.row} can be read in ${ways.length} ways: "${line.text.trim().slice(0, 60)}"`,
    readings: ways.map((way) => ({ text: wayWords(line.text, way), line: wayLine(way, ways) })),
    open: false,
  };
}

/** Numbers in two groups, or in groups and with decimals, are grouped; "908.303" alone does not show it. */
const CERTAIN = {
  comma: /^[+-]?\d{1,3}(?:,\d{3}){2,}(?:\.\d*)?$|^[+-]?\d{1,3},\d{3}\.\d*$/,
  dot: /^[+-]?\d{1,3}(?:\.\d{3}){2,}(?:,\d*)?$|^[+-]?\d{1,3}\.\d{3},\d*$/,
};

/** Grouped digits are asked about where no number shows them for certain. */
function groupsDoubt(lines: readonly HeadLine[], way: Candidate, said: Recipe): Question | null {
  const { groups } = way.numbers;
  if (groups === "none" || said.groups !== undefined) return null;
  const rows = lines.slice(way.first).filter((line) => !line.idle);
  const certain = rows.some((line) =>
    cellsOf(line.text, way.delimiter)?.some((cell) => CERTAIN[groups].test(cell)),
  );
  if (certain) return null;
  const line = lines[way.first] as HeadLine;
  return {
    key: "groups",
    text: `row ${line.row} holds numbers only if its digits are grouped by ${groups}: "${line.text.trim().slice(0, 60)}"`,
    readings: [
      { text: wayWords(line.text, way), line: `groups: ${groups}` },
      { text: "digits are not grouped, some cells are at fault", line: "groups: none" },
    ],
    open: false,
  };
}

function wayWords(text: string, { delimiter, numbers, cells }: Candidate): string {
  const parts = cellsOf(text, delimiter) ?? [];
  const shown = parts.slice(0, 4).map((cell) => {
    let plain = cell;
    if (numbers.groups !== "none")
      plain = plain.replaceAll(numbers.groups === "comma" ? "," : ".", "");
    return numbers.decimal === "comma" ? plain.replace(",", ".") : plain;
  });
  const marks =
    numbers.groups === "none"
      ? `decimal ${numbers.decimal}`
      : `digits grouped by ${numbers.groups}`;
  return `${cells} column${cells === 1 ? "" : "s"}, ${marks}: ${shown.join(" and ")}${cells > 4 ? " …" : ""}`;
}

/** The one line that tells a way from the others. */
function wayLine(way: Candidate, ways: readonly Candidate[]): string {
  const { delimiter, numbers } = way;
  const alike = ways.filter((other) => other.delimiter === delimiter);
  if (alike.length === 1) return `delimiter: ${delimiter}`;
  if (numbers.groups !== "none") return `groups: ${numbers.groups}`;
  return `decimal: ${numbers.decimal}`;
}

function readingOf(lines: readonly HeadLine[], candidate: Candidate, heading: Heading): Reading {
  const { first, names, units, namesRow, unitsRow } = heading;
  const rows: string[][] = [];
  for (let i = first; i < lines.length && rows.length < SAMPLES; i++) {
    const line = lines[i] as HeadLine;
    const row = line.idle ? null : cellsOf(line.text, candidate.delimiter);
    if (row?.length === candidate.cells) rows.push(row);
  }
  const firstRow = (lines[first] as HeadLine).row;
  const columns: ColumnReading[] = Array.from({ length: candidate.cells }, (_, j) => {
    const sample = rows.map((row) => row[j] as string);
    const name = names?.[j]?.trim() ?? "";
    return {
      number: j + 1,
      name: name === "" ? `column ${j + 1}` : name,
      unit: units[j] ?? null,
      holds: candidate.numeric[j] ? "numbers" : sample.every((c) => c === "") ? "nothing" : "text",
      role: null,
      why: "",
      sample,
    };
  });
  return {
    format: "text",
    delimiter: candidate.delimiter,
    numbers: candidate.numbers,
    preambleRows: Math.min(namesRow ?? firstRow, unitsRow ?? firstRow, firstRow) - 1,
    namesRow,
    unitsRow,
    firstRow,
    columns,
    interval: null,
    lines: lines.slice(0, SHOWN).map((line) => line.text.slice(0, 200)),
    notes: OWN.test(lines[0]?.text ?? "") ? [COMPUTED] : [],
  };
}

/** First line of a table that this program wrote from what it computed. */
const OWN = /^# program: reedlift /;

/** The reading with each column's role. */
export function withRoles(reading: Reading, roles: readonly Role[], mapping: Mapping): Reading {
  const columns = reading.columns.map((column, j) => {
    const used = roles.filter((role) => mapping.why.get(role.key)?.index === j);
    const [role] = used;
    return role === undefined
      ? column
      : { ...column, role: role.key, why: mapping.why.get(role.key)?.why ?? "" };
  });
  return {
    ...reading,
    columns,
    interval: mapping.interval,
    notes: [...reading.notes, ...mapping.notes],
  };
}
