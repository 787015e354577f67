import { NoPulseError } from "../studies/pulseOptions.ts";
import { type Provenance, stopped } from "./designInput.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import type { Input } from "./input.ts";
import type { Look } from "./outcome.ts";
import { type Progress, progress } from "./progress.ts";
import { trouble } from "./trouble.ts";

/** What the commands that run the valve in time share. */
export interface Context {
  flags: Flags;
  input: Input;
  provenance: Provenance;
}

/** Progress on stderr: a bar on a terminal, sparse lines elsewhere, nothing with --quiet. */
export function told(host: Host, look: Look, flags: Flags, what: string, total: number): Progress {
  return progress({
    bar: host.terminal && process.stderr.isTTY === true,
    ascii: look.ascii,
    what,
    total,
    write: (text) => {
      if (flags.quiet !== true) host.err(text);
    },
    now: () => performance.now(),
  });
}

/** The design has nothing that could be run in time. */
export function noPulse(message: string, hint: string, input: Input, provenance: Provenance): Stop {
  const found = trouble("no-pulse", message, { file: input.name, hint });
  return stopped(new Stop(EXIT.failed, found), provenance);
}

/**
 * What settling a run threw, as a stop: a design without a pulse, or options that do not fit; anything else is
 * thrown on.
 */
export function unsettled(
  error: unknown,
  what: string,
  hint: string,
  input: Input,
  provenance: Provenance,
): Stop {
  if (error instanceof NoPulseError)
    return noPulse(`no ${what} can be computed: ${error.message}`, hint, input, provenance);
  if (!(error instanceof RangeError)) throw error;
  const found = trouble("option", error.message, { file: input.name });
  return stopped(new Stop(EXIT.invalid, found), provenance);
}

/** A run that failed, as a stop; what is no RangeError is thrown on. */
export function notComputed(
  error: unknown,
  message: string,
  hint: string,
  { input, provenance }: Context,
): Stop {
  if (!(error instanceof RangeError)) throw error;
  const found = trouble("not-computed", `${message}: ${error.message}`, { file: input.name, hint });
  return stopped(new Stop(EXIT.failed, found), provenance);
}

/** Path of the first number that is not finite; null: none. */
export function notFinite(value: unknown, path: string): string | null {
  if (typeof value === "number") return Number.isFinite(value) ? null : path;
  if (typeof value !== "object" || value === null) return null;
  for (const [key, item] of Object.entries(value)) {
    const found = notFinite(item, `${path}.${key}`);
    if (found !== null) return found;
  }
  return null;
}
