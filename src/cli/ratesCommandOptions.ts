import type { RatesOptions } from "../studies/rates.ts";
import { parseQuantity, type QuantityKind } from "../units/index.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import { JOBS_MAX, RATES_MAX } from "./ratesCommandRow.ts";
import { type Trouble, trouble } from "./trouble.ts";

export interface RatesAsked {
  options: RatesOptions;
  /** Gate lengths of a map, s; null: none. */
  lengths: readonly [number, number] | null;
  /** null: one a core. */
  jobs: number | null;
}

/**
 * What the options of `rates` ask for.
 * @throws Stop with exit code 2 and everything that is wrong
 */
export function ratesOptions(argument: string, flags: Flags): RatesAsked {
  const troubles: Trouble[] = [];
  const number = (flag: "from" | "to" | "gate" | "change" | "step", kind: QuantityKind) => {
    const text = flags[flag];
    return text === undefined ? undefined : readPositive(`--${flag}`, text, kind, troubles);
  };
  for (const [flag, least, most] of [
    ["count", 2, RATES_MAX],
    ["jobs", 1, JOBS_MAX],
  ] as const) {
    const value = flags[flag];
    if (value !== undefined && (value < least || value > most))
      troubles.push(
        trouble("option", `--${flag} is out of its range`, {
          found: String(value),
          allowed: `a whole number from ${least} to ${most}`,
        }),
      );
  }
  if (argument === "-" && flags.tables === "-")
    troubles.push(
      trouble("usage", "design and tables can't both come from standard input", { found: "-" }),
    );
  if (flags.csv === "-")
    troubles.push(
      trouble("usage", "--csv needs the name of a file: standard output has the result", {
        found: "-",
      }),
    );
  const asked: { [key in keyof RatesOptions]: RatesOptions[key] | undefined } = {
    from: number("from", "frequency"),
    to: number("to", "frequency"),
    gate: number("gate", "time"),
    step: number("step", "time"),
    change: number("change", "ratio"),
    count: flags.count,
    ceramic: flags.linear === true ? "linear" : undefined,
  };
  const lengths = flags.lengths === undefined ? null : readRange(flags.lengths, troubles);
  if (troubles.length > 0) throw new Stop(EXIT.invalid, ...troubles);
  const given = Object.entries(asked).filter(([, value]) => value !== undefined);
  return {
    options: Object.fromEntries(given) as RatesOptions,
    lengths,
    jobs: flags.jobs ?? null,
  };
}

/** A quantity above zero, without uncertainty. */
function readPositive(
  flag: string,
  text: string,
  kind: QuantityKind,
  troubles: Trouble[],
): number | undefined {
  const read = parseQuantity(text, kind);
  if (!read.ok) {
    const { message, allowed, hint } = read.problem;
    troubles.push(
      trouble("option", `${flag}: ${message}`, { found: text, allowed, hint: hint ?? "" }),
    );
    return undefined;
  }
  const { value, u } = read.quantity;
  if (u > 0 || !(value > 0)) {
    troubles.push(
      trouble("option", u > 0 ? `${flag} takes no uncertainty` : `${flag} must be above zero`, {
        found: text,
        allowed: `a ${kind} above 0, without uncertainty`,
      }),
    );
    return undefined;
  }
  return value;
}

function readRange(text: string, troubles: Trouble[]): readonly [number, number] | null {
  const parts = text.split("..");
  const due = 'two times, such as "80 µs..400 µs"';
  if (parts.length !== 2) {
    troubles.push(
      trouble("option", "--lengths takes a shortest and a longest gate", {
        found: text,
        allowed: due,
      }),
    );
    return null;
  }
  const [from, to] = parts.map((part) => readPositive("--lengths", part.trim(), "time", troubles));
  if (from === undefined || to === undefined) return null;
  if (from < to) return [from, to];
  troubles.push(
    trouble("option", "--lengths must rise", { found: text, allowed: `${due}, the shorter first` }),
  );
  return null;
}
