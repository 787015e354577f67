import type { TracePart } from "../../worker/benchTrace.ts";
import { drawTrace, type Inks, type Layout, layoutOf, type Scene } from "./traceDraw.ts";

/** A part of the trace, SI. */
export type Span = readonly [number, number];

/** Keeps a part within the trace and not shorter than some samples; its middle stays where it can. */
export function within([a, b]: Span, axis: TracePart["axis"]): Span {
  const whole = axis.to - axis.from;
  const length = Math.min(whole, Math.max(axis.least, b - a));
  const middle = (a + b) / 2;
  const from = Math.min(axis.to - length, Math.max(axis.from, middle - length / 2));
  return [from, from + length];
}

/** The part with `factor` of its length about a place that stays where it is. */
export function closer([a, b]: Span, about: number, factor: number, axis: TracePart["axis"]): Span {
  const at = Math.min(b, Math.max(a, about));
  const length = Math.min(axis.to - axis.from, Math.max(axis.least, (b - a) * factor));
  const share = b > a ? (at - a) / (b - a) : 0.5;
  return within([at - share * length, at + (1 - share) * length], axis);
}

/** Reads the colours of the page as they are now. */
export function inksOf(element: HTMLElement): Inks {
  const style = getComputedStyle(element);
  const of = (name: string) => style.getPropertyValue(name).trim();
  return {
    ink: of("--ink"),
    quiet: of("--quiet"),
    hair: of("--fig-hair"),
    plot: of("--fig-plot"),
    accent: of("--accent"),
    span: of("--fig-shade"),
    curves: [1, 2, 3, 4, 5].map((i) => of(`--fig-curve-${i}`)),
    font: style.fontFamily,
  };
}

/**
 * Paints a trace whenever something of it changed, once a frame; asks for the part that is missing, the newest
 * question only. What the last part holds is shown until the next one is there.
 */
export class TracePainter {
  scene: Scene | null = null;
  layout: Layout | null = null;
  private frame = 0;
  private asking = false;
  private due = false;
  private over = false;
  private readonly canvas: HTMLCanvasElement;
  private readonly ask: (view: Span, width: number) => Promise<TracePart | null>;
  private readonly onPart: (part: TracePart) => void;

  constructor(
    canvas: HTMLCanvasElement,
    ask: (view: Span, width: number) => Promise<TracePart | null>,
    onPart: (part: TracePart) => void,
  ) {
    this.canvas = canvas;
    this.ask = ask;
    this.onPart = onPart;
  }

  /** Changes the scene and paints it in the next frame. */
  show(change: Partial<Scene>, needsPart: boolean): void {
    if (this.scene === null) return;
    this.scene = { ...this.scene, ...change };
    if (needsPart) void this.fetch();
    this.paintSoon();
  }

  begin(scene: Scene): void {
    this.scene = scene;
    this.paintSoon();
    void this.fetch();
  }

  end(): void {
    this.over = true;
    cancelAnimationFrame(this.frame);
  }

  private async fetch(): Promise<void> {
    this.due = true;
    if (this.asking) return;
    this.asking = true;
    try {
      while (this.due && !this.over && this.scene !== null) {
        this.due = false;
        const { view, width } = this.scene;
        const { left, right } = layoutOf(this.scene);
        const columns = Math.max(1, Math.round((right - left) * devicePixelRatio));
        const part = width > 0 ? await this.ask(view, columns) : null;
        if (part === null || this.over) break;
        this.scene = { ...this.scene, part };
        this.onPart(part);
        this.paintSoon();
      }
    } finally {
      this.asking = false;
    }
  }

  private paintSoon(): void {
    if (this.frame !== 0 || this.over) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      this.paint();
    });
  }

  private paint(): void {
    if (this.scene === null) return;
    const { width, height } = this.scene;
    const [w, h] = [width, height].map((x) => Math.round(x * devicePixelRatio)) as [number, number];
    if (this.canvas.width !== w || this.canvas.height !== h) {
      this.canvas.width = w;
      this.canvas.height = h;
    }
    const ctx = this.canvas.getContext("2d");
    if (ctx === null) return;
    ctx.setTransform(devicePixelRatio, 0, 0, devicePixelRatio, 0, 0);
    this.layout = drawTrace(ctx, this.scene, inksOf(this.canvas));
  }
}
