import type { LeastSquaresResult } from "../../numerics/leastSquares.ts";
import { linearLeastSquares } from "../../numerics/linearLeastSquares.ts";

/*
 * A strip that is pushed by a stage (z, towards the balance positive) and driven (V), against a balance:
 *   reading = tare                             where they do not touch
 *   reading = tare + a + B V + k z + h way/2   where they do (a + B V + k z > 0)
 * way = ±1 for the driven quantity going up or down, h the width of the loop in force. B and k are those seen through
 * the balance's own give; the reduction takes that out.
 */

export interface ContactFit {
  result: LeastSquaresResult;
  /** Columns in order: "tare" (where there are points before contact), "a", "voltage", "travel", "loop". */
  columns: readonly string[];
  touching: Uint8Array;
  /** Tare from points before contact; null without three of them. */
  hasTare: boolean;
}

export interface ContactData {
  force: Float64Array;
  voltage: Float64Array | null;
  travel: Float64Array | null;
  /** ±1, null when it went one way only. */
  way: Int8Array | null;
  /** Points in contact below this force over the tare are left out, N; 0: none. */
  from: number;
}

/** Rounds of sorting points into touching and not; they settle in a few. */
const ROUNDS = 60;
/** Points before contact from which the tare is one. */
const TARE = 3;

/** Gain in χ², over the variance of a point, from which a level part before contact is believed (p < 0.001). */
const BELIEVED = 12;

/**
 * Fits the line and finds the contact point: points are sorted by the sign of the fitted force, fitted again until
 * none changes side. Starts from the points above a tenth of the range of force. Where a level part before contact
 * explains no more than a line through all points, there is none.
 */
export function contactFit(data: ContactData): ContactFit {
  const { force } = data;
  const n = force.length;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const f of force) {
    low = Math.min(low, f);
    high = Math.max(high, f);
  }
  const line = fitWith(data, new Uint8Array(n).fill(1));
  let touching: Uint8Array = Uint8Array.from(force, (f) => (f > low + 0.1 * (high - low) ? 1 : 0));
  if (!enough(touching)) return line;
  let fit = fitWith(data, touching);
  for (let round = 0; round < ROUNDS; round++) {
    const next = sides(data, fit);
    if (next.every((t, i) => t === touching[i]) || !enough(next)) break;
    touching = next;
    fit = fitWith(data, touching);
  }
  const left = fit.result.residuals.length - fit.columns.length;
  const variance = fit.result.chiSquared / Math.max(1, left);
  const gain = line.result.chiSquared - fit.result.chiSquared;
  return fit.result.status === "converged" && gain > BELIEVED * variance ? fit : line;
}

/** Whether there are points enough on both sides of the contact. */
function enough(touching: Uint8Array): boolean {
  const on = touching.reduce((sum, t) => sum + t, 0);
  return on >= 3 && touching.length - on >= TARE;
}

function sides(data: ContactData, { result, columns }: ContactFit): Uint8Array {
  const p = result.parameters;
  const at = (name: string) => {
    const i = columns.indexOf(name);
    return i < 0 ? 0 : p[i]!;
  };
  return Uint8Array.from(data.force, (_, i) => {
    const line =
      at("a") +
      at("voltage") * (data.voltage?.[i] ?? 0) +
      at("travel") * (data.travel?.[i] ?? 0) +
      (at("loop") * (data.way?.[i] ?? 0)) / 2;
    return line > 0 ? 1 : 0;
  });
}

function fitWith(data: ContactData, touching: Uint8Array): ContactFit {
  const { force, voltage, travel, way, from } = data;
  const n = force.length;
  const apart = touching.reduce((sum, t) => sum + (1 - t), 0);
  const hasTare = apart >= TARE;
  const columns = [
    ...(hasTare ? ["tare"] : []),
    "a",
    ...(voltage === null ? [] : ["voltage"]),
    ...(travel === null ? [] : ["travel"]),
    ...(way === null ? [] : ["loop"]),
  ];
  let tare = 0;
  force.forEach((f, i) => {
    if (touching[i] === 0) tare += f / apart;
  });
  const used: number[] = [];
  for (let i = 0; i < n; i++)
    if (touching[i] === 0 ? hasTare : !(hasTare && from > 0 && force[i]! - tare < from))
      used.push(i);
  const A = new Float64Array(used.length * columns.length);
  const y = new Float64Array(used.length);
  used.forEach((i, row) => {
    y[row] = force[i]!;
    columns.forEach((name, j) => {
      const value =
        name === "tare"
          ? 1
          : touching[i] === 0
            ? 0
            : name === "a"
              ? 1
              : name === "voltage"
                ? voltage![i]!
                : name === "travel"
                  ? travel![i]!
                  : way![i]! / 2;
      A[row * columns.length + j] = value;
    });
  });
  return { result: linearLeastSquares(A, y), columns, touching, hasTare };
}
