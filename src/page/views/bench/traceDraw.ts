import type { TraceMark } from "../../../bench/reduction.ts";
import { axisTitle, axisUnit, fixed, ticks } from "../../../report/figures/axis.ts";
import type { TraceChannel, TracePart } from "../../worker/benchTrace.ts";

/*
 * The trace on a canvas: one panel a channel over one axis. Bars of the part that the worker gave last are put where
 * they belong in the present view, so that a pan moves at once and is filled in a moment later.
 */

export interface Panel {
  top: number;
  bottom: number;
  /** SI values at the bottom and at the top. */
  from: number;
  to: number;
}

export interface Layout {
  left: number;
  right: number;
  panels: Panel[];
}

export interface Scene {
  part: TracePart;
  view: readonly [number, number];
  width: number;
  height: number;
  /** Heights from what is seen instead of from all. */
  fit: boolean;
  marks: readonly TraceMark[];
  /** Place of the cursor, null: none. */
  cursor: number | null;
}

export interface Inks {
  ink: string;
  quiet: string;
  hair: string;
  plot: string;
  accent: string;
  span: string;
  curves: readonly string[];
  font: string;
}

const LEFT = 70;
const RIGHT = 14;
const FOOT = 38;
const HEAD = 20;

/** Where the panels lie; their heights follow the channels. */
export function layoutOf({ part, width, height, fit }: Scene): Layout {
  const count = Math.max(1, part.channels.length);
  const each = (height - FOOT) / count;
  const panels = part.channels.map((channel, i) => {
    const [low, high] = fit ? channel.seen : channel.whole;
    const [a, b] = Number.isFinite(low) ? [low, high] : [0, 1];
    const room = b > a ? 0.06 * (b - a) : Math.abs(a) * 0.1 || 1;
    return { top: i * each + HEAD, bottom: (i + 1) * each - 4, from: a - room, to: b + room };
  });
  return { left: LEFT, right: width - RIGHT, panels };
}

export function placeOf(layout: Layout, view: readonly [number, number], x: number): number {
  return layout.left + ((x - view[0]) / (view[1] - view[0])) * (layout.right - layout.left);
}

export function heightOf({ top, bottom, from, to }: Panel, y: number): number {
  return bottom - ((y - from) / (to - from)) * (bottom - top);
}

/** Draws all of it. The context is scaled to CSS px. */
export function drawTrace(ctx: CanvasRenderingContext2D, scene: Scene, inks: Inks): Layout {
  const layout = layoutOf(scene);
  ctx.clearRect(0, 0, scene.width, scene.height);
  ctx.font = `12px ${inks.font}`;
  ctx.textBaseline = "middle";
  scene.part.channels.forEach((channel, i) => {
    const panel = layout.panels[i]!;
    ground(ctx, layout, panel, inks);
    leftScale(ctx, layout, panel, channel, inks);
    ctx.save();
    ctx.beginPath();
    ctx.rect(layout.left, panel.top, layout.right - layout.left, panel.bottom - panel.top);
    ctx.clip();
    spans(ctx, scene, layout, panel, channel, inks);
    curve(ctx, scene, layout, panel, channel, inks.curves[i % inks.curves.length]!);
    levels(ctx, scene, layout, panel, channel, inks);
    ctx.restore();
  });
  instants(ctx, scene, layout, inks);
  footScale(ctx, scene, layout, inks);
  hair(ctx, scene, layout, inks);
  return layout;
}

function ground(ctx: CanvasRenderingContext2D, layout: Layout, panel: Panel, inks: Inks): void {
  ctx.fillStyle = inks.plot;
  ctx.fillRect(layout.left, panel.top, layout.right - layout.left, panel.bottom - panel.top);
}

function curve(
  ctx: CanvasRenderingContext2D,
  { part, view }: Scene,
  layout: Layout,
  panel: Panel,
  { drawn }: TraceChannel,
  ink: string,
): void {
  ctx.strokeStyle = ink;
  ctx.lineJoin = "round";
  ctx.beginPath();
  if (drawn.kind === "points") {
    const px = Array.from(drawn.x, (x) => placeOf(layout, view, x));
    let pen = false;
    for (let i = 0; i < px.length; i++) {
      const y = drawn.y[i]!;
      if (Number.isNaN(y)) pen = false;
      else if (pen) ctx.lineTo(px[i]!, heightOf(panel, y));
      else {
        ctx.moveTo(px[i]!, heightOf(panel, y));
        pen = true;
      }
    }
    ctx.lineWidth = 1.3;
    ctx.stroke();
    if (px.length < (layout.right - layout.left) / 7) {
      ctx.fillStyle = ink;
      for (let i = 0; i < px.length; i++) {
        ctx.beginPath();
        ctx.arc(px[i]!, heightOf(panel, drawn.y[i]!), 2.2, 0, 2 * Math.PI);
        ctx.fill();
      }
    }
    return;
  }
  const { low, high } = drawn;
  const column = (part.view[1] - part.view[0]) / low.length;
  const wide = (column / (view[1] - view[0])) * (layout.right - layout.left);
  let before: [number, number] | null = null;
  for (let c = 0; c < low.length; c++) {
    if (Number.isNaN(low[c]!)) continue;
    const x = placeOf(layout, view, part.view[0] + (c + 0.5) * column);
    const [a, b] = [heightOf(panel, low[c]!), heightOf(panel, high[c]!)];
    if (before !== null && x - before[0] > 1.5 * wide) {
      ctx.moveTo(before[0], before[1]);
      ctx.lineTo(x, (a + b) / 2);
    }
    before = [x, (a + b) / 2];
    if (x < layout.left - wide || x > layout.right + wide) continue;
    ctx.moveTo(x, a + 0.5);
    ctx.lineTo(x, b - 0.5);
  }
  ctx.lineWidth = Math.max(1, wide);
  ctx.stroke();
}

function leftScale(
  ctx: CanvasRenderingContext2D,
  { left, right }: Layout,
  panel: Panel,
  { role, kind }: TraceChannel,
  inks: Inks,
): void {
  const { unit, factor } = axisUnit(kind, panel.from, panel.to);
  const count = Math.max(2, Math.round((panel.bottom - panel.top) / 42));
  const { values, decimals } = ticks(panel.from / factor, panel.to / factor, count);
  ctx.strokeStyle = inks.hair;
  ctx.lineWidth = 0.7;
  ctx.fillStyle = inks.ink;
  ctx.textAlign = "right";
  ctx.beginPath();
  for (const value of values) {
    const y = Math.round(heightOf(panel, value * factor)) + 0.5;
    ctx.moveTo(left, y);
    ctx.lineTo(right, y);
    if (y < panel.top - 2 || y > panel.bottom + 2) continue;
    ctx.fillText(fixed(value, decimals), left - 7, y);
  }
  ctx.stroke();
  ctx.textAlign = "left";
  ctx.font = `600 12px ${inks.font}`;
  ctx.fillText(axisTitle(role, unit), left, panel.top - 10);
  ctx.font = `12px ${inks.font}`;
}

function footScale(ctx: CanvasRenderingContext2D, scene: Scene, layout: Layout, inks: Inks): void {
  const { axis } = scene.part;
  const y = scene.height - FOOT;
  const { unit, factor } =
    axis.kind === null
      ? { unit: "", factor: 1 }
      : axisUnit(axis.kind, scene.view[0], scene.view[1]);
  const shift = axis.kind === null ? 1 : 0;
  const count = Math.max(2, Math.round((layout.right - layout.left) / 90));
  const { values, decimals } = ticks(
    (scene.view[0] + shift) / factor,
    (scene.view[1] + shift) / factor,
    count,
  );
  ctx.strokeStyle = inks.ink;
  ctx.fillStyle = inks.ink;
  ctx.lineWidth = 1;
  ctx.textAlign = "center";
  ctx.beginPath();
  ctx.moveTo(layout.left, y + 0.5);
  ctx.lineTo(layout.right, y + 0.5);
  for (const value of values) {
    const x = Math.round(placeOf(layout, scene.view, value * factor - shift)) + 0.5;
    if (x < layout.left - 1 || x > layout.right + 1) continue;
    ctx.moveTo(x, y);
    ctx.lineTo(x, y + 4);
    ctx.fillText(fixed(value, decimals), x, y + 12);
  }
  ctx.stroke();
  ctx.fillText(axisTitle(axis.name, unit), (layout.left + layout.right) / 2, y + 29);
}

function spans(
  ctx: CanvasRenderingContext2D,
  { marks, view }: Scene,
  layout: Layout,
  panel: Panel,
  { role }: TraceChannel,
  inks: Inks,
): void {
  ctx.fillStyle = inks.span;
  for (const mark of marks) {
    if (mark.kind !== "span" || mark.role !== role || mark.to === undefined) continue;
    const [a, b] = [placeOf(layout, view, mark.from), placeOf(layout, view, mark.to)];
    if (b < layout.left || a > layout.right) continue;
    ctx.fillRect(a, panel.top, Math.max(1, b - a), panel.bottom - panel.top);
  }
}

function levels(
  ctx: CanvasRenderingContext2D,
  { marks }: Scene,
  layout: Layout,
  panel: Panel,
  { role }: TraceChannel,
  inks: Inks,
): void {
  ctx.strokeStyle = inks.ink;
  ctx.fillStyle = inks.ink;
  ctx.lineWidth = 1;
  ctx.setLineDash([6, 4]);
  ctx.textAlign = "right";
  const taken: number[] = [];
  for (const mark of marks) {
    if (mark.kind !== "level" || mark.role !== role) continue;
    const y = heightOf(panel, mark.from);
    ctx.beginPath();
    ctx.moveTo(layout.left, y);
    ctx.lineTo(layout.right, y);
    ctx.stroke();
    const at = y - 8 < panel.top + 7 ? y + 9 : y - 8;
    if (taken.some((other) => Math.abs(other - at) < 13)) continue;
    taken.push(at);
    onGround(ctx, mark.name, layout.right - 4, at, inks);
  }
  ctx.setLineDash([]);
}

/** Instants that are named at most; more of them are drawn as lines only. */
const NAMED = 40;
/** Mean distance of instants below which they are drawn as ticks, px. */
const APART = 12;

function instants(ctx: CanvasRenderingContext2D, scene: Scene, layout: Layout, inks: Inks): void {
  const seen = scene.marks.filter(
    ({ kind, from, to }) =>
      (kind === "instant" || kind === "span") &&
      from <= scene.view[1] &&
      (to ?? from) >= scene.view[0],
  );
  ctx.lineWidth = 1;
  ctx.textAlign = "left";
  // So many that lines would cover the curve: ticks at the upper edge.
  const many = seen.length > (layout.right - layout.left) / APART;
  const taken: { right: number; row: number; panel: number }[] = [];
  for (const { role, kind, from, to, name } of seen) {
    const i = scene.part.channels.findIndex((channel) => channel.role === role);
    const panel = layout.panels[i];
    if (panel === undefined) continue;
    const x = placeOf(layout, scene.view, from);
    ctx.strokeStyle = inks.quiet;
    ctx.beginPath();
    for (const edge of kind === "span" ? [from, to ?? from] : [from]) {
      const at = Math.round(placeOf(layout, scene.view, edge)) + 0.5;
      if (at < layout.left || at > layout.right) continue;
      ctx.moveTo(at, panel.top);
      ctx.lineTo(at, many ? panel.top + 6 : panel.bottom);
    }
    ctx.stroke();
    if (seen.length > NAMED) continue;
    const left = Math.max(layout.left, x) + 4;
    const width = ctx.measureText(name).width;
    if (left + width > layout.right) continue;
    let row = 0;
    while (taken.some((t) => t.panel === i && t.row === row && t.right > left - 6)) row += 1;
    if (panel.top + 9 + row * 14 > panel.bottom - 8) continue;
    taken.push({ right: left + width, row, panel: i });
    ctx.fillStyle = inks.ink;
    onGround(ctx, name, left, panel.top + 9 + row * 14, inks);
  }
}

/** Words with the ground of the plot behind them. */
function onGround(
  ctx: CanvasRenderingContext2D,
  words: string,
  x: number,
  y: number,
  inks: Inks,
): void {
  const ink = ctx.fillStyle;
  ctx.save();
  ctx.setLineDash([]);
  ctx.strokeStyle = inks.plot;
  ctx.lineWidth = 4;
  ctx.lineJoin = "round";
  ctx.strokeText(words, x, y);
  ctx.fillStyle = ink;
  ctx.fillText(words, x, y);
  ctx.restore();
}

function hair(ctx: CanvasRenderingContext2D, scene: Scene, layout: Layout, inks: Inks): void {
  if (scene.cursor === null) return;
  const x = placeOf(layout, scene.view, scene.cursor);
  if (x < layout.left - 1 || x > layout.right + 1) return;
  ctx.fillStyle = inks.accent;
  for (const { top, bottom } of layout.panels) ctx.fillRect(x - 0.5, top, 1, bottom - top);
}
