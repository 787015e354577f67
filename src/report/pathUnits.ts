import { type FigurePlace, figurePlaces } from "../sheet/flatten.ts";
import type { SheetResult } from "../sheet/result.ts";
import { kindOfUnit, type PrintOptions, printFigure, printQuantity } from "./figureUnits.ts";

/** Prints a number of the figure that a path names, in that figure's unit. */
export type PathPrinter = (x: number, u?: number | null, options?: PrintOptions) => string;

/**
 * How to print the figures of a result by their dotted path. The unit comes from the name
 * (`seat.lift_open_m`) or, in rows that carry one (`margins.lift.value`), from the row.
 */
export function pathPrinters(result: SheetResult): (path: string) => PathPrinter {
  const places = new Map(figurePlaces(result).map((place) => [place.path, place]));
  return (path) => {
    const place = places.get(path);
    const name = nameOf(place, path);
    const row = place === undefined || Array.isArray(place.holder) ? null : place.holder;
    const unit = row?.unit;
    if (row === null || typeof unit !== "string" || name === "margin")
      return (x, u, options) => printFigure(name, x, u, options);
    const kind = kindOfUnit(unit, `${row.id} ${row.requirement} ${row.figure}`);
    return (x, u, options) => printQuantity(x, u, kind, unit, options);
  };
}

function nameOf(place: FigurePlace | undefined, path: string): string {
  if (place?.arrayKey != null) return place.arrayKey;
  if (typeof place?.key === "string") return place.key;
  return path.split(".").pop() ?? path;
}
