import { existsSync, statSync } from "node:fs";
import { basename, dirname } from "node:path";
import type { Design } from "../design/design.ts";
import { sampledWaveform } from "../physics/waveformSamples.ts";
import { timingFile } from "../physics/waveformWrite.ts";
import type { ShapeStudy } from "../studies/shape.ts";
import { shapeFile, waveformOfDrive } from "../studies/shapeFiles.ts";
import type { JudgedShapes } from "../studies/shapeJudge.ts";
import { formatQuantity } from "../units/index.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Input } from "./input.ts";
import { counted } from "./outcome.ts";
import { trouble } from "./trouble.ts";
import { VERSION } from "./version.ts";
import { checkFolder, writeFiles } from "./writeFile.ts";

/** Name of the picture. */
const PICTURE = "shapes";

/**
 * Stops with 2 where a file or folder of the options can't be written or is there already. Called before
 * anything is computed.
 */
export function checkShapeFiles(flags: Flags): void {
  const force = flags.force === true;
  if (flags.svg !== undefined) checkFolder(flags.svg, [`${PICTURE}.svg`, `${PICTURE}.csv`], force);
  for (const path of [flags.csv, flags.timing]) {
    if (path === undefined) continue;
    if (existsSync(path) && statSync(path).isDirectory())
      throw new Stop(
        EXIT.invalid,
        trouble("not-a-file", "this is a folder", { file: path, allowed: "the name of a file" }),
      );
    checkFolder(dirname(path), [basename(path)], force);
  }
}

/** Sample rates that are tried, Hz: 1, 2, 5, 10 … MHz up to 1 GHz. */
const RATES = [1e6, 1e7, 1e8].flatMap((decade) => [decade, 2 * decade, 5 * decade]).concat(1e9);
/** Samples may stray by this share of the swing. */
const STRAY = 1e-3;
/** Most samples of a rate that is chosen here. */
const SAMPLES = 1_000_000;

/** The lowest rate that follows the waveform closely enough; the highest that its length allows where none does. */
function rateFor(waveform: ReturnType<typeof waveformOfDrive>): number {
  const length = (waveform.times.at(-1) ?? 0) - (waveform.times[0] ?? 0);
  const possible = RATES.filter((rate) => length * rate < SAMPLES);
  const close = possible.find((rate) => sampledWaveform(waveform, rate).largestError <= STRAY);
  return close ?? possible.at(-1) ?? SAMPLES / (2 * length);
}

/**
 * Writes drive, edges and picture that were asked for; what it wrote, as sentences.
 * @throws RangeError for a sample rate that gives too many samples
 */
export async function writeShapeFiles(
  design: Design,
  study: ShapeStudy,
  judged: JudgedShapes,
  sampleRate: number | null,
  input: Input,
  flags: Flags,
): Promise<string[]> {
  const notes: string[] = [];
  const { result, rows } = judged;
  const taken = rows.find(({ figures }) => figures.id === result.taken)?.row;
  const origin = { design: design.name, version: VERSION };
  const put = (path: string, text: string) =>
    writeFiles(dirname(path), [{ name: basename(path), text }]);
  if (flags.csv !== undefined && taken !== undefined) {
    const { setting } = study;
    const deadTime = design.switch?.deadTime ?? 0;
    if (taken.drive === "switch") {
      put(flags.csv, shapeFile(taken, setting, { origin, rate: 1, deadTime }));
      notes.push(
        `Switch commands of ${result.taken} in ${flags.csv}: ${counted(taken.commands?.length ?? 0, "row")}; reedlift pulse ${input.name} --edges ${flags.csv} runs them.`,
      );
    } else {
      const waveform = waveformOfDrive(taken, setting);
      const rate = sampleRate ?? rateFor(waveform);
      const { levels, largestError } = sampledWaveform(waveform, rate);
      put(flags.csv, shapeFile(taken, setting, { origin, rate, deadTime }));
      notes.push(
        `Waveform of ${result.taken} in ${flags.csv}: ${counted(levels.length, "sample")} at ${formatQuantity(rate, 0, "frequency", { digits: 6 })}, at most ${Number((100 * largestError).toPrecision(2))} % of the swing beside it; reedlift pulse ${input.name} --waveform ${flags.csv} runs it.`,
      );
    }
  }
  if (flags.timing !== undefined && taken !== undefined) {
    const edges = result.timing.map(({ channel, event, delay_s, uncertainty_s }) => ({
      channel,
      event,
      delay: delay_s,
      uncertainty: uncertainty_s,
    }));
    put(flags.timing, timingFile(edges, origin));
    notes.push(`Edges of ${result.taken} in ${flags.timing}: ${counted(edges.length, "row")}.`);
  }
  if (flags.svg !== undefined) notes.push(await draw(design, study, judged, input, flags.svg));
  return notes;
}

async function draw(
  design: Design,
  study: ShapeStudy,
  judged: JudgedShapes,
  input: Input,
  folder: string,
): Promise<string> {
  const { shapeDrawing } = await import("../studies/shapeDrawing.ts");
  const { shapeChart } = await import("../report/figures/shapeChart.ts");
  const drawing = shapeDrawing(design, study, judged, judged.result.setting.error_by);
  const origin = `reedlift ${VERSION}, ${input.name}, sha256 ${input.sha256.slice(0, 12)}`;
  const figures = [shapeChart(design, drawing, { origin })].filter((figure) => figure !== null);
  writeFiles(
    folder,
    figures.flatMap((figure) => [
      { name: `${figure.name}.svg`, text: figure.svg },
      { name: `${figure.name}.csv`, text: figure.csv },
    ]),
  );
  return `${counted(figures.length, "picture")} (SVG, with the numbers as CSV) in ${folder}: ${figures.map(({ name }) => name).join(", ")}`;
}
