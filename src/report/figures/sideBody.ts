import type { Design } from "../../design/design.ts";
import { type BodyFrame, between, floorDrawing, hatched } from "./sideFloor.ts";
import type { SideGeometry, SideScale } from "./sideGeometry.ts";
import type { SideSizes } from "./sideLayout.ts";
import { line, type Point, part } from "./svg.ts";
import { gasTint, INK, PAPER } from "./theme.ts";

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
  const frame: BodyFrame = { design, geometry, scale, id, down, clamp, sizes };
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
function backWall(frame: BodyFrame, left: number, right: number, bottom: number): string {
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
  frame: BodyFrame,
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

function jawDrawing(frame: BodyFrame, near: number, far: number): (floor: number) => string[] {
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
