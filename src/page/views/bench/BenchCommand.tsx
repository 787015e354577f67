import { download } from "../../actions.ts";
import { reducedJson, useBench } from "../../compute/bench.ts";
import { tell, usePage } from "../../state.ts";
import { benchCommand } from "./command.ts";

/** The command that gives the same on the command line. */
export function BenchCommand() {
  useBench();
  usePage((state) => state.draft?.name);
  const reduced = useBench((state) => state.reduced?.ok === true);
  const command = benchCommand();
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(command);
      tell("told", "The command is copied.");
    } catch {
      tell("caution", "The browser does not let this page copy; mark the command and copy it.");
    }
  };
  const json = async () => {
    const text = await reducedJson();
    if (text !== null) download(`${useBench.getState().kind}.json`, text, "application/json");
  };
  return (
    <p className="command">
      <span>Command</span> <code>{command}</code>
      <button type="button" className="quiet" onClick={() => void copy()}>
        Copy
      </button>
      <button type="button" className="quiet" disabled={!reduced} onClick={() => void json()}>
        Values as JSON
      </button>
    </p>
  );
}
