import type { Design } from "../../design/design.ts";
import type { SideGeometry } from "./sideGeometry.ts";
import type { SideSizes } from "./sideLayout.ts";
import { type Attributes, circle, line, type Point, part, polygon, polyline, rect } from "./svg.ts";
import { BODY, GRAPHITE, gasTint, INK, PAPER, RUBBER } from "./theme.ts";

/** From metres to px; `z` is measured from the strip's mid-plane at rest, upwards. */
export interface SideScale {
  /** px per metre along x. */
  px: number;
  /** px per metre through the thickness. */
  pz: number;
  /** px per metre of displacement. */
  pd: number;
  x: (x: number) => number;
  /** Height of a point at rest position `z` that is displaced by `w`. */
  y: (z: number, w?: number) => number;
}

const WEB = 13;
export const BEYOND_TIP = 74;
export const WALL = 16;
const VACUUM = { fill: PAPER };

export interface BodyDrawing {
  /** Gas spaces, drawn before the strip. */
  behind: string[];
  /** Body and seat, drawn after the strip's pad. */
  front: string[];
  /** Heights of what others must keep clear of, px. */
  seatFace: number;
  floor: number;
  bottom: number;
  /** Where the bore ends. */
  bore: number;
  top: number;
  right: number;
  left: number;
}

interface Frame {
  design: Design;
  geometry: SideGeometry;
  scale: SideScale;
  id: string;
  /** +1: the seat's side is downwards on the sheet. */
  down: 1 | -1;
  clamp: number;
  sizes: SideSizes;
}

/** Body, clamp, seat and orifice as hatched sections; gas spaces tinted by their pressure. */
export function sideBody(
  design: Design,
  geometry: SideGeometry,
  scale: SideScale,
  clamp: number,
  id: string,
  open: boolean,
  sizes: SideSizes,
): BodyDrawing {
  const down = geometry.toSeat === -1 ? 1 : -1;
  const frame: Frame = { design, geometry, scale, id, down, clamp, sizes };
  const left = scale.x(-clamp);
  const opens = design.seat?.arrangement === "pressure opens";
  const right = scale.x(geometry.tip) + BEYOND_TIP - (opens ? WALL : 0);
  const halfThick = geometry.thickness / 2;
  const near = scale.y(geometry.toSeat * halfThick);
  const far = scale.y(-geometry.toSeat * halfThick);
  const jaws = jawDrawing(frame, near, far);
  if (geometry.seatPlane === null) return openBody(frame, near, far, jaws, left, right);

  const seatFace = scale.y(geometry.seatPlane, -geometry.toSeat * geometry.standOff);
  const flat = design.seat?.form === "flat";
  const floor = seatFace + (flat ? 0 : down * sizes.land);
  const bottom = floor + down * sizes.floor;
  const lid = far - down * sizes.lidAt;
  const inside = design.seat?.arrangement !== "pressure opens";
  const plenum = gasTint(design.need.plenumPressure);
  const behind: string[] = [];
  const gas = inside
    ? between(left, right, lid, floor, plenum)
    : between(left, right + WALL, bottom, bottom + down * sizes.behind, plenum);
  behind.push(part("gas", [gas]));
  const front = [
    part(
      "seat",
      floorDrawing(frame, {
        left: left - WALL,
        right: right + (inside ? 1 : 2) * WALL,
        floor,
        bottom,
        seatFace,
        bore: inside ? VACUUM : plenum,
        pocket: !inside ? plenum : open ? null : VACUUM,
        inside,
      }),
    ),
    part("clamp", jaws(floor)),
  ];
  if (inside)
    front.push(
      part("body", [
        hatched(frame, "body", [
          { x: left - WALL, y: floor },
          { x: left - WALL, y: lid - down * sizes.lid },
          { x: right + WALL, y: lid - down * sizes.lid },
          { x: right + WALL, y: floor },
          { x: right, y: floor },
          { x: right, y: lid },
          { x: left, y: lid },
          { x: left, y: floor },
        ]),
      ]),
    );
  else front.push(backWall(frame, left - WALL, right + 2 * WALL, bottom));
  return {
    behind,
    front,
    seatFace,
    floor,
    bottom: inside ? bottom : bottom + down * (sizes.behind + sizes.lid),
    bore: bottom,
    top: inside ? lid - down * sizes.lid : far - down * sizes.jaw,
    right: right + WALL,
    left,
  };
}

/** The plenum behind the floor, closed by a wall. */
function backWall(frame: Frame, left: number, right: number, bottom: number): string {
  const { down, sizes } = frame;
  const inner = bottom + down * sizes.behind;
  return hatched(frame, "body", [
    { x: left, y: bottom },
    { x: left + WALL, y: bottom },
    { x: left + WALL, y: inner },
    { x: right - WALL, y: inner },
    { x: right - WALL, y: bottom },
    { x: right, y: bottom },
    { x: right, y: inner + down * sizes.lid },
    { x: left, y: inner + down * sizes.lid },
  ]);
}

/** A strip without a seat: clamp and, where it is known, the wall beside the strip. */
function openBody(
  frame: Frame,
  near: number,
  far: number,
  jaws: (floor: number) => string[],
  left: number,
  right: number,
): BodyDrawing {
  const { design, down, scale, sizes } = frame;
  const gap = design.surroundings.wallDistance;
  const floor = gap === null ? near + down * sizes.jaw : near + down * Math.min(gap * scale.pz, 90);
  const depth = gap === null ? 16 : 34;
  const end = gap === null ? scale.x(0) : right;
  const bottom = floor + down * depth;
  const front = [
    hatched(frame, "body", [
      { x: left, y: floor },
      { x: end, y: floor },
      { x: end, y: bottom },
      { x: left, y: bottom },
    ]),
    part("clamp", jaws(floor)),
  ];
  return {
    behind: [],
    front,
    seatFace: floor,
    floor,
    bottom,
    bore: bottom,
    top: far - down * sizes.jaw,
    right,
    left,
  };
}

function jawDrawing(frame: Frame, near: number, far: number): (floor: number) => string[] {
  const { scale, clamp, down, sizes } = frame;
  const [a, b] = [scale.x(-clamp), scale.x(0)];
  const box = (y1: number, y2: number): Point[] => [
    { x: a, y: y1 },
    { x: b, y: y1 },
    { x: b, y: y2 },
    { x: a, y: y2 },
  ];
  return (floor) => {
    const outer = far - down * sizes.jaw;
    const screw = a + (b - a) * 0.42;
    return [
      hatched(frame, "jaw", box(near, floor)),
      hatched(frame, "jaw", box(far, outer)),
      line(screw, outer - down * 9, screw, floor + down * 12, {
        stroke: INK,
        "stroke-width": 0.7,
        "stroke-dasharray": "9 2.5 2 2.5",
      }),
    ];
  };
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
function floorDrawing(frame: Frame, look: FloorLook): string[] {
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

function hatched(frame: Frame, part: "body" | "jaw", points: readonly Point[]): string {
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

function between(x1: number, x2: number, y1: number, y2: number, look: Attributes): string {
  return rect(x1, Math.min(y1, y2), x2 - x1, Math.abs(y2 - y1), look);
}
