import { parse } from "yaml";
import { readDesign } from "../../../src/design/readDesign.ts";
import { randomStream } from "../../../src/numerics/random.ts";
import type { Base, Draw, Mutated, Mutation } from "./base.ts";
import { CHANGED } from "./changed.ts";
import { REFUSED } from "./refused.ts";
import { SAME } from "./same.ts";

/** Letters thrown in, taken out or doubled at random: no outcome is promised, only good manners. */
const NOISE: Mutation = {
  name: "noise",
  apply({ text }, draw) {
    const signs = " \t\n:-[]{}#&*!|>'\"%@`,.?0123456789eE±µΩ°()/ mkVbar\u0000\u2028\ud800";
    let out = text;
    for (let k = 1 + draw.below(3); k > 0; k--) {
      const at = draw.below(out.length);
      const sign = signs[draw.below(signs.length)] ?? "";
      const kind = draw.below(4);
      if (kind === 0) out = out.slice(0, at) + sign + out.slice(at);
      else if (kind === 1) out = out.slice(0, at) + out.slice(at + 1 + draw.below(4));
      else if (kind === 2) out = out.slice(0, at) + sign + out.slice(at + 1);
      else out = out.slice(0, at) + out.slice(at, at + 30) + out.slice(at);
    }
    return { text: out, outcome: { kind: "any" } };
  },
};

export const MUTATIONS: readonly Mutation[] = [...SAME, ...CHANGED, ...REFUSED, NOISE];

export interface FuzzResult {
  done: number;
  /** Cases of each mutation. */
  counts: Record<string, number>;
  failures: { case: number; mutation: string; base: string; what: string; text: string }[];
}

/** Runs cases `from` to `from + count − 1`; a case depends on the seed and its own number only. */
export function fuzz(
  bases: readonly Base[],
  seed: number,
  from: number,
  count: number,
): FuzzResult {
  const result: FuzzResult = { done: 0, counts: {}, failures: [] };
  for (let i = from; i < from + count; i++) {
    const stream = randomStream(seed, i);
    const draw: Draw = {
      below: (n) => Math.min(n - 1, Math.floor(stream.uniform() * n)),
      of: (items) => items[draw.below(items.length)]!,
    };
    let mutated: Mutated | null = null;
    let mutation = NOISE;
    let base = bases[0]!;
    for (let tries = 0; mutated === null && tries < 60; tries++) {
      mutation = draw.of(MUTATIONS);
      base = draw.of(bases);
      mutated = mutation.apply(base, draw);
    }
    if (mutated === null) throw new Error(`case ${i}: no mutation found a place`);
    const what = fault(base, mutated);
    result.done++;
    result.counts[mutation.name] = (result.counts[mutation.name] ?? 0) + 1;
    if (what !== null)
      result.failures.push({
        case: i,
        mutation: mutation.name,
        base: base.name,
        what,
        text: mutated.text,
      });
  }
  return result;
}

/** What is wrong with the reader's answer; null when it is as it must be. */
function fault(base: Base, { text, outcome }: Mutated): string | null {
  let answer: ReturnType<typeof readDesign>;
  try {
    answer = readDesign(text);
  } catch (error) {
    return `threw ${String(error)}`;
  }
  if (!answer.ok) {
    const { problems } = answer;
    const bad = problems.find(
      (p) => p.message === "" || p.line < 0 || /(?<!and )undefined|NaN|\[object/.test(p.message),
    );
    if (bad !== undefined) return `words: ${JSON.stringify(bad)}`;
    if (problems.length === 0) return "refused without a problem";
    if (outcome.kind === "any") return null;
    const codes = problems.map((p) => p.code);
    if (outcome.kind !== "refused") return `refused: ${JSON.stringify(problems[0])}`;
    return codes.some((code) => outcome.codes.includes(code))
      ? null
      : `refused as ${codes}, not ${outcome.codes}`;
  }
  switch (outcome.kind) {
    case "refused":
      return "accepted";
    case "same":
      return answer.canonical === base.canonical
        ? null
        : `another echo: ${difference(base.canonical, answer.canonical)}`;
    case "any": {
      const again = readDesign(answer.canonical);
      return again.ok && again.canonical === answer.canonical ? null : "the echo is no fixed point";
    }
    case "changed":
      return changedFault(base, answer.canonical, outcome);
  }
}

function changedFault(
  base: Base,
  canonical: string,
  { path, value, u }: { path: readonly (string | number)[]; value: number | string; u?: number },
): string | null {
  const [was, is] = [base.canonical.split("\n"), canonical.split("\n")];
  const changed = is.flatMap((line, i) => (line === was[i] ? [] : [i]));
  const [at] = changed;
  if (is.length !== was.length || changed.length !== 1 || at === undefined)
    return `${changed.length} lines of the echo differ: ${difference(base.canonical, canonical)}`;
  const found = pathOfLine(is, at);
  if (found !== path.join(".")) return `the echo differs at ${found}, not at ${path.join(".")}`;
  const text = (is[at] as string).replace(/^[- ]*(?:"[^"]*"|[^:"]+): /, "");
  if (typeof value === "string")
    return parse(text) === value || text === value ? null : `there stands ${text}, not ${value}`;
  const [number, mark, uncertainty] = text.split(" ");
  if (Number(number) !== value) return `there stands ${text}, not ${value}`;
  const stated = mark === "±" ? Number(uncertainty) : 0;
  return u === undefined || stated === u ? null : `there stands ${text}, not ± ${u}`;
}

/** Dotted path of one line of an echo, by its indentation. */
function pathOfLine(lines: readonly string[], at: number): string {
  const path: (string | number)[] = [];
  let indent = Number.POSITIVE_INFINITY;
  let index = 0;
  for (let i = at; i >= 0; i--) {
    const line = lines[i] as string;
    const own = line.search(/[^ ]/);
    const isItem = line.startsWith("- ", own);
    const key = line
      .slice(isItem ? own + 2 : own)
      .replace(/:.*$/, "")
      .replaceAll('"', "");
    if (isItem && own + 2 === indent) index++;
    if (isItem && own + 2 < indent && path.length === 0) {
      path.unshift(key);
      indent = own + 2;
      index = 1;
    } else if (!isItem && own < indent) {
      if (index > 0) path.unshift(index - 1);
      index = 0;
      path.unshift(key);
      indent = own;
    }
  }
  return path.join(".");
}

function difference(a: string, b: string): string {
  const [x, y] = [a.split("\n"), b.split("\n")];
  const i = x.findIndex((line, k) => line !== y[k]);
  return `${x[i]} → ${y[i]}`;
}
