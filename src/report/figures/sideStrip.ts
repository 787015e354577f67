import type { Design } from "../../design/design.ts";
import type { SideGeometry, SideScale, SideShape } from "./sideGeometry.ts";
import { faceAt, runsOf, type Stretch, stretchesOf } from "./sideLayers.ts";
import { line, type Point, part, polygon, polyline, rect, text } from "./svg.ts";
import { GLUE, GRAPHITE, INK, METAL, OTHER, QUIET, SAND, SAND_EDGE, SIZE } from "./theme.ts";

/** Points along the strip at which it is drawn. */
const STEPS = 48;

/** Half the pad's width as drawn: the design gives none, so it covers the seat with some to spare. */
export function padHalfWidth(design: Design, geometry: SideGeometry): number {
  const covers = design.seat === undefined ? 0 : design.seat.diameter / 2 + design.seat.land;
  const wanted = Math.max(covers * 1.5, 0.3 * (design.pad?.thickness ?? 0));
  return Math.min(wanted, Math.max(geometry.tip - geometry.pad, covers) + 0.1e-3);
}

export function layerFill(design: Design, name: string): string {
  const kind = design.materials[name]?.kind;
  return kind === "ceramic" ? SAND : kind === "metal" ? METAL : GLUE;
}

function edge(shape: SideShape, scale: SideScale, z: number, from: number, to: number): Point[] {
  return Array.from({ length: STEPS + 1 }, (_, i) => {
    const x = from + ((to - from) * i) / STEPS;
    return { x: scale.x(x), y: scale.y(z, x > 0 || shape.inside === true ? shape.at(x) : 0) };
  });
}

function band(
  shape: SideShape,
  scale: SideScale,
  [low, high]: readonly [number, number],
  [from, to]: readonly [number, number],
): Point[] {
  return [...edge(shape, scale, low, from, to), ...edge(shape, scale, high, from, to).reverse()];
}

/** Outline of all that lies there, with its steps. */
function outline(shape: SideShape, scale: SideScale, stretches: readonly Stretch[]): Point[] {
  const [first] = stretches;
  if (stretches.length === 1 && first !== undefined)
    return band(shape, scale, [first.low, first.high], [first.from, first.to]);
  return [
    ...stretches.flatMap(({ low, from, to }) => edge(shape, scale, low, from, to)),
    ...stretches.flatMap(({ high, from, to }) => edge(shape, scale, high, from, to)).reverse(),
  ];
}

/** The strip with its layers, extension, masses and pad in the state that is current. */
export function solidStrip(
  design: Design,
  geometry: SideGeometry,
  shape: SideShape,
  other: SideShape,
  scale: SideScale,
  clamp: number,
  id: string,
): string[] {
  const out: string[] = [];
  let z = -geometry.thickness / 2;
  const stretches = stretchesOf(design, clamp);
  for (const [i, layer] of design.strip.layers.entries()) {
    const faces = [z, z + layer.thickness] as const;
    const ceramic = design.materials[layer.material]?.kind === "ceramic";
    const drawn = runsOf(design, i, stretches).map(({ from, to, bare }) =>
      polygon(band(shape, scale, faces, [from, to]), {
        fill: layerFill(design, layer.material),
        ...(bare ? { "fill-opacity": 0.35 } : {}),
        stroke: ceramic ? SAND_EDGE : GRAPHITE,
        "stroke-width": 0.7,
        "stroke-linejoin": "round",
      }),
    );
    out.push(part(`layer-${i}`, drawn));
    z += layer.thickness;
  }
  const { extension } = design.strip;
  const pieces = [
    polygon(outline(shape, scale, stretches), {
      fill: "none",
      stroke: INK,
      "stroke-width": 1.1,
      "stroke-linejoin": "round",
    }),
  ];
  if (extension !== null) {
    const half = extension.thickness / 2;
    pieces.unshift(
      polygon(band(shape, scale, [-half, half], [geometry.freeLength, geometry.tip]), {
        fill: GLUE,
        stroke: GRAPHITE,
        "stroke-width": 0.7,
      }),
    );
  }
  out.push(part("strip", pieces));
  for (const [i, mass] of design.masses.entries()) {
    const onExtension = mass.position > geometry.freeLength && extension !== null;
    const top = onExtension ? extension.thickness / 2 : faceAt(design, mass.position, 1);
    const [x, y] = [scale.x(mass.position), scale.y(top, shape.at(mass.position))];
    const pieces = [rect(x - 7, y - 5, 14, 5, { fill: GRAPHITE })];
    const clear = Math.min(y - 5, scale.y(top, other.at(mass.position))) - 5;
    if (y - 5 - clear > 10)
      pieces.push(line(x, clear + 3, x, y - 6, { stroke: QUIET, "stroke-width": 0.7 }));
    pieces.push(text(x, clear, mass.name, { size: SIZE.small, anchor: "middle" }));
    out.push(part(`mass-${i}`, pieces));
  }
  const pad = padOutline(design, geometry, shape, scale);
  if (pad.length > 0)
    out.push(
      part("pad", [
        polygon(pad, {
          fill: `url(#${id}-rubber)`,
          stroke: INK,
          "stroke-width": 1,
          "stroke-linejoin": "round",
        }),
      ]),
    );
  return out;
}

/** The other state: outline of strip and pad, thin. */
export function outlineStrip(
  design: Design,
  geometry: SideGeometry,
  shape: SideShape,
  scale: SideScale,
): string[] {
  const look = { fill: "none", stroke: OTHER, "stroke-width": 0.8, "stroke-dasharray": "4 2.5" };
  const free = stretchesOf(design, 0).filter(({ from, to }) => to > from);
  const out = [polyline(outline(shape, scale, free), look)];
  const { extension } = design.strip;
  if (extension !== null)
    out.push(
      polyline(
        band(
          shape,
          scale,
          [-extension.thickness / 2, extension.thickness / 2],
          [geometry.freeLength, geometry.tip],
        ),
        look,
      ),
    );
  const pad = padOutline(design, geometry, shape, scale);
  if (pad.length > 0) out.push(polygon(pad, look));
  return out;
}

/** The pad: glued to the strip along it, its face drawn parallel to the seat. */
function padOutline(
  design: Design,
  geometry: SideGeometry,
  shape: SideShape,
  scale: SideScale,
): Point[] {
  const { pad } = design;
  if (pad === undefined) return [];
  const half = padHalfWidth(design, geometry);
  const { toSeat } = geometry;
  const back = toSeat * geometry.faceAtPad;
  const face = scale.y(back + toSeat * pad.thickness, shape.at(geometry.pad));
  const xs = Array.from({ length: 9 }, (_, i) => geometry.pad - half + (half * i) / 4);
  return [
    ...xs.map((x) => ({
      x: scale.x(x),
      y: scale.y(back, shape.at(Math.min(x, geometry.tip))),
    })),
    { x: scale.x(geometry.pad + half), y: face },
    { x: scale.x(geometry.pad - half), y: face },
  ];
}
