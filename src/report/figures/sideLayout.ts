import type { Design } from "../../design/design.ts";
import { BEYOND_TIP, WALL } from "./sideBody.ts";
import { exaggeration, type SideGeometry, type SideScale } from "./sideGeometry.ts";
import type { InsetPlace } from "./sideInsetSeat.ts";

/** Sizes of what a design does not give, px: the body is drawn to show the idea. */
export interface SideSizes {
  /** Height of the land over the floor, depth of the floor. */
  land: number;
  floor: number;
  /** Distance of the lid from the strip, thickness of the lid. */
  lidAt: number;
  lid: number;
  /** Gas space behind the floor where pressure opens. */
  behind: number;
  jaw: number;
  /** Distances of the two dimension lines and of the words above them from the strip. */
  near: number;
  far: number;
  words: number;
  /** Most that thickness and deflection are drawn high. */
  thickness: number;
  swing: number;
}

const ROOMY: SideSizes = {
  land: 13,
  floor: 74,
  lidAt: 104,
  lid: 15,
  behind: 42,
  jaw: 30,
  near: 44,
  far: 68,
  words: 92,
  thickness: 26,
  swing: 32,
};
const FLAT: SideSizes = {
  land: 11,
  floor: 34,
  lidAt: 80,
  lid: 10,
  behind: 26,
  jaw: 20,
  near: 33,
  far: 53,
  words: 70,
  thickness: 22,
  swing: 25,
};
/** Heights at which a drawing laid out to a size is flat and roomy, px; above, it grows by as much again. */
const HEIGHTS = [250, 400] as const;
const MOST = 1.6;

/** The sheet for paper. */
const PAPER_SIZE = { width: 1080, height: 470 };
/** Heights that title and origin take, px. */
const TITLE = 38;
const ORIGIN = 22;

export interface SideLayout {
  width: number;
  height: number;
  bare: boolean;
  /** The drawing takes the sheet that is given, instead of its own on paper. */
  fits: boolean;
  /** Room of the drawing between title and origin, px. */
  top: number;
  bottom: number;
  sizes: SideSizes;
  inset: InsetPlace;
  /** Words of the inset beside it; below it otherwise, so many lines. */
  insetWords: { beside: boolean; lines: number };
  /** Foot of the scale bar. */
  foot: number;
}

/** Smallest sheet: 520 × 240 px, with title and origin 310 high; less is drawn on that. */
const LEAST = { width: 520, bare: 240, titled: 310 };

/** Where everything stands on a sheet of this size. */
export function sideLayout(
  geometry: SideGeometry,
  size: { width: number; height: number } | undefined,
  bare = false,
): SideLayout {
  const width = Math.max(LEAST.width, size?.width ?? PAPER_SIZE.width);
  const height = Math.max(bare ? LEAST.bare : LEAST.titled, size?.height ?? PAPER_SIZE.height);
  const fits = bare || size !== undefined;
  const [top, bottom] = bare ? [0, height] : [TITLE, height - ORIGIN];
  if (!fits)
    return {
      width,
      height,
      bare,
      fits,
      top,
      bottom,
      sizes: ROOMY,
      inset: { cx: width - 158, cy: 190, r: 110 },
      insetWords: { beside: false, lines: 4 },
      foot: height - 46,
    };
  const high = bottom - top;
  const share = Math.min(MOST, Math.max(0, (high - HEIGHTS[0]) / (HEIGHTS[1] - HEIGHTS[0])));
  const sizes = Object.fromEntries(
    Object.entries(ROOMY).map(([key, roomy]) => {
      const flat = FLAT[key as keyof SideSizes];
      return [key, flat + share * (roomy - flat)];
    }),
  ) as unknown as SideSizes;
  const beside = geometry.moves && width >= 1300;
  const lines = high >= 400 ? 4 : high >= 270 ? 2 : 1;
  const under = beside ? 26 : 24 + 14 * lines;
  const most = 130 + Math.max(0, share - 1) * 80;
  const r = Math.min(most, 0.16 * width, (high - 8 - under) / 2);
  const cx = beside ? width - 275 - r : width - 16 - Math.max(r, 96);
  const spare = beside ? Math.max(0, high - 40 - 2 * r) / 2 : 0;
  return {
    width,
    height,
    bare,
    fits,
    top,
    bottom,
    sizes,
    inset: { cx, cy: top + 6 + spare + r, r },
    insetWords: { beside, lines },
    foot: bottom - 18,
  };
}

const LEFT = 40;
/** Room of the strip on paper, px. */
const ROOM = 650;

/** From the design's metres to the sheet. */
export function sideScale(
  design: Design,
  geometry: SideGeometry,
  clamp: number,
  layout: SideLayout,
): SideScale {
  const { fits, sizes, inset, top, bottom } = layout;
  const left = fits ? WALL + 4 : LEFT;
  const right = geometry.moves ? inset.cx - inset.r - 18 : layout.width - 16;
  const room = fits ? right - left - BEYOND_TIP - WALL : ROOM;
  const px = room / (clamp + geometry.tip);
  const pz = px * Math.min(10, exaggeration(1, sizes.thickness / (geometry.thickness * px)));
  const largest = Math.max(
    1e-9,
    Math.abs(geometry.standOff),
    ...geometry.shapes.flatMap((s) => [s.at(geometry.tip), s.at(geometry.pad)].map(Math.abs)),
  );
  const pd = px * exaggeration(largest * px, sizes.swing);
  const y0 = fits
    ? top + middle(design, geometry, sizes, bottom - top, pz)
    : geometry.toSeat === -1
      ? 212
      : 262;
  return {
    px,
    pz,
    pd,
    x: (x) => left + (x + clamp) * px,
    y: (z, w = 0) => y0 - z * pz - w * pd,
  };
}

/** Height of the strip at rest, so that what stands above and below it fits the sheet. */
function middle(
  design: Design,
  geometry: SideGeometry,
  sizes: SideSizes,
  height: number,
  pz: number,
): number {
  const half = (geometry.thickness / 2) * pz;
  const pad = (design.pad?.thickness ?? 0) * pz;
  const closes = design.seat?.arrangement === "pressure closes";
  const away = half + (closes ? sizes.lidAt + sizes.lid : sizes.words + 12);
  const near =
    geometry.seatPlane === null
      ? half + sizes.jaw + 34
      : half + pad + sizes.land + sizes.floor + (closes ? 30 : sizes.behind + sizes.lid);
  const foot = 34;
  const [above, below] = geometry.toSeat === -1 ? [away, near] : [near, away];
  const spare = Math.max(0, height - foot - above - below - 6);
  return 6 + above + spare / 2;
}
