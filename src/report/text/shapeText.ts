import type { Design } from "../../design/design.ts";
import type { ShapeDriveFigures, ShapeResult } from "../../studies/shapeResult.ts";
import { wrap, wrapAfter } from "./lines.ts";
import { marginTable } from "./marginTable.ts";
import { pulseHeading, share, shown } from "./pulseTextLines.ts";
import { settingLines } from "./shapeTextSetting.ts";
import { driveLines, driveName, speedText, timingLines } from "./shapeTextTables.ts";
import { type TextOptions, type TextStyle, textStyle } from "./style.ts";

export interface ShapeTextOptions extends TextOptions {
  /** Command line that draws the picture; without it none is named. */
  pictures?: string;
  /** Where the gate's length comes from; "" where it was given. */
  gateFrom?: string;
}

/**
 * A comparison of drives for a terminal: verdict, the drives, margins of the one that is taken, how to set it, when
 * its edges and its gas come, cautions, the way to the picture. No line is wider than `columns`; ends with a newline.
 */
export function shapeText(
  design: Design,
  result: ShapeResult,
  options: ShapeTextOptions = {},
): string {
  const style = textStyle(options);
  const blocks: string[][] = [verdictLines(design, result, options.gateFrom ?? "", style)];
  const add = (title: string, lines: readonly string[]) => {
    if (lines.length > 0) blocks.push([pulseHeading(title, style), ...lines]);
  };
  const taken = driveNamed(result, result.taken);
  add("Drives", driveLines(result, style));
  if (taken !== null) {
    const name = driveName(taken);
    if (result.margins.length > 0)
      add(`Margins of the ${name}, tightest first`, marginTable(result.margins, style));
    add(`How to set the ${name}`, settingLines(result, taken, style));
    add("When it happens", timingLines(result, style));
  }
  add("Cautions", cautionLines(result, taken, style));
  if (options.pictures !== undefined)
    blocks.push(wrap(style.words(`Picture: ${options.pictures}`), style.columns));
  return `${blocks.map((block) => block.map((line) => line.trimEnd()).join("\n")).join("\n\n")}\n`;
}

const driveNamed = ({ drives }: ShapeResult, id: string | null): ShapeDriveFigures | null =>
  drives.find((each) => each.id === id) ?? null;

function verdictLines(
  design: Design,
  result: ShapeResult,
  gateFrom: string,
  style: TextStyle,
): string[] {
  const { palette, words, columns } = style;
  const { met } = result.verdict;
  const paint = met ? palette.met : palette.unmet;
  const { setting, search } = result;
  const from = gateFrom === "" ? "" : ` (${gateFrom})`;
  const parts = [
    design.name,
    `gate ${shown(setting.gate_s, "time", style)}${from}`,
    `first resonance ${shown(setting.held_Hz, "frequency", style)}, ${shown(setting.floating_Hz, "frequency", style)} with the output floating, off by up to ${share(setting.frequency_error, style)}`,
    ...(search === null
      ? []
      : [`${search.landings} landings tried by the ${search.made_by}, seed ${search.seed}`]),
  ];
  return [
    ...wrapAfter(`${met ? "MET" : "NOT MET"}  `, words(verdictWords(result, style)), columns).map(
      (line) => paint(line),
    ),
    ...otherWords(result, style).flatMap((line) => wrap(words(line), columns)),
    ...wrap(words(parts.join("; ")), columns).map((line) => palette.quiet(line)),
  ];
}

/** Which drive, how it lands beside the step, what it misses. */
function verdictWords(result: ShapeResult, style: TextStyle): string {
  const taken = driveNamed(result, result.taken);
  if (taken === null) return result.verdict.text;
  const step = result.drives[0] as ShapeDriveFigures;
  const best = result.taken === result.best;
  const lands = landing(result, taken, style);
  const plain = taken === step ? "" : ` (step: ${landing(result, step, style)})`;
  const which = best ? softest(taken) : `the ${driveName(taken)}`;
  const kept = result.verdict.met
    ? "keeps every requirement"
    : best
      ? `no drive keeps every requirement at this gate, this one misses ${result.verdict.text.replace(/^not met: /, "")}`
      : `misses ${result.verdict.text.replace(/^not met: /, "")}`;
  return `${which}: ${lands}${plain}; ${kept}`;
}

/** "the ZV by the switch lands softest"; without a seat it "rings least". */
const softest = (drive: ShapeDriveFigures): string =>
  `the ${driveName(drive)} ${drive.worst.ringing_share === null ? "lands softest" : "rings least"}`;

const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1);

/** "0.22 m/s at worst, no satellite". */
function landing(result: ShapeResult, drive: ShapeDriveFigures, style: TextStyle): string {
  const { worst } = drive;
  const { impact_speed_m_s: speed, satellites, ringing_share: ringing } = worst;
  if (ringing !== null) return `${(100 * ringing).toFixed(0)} % of its travel rings on at worst`;
  if (speed === null) return "a run failed";
  const again =
    satellites === null || satellites === 0
      ? "no satellite"
      : `${satellites} satellite${satellites === 1 ? "" : "s"}`;
  return `${speedText(result, style)(speed)} at worst, ${again}`;
}

/** The softest of all and the softest by the design's own switch, where another one is taken. */
function otherWords(result: ShapeResult, style: TextStyle): string[] {
  const out: string[] = [];
  const best = driveNamed(result, result.best);
  if (best !== null && result.best !== result.taken)
    out.push(`${capital(softest(best))}: ${landing(result, best, style)}.`);
  const own = driveNamed(result, result.best_by_switch);
  if (own !== null && own.id !== result.taken && own.id !== result.best)
    out.push(
      `A waveform needs an amplifier in place of the switch. With the switch of the design ${softest(own)}: ${landing(result, own, style)}${own.need_met === true ? ", every requirement kept" : ""}.`,
    );
  return out;
}

/** Rounded down, so that the printed gate keeps what it promises. */
const gateWords = (gate: number): string => {
  const scale = 10 ** (2 - Math.floor(Math.log10(gate)));
  return `${Number(((1e6 * Math.floor(gate * scale)) / scale).toPrecision(6))} µs`;
};

interface Caution {
  text: string;
  action: string;
}

function* cautions(result: ShapeResult, taken: ShapeDriveFigures | null): Generator<Caution> {
  const { setting, search } = result;
  const error = `${Number((100 * setting.frequency_error).toPrecision(3))} %`;
  if (taken !== null && taken.need_met === true && taken.unmet_when_off.length > 0)
    yield {
      text: `kept at the computed resonance only: ${taken.unmet_when_off.join(", ")} missed when it is off by ${error}`,
      action: "measure the resonance by ring-down, then give a smaller --error",
    };
  if (taken?.unmet.includes("pulse width") === true)
    yield {
      text: "the gas pulse is wider than wanted: a shaped closing edge holds the valve open longer",
      action:
        result.gate_for_need_s === null
          ? "no shorter gate mends it with these edges: allow a longer need.gas_pulse, or take another drive"
          : `with --gate "${gateWords(result.gate_for_need_s)}" these edges keep need.gas_pulse; look again at how they land then`,
    };
  if (search !== null && search.status === "evaluations used")
    yield {
      text: "the search ended at its budget: a softer landing may exist",
      action: "give more --landings, and another --seed to see whether it agrees",
    };
  const volts = Math.max(Math.abs(setting.closed_V), Math.abs(setting.open_V));
  yield {
    text: `the strip keeps its charge, up to ${Number(volts.toPrecision(4))} V, while the switch is off or the amplifier is unplugged`,
    action:
      "discharge it and wait before touching; follow local rules, and let a qualified person judge the set-up",
  };
}

function cautionLines(
  result: ShapeResult,
  taken: ShapeDriveFigures | null,
  style: TextStyle,
): string[] {
  const { words, columns, palette } = style;
  return [...cautions(result, taken)].flatMap(({ text, action }) => [
    ...wrapAfter("! ", words(text), columns).map((line) => palette.caution(line)),
    ...wrap(words(action), columns - 4).map((line) => `    ${line}`),
  ]);
}
