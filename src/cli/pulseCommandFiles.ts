import { existsSync, statSync } from "node:fs";
import { basename, dirname } from "node:path";
import type { Design } from "../design/design.ts";
import { seriesTable } from "../report/figures/pulseSeries.ts";
import { PULSE_PICTURES } from "../report/figures/pulseSet.ts";
import type { PulseRun } from "../studies/pulse.ts";
import type { PulseOptions } from "../studies/pulseOptions.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Input } from "./input.ts";
import { counted } from "./outcome.ts";
import { picturesLine } from "./pulseCommandOptions.ts";
import type { SeriesOrigin } from "./seriesFiles.ts";
import { trouble } from "./trouble.ts";
import { VERSION } from "./version.ts";
import { checkFolder, writeFiles } from "./writeFile.ts";

/**
 * Stops with 2 where a file or folder of the options can't be written or is there already. Called before
 * anything is computed.
 */
export function checkPulseFiles(flags: Flags): void {
  const force = flags.force === true;
  if (flags.svg !== undefined)
    checkFolder(
      flags.svg,
      PULSE_PICTURES.flatMap((name) => [`${name}.svg`, `${name}.csv`]),
      force,
    );
  for (const path of [flags.csv, flags.parquet]) {
    if (path === undefined) continue;
    if (existsSync(path) && statSync(path).isDirectory())
      throw new Stop(
        EXIT.invalid,
        trouble("not-a-file", "this is a folder", { file: path, allowed: "the name of a file" }),
      );
    checkFolder(dirname(path), [basename(path)], force);
  }
}

/** Writes series and pictures that were asked for; what it wrote, as sentences. */
export async function writePulseFiles(
  design: Design,
  run: PulseRun,
  input: Input,
  flags: Flags,
  options: PulseOptions,
): Promise<string[]> {
  const notes: string[] = [];
  if (flags.csv !== undefined || flags.parquet !== undefined) {
    const { seriesCsv, seriesParquet } = await import("./seriesFiles.ts");
    const origin = originOf(design, run, input);
    const columns = seriesTable(run);
    const size = `${run.series.count} rows of ${columns.length} columns, ${origin.part}`;
    if (flags.csv !== undefined) notes.push(put(flags.csv, seriesCsv(origin, columns), size));
    if (flags.parquet !== undefined)
      notes.push(put(flags.parquet, await seriesParquet(origin, columns), size));
  }
  if (flags.svg !== undefined)
    notes.push(await draw(design, run, input, flags.svg, flags, options));
  return notes;
}

function put(path: string, bytes: Uint8Array, size: string): string {
  writeFiles(dirname(path), [{ name: basename(path), text: bytes }]);
  return `Series in ${path}: ${size}.`;
}

function originOf(design: Design, { result }: PulseRun, input: Input): SeriesOrigin {
  const { drive } = result;
  return {
    version: VERSION,
    design: design.name,
    sha256: input.sha256,
    drive: drive.text,
    part:
      drive.pulses === 1
        ? "the whole pulse, time from the gate's opening edge"
        : `pulse ${drive.pulses} of ${drive.pulses}, time from its own opening edge`,
  };
}

async function draw(
  design: Design,
  run: PulseRun,
  input: Input,
  folder: string,
  flags: Flags,
  options: PulseOptions,
): Promise<string> {
  const { pulsePictures } = await import("../report/figures/pulseSet.ts");
  const remade = picturesLine(input.name, flags, folder);
  const origin = `reedlift ${VERSION}, ${input.name}, sha256 ${input.sha256.slice(0, 12)}; remade by: ${remade}`;
  const { edges, waveform } = options;
  const figures = pulsePictures(design, run, {
    origin,
    ...(edges === undefined ? {} : { edges }),
    ...(waveform === undefined ? {} : { waveform }),
  });
  writeFiles(
    folder,
    figures.flatMap((figure) => [
      { name: `${figure.name}.svg`, text: figure.svg },
      { name: `${figure.name}.csv`, text: figure.csv },
    ]),
  );
  return `${counted(figures.length, "picture")} (SVG, with the numbers as CSV) in ${folder}: ${figures.map(({ name }) => name).join(", ")}`;
}
