import type { Design } from "../../design/design.ts";
import { withFreeLength } from "../../design/values.ts";
import { cholesky, choleskySolve } from "../../numerics/linear.ts";
import { buildElectrical } from "../../sheet/electrical.ts";
import { buildStrip } from "../../sheet/stripModel.ts";
import type { Ratio } from "../../units/aliases.ts";
import { chiSquared95 } from "../fitGroup.ts";
import { betas, RIGID, stiffnessFactor } from "./laws.ts";

/*
 * What f1, swing, force and f2/f1 say together about one cause. Each cause changes them by one number:
 *   length (or an elastic foundation)  f1 × λ⁻², swing × λ², force × 1/λ, stiffness × λ⁻³
 *   clamp rotation                     f1 × R(ε), swing as it was, force and stiffness × 1/(1 + 3ε), f2/f1 up
 *   tip mass                           f1 lower, swing and force as they were, f2/f1 up
 *   stiffness (of vane, glue: moment kept)  f1 × √s, swing × 1/s, force as it was, stiffness × s
 *   modulus (of everything, strain kept)    f1 × √s, swing as it was, force and stiffness × s
 *   d31                                f1 as it was, swing and force × d
 * With a design the model is rebuilt with the cause in it; without one the bare strip counts.
 */

export type Cause = "length" | "clamp rotation" | "tip mass" | "stiffness" | "modulus" | "d31";
export const CAUSES: readonly Cause[] = ["length", "clamp rotation", "tip mass"].concat([
  "stiffness",
  "modulus",
  "d31",
]) as Cause[];

/** f1, deflection, blocking force, stiffness, f2/f1. */
export const OBSERVED = ["frequency", "deflection", "force", "stiffness", "ratio"] as const;
export type Observed = (typeof OBSERVED)[number];
export type Figures = Record<Observed, number>;

/** What the design predicts; null where its wiring does not move the strip. */
export function figuresOf(design: Design): Figures | null {
  const strip = buildStrip(design, 2);
  const electrical = buildElectrical(design, strip);
  if (electrical === null) return null;
  const moment = Math.abs((electrical.moments[0] as number) - (electrical.moments[1] as number));
  if (!(moment > 0)) return null;
  const [first, second] = strip.basis.omega as unknown as [number, number];
  const deflection = strip.padPerMoment * moment;
  return {
    frequency: (first / (2 * Math.PI)) * strip.width.frequency,
    deflection,
    force: deflection * strip.padStiffness,
    stiffness: strip.padStiffness,
    ratio: second / first,
  };
}

/** Ratios of all figures to those without the cause, for a strength of the cause; 0 is none. */
export type Effect = (strength: Ratio) => Figures;

export function effects(design: Design | null): Record<Cause, Effect> {
  const bare = bareEffects();
  const base = design === null ? null : figuresOf(design);
  if (design === null || base === null) return bare;
  const relative = (changed: Design): Figures => {
    const at = figuresOf(changed) as Figures;
    return {
      frequency: at.frequency / base.frequency,
      deflection: at.deflection / base.deflection,
      force: at.force / base.force,
      stiffness: at.stiffness / base.stiffness,
      ratio: at.ratio / base.ratio,
    };
  };
  const L = design.strip.freeLength;
  const { section } = buildStrip(design, 2);
  const tip = L + (design.strip.extension?.length ?? 0);
  return {
    ...bare,
    length: (s) => relative(withFreeLength(design, L * Math.exp(s))),
    "clamp rotation": (s) => {
      const give = Math.max(s, 0) * L;
      const had = design.clamp.rotationalStiffness;
      const now = give / section.bendingStiffness + (had === null ? 0 : 1 / had);
      return relative({
        ...design,
        clamp: { ...design.clamp, rotationalStiffness: now > 0 ? 1 / now : null },
      });
    },
    "tip mass": (s) =>
      relative({
        ...design,
        masses: [
          ...design.masses,
          {
            name: "trial",
            mass: Math.max(s, 0) * section.massPerLength * L,
            position: tip,
            fromTip: null,
            rotaryInertia: 0,
          },
        ],
      }),
  };
}

function bareEffects(): Record<Cause, Effect> {
  const rigidRatio = (RIGID[1] / RIGID[0]) ** 2;
  const vibrating = (give: Ratio, mu: Ratio) => {
    const [first, second] = betas(give, mu);
    return { frequency: (first / RIGID[0]) ** 2, ratio: (second / first) ** 2 / rigidRatio };
  };
  return {
    length: (s) => {
      const x = Math.exp(s);
      return { frequency: x ** -2, deflection: x ** 2, force: 1 / x, stiffness: x ** -3, ratio: 1 };
    },
    "clamp rotation": (s) => {
      const give = Math.max(s, 0);
      const k = stiffnessFactor(give);
      return { ...vibrating(give, 0), deflection: 1, force: k, stiffness: k };
    },
    "tip mass": (s) => ({ ...vibrating(0, Math.max(s, 0)), deflection: 1, force: 1, stiffness: 1 }),
    stiffness: (s) => {
      const k = Math.exp(s);
      return { frequency: Math.sqrt(k), deflection: 1 / k, force: 1, stiffness: k, ratio: 1 };
    },
    modulus: (s) => {
      const k = Math.exp(s);
      return { frequency: Math.sqrt(k), deflection: 1, force: k, stiffness: k, ratio: 1 };
    },
    d31: (s) => {
      const d = Math.exp(s);
      return { frequency: 1, deflection: d, force: d, stiffness: 1, ratio: 1 };
    },
  };
}

export interface Judged {
  cause: Cause;
  strength: number;
  u: number;
  chiSquared: number;
  left: number;
  /** χ² within its 95 % point. */
  explains: boolean;
}

/**
 * One cause fitted to the logarithms of measured over expected ratios, by Gauss–Newton with halved steps.
 * @param ln one a figure in `of`
 * @param covariance of these, row-major
 */
export function judge(
  cause: Cause,
  effect: Effect,
  of: readonly Observed[],
  ln: readonly number[],
  covariance: readonly number[],
): Judged {
  const n = of.length;
  const L = cholesky(covariance, n);
  if (L === null) throw new RangeError("the covariance of the figures is not positive definite");
  const miss = (s: number) => {
    const at = effect(s);
    return of.map((name, i) => ln[i]! - Math.log(at[name]));
  };
  const chi = (r: readonly number[]) => {
    const x = choleskySolve(L, n, r);
    return r.reduce((sum, v, i) => sum + v * x[i]!, 0);
  };
  const oneSided = cause === "clamp rotation" || cause === "tip mass";
  const h = 1e-3;
  let s = oneSided ? 0.02 : 0;
  let r = miss(s);
  let cost = chi(r);
  let curvature = 0;
  for (let k = 0; k < 40; k++) {
    const base = oneSided ? Math.max(s - h, 0) : s - h;
    const above = miss(s + h);
    const below = miss(base);
    const g = above.map((v, i) => -(v - below[i]!) / (s + h - base));
    const Cg = choleskySolve(L, n, g);
    curvature = g.reduce((sum, v, i) => sum + v * Cg[i]!, 0);
    if (!(curvature > 0)) break;
    let step = r.reduce((sum, v, i) => sum + v * Cg[i]!, 0) / curvature;
    let moved = false;
    for (let half = 0; half < 12; half++, step /= 2) {
      const trial = oneSided ? Math.max(0, s + step) : s + step;
      const next = miss(trial);
      const value = chi(next);
      if (value <= cost) {
        moved = Math.abs(trial - s) > 1e-7;
        s = trial;
        r = next;
        cost = value;
        break;
      }
    }
    if (!moved) break;
  }
  const left = n - 1;
  return {
    cause,
    strength: s,
    u: curvature > 0 ? 1 / Math.sqrt(curvature) : Number.POSITIVE_INFINITY,
    chiSquared: cost,
    left,
    explains: left === 0 || cost <= chiSquared95(left),
  };
}
