import type { Design } from "../../design/design.ts";
import type { FigureOptions } from "./figure.ts";
import { textWidth } from "./textSize.ts";
import { SIZE } from "./theme.ts";

/** A conductor from left to right: the ground or a rail. */
export interface ChainNode {
  name: string;
  y: number;
}

export interface ChainLayout {
  width: number;
  height: number;
  bare: boolean;
  left: number;
  /** Most positive on top. */
  nodes: ChainNode[];
  middle: number;
  /** px from one upright part to the next. */
  pitch: number;
  switchX: number;
  resistorX: number;
  stripX: number;
  stripTop: number;
  stripBottom: number;
  /** Words beside the parts have room for what may be. */
  limits: boolean;
}

const SIZE_ON_PAPER = { width: 900, height: 420 };
/** px from part to part that words with their limits need, and what words alone need. */
const WITH_LIMITS = 126;
const NARROWEST = 68;
/** px right of the rails, beside the names of the electrodes: roomy and narrow. */
const RIGHT = { roomy: 250, narrow: 166 } as const;

/** Where the parts of the chain stand; a sheet too narrow for its words is drawn wider. */
export function chainLayout(design: Design, options: FigureOptions): ChainLayout {
  const { size = SIZE_ON_PAPER, bare = false } = options;
  const rails = Object.entries(design.rails);
  const names = 52 + Math.max(40, ...design.electrodes.map((name) => textWidth(name, SIZE.small)));
  const parts = 3 * rails.length;
  const roomy = size.width >= 30 + WITH_LIMITS * parts + RIGHT.roomy + names;
  const right = (roomy ? RIGHT.roomy : RIGHT.narrow) + names;
  const width = Math.ceil(Math.max(size.width, 30 + NARROWEST * parts + right));
  const height = Math.max(260, size.height);
  const sorted = [["ground", 0] as const, ...rails.map(([name, r]) => [name, r.voltage] as const)];
  sorted.sort((a, b) => b[1] - a[1]);
  const top = (bare ? 0 : 40) + 38;
  const bottom = height - (bare ? 0 : 26) - 38;
  const nodes = sorted.map(([name], i) => ({
    name,
    y: top + ((bottom - top) * i) / Math.max(1, sorted.length - 1),
  }));
  const left = 14;
  const pitch = (width - left - right - 16) / parts;
  const stripX = width - names;
  const switchX = stripX - (roomy ? 216 : 166);
  const middle = (top + bottom) / 2;
  const room = Math.min(150, (bottom - top) * 0.6);
  return {
    width,
    height,
    bare,
    left,
    nodes,
    middle,
    pitch,
    switchX,
    resistorX: switchX + (roomy ? 92 : 72),
    stripX,
    stripTop: middle - room / 2,
    stripBottom: middle + room / 2,
    limits: pitch >= WITH_LIMITS,
  };
}
