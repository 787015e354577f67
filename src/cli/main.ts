import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import { Script } from "node:vm";
import type { runProcess } from "./command.ts";

/*
 * What is installed as `reedlift`. The command itself is one script beside this file, and beside it
 * lies what V8 compiled of it when it was built (scripts/build.mjs): a sixth of the time of a check
 * went into reading and compiling the same text again. V8 refuses what another version or other flags
 * made, and compiles the script then as any other.
 */

/** The script: a function that fills `module.exports`. */
type Wrapped = (
  require: NodeJS.Require,
  module: { exports: { runProcess?: typeof runProcess } },
  url: string,
) => void;

const beside = (name: string) => fileURLToPath(new URL(name, import.meta.url));

function compiled(): Buffer | undefined {
  try {
    return readFileSync(beside("command.compiled"));
  } catch {
    return undefined;
  }
}

const file = beside("command.cjs");
const script = new Script(readFileSync(file, "utf8"), {
  filename: file,
  cachedData: compiled(),
});
const module: Parameters<Wrapped>[1] = { exports: {} };
(script.runInThisContext() as Wrapped)(createRequire(import.meta.url), module, import.meta.url);
await module.exports.runProcess?.();
