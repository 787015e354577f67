import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { build } from "esbuild";

/**
 * The functions to time (a module beside this one), bundled as the build bundles them and as users run them. Run from source they
 * are a quarter slower: the loader gives every function its name at the moment it is made.
 */
export async function bundled<Timed = typeof import("./timedFunctions.ts")>(
  module = "timedFunctions.ts",
): Promise<Timed> {
  const folder = mkdtempSync(join(tmpdir(), "reedlift-timed-"));
  try {
    const outfile = join(folder, "timed.mjs");
    await build({
      entryPoints: [join(import.meta.dirname, module)],
      outfile,
      bundle: true,
      format: "esm",
      platform: "node",
      target: "node20",
      charset: "utf8",
      logLevel: "warning",
      minifySyntax: true,
      minifyWhitespace: true,
      banner: {
        js: 'import{createRequire as requireFrom}from"node:module";const require=requireFrom(import.meta.url);',
      },
    });
    return (await import(pathToFileURL(outfile).href)) as Timed;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
