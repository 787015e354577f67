import { get } from "../../state.ts";
import type { PulseGiven } from "../../worker/pulseRequests.ts";
import { shellName } from "../command.ts";

/** The command line that computes the same pulse. */
export function pulseCommand({ command }: Pick<PulseGiven, "command">, more = ""): string {
  return ["reedlift pulse", shellName(), command, more].filter((part) => part !== "").join(" ");
}

/** Where the traces come from, in one line. */
export function pulseOrigin(given: Pick<PulseGiven, "command">): string {
  const { folder, draft } = get();
  return `reedlift ${folder?.version ?? ""}, ${draft?.name ?? "not saved"}; remade by: ${pulseCommand(given, "--svg pictures")}`;
}

/** The command line of a study: `rates` or `shape`. */
export const studyCommand = (verb: "rates" | "shape", more = ""): string =>
  [`reedlift ${verb}`, shellName(), more].filter((part) => part !== "").join(" ");

/** Where its pictures come from, in one line. */
export function studyOrigin(verb: "rates" | "shape"): string {
  const { folder, draft } = get();
  return `reedlift ${folder?.version ?? ""}, ${draft?.name ?? "not saved"}; remade by: ${studyCommand(verb, "--svg pictures")}`;
}
