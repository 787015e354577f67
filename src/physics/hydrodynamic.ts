import type { Ratio } from "../units/aliases.ts";

/*
 * Hydrodynamic function of a long strip that vibrates broadside in unbounded viscous gas,
 *   Re = ρ ω b²/(4 µ),   force per length F = (π/4) ρ ω² b² Γ(Re) w
 *   circular cylinder:  Γ_c = 1 + 4 i K_1(z)/(i z K_0(z)),  z = −i √(i Re) = √Re e^{−iπ/4}
 *   thin rectangle:     Γ   = Ω(log10 Re) Γ_c
 * Re Γ is added mass over ρ π b²/4, Im Γ damping. Source: J. E. Sader, J. Appl. Phys. 84 (1998)
 * 64–76, eqs. 20 and 21. Coefficients of Ω as two independent public codes print them, which agree;
 * the paper itself not read: unverified, from memory. One of them states 0.1 % for Re 1e-6 … 1e4.
 */
const OMEGA_REAL = {
  over: [0.91324, -0.48274, 0.46842, -0.12886, 0.044055, -0.0035117, 0.00069085],
  under: [1, -0.56964, 0.4869, -0.13444, 0.045155, -0.0035862, 0.00069085],
};
const OMEGA_IMAGINARY = {
  over: [-0.024134, -0.029256, 0.016294, -0.00010961, 0.000064577, -0.00004451],
  under: [1, -0.59702, 0.55182, -0.18357, 0.079156, -0.014369, 0.0028361],
};

/** Real and imaginary part. */
export interface Complex {
  re: number;
  im: number;
}

/** Γ of the circular cylinder at Reynolds number Re > 0. */
export function hydrodynamicCircular(reynolds: Ratio): Complex {
  if (!(reynolds > 0)) throw new RangeError(`Reynolds number must be > 0: got ${reynolds}`);
  const part = Math.sqrt(reynolds / 2);
  const z = { re: part, im: -part };
  const ratio = besselRatio(z);
  // 4 i K_1/(√(i Re) K_0) with √(i Re) = i z: 4 K_1/(z K_0)
  const size = z.re * z.re + z.im * z.im;
  return {
    re: 1 + (4 * (ratio.re * z.re + ratio.im * z.im)) / size,
    im: (4 * (ratio.im * z.re - ratio.re * z.im)) / size,
  };
}

/** End of the range of Ω. */
const REYNOLDS_END = 1e4;

/**
 * Γ of a thin rectangle (strip) at Reynolds number Re > 0. Beyond Re = 1e4 the fit for Ω is left
 * and Γ − 1 falls as Re^−½, as a boundary layer makes it.
 */
export function hydrodynamicStrip(reynolds: Ratio): Complex {
  if (reynolds > REYNOLDS_END) {
    const end = hydrodynamicStrip(REYNOLDS_END);
    const layer = Math.sqrt(REYNOLDS_END / reynolds);
    return { re: 1 + (end.re - 1) * layer, im: end.im * layer };
  }
  const circular = hydrodynamicCircular(reynolds);
  const tau = Math.max(Math.log10(reynolds), -6);
  const re = polynomial(OMEGA_REAL.over, tau) / polynomial(OMEGA_REAL.under, tau);
  const im = polynomial(OMEGA_IMAGINARY.over, tau) / polynomial(OMEGA_IMAGINARY.under, tau);
  return {
    re: re * circular.re - im * circular.im,
    im: re * circular.im + im * circular.re,
  };
}

function polynomial(coefficients: readonly number[], x: number): number {
  let sum = 0;
  for (let i = coefficients.length - 1; i >= 0; i--) sum = sum * x + coefficients[i]!;
  return sum;
}

/** K_1(z)/K_0(z), |arg z| ≤ π/4. */
export function besselRatio(z: Complex): Complex {
  return z.re * z.re + z.im * z.im < 4 ? ratioBySeries(z) : ratioByFraction(z);
}

/**
 * |z| ≥ 2, continued fraction (N. M. Temme, J. Comput. Phys. 19 (1975) 324–337):
 *   K_1/K_0 = (½ + z + a_1/(b_1 + a_2/(b_2 + …)))/z,  a_k = −(k − ½)²,  b_k = 2(z + k)
 * by the modified Lentz method.
 */
function ratioByFraction(z: Complex): Complex {
  let fRe = 0.5 + z.re;
  let fIm = z.im;
  let cRe = fRe;
  let cIm = fIm;
  let dRe = 0;
  let dIm = 0;
  for (let k = 1; k < 500; k++) {
    const a = -((k - 0.5) * (k - 0.5));
    const bRe = 2 * (z.re + k);
    const bIm = 2 * z.im;
    dRe = bRe + a * dRe;
    dIm = bIm + a * dIm;
    const d = dRe * dRe + dIm * dIm;
    dRe /= d;
    dIm = -dIm / d;
    const c = cRe * cRe + cIm * cIm;
    const nextRe = bRe + (a * cRe) / c;
    cIm = bIm - (a * cIm) / c;
    cRe = nextRe;
    const factorRe = cRe * dRe - cIm * dIm;
    const factorIm = cRe * dIm + cIm * dRe;
    const re = fRe * factorRe - fIm * factorIm;
    fIm = fRe * factorIm + fIm * factorRe;
    fRe = re;
    if (Math.abs(factorRe - 1) + Math.abs(factorIm) < 1e-15) break;
  }
  const size = z.re * z.re + z.im * z.im;
  return {
    re: (fRe * z.re + fIm * z.im) / size,
    im: (fIm * z.re - fRe * z.im) / size,
  };
}

const EULER = 0.5772156649015329;

/**
 * |z| < 2, power series (M. Abramowitz, I. A. Stegun, 9.6.10–9.6.13), q = z²/4, H_k harmonic:
 *   K_0 = Σ q^k/k!² (H_k − γ − ln(z/2))
 *   K_1 = 1/z + (z/2) Σ q^k/(k!(k+1)!) (ln(z/2) + γ − (H_k + H_{k+1})/2)
 */
function ratioBySeries(z: Complex): Complex {
  const qRe = (z.re * z.re - z.im * z.im) / 4;
  const qIm = (z.re * z.im) / 2;
  const logRe = 0.5 * Math.log((z.re * z.re + z.im * z.im) / 4) + EULER;
  const logIm = Math.atan2(z.im, z.re);
  let termRe = 1; // q^k/k!²
  let termIm = 0;
  let harmonic = 0;
  let k0Re = 0;
  let k0Im = 0;
  let sumRe = 0;
  let sumIm = 0;
  for (let k = 0; k < 40; k++) {
    const zero = harmonic - logRe;
    k0Re += termRe * zero + termIm * logIm;
    k0Im += termIm * zero - termRe * logIm;
    const one = logRe - harmonic - 0.5 / (k + 1);
    sumRe += (termRe * one - termIm * logIm) / (k + 1);
    sumIm += (termIm * one + termRe * logIm) / (k + 1);
    const next = (k + 1) * (k + 1);
    const re = (termRe * qRe - termIm * qIm) / next;
    termIm = (termRe * qIm + termIm * qRe) / next;
    termRe = re;
    harmonic += 1 / (k + 1);
    if (Math.abs(termRe) + Math.abs(termIm) < 1e-20) break;
  }
  const size = z.re * z.re + z.im * z.im;
  const k1Re = z.re / size + 0.5 * (z.re * sumRe - z.im * sumIm);
  const k1Im = -z.im / size + 0.5 * (z.re * sumIm + z.im * sumRe);
  const k0 = k0Re * k0Re + k0Im * k0Im;
  return {
    re: (k1Re * k0Re + k1Im * k0Im) / k0,
    im: (k1Im * k0Re - k1Re * k0Im) / k0,
  };
}
