import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { say } from "./steps.mjs";

/** Where Debian puts it; another place by the environment variable CHROMIUM. */
export const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";

/**
 * Sees to it that the browser of the page's tests is there: as root it is installed from Debian.
 * @returns null, or what is missing and how to get it
 */
export function ensureBrowser() {
  if (existsSync(CHROMIUM)) return null;
  const apt = spawnSync("apt-get", ["--version"]).status === 0;
  if (apt && process.getuid?.() === 0 && process.env.CHROMIUM === undefined) {
    say("Installing the browser of the page's tests (apt-get install chromium) ...");
    const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
    const stdio = ["ignore", 2, 2];
    spawnSync("apt-get", ["update", "-qq"], { stdio, env });
    const packages = ["chromium", "poppler-utils"];
    spawnSync("apt-get", ["install", "-y", "-qq", "--no-install-recommends", ...packages], {
      stdio,
      env,
    });
    if (existsSync(CHROMIUM)) return null;
  }
  return `FAILED: the page's tests need a browser at ${CHROMIUM}: apt-get install chromium (or set CHROMIUM to where one is)`;
}
