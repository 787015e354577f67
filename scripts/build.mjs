import { spawnSync } from "node:child_process";
import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { Script } from "node:vm";
import { buildPage } from "./buildPage.mjs";
import { ensureInstalled, ROOT, run, say, sourceHash, tool } from "./steps.mjs";

/*
 * dist/cli/main.js    the command: a start that loads command.cjs, everything in one script, with
 *                     command.compiled, what V8 made of it
 * dist/page/          what `reedlift serve` gives a browser
 * dist/index.js …     the library, its packages left outside, with type declarations
 *
 * node scripts/build.mjs [--if-stale] [--without-library | --command-only]
 */

const STAMP = join(ROOT, "dist", ".built.json");

/** Revision of the working copy, "+changes" when files differ from it; null outside a clone. */
function revision() {
  const git = (...args) => spawnSync("git", args, { cwd: ROOT, encoding: "utf8" });
  const head = git("rev-parse", "--short=12", "HEAD");
  if (head.status !== 0) return null;
  const changed = git("status", "--porcelain", "--untracked-files=no", "src", "package.json");
  return head.stdout.trim() + (changed.stdout.trim() === "" ? "" : "+changes");
}

function stamp() {
  try {
    return JSON.parse(readFileSync(STAMP, "utf8"));
  } catch {
    return {};
  }
}

/** Takes away what an older build left; page and command replace their own folders. */
function clearLibrary() {
  const dist = join(ROOT, "dist");
  if (!existsSync(dist)) return;
  for (const name of readdirSync(dist))
    if (name !== "page" && name !== "cli" && !name.startsWith(".cli-"))
      rmSync(join(dist, name), { recursive: true, force: true });
}

/** Examples whose check decides what of the command is kept compiled. */
const CHECKED = ["crossed-beam-helium", "first-valve"];

/** Checks examples with the built command, and keeps what V8 compiled for it beside the command. */
async function compileCommand(folder) {
  const file = join(folder, "command.cjs");
  const url = pathToFileURL(join(folder, "main.js")).href;
  const script = new Script(readFileSync(file, "utf8"), { filename: file });
  const module = { exports: {} };
  script.runInThisContext()(createRequire(url), module, url);
  let faults = "";
  const host = {
    out: () => {},
    err: (text) => {
      faults += text;
    },
    terminal: false,
    columns: null,
    env: {},
  };
  const command = async (...words) => {
    const code = await module.exports.runCommandLine(words, host);
    if (code > 1) throw new Error(`${words.join(" ")} ended with ${code}: ${faults}`);
  };
  await command("--help");
  for (const name of CHECKED)
    for (const form of ["--ascii", "--json"])
      await command("check", join(ROOT, "examples", `${name}.reed.yaml`), "--quiet", form);
  writeFileSync(join(folder, "command.compiled"), script.createCachedData());
}

/** Builds the command in a folder of its own, which takes the place of dist/cli when it is whole. */
async function buildCommand(bundle, common, version) {
  const folder = join(ROOT, "dist", `.cli-${process.pid}`);
  const main = join(folder, "main.js");
  try {
    await bundle({ ...common, entryPoints: ["src/cli/main.ts"], outfile: main, splitting: false });
    writeFileSync(main, `#!/usr/bin/env node\n${readFileSync(main, "utf8")}`);
    chmodSync(main, 0o755);
    await bundle({
      ...common,
      splitting: false,
      format: "cjs",
      entryPoints: ["src/cli/command.ts"],
      outfile: join(folder, "command.cjs"),
      minifySyntax: true,
      minifyWhitespace: true,
      define: {
        __REEDLIFT_VERSION__: JSON.stringify(version),
        __REEDLIFT_REVISION__: JSON.stringify(revision()),
        "import.meta.url": "url",
      },
      // One function, as src/cli/main.ts calls it.
      banner: { js: '(function(require,module,url){"use strict";' },
      footer: { js: "})" },
    });
    await compileCommand(folder);
    const target = join(ROOT, "dist", "cli");
    rmSync(target, { recursive: true, force: true });
    renameSync(folder, target);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Builds what is asked for; does nothing with `ifStale` when dist is as new as the sources. */
export async function build({ ifStale = false, withoutLibrary = false, commandOnly = false } = {}) {
  ensureInstalled();
  const hash = sourceHash();
  const before = stamp();
  const current = before.hash === hash && existsSync(join(ROOT, "dist", "cli", "main.js"));
  const enough =
    commandOnly || (before.page === true && (withoutLibrary || before.library === true));
  if (ifStale && current && enough) return;
  const { version } = JSON.parse(readFileSync(join(ROOT, "package.json"), "utf8"));
  const { build: bundle } = await import("esbuild");
  if (!current) clearLibrary();
  mkdirSync(join(ROOT, "dist"), { recursive: true });
  const common = {
    absWorkingDir: ROOT,
    bundle: true,
    splitting: true,
    format: "esm",
    platform: "node",
    target: "node20",
    charset: "utf8",
    logLevel: "warning",
    legalComments: "none",
  };
  await buildCommand(bundle, common, version);
  const page = !commandOnly;
  if (page) await buildPage(version);
  let library = false;
  if (!withoutLibrary && !commandOnly) {
    await bundle({
      ...common,
      entryPoints: ["src/index.ts", "src/physics/index.ts"],
      outdir: "dist",
      outbase: "src",
      chunkNames: "shared-[hash]",
      packages: "external",
      platform: "neutral",
    });
    const types = run(tool("tsc"), ["-p", "tsconfig.build.json"]);
    if (types.status !== 0) throw new Error("the type declarations could not be written");
    library = true;
  }
  writeFileSync(STAMP, `${JSON.stringify({ hash, page, library })}\n`);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  const options = {
    ifStale: process.argv.includes("--if-stale"),
    withoutLibrary: process.argv.includes("--without-library"),
    commandOnly: process.argv.includes("--command-only"),
  };
  try {
    await build(options);
  } catch (error) {
    say(`build failed: ${error.message}`);
    process.exit(1);
  }
}
