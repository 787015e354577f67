import { readFile, realpath } from "node:fs/promises";
import { join, relative, sep } from "node:path";
import type { PageFiles } from "./pageFiles.ts";

/** The files of a built page, read anew each time: a page that is built again is served at once. */
export function pageFolder(folder: string): PageFiles {
  return {
    read: async (path) => {
      try {
        const root = await realpath(folder);
        const real = await realpath(join(root, path));
        if (relative(root, real).split(sep)[0] === "..") return null;
        const bytes = await readFile(real);
        return new Uint8Array(bytes.buffer as ArrayBuffer, bytes.byteOffset, bytes.length);
      } catch {
        return null;
      }
    },
  };
}
