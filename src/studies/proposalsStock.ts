import type { Metre } from "../units/aliases.ts";

/** One plain strip: two equal layers of soft ceramic on a vane. */
export interface StockStrip {
  vane: "brass" | "carbon fibre";
  ceramic: Metre;
  vaneThickness: Metre;
  width: Metre;
}

/**
 * Plain stock sizes: ceramic sheet and vane in round thicknesses, 0.3 to 0.8 mm in all, 3 to 10 mm wide.
 * Generic numbers, no catalogue's: common practice, no source.
 */
const STACKS_MM: readonly (readonly [StockStrip["vane"], number, number])[] = [
  ["brass", 0.1, 0.1],
  ["brass", 0.15, 0.1],
  ["brass", 0.2, 0.1],
  ["brass", 0.25, 0.1],
  ["brass", 0.3, 0.1],
  ["brass", 0.35, 0.1],
  ["carbon fibre", 0.1, 0.15],
  ["carbon fibre", 0.15, 0.2],
  ["carbon fibre", 0.2, 0.2],
  ["carbon fibre", 0.25, 0.25],
];
const WIDTHS_MM = [3, 5, 8, 10] as const;

export const STOCK_STRIPS: readonly StockStrip[] = STACKS_MM.flatMap(([vane, ceramic, middle]) =>
  WIDTHS_MM.map((width) => ({
    vane,
    ceramic: ceramic * 1e-3,
    vaneThickness: middle * 1e-3,
    width: width * 1e-3,
  })),
);
