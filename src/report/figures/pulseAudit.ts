import type { Design } from "../../design/design.ts";
import type { AuditFigures, PulseResult } from "../../studies/pulseResult.ts";
import { formatQuantity } from "../../units/index.ts";
import { axisUnit, bottomAxis, linear, type Scale } from "./axis.ts";
import { chartDocument, chartSheet, notesUnder } from "./chartFrame.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, originLine } from "./figure.ts";
import { hatch, line, rect, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { CURVES, INK, NOT_MET, NOT_MET_HATCH, PLOT_GROUND, SIZE } from "./theme.ts";

const OWN = { width: 900, height: 520 };
const ID = "pulse-audit";
const TITLE = "Where the energy goes";
/** Share of the losses that the audit may leave open before its bar is hatched. */
const OPEN_MAX = 0.01;
/** Share of all energies from which a row is drawn. */
const SMALL = 1e-6;
/** Width below which words are short, px. */
const NARROW = 560;
const ROW = { least: 13, most: 21 };

const KINDS = [
  { kind: "in", title: "came in", hue: 0 },
  { kind: "lost", title: "was lost", hue: 3 },
  { kind: "stored", title: "change of stores", hue: 2 },
] as const;

interface Bar {
  words: string;
  energy: number;
  fill: string;
  /** A heading with the sum of its rows. */
  head: boolean;
}

/**
 * Bars of the energy audit: what came in, what was lost, what changed in the stores, each with its value, and
 * last what the computation leaves open. Rows that have no room are named below.
 */
export function pulseAudit(
  design: Design,
  { result }: { result: PulseResult },
  options: FigureOptions = {},
): Figure {
  const { audit } = result;
  const sheet = chartSheet(options, OWN);
  const right = sheet.width - 16;
  // Two lines of notes are kept for names that find no room.
  const bottom = sheet.bottom - 40 - (sheet.bare ? 0 : 28);
  const top = sheet.top + 6;
  const { bars, left: rest } = barsOf(
    audit,
    Math.floor((bottom - top) / ROW.least),
    sheet.width < NARROW ? "left open" : "left open by the computation",
  );
  const height = Math.min(ROW.most, (bottom - top) / bars.length);
  const end = top + height * bars.length;
  const names = Math.min(
    0.36 * sheet.width,
    Math.max(...bars.map(({ words, head }) => textWidth(words, SIZE.small, head))),
  );
  const left = 16 + names + 10;
  const x = energyScale(bars, left, right);
  const notes = notesUnder(
    sheet.bare || rest.length === 0 ? "" : `Too small to draw: ${rest.join(", ")}.`,
    left,
    right,
  );
  const body = [
    rect(left, top, right - left, end - top, { fill: PLOT_GROUND }),
    ...bottomAxis(x, end, {
      name: "energy",
      unit: axisUnit("energy", x.from, x.to),
      count: (right - left) / 90,
      grid: top,
    }),
    ...bars.flatMap((bar, i) => drawBar(bar, x, top + i * height, height, left)),
    line(x.at(0), top, x.at(0), end),
    ...notes.put(end + 50),
  ];
  const sentence = sentenceOf(result);
  return {
    name: ID,
    title: TITLE,
    sentence,
    csv: csvOf(design, result, options),
    svg: chartDocument(
      design,
      options,
      sheet,
      {
        name: ID,
        title: TITLE,
        beside: sheet.width < 640 ? "" : result.drive.text,
        sentence,
        defs: [hatch(`${ID}-open`, "falling", 5, NOT_MET_HATCH)],
      },
      body,
    ),
  };
}

/** Headings, rows and the residual, as many as there are lines; what is left out by name. */
function barsOf(audit: AuditFigures, lines: number, open: string): { bars: Bar[]; left: string[] } {
  const sums = { in: audit.in_J, lost: audit.lost_J, stored: audit.stored_change_J };
  const scale = Math.abs(audit.in_J) + Math.abs(audit.lost_J) + Math.abs(audit.stored_change_J);
  const room = Math.max(0, lines - KINDS.length - 1);
  const ranked = audit.rows
    .filter((row) => Math.abs(row.energy_J) > SMALL * scale)
    .sort((a, b) => Math.abs(b.energy_J) - Math.abs(a.energy_J));
  const drawn = ranked.slice(0, room);
  const bars = KINDS.flatMap(({ kind, title, hue }): Bar[] => {
    const fill = CURVES[hue]!.line;
    return [
      { words: title, energy: sums[kind], fill, head: true },
      ...drawn
        .filter((row) => row.kind === kind)
        .map((row) => ({ words: row.what, energy: row.energy_J, fill, head: false })),
    ];
  });
  const fill = audit.relative > OPEN_MAX ? `url(#${ID}-open)` : INK;
  bars.push({ words: open, energy: audit.residual_J, fill, head: true });
  return { bars, left: audit.rows.filter((row) => !drawn.includes(row)).map((row) => row.what) };
}

/** Room at either end for the value of the longest bar. */
function energyScale(bars: readonly Bar[], left: number, right: number): Scale {
  const values = bars.map((bar) => bar.energy);
  const [low, high] = [Math.min(0, ...values), Math.max(0, ...values)];
  const size = high - low || 1;
  const room = (70 / Math.max(140, right - left)) * size * 1.3;
  return linear(low < 0 ? low - room : 0, high + room, [left, right]);
}

function drawBar(
  { words, energy, fill, head }: Bar,
  x: Scale,
  y: number,
  height: number,
  left: number,
) {
  const [a, b] = [x.at(Math.min(0, energy)), x.at(Math.max(0, energy))];
  const thick = Math.max(4, height - 6) * (head ? 1 : 0.78);
  const base = y + height / 2 + 3.6;
  const look = head ? { size: SIZE.small, weight: "bold" as const } : { size: SIZE.small };
  return [
    text(left - 8, base, words, { ...look, anchor: "end" }),
    rect(a, y + (height - thick) / 2, Math.max(0.6, b - a), thick, {
      fill,
      "fill-opacity": head ? 1 : 0.55,
      ...(fill.startsWith("url") ? { stroke: NOT_MET } : {}),
    }),
    text(energy < 0 ? a - 5 : b + 5, base, say(energy), {
      ...look,
      anchor: energy < 0 ? "end" : "start",
      halo: true,
    }),
  ];
}

const say = (energy: number) => formatQuantity(energy, 0, "energy", { digits: 3 });

function sentenceOf({ audit, drive }: PulseResult): string {
  const most = [...audit.rows]
    .filter((row) => row.kind === "lost")
    .sort((a, b) => b.energy_J - a.energy_J)
    .slice(0, 3)
    .map((row) => `${row.what} ${say(row.energy_J)}`);
  const open = `${Number((100 * audit.relative).toPrecision(2))} %`;
  return `Energy of ${drive.pulses === 1 ? "one pulse" : `${drive.pulses} pulses`}: ${say(audit.in_J)} came in, ${say(audit.lost_J)} was lost (most in ${most.join(", ")}), stores changed by ${say(audit.stored_change_J)}; ${open} is left open by the computation.`;
}

function csvOf(design: Design, result: PulseResult, options: FigureOptions): string {
  const { audit } = result;
  const rows = [
    ...audit.rows.map((row) => ({ ...row, kind: row.kind as string })),
    { what: "residual", kind: "open", energy_J: audit.residual_J },
  ];
  return csvText(
    {
      figure: "energy audit of the pulse",
      design: design.name,
      drive: result.drive.text,
      origin: originLine(design, options),
    },
    [
      { name: "what", unit: "", values: rows.map((row) => row.what) },
      { name: "kind", unit: "", values: rows.map((row) => row.kind) },
      { name: "energy_J", unit: "J", values: rows.map((row) => row.energy_J) },
    ],
  );
}
