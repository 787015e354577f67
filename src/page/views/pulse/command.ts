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

/** The command line that scans the same rates. */
export const ratesCommand = (more = ""): string =>
  ["reedlift rates", shellName(), more].filter((part) => part !== "").join(" ");

/** Where pictures of rates come from, in one line. */
export function ratesOrigin(): string {
  const { folder, draft } = get();
  return `reedlift ${folder?.version ?? ""}, ${draft?.name ?? "not saved"}; remade by: ${ratesCommand("--svg pictures")}`;
}
