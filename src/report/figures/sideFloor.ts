import type { Design } from "../../design/design.ts";
import type { SideGeometry, SideScale } from "./sideGeometry.ts";
import type { SideSizes } from "./sideLayout.ts";
import { type Attributes, circle, type Point, part, polygon, polyline, rect } from "./svg.ts";
import { BODY, GRAPHITE, INK, RUBBER } from "./theme.ts";

const WEB = 13;

/** What every piece of the body is drawn from. */
export interface BodyFrame {
  design: Design;
  geometry: SideGeometry;
  scale: SideScale;
  id: string;
  /** +1: the seat's side is downwards on the sheet. */
  down: 1 | -1;
  clamp: number;
  sizes: SideSizes;
}

interface FloorLook {
  left: number;
  right: number;
  floor: number;
  bottom: number;
  seatFace: number;
  bore: Attributes;
  /** Fill inside the seat; null where the gas around it fills it. */
  pocket: Attributes | null;
  inside: boolean;
}

/** Floor with the raised seat, the orifice and the bore behind it. */
export function floorDrawing(frame: BodyFrame, look: FloorLook): string[] {
  const { design, geometry, scale, down } = frame;
  const { left, right, floor, bottom, seatFace, inside } = look;
  const seat = design.seat;
  if (seat === undefined) return [];
  const centre = scale.x(geometry.pad);
  const hole = Math.max(1.5, (design.need.orificeDiameter / 2) * scale.px);
  const ring = (seat.diameter / 2) * scale.px;
  const half = Math.max(0.9, (seat.land / 2) * scale.px);
  const web = floor + down * WEB;
  const wide = inside ? hole + Math.abs(bottom - web) * 0.5 : 13;
  const side = (way: 1 | -1): Point[] => {
    const outer = way === 1 ? right : left;
    const rim: Point[] =
      seat.form === "land"
        ? [
            { x: centre + way * (ring - half), y: floor },
            { x: centre + way * (ring - half), y: seatFace },
            { x: centre + way * (ring + half), y: seatFace },
            { x: centre + way * (ring + half + 3), y: floor },
          ]
        : [];
    return [
      { x: centre + way * hole, y: floor },
      ...rim,
      { x: outer, y: floor },
      { x: outer, y: bottom },
      { x: centre + way * wide, y: bottom },
      ...(inside ? [] : [{ x: centre + way * wide, y: web }]),
      { x: centre + way * hole, y: web },
    ];
  };
  const bore: Point[] = [
    { x: centre - hole, y: floor },
    { x: centre - hole, y: web },
    ...(inside ? [] : [{ x: centre - wide, y: web }]),
    { x: centre - wide, y: bottom },
    { x: centre + wide, y: bottom },
    ...(inside ? [] : [{ x: centre + wide, y: web }]),
    { x: centre + hole, y: web },
    { x: centre + hole, y: floor },
  ];
  const rimmed = seat.form === "land" || seat.form === "o-ring";
  const out = [
    part("orifice", [polygon(bore, look.bore)]),
    ...(rimmed && look.pocket !== null
      ? [between(centre - ring, centre + ring, seatFace, floor, look.pocket)]
      : []),
    hatched(frame, "body", side(-1)),
    hatched(frame, "body", side(1)),
  ];
  if (seat.form === "o-ring") {
    const r = Math.abs(seatFace - floor) * 0.62;
    for (const way of [-1, 1])
      out.push(
        circle(centre + way * ring, seatFace + down * r, r, {
          fill: RUBBER,
          stroke: INK,
          "stroke-width": 0.8,
        }),
      );
  }
  out.push(
    polyline(
      [
        { x: centre, y: seatFace - down * 6 },
        { x: centre, y: bottom + down * 8 },
      ],
      { "stroke-width": 0.6, "stroke-dasharray": "9 2.5 2 2.5", stroke: GRAPHITE },
    ),
  );
  return out;
}

/** A cut face of the body or of a clamp jaw. */
export function hatched(frame: BodyFrame, part: "body" | "jaw", points: readonly Point[]): string {
  return (
    polygon(points, { fill: BODY }) +
    polygon(points, {
      fill: `url(#${frame.id}-${part})`,
      stroke: INK,
      "stroke-width": 1,
      "stroke-linejoin": "round",
    })
  );
}

/** A rectangle between two heights, whichever is higher. */
export function between(x1: number, x2: number, y1: number, y2: number, look: Attributes): string {
  return rect(x1, Math.min(y1, y2), x2 - x1, Math.abs(y2 - y1), look);
}
