import { tell, usePage } from "../state.ts";
import { commandOf } from "./command.ts";

/** The command that gives the same on the command line. */
export function CommandLine() {
  usePage((state) => state.draft?.name);
  const command = commandOf();
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
      <span>The same on the command line</span> <code>{command}</code>
      <button type="button" className="quiet" onClick={() => void copy()}>
        Copy
      </button>
    </p>
  );
}
