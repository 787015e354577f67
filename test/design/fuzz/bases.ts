import { readFileSync } from "node:fs";
import { join } from "node:path";
import { FULL, VALVE } from "../texts.ts";
import { type Base, baseOf } from "./base.ts";

const EXAMPLES = join(import.meta.dirname, "..", "..", "..", "examples");
const example = (name: string): Base =>
  baseOf(name, readFileSync(join(EXAMPLES, `${name}.reed.yaml`), "utf8"));

/** Texts that the cases start from; a text that stands twice is drawn twice as often. */
export function fuzzBases(): Base[] {
  const valve = baseOf("valve", VALVE);
  const shutter = example("mirror-shutter");
  const first = example("first-valve");
  return [valve, valve, valve, shutter, shutter, first, first, baseOf("full", FULL)];
}
