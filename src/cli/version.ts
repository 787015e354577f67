import { readFileSync } from "node:fs";

declare const __REEDLIFT_VERSION__: string | undefined;
declare const __REEDLIFT_REVISION__: string | null | undefined;

/** Version of the package; the build puts it in, from source it is read from package.json. */
export const VERSION: string =
  typeof __REEDLIFT_VERSION__ === "string" ? __REEDLIFT_VERSION__ : fromPackage();

/** Revision of the sources that the build was made from; null when that is not known. */
export const REVISION: string | null =
  typeof __REEDLIFT_REVISION__ === "string" ? __REEDLIFT_REVISION__ : null;

function fromPackage(): string {
  const text = readFileSync(new URL("../../package.json", import.meta.url), "utf8");
  return (JSON.parse(text) as { version: string }).version;
}
