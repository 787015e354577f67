import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

/** What start, test, build and bench share. Node's own modules only: it runs before any install. */

export const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));

/** Says what is going on, on stderr. */
export function say(text) {
  process.stderr.write(`${text}\n`);
}

/** Ends with a message when Node is older than the package wants. */
export function requireNode() {
  const major = Number(process.versions.node.split(".")[0]);
  if (major >= 20) return;
  say(`Node 20 or newer is needed; this is ${process.version}.`);
  process.exit(2);
}

/**
 * True when node_modules holds every package of package-lock.json at its version. Packages for
 * other machines (optional ones) need not be there.
 */
function installed() {
  const read = (name) => JSON.parse(readFileSync(join(ROOT, name), "utf8")).packages;
  const there = join("node_modules", ".package-lock.json");
  if (!existsSync(join(ROOT, there))) return false;
  try {
    const have = read(there);
    return Object.entries(read("package-lock.json")).every(
      ([path, wanted]) =>
        path === "" || wanted.optional === true || have[path]?.version === wanted.version,
    );
  } catch {
    return false;
  }
}

/** Installs what package-lock.json names, when it is not there already. */
export function ensureInstalled() {
  requireNode();
  if (installed()) return;
  say("Installing packages (npm ci) ...");
  const args = ["ci", "--no-audit", "--no-fund", "--prefer-offline"];
  const { status } = spawnSync("npm", args, {
    cwd: ROOT,
    stdio: ["ignore", 2, 2],
    shell: process.platform === "win32",
  });
  if (status !== 0) {
    say("npm ci failed: see its message above. The first install needs a network.");
    process.exit(1);
  }
}

/** Path of a command that a package brings along. */
export function tool(name) {
  return join(ROOT, "node_modules", ".bin", process.platform === "win32" ? `${name}.cmd` : name);
}

/** Runs a command in the project; its output goes to this process's stderr. */
export function run(command, args, options = {}) {
  return spawnSync(command, args, {
    cwd: ROOT,
    stdio: ["ignore", 2, 2],
    shell: process.platform === "win32",
    ...options,
  });
}

/** Every file below a folder of the project, sorted, as paths from the root. */
function filesBelow(folder) {
  return readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath ?? entry.path, entry.name))
    .sort();
}

/** Hash of everything that the build reads. */
export function sourceHash() {
  const hash = createHash("sha256");
  const files = [
    ...filesBelow("src").filter((file) => !/\.test(-data)?\.ts$/.test(file)),
    ...["package.json", "package-lock.json", "tsconfig.json", "tsconfig.build.json"].map((name) =>
      join(ROOT, name),
    ),
    ...["build.mjs", "buildPage.mjs"].map((name) => join(ROOT, "scripts", name)),
    join(ROOT, "docs", "theory.md"),
  ];
  for (const file of files) {
    hash.update(file.slice(ROOT.length));
    hash.update(readFileSync(file));
  }
  return hash.digest("hex");
}
