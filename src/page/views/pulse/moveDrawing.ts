import type { PulseMotion } from "../../worker/pulseRequests.ts";
import { deflectionAt } from "./motionShape.ts";

/*
 * The side view in motion: strip, masses and pad of the drawing on the page are put where the computed shape has
 * them, magnified as the drawing itself magnifies; seat and body stay. The detail in its ring follows at the same time.
 * What was moved can be put back.
 */

/** How lengths and deflections lie on the drawing, px. */
export interface DrawingScale {
  /** x of the clamp edge, and px per metre along the strip. */
  x0: number;
  perLength: number;
  /** px upwards per metre of deflection. */
  perDeflection: number;
}

interface Kept {
  name: string;
  /** null: the drawing had none. */
  value: string | null;
}

/** Attributes as the drawing came, by element; a drawing drawn anew has new elements. */
const came = new WeakMap<Element, Kept[]>();
const touched = new Set<WeakRef<Element>>();

function keep(element: Element, ...names: string[]): Kept[] {
  const known = came.get(element);
  if (known !== undefined) return known;
  const kept = names.map((name) => ({ name, value: element.getAttribute(name) }));
  came.set(element, kept);
  touched.add(new WeakRef(element));
  return kept;
}

/** Puts everything back that was moved. */
export function putBack(): void {
  for (const ref of touched) {
    const element = ref.deref();
    if (element === undefined) continue;
    for (const { name, value } of came.get(element) ?? [])
      if (value === null) element.removeAttribute(name);
      else element.setAttribute(name, value);
    came.delete(element);
  }
  touched.clear();
}

const MOVING = ["strip", "pad"];
const moves = (part: string) => MOVING.includes(part) || /^(layer|mass)-\d+$/.test(part);

/**
 * Moves the drawing under `root` to a shape.
 * @param drawn which rest shape the drawing shows solid
 * @param lift of the pad over the seat, m
 */
export function moveDrawing(
  root: SVGSVGElement,
  motion: PulseMotion,
  scale: DrawingScale,
  drawn: "closed" | "open",
  shape: Float64Array,
  lift: number,
): void {
  const { places, rest, pad, tip } = motion;
  const before = rest[drawn].shape;
  const shift = (x: number) => {
    const at = Math.min(x, tip);
    const now = deflectionAt(places, shape, 0, at);
    return -(now - deflectionAt(places, before, 0, at)) * scale.perDeflection;
  };
  const place = (px: number) => (px - scale.x0) / scale.perLength;
  for (const group of root.querySelectorAll<SVGGElement>("[data-part]")) {
    const part = group.dataset.part as string;
    if (!moves(part)) continue;
    if (part.startsWith("mass")) {
      moveWhole(group, (px) => shift(place(px)));
      continue;
    }
    const rubber = part === "pad";
    // Arrows of a dimension of the same part stay.
    for (const path of group.querySelectorAll(rubber ? 'path[fill$="-rubber)"]' : "path")) {
      const points = pointsOf(path);
      const face = points.length - 2;
      const moved = points.map(([x, y], i) => {
        const by = rubber && i >= face ? shift(pad) : shift(place(x));
        return `${x} ${Math.round(100 * (y + by)) / 100}`;
      });
      path.setAttribute("d", `M${moved.join(" L")} Z`);
    }
  }
  for (const rect of root.querySelectorAll(
    '[data-part="seat"] > rect, g[clip-path$="-round)"] > rect',
  ))
    tint(rect, lift > 0 && motion.hasSeat);
  moveDetail(root, motion, drawn, deflectionAt(places, shape, 0, tip), lift);
}

/** What is closed off from the gas is drawn in the colour of paper; while gas flows its tint shows there. */
function tint(rect: Element, flows: boolean): void {
  if (!/paper\)$/.test(rect.getAttribute("fill") ?? "")) return;
  keep(rect, "visibility");
  rect.setAttribute("visibility", flows ? "hidden" : "visible");
}

const parsed = new WeakMap<Element, [number, number][]>();

/** Corners of a closed outline of straight pieces, as the drawing came. */
function pointsOf(path: Element): [number, number][] {
  const [kept] = keep(path, "d");
  const known = parsed.get(path);
  if (known !== undefined) return known;
  const numbers = (kept?.value?.match(/-?[\d.]+/g) ?? []).map(Number);
  const points: [number, number][] = [];
  for (let i = 0; i + 1 < numbers.length; i += 2)
    points.push([numbers[i] as number, numbers[i + 1] as number]);
  parsed.set(path, points);
  return points;
}

/** A mass moves as a whole with the place under its middle. */
function moveWhole(group: SVGGElement, shift: (px: number) => number): void {
  const block = group.querySelector("rect");
  keep(group, "transform");
  if (block === null) return;
  const middle = Number(block.getAttribute("x")) + Number(block.getAttribute("width")) / 2;
  group.setAttribute("transform", `translate(0 ${shift(middle).toFixed(2)})`);
}

/**
 * The ring shows the face of the pad over the seat, or the end of the strip: a block and a line at its edge,
 * and a dashed line where the other rest shape has that edge. The two lines give its scale.
 */
function moveDetail(
  root: SVGSVGElement,
  { rest, places, tip, hasSeat }: PulseMotion,
  drawn: "closed" | "open",
  atTip: number,
  lift: number,
): void {
  const ring = root.querySelector('g[clip-path$="-round)"]');
  if (ring === null) return;
  const lines = [...ring.querySelectorAll(":scope > line")];
  const other = lines.find((line) => line.hasAttribute("stroke-dasharray"));
  const block = hasSeat
    ? ring.querySelector('rect[fill$="-rubber)"]')
    : ring.querySelector(":scope > rect");
  if (other === undefined || block === null) return;
  const edge = lines.find((line) => line !== other) ?? null;
  const [, top, height] = keep(block, "x", "y", "height").map(({ value }) => Number(value)) as [
    number,
    number,
    number,
  ];
  const level = (state: "closed" | "open") =>
    hasSeat ? rest[state].lift : deflectionAt(places, rest[state].shape, 0, tip);
  const away = drawn === "closed" ? "open" : "closed";
  const yOther = Number(other.getAttribute("y1"));
  // The edge of the block that lies nearer to the other level is the face.
  const low = edge === null ? top + height : Number(keep(edge, "x1", "y1", "y2")[1]?.value);
  const apart = level(away) - level(drawn);
  if (apart === 0) return;
  const y = low + (((hasSeat ? lift : atTip) - level(drawn)) * (yOther - low)) / apart;
  const atBottom = Math.abs(low - (top + height)) <= Math.abs(low - top);
  block.setAttribute("y", String(atBottom ? top : y));
  block.setAttribute("height", String(Math.max(0, atBottom ? y - top : top + height - y)));
  edge?.setAttribute("y1", String(y));
  edge?.setAttribute("y2", String(y));
}
