import type { Design } from "../../design/design.ts";
import type { GuardBand, RateFigures, RatesResult } from "../../studies/ratesResult.ts";
import { type Column, table, wrap, wrapAfter } from "./lines.ts";
import { marginTable } from "./marginTable.ts";
import { pulseHeading, share, shown } from "./pulseTextLines.ts";
import { type TextOptions, type TextStyle, textStyle } from "./style.ts";

export interface RatesTextOptions extends TextOptions {
  /** Command line that draws the pictures; without it none is named. */
  pictures?: string;
}

/** Rates that get a line each. */
const LINES = 14;

/**
 * A scan of rates for a terminal: verdict, margins, guard bands with the harmonic near each, a dozen rates, what
 * is left of slow states, notes. No line is wider than `columns`; ends with a newline.
 */
export function ratesText(
  design: Design,
  result: RatesResult,
  options: RatesTextOptions = {},
): string {
  const style = textStyle(options);
  const blocks: string[][] = [verdictLines(design, result, style)];
  const add = (title: string, lines: readonly string[]) => {
    if (lines.length > 0) blocks.push([pulseHeading(title, style), ...lines]);
  };
  const judged = judgedRate(result);
  if (judged !== undefined && result.margins.length > 0)
    add(
      `Margins at ${shown(judged.rate_Hz, "frequency", style)}, tightest first`,
      marginTable(result.margins, style),
    );
  add("Guard bands", bandLines(result, style));
  add("Rates kept", recommendedLines(result, style));
  add("Rates", rateLines(result, style));
  add("Resonance", resonanceLines(result, style));
  add("Slow states", slowLines(result, style));
  add("Notes", noteLines(result, style));
  if (options.pictures !== undefined)
    blocks.push(wrap(style.words(`Pictures: ${options.pictures}`), style.columns));
  return `${blocks.map((block) => block.map((line) => line.trimEnd()).join("\n")).join("\n\n")}\n`;
}

/** The rate that the margins are those of. */
export const judgedRate = ({ rates, setting, recommended }: RatesResult): RateFigures | undefined =>
  rates.find((r) => r.rate_Hz === setting.wanted_rate_Hz) ??
  rates.find((r) => r.rate_Hz === recommended.highest_Hz) ??
  rates[0];

function verdictLines(design: Design, result: RatesResult, style: TextStyle): string[] {
  const { palette, words, columns } = style;
  const { met, text } = result.verdict;
  const paint = met ? palette.met : palette.unmet;
  const { setting } = result;
  const parts = [
    design.name,
    `gate ${shown(setting.gate_s, "time", style)}`,
    `${result.rates.length} rates from ${shown(setting.from_Hz, "frequency", style)} to ${shown(setting.to_Hz, "frequency", style)}`,
    `step ${shown(setting.step_s, "time", style, 3)}`,
  ];
  return [
    ...wrapAfter(`${met ? "MET" : "NOT MET"}  `, words(text), columns).map((line) => paint(line)),
    ...wrap(words(parts.join("; ")), columns).map((line) => palette.quiet(line)),
  ];
}

function bandLines(result: RatesResult, style: TextStyle): string[] {
  const { guard_bands: bands, setting } = result;
  const what = setting.measure === "gas" ? "gas per pulse" : "peak travel";
  const allowed = share(setting.change, style);
  if (bands.length === 0)
    return wrap(
      style.words(`None: ${what} stays within ${allowed} of a single pulse at every rate scanned.`),
      style.columns,
    );
  return bands.flatMap((band) => oneBand(band, what, style));
}

function oneBand(band: GuardBand, what: string, style: TextStyle): string[] {
  const f = (x: number) => shown(x, "frequency", style);
  const period =
    band.period === null
      ? ", no repeat"
      : band.period > 1
        ? `, repeats after ${band.period} pulses`
        : "";
  const missed = band.missed ? ", pulses are missed" : "";
  const line = `${f(band.from_Hz)} to ${f(band.to_Hz)}: ${what} ${band.gas_over_single.toFixed(3)} of a single pulse at ${f(band.worst_Hz)}${period}${missed}`;
  return [
    ...wrapAfter("! ", style.words(line), style.columns).map(style.palette.caution),
    ...wrap(style.words(band.cause), style.columns - 4).map((words) => `    ${words}`),
  ];
}

function recommendedLines({ recommended }: RatesResult, style: TextStyle): string[] {
  const f = (x: number) => shown(x, "frequency", style);
  if (recommended.intervals.length === 0)
    return wrapAfter("  ", style.words(recommended.text), style.columns);
  return recommended.intervals.flatMap(({ from_Hz, to_Hz, bound }) => {
    const range = from_Hz === to_Hz ? f(from_Hz) : `${f(from_Hz)} to ${f(to_Hz)}`;
    const end = bound === null ? "the end of the scan" : `beyond, ${bound} binds`;
    return wrapAfter("  ", style.words(`${range}; ${end}`), style.columns);
  });
}

/** About a dozen rates: ends, the wanted one, those at the worst of each band, the rest evenly. */
function chosen({ rates, guard_bands, setting }: RatesResult): RateFigures[] {
  if (rates.length <= LINES) return [...rates];
  const keep = new Set<number>([0, rates.length - 1]);
  const take = (rate: number | null) => {
    const i = rates.findIndex((r) => r.rate_Hz === rate);
    if (i >= 0 && keep.size < LINES) keep.add(i);
  };
  take(setting.wanted_rate_Hz);
  for (const band of guard_bands) take(band.worst_Hz);
  const free = LINES - keep.size;
  for (let k = 1; k <= free; k++) keep.add(Math.round((k * (rates.length - 1)) / (free + 1)));
  return [...keep].sort((a, b) => a - b).map((i) => rates[i] as RateFigures);
}

function rateLines(result: RatesResult, style: TextStyle): string[] {
  const valve = result.setting.measure === "gas";
  const chamber = result.rates.some((r) => r.chamber_mean_Pa !== null);
  const right = (head: string): Column => ({ head, align: "right" });
  const columns: Column[] = [
    right("rate"),
    { head: "pulse", align: "left" },
    right(valve ? "gas" : "travel"),
    right("spread"),
    right(valve ? "lift" : "peak"),
    right("left"),
    right("sag"),
    ...(chamber ? [right("chamber")] : []),
    right("supply"),
    right("strip"),
  ];
  const percent = (x: number) => share(x, style);
  const rows = chosen(result).map((r) => [
    shown(r.rate_Hz, "frequency", style, 3),
    r.state === "alternates" && r.period !== null ? `of ${r.period}` : r.state,
    r.gas_over_single.toFixed(3),
    r.spread < 5e-4 ? "-" : percent(r.spread),
    shown(r.peak_lift_m, "length", style, 3),
    percent(r.motion_left),
    percent(r.rail_sag),
    ...(chamber
      ? [r.chamber_mean_Pa === null ? "-" : shown(r.chamber_mean_Pa, "pressure", style, 2)]
      : []),
    shown(r.supply_current_A, "current", style, 2),
    shown(r.strip_temperature_K, "temperature", style, 3),
  ]);
  const legend = `${valve ? "gas" : "travel"}: over that of a single pulse; left: speed of the strip at the next edge as amplitude over its static travel; sag: of the rail; chamber: mean; strip: temperature in the train.`;
  return [
    ...table(columns, rows, style.columns).flatMap((part) => [
      style.palette.quiet(part.head),
      ...part.body,
    ]),
    ...wrap(style.words(legend), style.columns).map((line) => style.palette.quiet(line)),
  ];
}

function resonanceLines({ resonance }: RatesResult, style: TextStyle): string[] {
  const f = (x: number) => shown(x, "frequency", style);
  const { open_Hz, closed_Hz, ring_down_s, quasi_static_Hz, harmonics } = resonance;
  const closed = closed_Hz === null ? "" : `, ${f(closed_Hz)} with the pad on its seat`;
  const text = `First resonance ${f(open_Hz)} open${closed}; ring-down ${shown(ring_down_s, "time", style, 3)}; quasi-static up to ${f(quasi_static_Hz)} (a third of it: common practice, no source).`;
  const near = harmonics
    .slice(0, 6)
    .map(({ order, rate_Hz, answer }) => `f1/${order} = ${f(rate_Hz)} (${answer.toFixed(1)})`);
  const list =
    near.length === 0
      ? []
      : wrap(
          style.words(
            `Sub-harmonics, with the ringing that they would keep up in a free strip over its static deflection: ${near.join(", ")}.`,
          ),
          style.columns,
        );
  return [...wrap(style.words(text), style.columns), ...list];
}

/** Largest distance that is left of each slow state, and its time constant. */
function slowLines({ rates }: RatesResult, style: TextStyle): string[] {
  const names = [...new Set(rates.flatMap((r) => r.slow.map((s) => s.name)))];
  return names.flatMap((name) => {
    const all = rates.flatMap((r) => {
      const s = r.slow.find((one) => one.name === name);
      return s === undefined ? [] : [{ rate: r.rate_Hz, ...s }];
    });
    const worst = all.reduce((a, b) => (b.residual > a.residual ? b : a));
    const slowest = Math.max(0, ...all.map((s) => s.time_constant_s ?? 0));
    const constant = slowest > 0 ? `, time constant up to ${shown(slowest, "time", style, 2)}` : "";
    const moved = all.filter((s) => s.moves > 0).length;
    return wrapAfter(
      "  ",
      style.words(
        `${name}: at most ${worst.residual.toExponential(1)} of itself from its periodic value (at ${shown(worst.rate, "frequency", style, 3)})${constant}; moved ahead at ${moved} of ${all.length} rates`,
      ),
      style.columns,
    );
  });
}

function noteLines(result: RatesResult, style: TextStyle): string[] {
  const notes = Object.values(result.reasons);
  const first = result.single.first_over_single;
  if (Math.abs(first - 1) > 5e-4)
    notes.unshift(
      `a single pulse is one that waits a second for the next: the very first one after a long rest gives ${first.toFixed(3)} of it, because the ceramic remembers`,
    );
  const open = result.rates.filter((r) => r.period === null && r.state !== "failed");
  const failed = result.rates.filter((r) => r.state === "failed");
  if (open.length > 0)
    notes.push(
      `${open.length} of ${result.rates.length} rates do not repeat with a period up to 8: their figures are those of the last 24 pulses`,
    );
  if (failed.length > 0)
    notes.push(
      `${failed.length} of ${result.rates.length} rates could not be computed: ${failed[0]?.reason ?? ""}`,
    );
  return notes.flatMap((note) => wrapAfter("  ", style.words(note), style.columns));
}
