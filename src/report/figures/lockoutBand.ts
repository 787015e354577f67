import type { Design } from "../../design/design.ts";
import { lockout } from "../../physics/breakdown.ts";
import type { LockoutBand, SheetResult } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { bottomAxis, leftAxis, linear, logarithmic, note, plotClip, type Scale } from "./axis.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, frame, originLine } from "./figure.ts";
import { alongRun, calledOut, labelSheet } from "./labels.ts";
import {
  circle,
  el,
  hatch,
  line,
  type Point,
  polygon,
  polyline,
  rect,
  svgDocument,
  text,
} from "./svg.ts";
import { INK, NOT_MET, OFF_GROUND, OFF_HATCH, PAPER, PLOT_GROUND, QUIET, SIZE } from "./theme.ts";

const WIDTH = 1080;
const PANEL = 186;
const TOP = 92;
const LEFT = 84;
const RIGHT = 1040;
const BETWEEN = 84;
const ID = "lock-out";
const STEPS = 60;

const volts = (x: number) => printFigure("V_V", x, null, { digits: 3 });
const bar = (x: number) => printFigure("p_Pa", x, null, { digits: 3 });

interface LimitCurve {
  voltage: number[];
  from: number[];
  to: number[];
}

/**
 * Voltage against pressure with the region in which a discharge can run, one panel a gas space, and
 * the voltage of the design with the pressures it must be off at. Null without gas or voltage.
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
  const top = Math.max(...curve.voltage, first.voltage_V * 1.1);
  const pressures = [
    ...curve.from,
    ...curve.to,
    ...bands.flatMap((band) => [band.from_Pa, band.to_Pa, workingPressure(design, result, band)]),
  ].filter((p): p is number => p !== null && p > 0);
  const low = 10 ** Math.floor(Math.log10(Math.min(...pressures)) - 0.2);
  const high = 10 ** Math.ceil(Math.log10(Math.max(...pressures)) + 0.2);
  const height = TOP + bands.length * PANEL + (bands.length - 1) * BETWEEN + 98;
  const body = bands.flatMap((band, i) => {
    const y0 = TOP + i * (PANEL + BETWEEN);
    const x = logarithmic(low, high, [LEFT, RIGHT]);
    const y = linear(0, top, [y0 + PANEL, y0]);
    return panel(design, result, band, curve, x, y);
  });
  body.push(
    note(
      LEFT,
      height - 32,
      `Limit: ${design.model.breakdownFactor} times the lower of the measured minimum and the computed curve, secondary emission ${design.model.secondaryEmissionMin} to ${design.model.secondaryEmissionMax}, over all gaps from ${printFigure("x_m", first.gap_min_m, null, { digits: 3 })} to ${printFigure("x_m", first.gap_max_m, null, { digits: 3 })}.`,
    ),
  );
  const title = "Lock-out band";
  const beside = `${design.gas.name}; high voltage off inside the hatched region, filling and pumping down included`;
  const sentence = `At ${volts(first.voltage_V)} the high voltage must be off ${bands
    .map((b) => `from ${bar(b.from_Pa)} to ${bar(b.to_Pa)} (${b.gas_space})`)
    .join(" and ")}.`;
  const size = { width: WIDTH, height };
  return {
    name: ID,
    title,
    sentence,
    csv: csvOf(design, curve, options),
    svg: svgDocument(
      {
        ...size,
        name: ID,
        title,
        sentence,
        defs: [hatch(`${ID}-off`, "falling", 7, OFF_HATCH, OFF_GROUND, 0.6)],
      },
      [...frame(size, title, beside, originLine(design, options)), ...body],
    ),
  };
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

function panel(
  design: Design,
  result: SheetResult,
  band: LockoutBand,
  curve: LimitCurve,
  x: Scale,
  y: Scale,
): string[] {
  const [bottom, top] = y.range;
  const V = y.at(band.voltage_V);
  const clip = `${ID}-${band.gas_space.replace(/\W+/g, "-")}`;
  const left: Point[] = curve.voltage.map((v, i) => ({ x: x.at(curve.from[i]!), y: y.at(v) }));
  const right: Point[] = curve.voltage.map((v, i) => ({ x: x.at(curve.to[i]!), y: y.at(v) }));
  const outline = [...[...left].reverse(), ...right];
  const labels = labelSheet({
    x: LEFT + 3,
    y: top + 3,
    width: RIGHT - LEFT - 6,
    height: bottom - top - 6,
  });
  for (const box of alongRun(outline)) labels.take(box);
  labels.take({ x: LEFT, y: V - 2, width: RIGHT - LEFT, height: 4 });
  const [a, b] = [x.at(band.from_Pa), x.at(band.to_Pa)];
  const working = workingPressure(design, result, band);
  const out = [
    el("defs", {}, plotClip(clip, { left: LEFT, right: RIGHT, top, bottom })),
    rect(LEFT, top, RIGHT - LEFT, bottom - top, { fill: PLOT_GROUND }),
    ...bottomAxis(x, bottom, {
      name: "absolute pressure",
      unit: { unit: "mbar", factor: 100 },
      grid: top,
    }),
    ...leftAxis(y, LEFT, {
      name: "voltage",
      unit: { unit: "V", factor: 1 },
      count: 5,
      grid: RIGHT,
    }),
    el(
      "g",
      { "clip-path": `url(#${clip})` },
      polygon(outline, { fill: `url(#${ID}-off)` }) +
        polyline(outline, { stroke: NOT_MET, "stroke-width": 1.8 }),
    ),
    line(LEFT, V, a, V, { "stroke-width": 1.6 }),
    line(b, V, RIGHT, V, { "stroke-width": 1.6 }),
    line(a, V, b, V, { stroke: NOT_MET, "stroke-width": 2.6, "stroke-dasharray": "7 4" }),
    line(a, V, a, bottom, { stroke: NOT_MET, "stroke-width": 0.9, "stroke-dasharray": "3 2" }),
    line(b, V, b, bottom, { stroke: NOT_MET, "stroke-width": 0.9, "stroke-dasharray": "3 2" }),
    text(LEFT, top - 8, `${band.gas_space} (${band.gas})`, { weight: "bold" }),
    text(
      (a + b) / 2,
      V - 8,
      `${volts(band.voltage_V)} off from ${bar(band.from_Pa)} to ${bar(band.to_Pa)}`,
      {
        anchor: "middle",
        size: SIZE.small,
        fill: NOT_MET,
        weight: "bold",
        halo: true,
      },
    ),
  ];
  const minimum =
    band.minimum_measured_V === null
      ? `computed minimum ${volts(band.minimum_computed_V)}, none measured`
      : `minimum measured ${volts(band.minimum_measured_V)}, computed ${volts(band.minimum_computed_V)}`;
  const lowest = outline.reduce(
    (p, q) => (q.y > p.y ? q : p),
    outline[0] ?? { x: LEFT, y: bottom },
  );
  if (working !== null && working > 0) {
    const px = x.at(working);
    out.push(
      circle(px, V, 5, { fill: INK, stroke: PAPER, "stroke-width": 1.4 }),
      ...calledOut(labels, `in operation ${bar(working)}`, px, V, {
        size: SIZE.small,
        weight: "bold",
      }),
    );
  }
  out.push(...calledOut(labels, minimum, lowest.x, lowest.y, { size: SIZE.small, fill: QUIET }));
  return out;
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
