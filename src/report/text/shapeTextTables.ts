import type { ShapeDriveFigures, ShapeResult } from "../../studies/shapeResult.ts";
import { type Column, table, wrap } from "./lines.ts";
import { share, shown } from "./pulseTextLines.ts";
import type { TextStyle } from "./style.ts";

const right = (head: string): Column => ({ head, align: "right" });
const left = (head: string): Column => ({ head, align: "left" });

/** "ZV by the switch", "raised cosine by a waveform", "step". */
export function driveName({ shape, made_by }: ShapeDriveFigures): string {
  return shape === "step"
    ? shape
    : `${shape} by ${made_by === "switch" ? "the switch" : "a waveform"}`;
}

/** A time; none is "0 s". */
export const timeText = (value: number, style: TextStyle, digits = 4): string =>
  value === 0 ? "0 s" : shown(value, "time", style, digits);

/** Contact speeds of one text in one unit: m/s, or mm/s where all are below 0.1 m/s. */
export function speedText(result: ShapeResult, style: TextStyle): (speed: number) => string {
  const most = Math.max(0, ...result.drives.map(({ worst }) => worst.impact_speed_m_s ?? 0));
  const slow = most < 0.1;
  return (speed) => {
    const text = (slow ? 1e3 * speed : speed).toFixed(slow && most < 0.01 ? 2 : slow ? 1 : 2);
    return style.words(`${text} ${slow ? "mm/s" : "m/s"}`);
  };
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

/** A line a drive, the one that is taken marked; then what the columns count. */
export function driveLines(result: ShapeResult, style: TextStyle): string[] {
  const { drives, setting, taken } = result;
  const error = share(setting.frequency_error, style);
  const seated = drives.every(({ worst }) => worst.ringing_share === null);
  const cell = (value: number | null | undefined, text: (value: number) => string) =>
    value === null || value === undefined ? "-" : text(value);
  const speed = speedText(result, style);
  const percent = (value: number) => style.words(`${(100 * value).toFixed(0)} %`);
  const length = (value: number) => shown(value, "length", style);
  const mark = (id: string) => (id === taken ? style.glyphs.here : " ");
  const columns = [
    left("drive"),
    left(""),
    left("shaped"),
    ...(seated
      ? [right("at the seat"), right("at worst"), right("satellites")]
      : [right("rings on"), right("at worst")]),
    right("opens"),
    right(seated ? "gas" : "peak travel"),
    left("need"),
  ];
  const rows = drives.map((drive) => {
    const { exact, worst, shape, made_by } = drive;
    return [
      style.words(`${shape}${shape === "step" ? "" : `, ${made_by}`}`),
      mark(drive.id),
      drive.commands === null ? "-" : shape === "step" ? "none" : EDGES[drive.edges],
      ...(seated
        ? [
            cell(exact?.impact_speed_m_s, speed),
            cell(worst.impact_speed_m_s, speed),
            satellites(drive),
          ]
        : [cell(exact?.ringing_share, percent), cell(worst.ringing_share, percent)]),
      cell(exact?.open_delay_s, (value) => timeText(value, style)),
      seated ? cell(drive.gas_over_step, percent) : cell(exact?.peak_lift_m, length),
      needWords(drive),
    ];
  });
  const counts = seated
    ? `${style.glyphs.here}: taken. At the seat: largest speed of any contact after the gate. Satellites: openings after the first contact, above 1 % of the peak lift. Gas: over that of the step. Softest weighs speed, satellites and lateness (docs/shaping.md).`
    : `${style.glyphs.here}: taken. Rings on: amplitude after the closing edge, over the static travel.`;
  const notes = `At worst: with the first resonance off by ${error} either way. Opens: to half of the peak. If exact: the need is kept at the computed resonance only. Shaped closing: the opening edge is a plain one.`;
  return [
    ...printed(columns, rows, style),
    ...wrap(style.words(`${counts} ${notes}`), style.columns),
    ...remarks(drives, style),
  ];
}

const EDGES = { both: "both", "closing only": "closing" } as const;

/** "2", "1, worst 2". */
function satellites({ exact, worst }: ShapeDriveFigures): string {
  if (exact === null || exact.satellites === null) return "-";
  const { satellites: own } = exact;
  return worst.satellites === null || worst.satellites === own
    ? String(own)
    : `${own}, worst ${worst.satellites}`;
}

function needWords({ need_met, unmet_when_off }: ShapeDriveFigures): string {
  if (need_met === null) return "-";
  if (!need_met) return "missed";
  return unmet_when_off.length === 0 ? "kept" : "if exact";
}

/** Why drives can't be made, once for all that share it; what a short gate leaves out. */
function remarks(drives: readonly ShapeDriveFigures[], style: TextStyle): string[] {
  const refused = drives.filter(({ commands }) => commands === null);
  return refused.flatMap((drive) =>
    wrap(
      style.words(`No ${driveName(drive)}: ${drive.remark ?? "no reason known"}.`),
      style.columns,
    ),
  );
}

/** Edges and gas in the order of time. */
export function timingLines({ timing }: ShapeResult, style: TextStyle): string[] {
  if (timing.length === 0) return [];
  const rows = timing.map(({ channel, event, delay_s, uncertainty_s }) => [
    style.words(channel === "high" || channel === "low" ? `${channel} gate` : channel),
    style.words(event),
    timeText(delay_s, style),
    uncertainty_s === null ? "" : style.words(`± ${shown(uncertainty_s, "time", style, 2)}`),
  ]);
  const gas = timing.some(({ channel }) => channel === "gas");
  const gates = timing.some(({ channel }) => channel === "high" || channel === "low");
  const words = [
    "Delays from the opening edge.",
    ...(gates
      ? [
          "A gate that goes on waits for the dead time; the delay of the driver is not in these edges.",
        ]
      : []),
    ...(gas ? ["Uncertainty of the gas: from the resonance, standard."] : []),
  ];
  return [
    ...printed([left("channel"), left("event"), right("delay"), right("")], rows, style),
    ...wrap(style.words(words.join(" ")), style.columns),
  ];
}
