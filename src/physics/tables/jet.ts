import { type Sourced, sourced, UNVERIFIED } from "../sourced.ts";

/** Mach number on the axis of a free jet from a sonic hole, z = x/d, for one γ; see `jetMach.ts`. */
export interface MachFit {
  readonly gamma: number;
  /** C1 … C4 of M = z^{γ−1}(C1 + C2/z + C3/z² + C4/z³) − S z^{1−γ}, z ≥ 1. */
  readonly far: readonly [number, number, number, number];
  /** S of the same. */
  readonly offset: number;
  readonly source: string;
}

const MILLER =
  "D. R. Miller 1988, Free jet sources, in G. Scoles (ed.), Atomic and Molecular Beam Methods 1, centreline correlation; within 1.3 % of a computation by characteristics for z from 1 to 20; unverified, from memory";
const CHARACTERISTICS =
  "fitted here to a computation by characteristics for z from 1 to 50, within 0.5 %, with C1 = A and S = (γ + 1)/(2(γ − 1)A) of H. Ashkenas and F. S. Sherman 1966; the row of D. R. Miller 1988 as remembered lies up to 7 % above both";

/** γ = 9/7, 7/5 and 5/3, rising. */
export const MACH_FITS: readonly [MachFit, MachFit, MachFit] = [
  {
    gamma: 9 / 7,
    far: [3.96, -1.217, 1.3475, -0.6045],
    offset: 1.0101,
    source: CHARACTERISTICS,
  },
  {
    gamma: 7 / 5,
    far: [3.606, -1.742, 0.9226, -0.2069],
    offset: 0,
    source: MILLER,
  },
  {
    gamma: 5 / 3,
    far: [3.232, -0.7563, 0.3937, -0.0729],
    offset: 0,
    source: MILLER,
  },
];

const ASHKENAS =
  "H. Ashkenas and F. S. Sherman 1966, Rarefied Gas Dynamics 4, vol. 2, 84, constant A; read in two public codes that cite it";

/** M → A z^{γ−1} far from the hole, γ as in {@link MACH_FITS}. */
export const FAR_MACH: readonly { readonly gamma: number; readonly a: Sourced }[] = [
  { gamma: 9 / 7, a: sourced(3.96, 0, ASHKENAS) },
  { gamma: 7 / 5, a: sourced(3.65, 0, ASHKENAS) },
  { gamma: 5 / 3, a: sourced(3.26, 0, ASHKENAS) },
].map(({ gamma, a }) => ({ gamma, a, source: a.source }));

const BEIJERINCK =
  "H. C. W. Beijerinck and N. F. Verster 1981, Physica C 111, 327, as in D. R. Miller 1988; the exponent is 3(γ − 1)/(γ + 2); unverified, from memory";

/** A of S = A D^B, γ as in {@link MACH_FITS}; see `jetFreezing.ts`. */
export const SPEED_RATIO_FITS: readonly { readonly gamma: number; readonly a: Sourced }[] = [
  { gamma: 9 / 7, a: sourced(1.022, 0.1, BEIJERINCK) },
  { gamma: 7 / 5, a: sourced(0.783, 0.1, BEIJERINCK) },
  { gamma: 5 / 3, a: sourced(0.527, 0.1, BEIJERINCK) },
].map(({ gamma, a }) => ({ gamma, a, source: a.source }));

/** Lennard-Jones potential of two like molecules; C6/k = 4 (ε/k) σ⁶. */
export interface PairPotential {
  /** ε/k. */
  readonly depth_K: number;
  readonly diameter_m: number;
  readonly source: string;
}

const potential = (depth: number, angstrom: number, source: string): PairPotential => ({
  depth_K: depth,
  diameter_m: angstrom * 1e-10,
  source,
});

const TRANSPORT = "transport table of GRI-Mech 3.0 (1999), read in public files that quote it";
const HIRSCHFELDER =
  "J. O. Hirschfelder, C. F. Curtiss and R. B. Bird 1954, as quoted in a public code";
const SVEHLA = `R. A. Svehla 1962, NASA TR R-132; ${UNVERIFIED}`;

/** By symbol, as in the table of gases. */
export const PAIR_POTENTIALS: Readonly<Record<string, PairPotential>> = {
  He: potential(10.2, 2.576, TRANSPORT),
  Ne: potential(36.68, 2.79, HIRSCHFELDER),
  Ar: potential(136.5, 3.33, TRANSPORT),
  Kr: potential(171, 3.6, HIRSCHFELDER),
  Xe: potential(221, 4.1, HIRSCHFELDER),
  H2: potential(38, 2.92, `transport table of GRI-Mech 3.0 (1999); ${UNVERIFIED}`),
  D2: potential(38, 2.92, `as hydrogen: transport table of GRI-Mech 3.0 (1999); ${UNVERIFIED}`),
  N2: potential(97.53, 3.621, TRANSPORT),
  O2: potential(107.4, 3.458, TRANSPORT),
  air: potential(78.6, 3.711, SVEHLA),
  CO2: potential(244, 3.763, `transport table of GRI-Mech 3.0 (1999); ${UNVERIFIED}`),
  CH4: potential(141.4, 3.746, TRANSPORT),
  SF6: potential(222.1, 5.128, SVEHLA),
};

const HAGENA_RARE =
  "O. F. Hagena 1987, Z. Phys. D 4, 291; within 4 % of its own definition from density and heat of sublimation of the solid; unverified, from memory";
const HAGENA_OTHER =
  "R. A. Smith, T. Ditmire and J. W. G. Tisch 1998, Rev. Sci. Instrum. 69, 3798; unverified, from memory";

/** k of Γ* = k (d/μm)^0.85 (p0/mbar) (T0/K)^−2.29, pure gases by symbol. */
export const CONDENSATION: Readonly<Record<string, Sourced>> = {
  He: sourced(3.85, 0, HAGENA_OTHER),
  Ne: sourced(185, 0, HAGENA_RARE),
  Ar: sourced(1650, 0, HAGENA_RARE),
  Kr: sourced(2890, 0, HAGENA_RARE),
  Xe: sourced(5500, 0, HAGENA_RARE),
  H2: sourced(184, 0, HAGENA_OTHER),
  D2: sourced(181, 0, HAGENA_OTHER),
  N2: sourced(528, 0, HAGENA_OTHER),
  O2: sourced(1400, 0, HAGENA_OTHER),
  CO2: sourced(3660, 0, HAGENA_OTHER),
  CH4: sourced(2360, 0, HAGENA_OTHER),
};

/** Mean number of atoms, a G^b where G is a thousandth of Γ*, for Γ* in [from, to). */
export interface ClusterSizeFit {
  readonly from: number;
  readonly to: number;
  readonly a: number;
  readonly b: number;
  readonly source: string;
}

export const CLUSTER_SIZES: readonly ClusterSizeFit[] = [
  {
    from: 350,
    to: 1800,
    a: 38.4,
    b: 1.64,
    source: `U. Buck and R. Krohne 1996, J. Chem. Phys. 105, 5408, argon; ${UNVERIFIED}`,
  },
  {
    from: 1800,
    to: 1e4,
    a: 33,
    b: 2.35,
    source: `O. F. Hagena 1992, Rev. Sci. Instrum. 63, 2374; ${UNVERIFIED}`,
  },
  {
    from: 1e4,
    to: 1e6,
    a: 100,
    b: 1.8,
    source: `F. Dorchies et al. 2003, Phys. Rev. A 68, 023201, argon; ${UNVERIFIED}`,
  },
];
