import { download } from "../actions.ts";
import { bareName } from "../compute/engine.ts";
import { pulseNow, usePulse } from "../compute/pulse.ts";
import { get, tell, textNow, usePage } from "../state.ts";
import { commandOf } from "./command.ts";
import { pulseCommand, studyCommand } from "./pulse/command.ts";

/** The command that gives the same on the command line. */
export function CommandLine() {
  usePage((state) => state.draft?.name);
  const whole = usePage((state) => state.full !== null && state.full.text === textNow(state));
  const given = usePulse(pulseNow);
  const step = usePage((state) => state.step);
  const picture = usePage((state) => state.picture[state.step]);
  const command =
    step === "rate"
      ? studyCommand(picture === "shapes" ? "shape" : "rates")
      : step === "pulse" && given !== null
        ? pulseCommand(given)
        : commandOf();
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(command);
      tell("told", "The command is copied.");
    } catch {
      tell("caution", "The browser does not let this page copy; mark the command and copy it.");
    }
  };
  return (
    <p className="command">
      <span>Command</span> <code>{command}</code>
      <button type="button" className="quiet" onClick={() => void copy()}>
        Copy
      </button>
      <button type="button" className="quiet" disabled={!whole} onClick={sheetAsJson}>
        Sheet as JSON
      </button>
    </p>
  );
}

/** The `result` of `reedlift check --json`. */
function sheetAsJson(): void {
  const { full, draft } = get();
  if (full === null) return;
  download(
    `${bareName(draft?.name ?? null)}.json`,
    `${JSON.stringify(full.result, null, 2)}\n`,
    "application/json",
  );
}
