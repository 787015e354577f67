import type { ShapeDriveFigures, ShapeResult } from "../../studies/shapeResult.ts";
import { type Column, table, wrap } from "./lines.ts";
import { share, shown } from "./pulseTextLines.ts";
import { timeText } from "./shapeTextTables.ts";
import type { TextStyle } from "./style.ts";

const right = (head: string): Column => ({ head, align: "right" });
const left = (head: string): Column => ({ head, align: "left" });

/** Points of a waveform that are printed; longer ones are written to a file only. */
const POINTS = 14;

type Command = NonNullable<ShapeDriveFigures["commands"]>[number];

/** What to dial in, and what it hangs on. */
export function settingLines(
  result: ShapeResult,
  drive: ShapeDriveFigures,
  style: TextStyle,
): string[] {
  const { commands } = drive;
  if (commands === null) return [];
  const body =
    drive.made_by === "switch"
      ? switchLines(result, commands, style)
      : waveformLines(result, commands, style);
  return [...body, ...wrap(style.words(wordsFor(result, drive, commands, style)), style.columns)];
}

function printed(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  style: TextStyle,
): string[] {
  return table(columns, rows, style.columns).flatMap((part) => [
    style.palette.quiet(part.head),
    ...part.body,
  ]);
}

/** Each command with how long it holds and, for an on-time that ends, how far the output gets. */
function switchLines(
  { setting }: ShapeResult,
  commands: readonly Command[],
  style: TextStyle,
): string[] {
  const rows = commands.map(({ time_s, state }, i) => {
    const next = commands[i + 1];
    const length = next === undefined ? null : next.time_s - time_s;
    const towards = state === setting.closed_state ? "closed" : "open";
    const resistance =
      towards === "closed" ? setting.resistance_closed_ohm : setting.resistance_open_ohm;
    const way =
      length === null || next?.state !== "off"
        ? ""
        : `, ${share(-Math.expm1(-length / (resistance * setting.capacitance_F)), style)} of the way`;
    const what = state === "off" ? "off: the strip keeps its charge" : `to ${towards}${way}`;
    return [
      timeText(time_s, style),
      state,
      length === null ? "" : shown(length, "time", style),
      style.words(what),
    ];
  });
  return printed([right("at"), left("output"), right("for"), left("what it does")], rows, style);
}

function waveformLines(
  { setting }: ShapeResult,
  commands: readonly Command[],
  style: TextStyle,
): string[] {
  if (commands.length > POINTS)
    return wrap(
      style.words(
        `${commands.length} points from ${timeText(commands[0]?.time_s ?? 0, style)} to ${shown(commands.at(-1)?.time_s ?? 0, "time", style)}, straight between; --csv FILE writes them as samples.`,
      ),
      style.columns,
    );
  const swing = setting.open_V - setting.closed_V;
  const rows = commands.map(({ time_s, voltage_V }) => [
    timeText(time_s, style),
    shown(voltage_V ?? 0, "voltage", style),
    share(((voltage_V ?? 0) - setting.closed_V) / swing, style),
  ]);
  return printed([right("at"), right("output"), right("open by")], rows, style);
}

/** On what the drive hangs, and what to measure. */
function wordsFor(
  { setting }: ShapeResult,
  drive: ShapeDriveFigures,
  commands: readonly Command[],
  style: TextStyle,
): string {
  const f = (x: number) => shown(x, "frequency", style);
  if (drive.made_by === "waveform") {
    const slew = steepest(commands);
    const current = slew * setting.capacitance_F;
    const limit =
      setting.slew_max_V_per_s === null
        ? "No current limit of the design slows it."
        : "It keeps to the slew rate that the current limit of the design leaves.";
    return `Straight between the points, by an amplifier in place of the switch. It must follow ${volts(slew, style)} and give ${shown(current, "current", style, 3)} into ${shown(setting.capacitance_F, "capacitance", style, 3)}. ${limit} Made for ${f(setting.held_Hz)}: measure the resonance by ring-down at this drive.`;
  }
  const off = commands.some(({ state }) => state === "off");
  if (!off)
    return `Times of the gate; the output turns its dead time of ${shown(setting.on_time_min_s, "time", style)} later.`;
  const tau = setting.resistance_closed_ohm * setting.capacitance_F;
  return `Times of the gates; the output turns its dead time of ${shown(setting.on_time_min_s, "time", style)} later. Made for ${f(setting.floating_Hz)} with the output floating and RC = ${shown(tau, "time", style)} (${shown(setting.resistance_closed_ohm, "resistance", style)}, ${shown(setting.capacitance_F, "capacitance", style)} with cable): the levels hang on RC. Look at the plateau with a probe of at least 10 MΩ and correct the on-times until it stands at the share of the way.`;
}

/** Largest slope, V/s. */
function steepest(commands: readonly Command[]): number {
  let most = 0;
  for (let i = 1; i < commands.length; i++) {
    const [a, b] = [commands[i - 1] as Command, commands[i] as Command];
    const rise = Math.abs((b.voltage_V ?? 0) - (a.voltage_V ?? 0));
    most = Math.max(most, rise / (b.time_s - a.time_s));
  }
  return most;
}

const volts = (slew: number, style: TextStyle) =>
  style.words(`${Number((slew * 1e-6).toPrecision(3))} V/µs`);
