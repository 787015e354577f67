import type { FileProblem, Question, Reading } from "../../../bench/import/types.ts";
import { chooseLines, fileNow, kindNow, useBench } from "../../compute/bench.ts";
import { Recipes } from "./Recipes.tsx";
import { RoleTable } from "./RoleTable.tsx";
import { TakenChoices } from "./TakenChoices.tsx";

/** The file as it was taken: questions and faults first, then each column's part, then its first lines. */
export function FileView() {
  const file = useBench(fileNow);
  const kind = useBench(kindNow);
  if (kind === null)
    return (
      <div className="empty">
        <p>Choose at the left what was measured; then open its file.</p>
      </div>
    );
  if (file === null)
    return (
      <div className="empty">
        <p>
          Open the file of the instrument. It may have lines above the numbers, any separator, a
          decimal comma, several channels: what was taken for what is shown here and can be
          corrected.
        </p>
      </div>
    );
  const { answer } = file;
  const reading = answer === null || answer.outcome === "stopped" ? null : answer.reading;
  return (
    <div className="bench-view" data-figure="bench-file" aria-busy={file.progress !== null}>
      <h2>{file.file.name}</h2>
      {answer?.outcome === "ask" && <Questions id={file.id} questions={answer.questions} />}
      {answer?.outcome === "refused" && <Faults id={file.id} problems={answer.problems} />}
      {answer?.outcome === "data" && answer.passed.length > 0 && (
        <Passed problems={answer.passed} />
      )}
      {reading === null ? (
        <p className="quiet-text">
          {file.progress !== null ? "Being looked at." : "Nothing of it is read."}
        </p>
      ) : (
        <>
          <h3>What was taken for what</h3>
          <RoleTable key={file.id} file={file} kind={kind} reading={reading} />
          {reading.format === "text" && <TakenChoices file={file} reading={reading} />}
          {reading.notes.length > 0 && (
            <ul className="bench-notes">
              {reading.notes.map((note) => (
                <li key={note}>{note}</li>
              ))}
            </ul>
          )}
          <Recipes file={file} />
          {reading.lines.length > 0 && <Lines reading={reading} />}
        </>
      )}
    </div>
  );
}

/** What the file does not settle: each reading is a button. */
function Questions({ id, questions }: { id: number; questions: readonly Question[] }) {
  return (
    <section className="bench-questions" aria-label="Open questions">
      {questions.map(({ key, text, readings, open }) => (
        <fieldset key={key} data-question={key}>
          <legend>{text}</legend>
          {readings.map(({ text: says, line }) => (
            <button
              type="button"
              className="strong"
              key={line}
              onClick={() => void chooseLines(id, [line])}
            >
              {says}
            </button>
          ))}
          {open && <p className="quiet-text">None of these: say it in the table below.</p>}
        </fieldset>
      ))}
    </section>
  );
}

/** What can't be used, with the choice to go on without it. */
function Faults({ id, problems }: { id: number; problems: readonly FileProblem[] }) {
  return (
    <section className="bench-faults" aria-label="What can't be used">
      <ul>
        {problems.map((problem) => (
          <li key={`${problem.fault} ${problem.message}`}>
            <p>
              <b>{problem.message}</b>
            </p>
            <p className="quiet-text">
              {placesWords(problem)}Wanted: {problem.allowed}.
            </p>
            {problem.line !== null && (
              <button type="button" onClick={() => void chooseLines(id, [problem.line as string])}>
                {goOnWords(problem)}
              </button>
            )}
          </li>
        ))}
      </ul>
      {problems.length > 1 && problems.every(({ line }) => line !== null) && (
        <button
          type="button"
          className="strong"
          onClick={() =>
            void chooseLines(
              id,
              problems.flatMap(({ line }) => line ?? []),
            )
          }
        >
          Go on with all of this
        </button>
      )}
    </section>
  );
}

function Passed({ problems }: { problems: readonly FileProblem[] }) {
  return (
    <ul className="cautions">
      {problems.map((problem) => (
        <li key={`${problem.fault} ${problem.message}`}>
          {problem.message} <b>Let pass.</b>
        </li>
      ))}
    </ul>
  );
}

const ofSignal = ({ fault }: FileProblem) => fault === "clipped" || fault === "coarse";

const goOnWords = (problem: FileProblem) =>
  ofSignal(problem)
    ? "Use it as it is"
    : problem.count === 1
      ? "Go on without this row"
      : `Go on without these ${problem.count} rows`;

function placesWords({ places, count }: FileProblem): string {
  const rows = places.filter(({ row }) => row > 0);
  if (rows.length === 0) return "";
  const list = rows
    .map(({ row, found }) => (found === "" ? `${row}` : `${row} (${cut(found)})`))
    .join(", ");
  const more = count > rows.length ? ` and ${count - rows.length} more` : "";
  return `Row ${list}${more}. `;
}

const cut = (text: string) => (text.length > 24 ? `${text.slice(0, 24)}…` : text);

/** The first lines of the file, each with what it was taken for. */
function Lines({ reading }: { reading: Reading }) {
  const { lines, namesRow, unitsRow, firstRow } = reading;
  const taken = (row: number) =>
    row === namesRow
      ? "names"
      : row === unitsRow
        ? "units"
        : firstRow !== null && row >= firstRow
          ? "data"
          : "preamble";
  return (
    <>
      <h3>The first lines</h3>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key */}
      <section className="bench-lines" tabIndex={0} aria-label="The first lines of the file">
        <table>
          <thead className="spoken">
            <tr>
              <th scope="col">line</th>
              <th scope="col">taken for</th>
              <th scope="col">text</th>
            </tr>
          </thead>
          <tbody>
            {lines.map((text, i) => {
              const row = i + 1;
              const what = taken(row);
              return (
                <tr key={row} className={what}>
                  <th scope="row">{row}</th>
                  <td className="taken">{what === "data" && row !== firstRow ? "" : what}</td>
                  <td className="text">{visible(text)}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </section>
    </>
  );
}

/** Longest line that is shown, characters. */
const LONGEST = 240;

/** Tabs are seen as arrows; what has no sign of its own as a dot. */
function visible(text: string): string {
  const cutText = text.length > LONGEST ? `${text.slice(0, LONGEST)}…` : text;
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for
  return cutText.replaceAll("\t", "→").replace(/[\u0000-\u001f\u007f]/g, "·");
}
