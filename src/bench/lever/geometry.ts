import { brent } from "../../numerics/roots.ts";
import type { Metre, Radian } from "../../units/aliases.ts";

/*
 * The optical lever in closed form. At rest the mirror's normal is z, the strip runs along x and bends about y. The
 * beam comes down at angle i from the normal; φ is the angle between the plane of incidence and the strip (0: the tilt
 * axis is normal to the plane of incidence). With a = sin i cos φ, b = sin i sin φ, c = cos i:
 *   incoming d = (a, b, −c), reflected at rest r0 = (a, b, c)
 *   reflected at tilt θ   r = (a cos 2θ − c sin 2θ, b, c cos 2θ + a sin 2θ):  its x–z part turns by 2θ, its y part stays
 * The spot first goes along e = (−c, 0, a)/m, m² = a² + c², so r·r0 = m² cos 2θ + b², r·e = m sin 2θ: the shift is
 * 2θ D m for small angles, 2θ D only where m = 1. The screen stands at distance D on r0 and is turned by β about r0 × e;
 * readings are along it, positive with θ. The mirror's middle is carried to height w, so that the beam meets it
 * elsewhere: at t d, t = −w cos θ/(a sin θ + c cos θ). Not here: the way that the mirror goes along x (second order).
 */

export interface LeverGeometry {
  /** From mirror to screen along the reflected beam at rest. */
  distance: Metre;
  incidence: Radian;
  /** Between the plane of incidence and the strip's length. */
  azimuth: Radian;
  screenTilt: Radian;
}

/** Spot on the screen, from where it is at rest; tilt θ and height w of the mirror. NaN when the beam misses the screen. */
export function spotShift(g: LeverGeometry, theta: Radian, w: Metre): Metre {
  const { distance: D } = g;
  const sin = Math.sin(g.incidence);
  const a = sin * Math.cos(g.azimuth);
  const b = sin * Math.sin(g.azimuth);
  const c = Math.cos(g.incidence);
  const m2 = a * a + c * c;
  const m = Math.sqrt(m2);
  const cosB = Math.cos(g.screenTilt);
  const sinB = Math.sin(g.screenTilt);
  const t = (-w * Math.cos(theta)) / (a * Math.sin(theta) + c * Math.cos(theta));
  // Where the beam meets the mirror, along r0 and along e.
  const h0 = t * (1 - 2 * c * c);
  const h1 = (t * -2 * a * c) / m;
  const along = m2 * Math.cos(2 * theta) + b * b;
  const across = m * Math.sin(2 * theta);
  const towards = along * cosB + across * sinB;
  const reach = (D * cosB - h0 * cosB - h1 * sinB) / towards;
  if (!(reach > 0)) return Number.NaN;
  // Less what it is at rest: nothing, by the choice of the screen's zero.
  return (h1 + reach * across) * cosB - (h0 + reach * along - D) * sinB;
}

/** Largest tilt that is looked for. */
const LARGEST = 0.6;

/**
 * Tilt that shifts the spot by s, the mirror's height being `lift(θ)`. NaN where no tilt up to 0.6 rad does.
 */
export function tiltOf(g: LeverGeometry, s: Metre, lift: (theta: Radian) => Metre): Radian {
  // Below rounding of the distance the relation is its first order.
  if (Math.abs(s) < 1e-13 * g.distance) return smallAngleTilt(g, s);
  const f = (theta: number) => spotShift(g, theta, lift(theta)) - s;
  // From the small-angle value outwards, so that the bracket stays where the beam meets the screen.
  let high = Math.abs(smallAngleTilt(g, s)) * 1.3 + 1e-9;
  const sign = s < 0 ? -1 : 1;
  for (let k = 0; k < 60; k++) {
    const there = f(sign * high);
    if (!Number.isFinite(there) || high > LARGEST) return Number.NaN;
    if (there * sign >= 0) break;
    high *= 1.2;
  }
  return sign * brent((x) => f(sign * x), 0, high, 1e-15).x;
}

/** What the small-angle formula says: s/(2 D m), screen tilt and travel of the mirror left out. */
export function smallAngleTilt(g: LeverGeometry, s: Metre): Radian {
  const a = Math.sin(g.incidence) * Math.cos(g.azimuth);
  const m = Math.hypot(a, Math.cos(g.incidence));
  return s / (2 * g.distance * m);
}
