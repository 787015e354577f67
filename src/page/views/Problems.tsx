import { set, usePage } from "../state.ts";
import { stepForKey } from "../steps.ts";

/** What keeps the text from being a design, each with its place. */
export function Problems() {
  const problems = usePage((state) => state.problems);
  const stopped = usePage((state) => state.stopped);
  if (problems.length === 0 && stopped === null) return null;
  return (
    <section className="problems" aria-label="Problems">
      {stopped !== null && (
        <p>
          <b>Not computed.</b> The computation keeps stopping: {stopped}. It waits for your next
          change.
        </p>
      )}
      {problems.length > 0 && (
        <>
          <h2>The text is not a design yet</h2>
          <ul>
            {problems.slice(0, 12).map((problem) => (
              <li key={`${problem.path} ${problem.line} ${problem.code}`}>
                <button
                  type="button"
                  onClick={() =>
                    problem.path === "" || problem.code === "unknown-key"
                      ? set({ dialog: { kind: "text", line: problem.line } })
                      : set({ step: stepForKey(problem.path), focus: problem.path })
                  }
                >
                  <b>{problem.path === "" ? "file" : problem.path}</b>
                  {problem.line > 0 ? `, line ${problem.line}` : ""}: {problem.message}
                </button>
                <span className="quiet-text">
                  {problem.found === "" ? "" : `Found: ${problem.found}. `}
                  {problem.allowed === "" ? "" : `Allowed: ${problem.allowed}. `}
                  {problem.hint ?? ""}
                </span>
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
