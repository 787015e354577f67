import { existsSync, statSync } from "node:fs";
import { basename, dirname } from "node:path";
import type { Design } from "../design/design.ts";
import type { RatesResult } from "../studies/rates.ts";
import type { RatesMap } from "../studies/ratesMap.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Input } from "./input.ts";
import { counted } from "./outcome.ts";
import { trouble } from "./trouble.ts";
import { VERSION } from "./version.ts";
import { checkFolder, writeFiles } from "./writeFile.ts";

/** Names of the pictures. */
const PICTURES = { scan: "rates", map: "rate-map" } as const;

/**
 * Stops with 2 where a file or folder of the options can't be written or is there already. Called before
 * anything is computed.
 */
export function checkRatesFiles(flags: Flags, withMap: boolean): void {
  const force = flags.force === true;
  const names = withMap ? [PICTURES.scan, PICTURES.map] : [PICTURES.scan];
  if (flags.svg !== undefined)
    checkFolder(
      flags.svg,
      names.flatMap((name) => [`${name}.svg`, `${name}.csv`]),
      force,
    );
  if (flags.csv === undefined) return;
  if (existsSync(flags.csv) && statSync(flags.csv).isDirectory())
    throw new Stop(
      EXIT.invalid,
      trouble("not-a-file", "this is a folder", { file: flags.csv, allowed: "the name of a file" }),
    );
  checkFolder(dirname(flags.csv), [basename(flags.csv)], force);
}

/** Writes table and pictures that were asked for; what it wrote, as sentences. */
export async function writeRatesFiles(
  design: Design,
  result: RatesResult,
  map: RatesMap | null,
  input: Input,
  flags: Flags,
): Promise<string[]> {
  const notes: string[] = [];
  const origin = `reedlift ${VERSION}, ${input.name}, sha256 ${input.sha256.slice(0, 12)}`;
  if (flags.csv !== undefined) {
    const { ratesTable } = await import("../report/figures/ratesTable.ts");
    const text = ratesTable(design, result, origin);
    writeFiles(dirname(flags.csv), [{ name: basename(flags.csv), text }]);
    notes.push(`Table in ${flags.csv}: ${counted(result.rates.length, "rate")}.`);
  }
  if (flags.svg !== undefined) {
    const { rateChart } = await import("../report/figures/rateChart.ts");
    const { rateMap } = await import("../report/figures/rateMap.ts");
    const figures = [
      rateChart(design, result, { origin }),
      map === null ? null : rateMap(design, map, { origin }),
    ].filter((figure) => figure !== null);
    writeFiles(
      flags.svg,
      figures.flatMap((figure) => [
        { name: `${figure.name}.svg`, text: figure.svg },
        { name: `${figure.name}.csv`, text: figure.csv },
      ]),
    );
    notes.push(
      `${counted(figures.length, "picture")} (SVG, with the numbers as CSV) in ${flags.svg}: ${figures.map(({ name }) => name).join(", ")}`,
    );
  }
  return notes;
}
