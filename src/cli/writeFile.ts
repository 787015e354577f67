import { existsSync, mkdirSync, renameSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { EXIT, Stop } from "./exit.ts";
import { trouble } from "./trouble.ts";

/**
 * Stops with 2 when the folder is a file, or when one of the names is taken in it and may not be
 * overwritten. Called before anything is computed, so that a long run is not lost.
 */
export function checkFolder(folder: string, names: readonly string[], force: boolean): void {
  if (existsSync(folder) && !statSync(folder).isDirectory())
    throw new Stop(
      EXIT.invalid,
      trouble("not-a-folder", "not a folder", { file: folder, allowed: "a folder, or a new name" }),
    );
  const taken = force ? [] : names.filter((name) => existsSync(join(folder, name)));
  if (taken.length === 0) return;
  throw new Stop(
    EXIT.invalid,
    trouble("would-overwrite", `${taken.length} of the files to write are there already`, {
      file: folder,
      found: taken.join(", "),
      hint: "--force overwrites them",
    }),
  );
}

/** Writes files into a folder, each whole or not at all: under another name first, then renamed. */
export function writeFiles(
  folder: string,
  files: readonly { name: string; text: string | Uint8Array }[],
): void {
  try {
    mkdirSync(folder, { recursive: true });
    for (const { name, text } of files) {
      const path = join(folder, name);
      const temporary = `${path}.${process.pid}.part`;
      try {
        writeFileSync(temporary, text);
        renameSync(temporary, path);
      } finally {
        rmSync(temporary, { force: true });
      }
    }
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const why = code === "EACCES" || code === "EPERM" || code === "EROFS" ? "no permission" : code;
    throw new Stop(
      EXIT.invalid,
      trouble("not-writable", `can't write here (${why})`, {
        file: folder,
        allowed: "a folder that you may write",
      }),
    );
  }
}
