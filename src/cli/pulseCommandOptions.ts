import type { PulseOptions } from "../studies/pulseOptions.ts";
import { formatQuantity, parseQuantity, type QuantityKind } from "../units/index.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import { MODES_MAX, PULSES_MAX } from "./pulseCommandRow.ts";
import { type Trouble, trouble } from "./trouble.ts";

/** Longest step of the computation, s. */
const STEP_MAX = 1e-4;

/**
 * What the options of `pulse` ask for, without the drive of a file.
 * @throws Stop with exit code 2 and everything that is wrong
 */
export function pulseOptions(argument: string, flags: Flags): PulseOptions {
  const troubles: Trouble[] = [...contradictions(argument, flags)];
  const number = (
    flag: keyof Flags & string,
    kind: QuantityKind,
    most?: number,
  ): number | undefined => {
    const text = flags[flag];
    if (typeof text !== "string") return undefined;
    const read = readPositive(`--${flag}`, text, kind, most);
    if (typeof read === "number") return read;
    troubles.push(read);
    return undefined;
  };
  for (const [flag, most] of [
    ["count", PULSES_MAX],
    ["modes", MODES_MAX],
  ] as const)
    if (flags[flag] === 0)
      troubles.push(
        trouble("option", `--${flag} needs at least one`, {
          found: "0",
          allowed: `a whole number from 1 to ${most}`,
        }),
      );
  const { count, modes } = flags;
  const asked: { [key in keyof PulseOptions]: PulseOptions[key] | undefined } = {
    gate: number("gate", "time"),
    rate: number("rate", "frequency"),
    duration: number("duration", "time"),
    step: number("step", "time", STEP_MAX),
    count,
    modes,
    ceramic: flags.linear === true ? "linear" : undefined,
    startUp: flags.startUp,
    halveStep: flags.halveStep,
    frames: flags.svg === undefined ? undefined : true,
  };
  if (troubles.length > 0) throw new Stop(EXIT.invalid, ...troubles);
  const given = Object.entries(asked).filter(([, value]) => value !== undefined);
  return Object.fromEntries(given) as PulseOptions;
}

/** Options that change what is computed, in the order of the help. */
const WITH_VALUE = [
  "gate",
  "edges",
  "waveform",
  "count",
  "rate",
  "duration",
  "step",
  "modes",
] as const;

/** The command line that draws the pictures of the same run; words with blanks are quoted. */
export function picturesLine(name: string, flags: Flags, folder: string): string {
  const word = (text: string) =>
    /^[\p{L}\p{N}_./:+-]+$/u.test(text) ? text : `'${text.replaceAll("'", "'\\''")}'`;
  return [
    "reedlift pulse",
    word(name),
    ...WITH_VALUE.flatMap((flag) => {
      const value = flags[flag];
      return value === undefined ? [] : [`--${flag}`, word(String(value))];
    }),
    ...(flags.linear === true ? ["--linear"] : []),
    ...(flags.startUp === true ? ["--start-up"] : []),
    ...(flags.tables === undefined ? [] : ["--tables", word(flags.tables)]),
    "--svg",
    word(folder),
  ].join(" ");
}

/** A quantity above zero, without uncertainty. */
function readPositive(
  flag: string,
  text: string,
  kind: QuantityKind,
  most = Number.POSITIVE_INFINITY,
): number | Trouble {
  const read = parseQuantity(text, kind);
  if (!read.ok) {
    const { message, allowed, hint } = read.problem;
    return trouble("option", `${flag}: ${message}`, { found: text, allowed, hint: hint ?? "" });
  }
  const { value, u } = read.quantity;
  if (u > 0)
    return trouble("option", `${flag} takes no uncertainty: one run has one value`, {
      found: text,
      allowed: `a ${kind} without uncertainty`,
    });
  if (!(value > 0))
    return trouble("option", `${flag} must be above zero`, {
      found: text,
      allowed: `a ${kind} above 0`,
    });
  if (value > most)
    return trouble("option", `${flag} is too long`, {
      found: text,
      allowed: `at most ${formatQuantity(most, 0, kind)}`,
    });
  return value;
}

function* contradictions(argument: string, flags: Flags): Generator<Trouble> {
  const drives = (["gate", "edges", "waveform"] as const).filter((k) => flags[k] !== undefined);
  if (drives.length > 1)
    yield trouble("usage", "one drive at a time", {
      found: drives.map((name) => `--${name}`).join(" and "),
      allowed: "one of --gate, --edges, --waveform",
    });
  if (flags.duration !== undefined && ((flags.count ?? 1) > 1 || flags.rate !== undefined))
    yield trouble("usage", "--duration is of a single pulse; a train lasts count over rate", {
      found: `--duration with ${flags.rate === undefined ? "--count" : "--rate"}`,
      hint: "leave out --duration",
    });
  const streams = [
    ["the design", argument],
    ["--tables", flags.tables],
    ["--edges", flags.edges],
    ["--waveform", flags.waveform],
  ].flatMap(([what, path]) => (path === "-" ? [what] : []));
  if (streams.length > 1)
    yield trouble("usage", "only one input can come from standard input", {
      found: streams.join(", "),
    });
  for (const flag of ["csv", "parquet"] as const)
    if (flags[flag] === "-")
      yield trouble("usage", `--${flag} needs the name of a file: standard output has the result`, {
        found: "-",
      });
}
