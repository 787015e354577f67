import { nearest } from "../design/nearest.ts";
import type { ShapeOptions } from "../studies/shape.ts";
import { parseQuantity, type QuantityKind } from "../units/index.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import { DRIVE_NAMES, LANDINGS_MAX, LANDINGS_MIN, MADE_BY } from "./shapeCommandRow.ts";
import { type Trouble, trouble } from "./trouble.ts";

export interface ShapeAskedFor {
  options: ShapeOptions & { landing: "switch" | "waveform" | "none"; seed: number };
  by: "switch" | "waveform";
  /** null: the best. */
  drive: string | null;
  /** null: chosen. */
  sampleRate: number | null;
}

/** Largest frequency error, exclusive. */
const ERROR_MAX = 0.5;

/**
 * What the options of `shape` ask for.
 * @throws Stop with exit code 2 and everything that is wrong
 */
export function shapeOptions(argument: string, flags: Flags): ShapeAskedFor {
  const troubles: Trouble[] = [...contradictions(argument, flags)];
  const number = (name: string, text: string | undefined, kind: QuantityKind) => {
    if (text === undefined) return undefined;
    const read = readPositive(`--${name}`, text, kind);
    if (typeof read === "number") return read;
    troubles.push(read);
    return undefined;
  };
  const gate = number("gate", flags.gate, "time");
  const error = number("error", flags.error, "ratio");
  if (error !== undefined && error >= ERROR_MAX)
    troubles.push(
      trouble("option", "--error must be below one half", {
        found: flags.error ?? "",
        allowed: 'a share below 50 %, such as "5 %"',
      }),
    );
  const sampleRate = number("sample-rate", flags.sampleRate, "frequency") ?? null;
  const { landings, seed = 1 } = flags;
  if (landings !== undefined && landings !== 0 && landings < LANDINGS_MIN)
    troubles.push(
      trouble("option", "--landings is too small for a search", {
        found: String(landings),
        allowed: `a whole number from ${LANDINGS_MIN} to ${LANDINGS_MAX}, or 0 for none`,
      }),
    );
  const by = oneOf("by", flags.by ?? "switch", MADE_BY, troubles) ?? "switch";
  const drive =
    flags.drive === undefined ? null : oneOf("drive", flags.drive, DRIVE_NAMES, troubles);
  if (drive === "soft-landing" && landings === 0)
    troubles.push(
      trouble("usage", "a soft landing needs a search", {
        found: "--landings 0",
        hint: "leave out --landings, or take another --drive",
      }),
    );
  if (troubles.length > 0) throw new Stop(EXIT.invalid, ...troubles);
  return {
    options: {
      ...(gate === undefined ? {} : { gate }),
      ...(error === undefined ? {} : { error }),
      ...(landings === undefined || landings === 0 ? {} : { landingsMax: landings }),
      landing: landings === 0 ? "none" : by,
      seed,
    },
    by,
    drive,
    sampleRate,
  };
}

function oneOf<T extends string>(
  flag: string,
  word: string,
  allowed: readonly T[],
  troubles: Trouble[],
): T | null {
  const found = allowed.find((each) => each === word);
  if (found !== undefined) return found;
  const near = nearest(word, allowed) ?? allowed.find((each) => each.startsWith(word));
  troubles.push(
    trouble("option", `--${flag} does not know this name`, {
      found: word,
      allowed: allowed.join(", "),
      hint: near == null ? "" : `did you mean ${near}?`,
    }),
  );
  return null;
}

/** A quantity above zero, without uncertainty. */
function readPositive(flag: string, text: string, kind: QuantityKind): number | Trouble {
  const read = parseQuantity(text, kind);
  if (!read.ok) {
    const { message, allowed, hint } = read.problem;
    return trouble("option", `${flag}: ${message}`, { found: text, allowed, hint: hint ?? "" });
  }
  const { value, u } = read.quantity;
  if (u === 0 && value > 0) return value;
  return trouble("option", u > 0 ? `${flag} takes no uncertainty` : `${flag} must be above zero`, {
    found: text,
    allowed: `a ${kind} above 0, without uncertainty`,
  });
}

function* contradictions(argument: string, flags: Flags): Generator<Trouble> {
  if (argument === "-" && flags.tables === "-")
    yield trouble("usage", "design and tables can't both come from standard input", { found: "-" });
  for (const flag of ["csv", "timing"] as const)
    if (flags[flag] === "-")
      yield trouble("usage", `--${flag} needs the name of a file: standard output has the result`, {
        found: "-",
      });
  if (flags.csv !== undefined && flags.csv === flags.timing)
    yield trouble("usage", "--csv and --timing need files of their own", { found: flags.csv });
}
