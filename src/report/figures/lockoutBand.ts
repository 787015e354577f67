import type { Design } from "../../design/design.ts";
import { lockout } from "../../physics/breakdown.ts";
import type { LockoutBand, SheetResult } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { bottomAxis, leftAxis, linear, logarithmic, plotClip, type Scale } from "./axis.ts";
import {
  chartDocument,
  chartSheet,
  notesUnder,
  type PlotSides,
  plotAxis,
  shown,
} from "./chartFrame.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, originLine } from "./figure.ts";
import { lockoutPanel } from "./lockoutPanel.ts";
import { hatch } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { OFF_GROUND, OFF_HATCH, SIZE } from "./theme.ts";

const WIDTH = 1080;
/** Height of one panel on paper, and of what is above it. */
const PANEL = 200;
const HEAD = 22;
const ID = "lock-out";
const TITLE = "Lock-out band";
const STEPS = 60;
/** Height from which there is room for a note, px. */
const ROOMY = 360;
const PRESSURE = { unit: "mbar", factor: 100 };
const VOLTAGE = { unit: "V", factor: 1 };

const volts = (x: number) => printFigure("V_V", x, null, { digits: 3 });
const bar = (x: number) => printFigure("p_Pa", x, null, { digits: 3 });

export interface LimitCurve {
  voltage: number[];
  from: number[];
  to: number[];
}

/**
 * Voltage against pressure with the region in which a discharge can run, one panel a gas space over one
 * axis of pressure, and the voltage of the design with the pressures it must be off at. Null without gas
 * or voltage.
 */
export function lockoutBand(
  design: Design,
  result: SheetResult,
  options: FigureOptions = {},
): Figure | null {
  const bands = result.lockout;
  const first = bands[0];
  if (design.gas === undefined || first === undefined) return null;
  const curve = limitCurve(design, first);
  const sheet = chartSheet(options, {
    width: WIDTH,
    height: 40 + bands.length * (PANEL + HEAD) + 40 + 17 + 26,
  });
  const [left, right] = [66, sheet.width - 18];
  const words = sheet.bare || sheet.height < ROOMY ? "" : limitWords(design, first);
  const notes = notesUnder(words, left, sheet.width - 12);
  const bottom = sheet.bottom - 40 - (notes.height === 0 ? 0 : notes.height + 4);
  const each = (bottom - sheet.top) / bands.length;
  const x = pressureScale(design, result, curve, [left, right], options.view?.x);
  const [y0, y1] = shown([0, Math.max(...curve.voltage, first.voltage_V * 1.1)], options.view?.y);
  const panels = bands.map((band, i) => {
    const top = sheet.top + HEAD + i * each;
    const sides: PlotSides = { left, right, top, bottom: sheet.top + (i + 1) * each };
    return { band, sides, y: linear(y0, y1, [sides.bottom, sides.top]) };
  });
  const body = panels.flatMap(({ band, sides, y }, i) => [
    ...lockoutPanel({
      id: `${ID}-${i}`,
      hatch: `${ID}-off`,
      band,
      curve,
      working: workingPressure(design, result, band),
      x,
      y,
      sides,
      axes: [
        ...bottomAxis(x, sides.bottom, {
          name: "absolute pressure",
          unit: PRESSURE,
          grid: sides.top,
          bare: i < panels.length - 1,
        }),
        ...leftAxis(y, left, {
          name: "voltage",
          unit: VOLTAGE,
          count: (sides.bottom - sides.top) / 36,
          grid: right,
        }),
      ],
    }),
  ]);
  const sentence = `At ${volts(first.voltage_V)} the high voltage must be off ${bands
    .map((b) => `from ${bar(b.from_Pa)} to ${bar(b.to_Pa)} (${b.gas_space})`)
    .join(" and ")}, filling and pumping down included.`;
  return {
    name: ID,
    title: TITLE,
    sentence,
    csv: csvOf(design, curve, options),
    plot: {
      x: plotAxis(x, "absolute pressure", PRESSURE),
      y: plotAxis(panels[0]!.y, "voltage", VOLTAGE),
      series: seriesOf(curve, first, x),
    },
    svg: chartDocument(
      design,
      options,
      sheet,
      {
        name: ID,
        title: TITLE,
        beside: besideOf(design, sheet.width),
        sentence,
        defs: [
          hatch(`${ID}-off`, "falling", 7, OFF_HATCH, OFF_GROUND, 0.6),
          ...panels.map(({ sides }, i) => plotClip(`${ID}-${i}-plot`, sides)),
        ],
      },
      [...body, ...notes.put(bottom + 50)],
    ),
  };
}

function besideOf(design: Design, width: number): string {
  const gas = design.gas?.name ?? "";
  const whole = `${gas}; high voltage off inside the hatched region, filling and pumping down included`;
  return textWidth(TITLE, SIZE.title, true) + textWidth(whole) + 60 < width ? whole : gas;
}

function limitWords(design: Design, band: LockoutBand): string {
  const { breakdownFactor, secondaryEmissionMin, secondaryEmissionMax } = design.model;
  const gap = (m: number) => printFigure("x_m", m, null, { digits: 3 });
  return `Limit: ${breakdownFactor} times the lower of the measured minimum and the computed curve, secondary emission ${secondaryEmissionMin} to ${secondaryEmissionMax}, over all gaps from ${gap(band.gap_min_m)} to ${gap(band.gap_max_m)}.`;
}

/** All pressures that are marked, to the decade around them; or the part that is wanted. */
function pressureScale(
  design: Design,
  result: SheetResult,
  curve: LimitCurve,
  range: readonly [number, number],
  view: readonly [number, number] | undefined,
): Scale {
  const pressures = [
    ...curve.from,
    ...curve.to,
    ...result.lockout.flatMap((band) => [
      band.from_Pa,
      band.to_Pa,
      workingPressure(design, result, band),
    ]),
  ].filter((p): p is number => p !== null && p > 0);
  const low = 10 ** Math.floor(Math.log10(Math.min(...pressures)) - 0.2);
  const high = 10 ** Math.ceil(Math.log10(Math.max(...pressures)) + 0.2);
  const usable = view !== undefined && view[0] > 0 && view[1] > 0 ? view : undefined;
  const [from, to] = shown([low, high], usable);
  return logarithmic(from, to, range);
}

/** The limit as one curve over pressure, and the design's voltage over all of it. */
function seriesOf(curve: LimitCurve, band: LockoutBand, x: Scale) {
  return [
    {
      id: "limit",
      name: "limit",
      x: [...[...curve.from].reverse(), ...curve.to],
      y: [...[...curve.voltage].reverse(), ...curve.voltage],
    },
    {
      id: "voltage",
      name: "voltage of the design",
      x: [x.from, x.to],
      y: [band.voltage_V, band.voltage_V],
    },
  ];
}

/** Ends of the band against voltage, from the lowest voltage that has one. */
function limitCurve(design: Design, band: LockoutBand): LimitCurve {
  const at = (voltage: number) =>
    lockout({
      voltage,
      gases: design.gas?.components.map((part) => part.name) ?? [],
      gapMin: band.gap_min_m,
      gapMax: band.gap_max_m,
      factor: design.model.breakdownFactor,
      secondaryEmissionMin: design.model.secondaryEmissionMin,
      secondaryEmissionMax: design.model.secondaryEmissionMax,
      temperature: design.need.plenumTemperature,
    });
  const lowest = at(band.voltage_V).lowestLimit ?? band.voltage_V;
  const out: LimitCurve = { voltage: [], from: [], to: [] };
  const highest = 1.35 * Math.max(band.voltage_V, lowest);
  for (let i = 0; i <= STEPS; i++) {
    const voltage = lowest * 1.0005 + (highest - lowest * 1.0005) * (i / STEPS) ** 2;
    const found = at(voltage).band;
    if (found === null) continue;
    out.voltage.push(voltage);
    out.from.push(found.from);
    out.to.push(found.to);
  }
  return out;
}

/** Where the gas space is in operation; null where the design does not say. */
function workingPressure(design: Design, result: SheetResult, band: LockoutBand): number | null {
  if (band.gas_space === "plenum") return design.need.plenumPressure;
  return result.gas?.mean_pressure_Pa ?? design.chamber?.basePressure ?? null;
}

function csvOf(design: Design, curve: LimitCurve, options: FigureOptions): string {
  return csvText(
    {
      figure: "lock-out band: pressures between which a voltage must be off",
      design: design.name,
      origin: originLine(design, options),
    },
    [
      { name: "voltage", unit: "V", values: curve.voltage },
      { name: "from", unit: "Pa", values: curve.from },
      { name: "to", unit: "Pa", values: curve.to },
    ],
  );
}
