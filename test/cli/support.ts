import { type SpawnSyncOptions, spawnSync } from "node:child_process";
import { copyFileSync, cpSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { onTestFinished } from "vitest";
import type { Host } from "../../src/cli/host.ts";
import { type Action, runCommandLine } from "../../src/cli/program.ts";

export const ROOT = join(import.meta.dirname, "..", "..");
export const MAIN = join(ROOT, "dist", "cli", "main.js");
export const example = (name: string) => join(ROOT, "examples", `${name}.reed.yaml`);
export const exampleText = (name: string) => readFileSync(example(name), "utf8");

/** A strip that meets its one requirement, quick to compute. */
export const STRIP = `reedlift: 1
need: {swing_min: 40 µm}
strip:
  width: 5 mm
  free_length: 20.0(1) mm
  layers:
    - {material: soft ceramic, thickness: 0.20 mm, poling: up, bottom: lower, top: vane}
    - {material: brass, thickness: 0.10 mm, conductor: vane}
    - {material: soft ceramic, thickness: 0.20 mm, poling: up, bottom: vane, top: upper}
clamp: {length: 5 mm}
wiring: {lower: ground, vane: switched, upper: bias}
rails: {bias: {voltage: -150 V}}
switch: {high: ground, low: bias, idle: low, series_resistor: 470 Ω}
`;
/** The same with a swing that it cannot make. */
export const SHORT_OF_SWING = STRIP.replace("40 µm", "40 mm");
/** The same with a free length that is read in the middle of a range: a warning. */
export const WITH_WARNING = STRIP.replace("20.0(1) mm", "{from: 18 mm, to: 22 mm}");
/** The same with three mistakes. */
export const BROKEN = STRIP.replace("5 mm", "5 bar")
  .replace("poling: up, ", "")
  .replace("clamp:", "clmp:");

export interface Ran {
  code: number | null;
  out: string;
  err: string;
}

/** The shipped command as a process. */
export function spawned(words: readonly string[], options: SpawnSyncOptions = {}): Ran {
  const done = spawnSync(process.execPath, [MAIN, ...words], {
    cwd: ROOT,
    encoding: "utf8",
    env: { ...process.env, NO_COLOR: undefined },
    ...options,
  });
  return { code: done.status, out: String(done.stdout), err: String(done.stderr) };
}

export interface Stage {
  stdin?: string | Uint8Array;
  terminal?: boolean;
  columns?: number;
  env?: Record<string, string>;
  actions?: Readonly<Record<string, () => Promise<Action>>>;
}

/** The same command line within this process, on a host of the test's own. */
export async function staged(words: readonly string[], stage: Stage = {}): Promise<Ran> {
  let out = "";
  let err = "";
  const host: Host = {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    terminal: stage.terminal ?? false,
    columns: stage.terminal === true ? (stage.columns ?? 120) : null,
    env: stage.env ?? {},
    async *stdin() {
      yield stage.stdin ?? "";
    },
    ended: async () => undefined,
  };
  return { code: await runCommandLine(words, host, stage.actions), out, err };
}

/** A folder that is gone after the test. */
export function scratch(): string {
  const folder = mkdtempSync(join(tmpdir(), "reedlift-test-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/**
 * The command as a user without rights: permissions do not bind the administrator. The shipped files are
 * copied below `folder`, since nobody may not be let into the project's own.
 */
export function asNobody(words: readonly string[], folder: string, input = ""): Ran {
  cpSync(join(ROOT, "dist", "cli"), join(folder, "shipped", "dist", "cli"), { recursive: true });
  copyFileSync(join(ROOT, "package.json"), join(folder, "shipped", "package.json"));
  const rights = process.getuid?.() === 0 ? { uid: 65534, gid: 65534 } : {};
  const main = join(folder, "shipped", "dist", "cli", "main.js");
  const done = spawnSync(process.execPath, [main, ...words], {
    cwd: "/",
    encoding: "utf8",
    input,
    ...rights,
  });
  return { code: done.status, out: done.stdout, err: done.stderr };
}
