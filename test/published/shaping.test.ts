import { expect, test } from "vitest";
import { zvSequence } from "../../src/physics/shaping.ts";
import { eiSequence } from "../../src/physics/shapingInsensitive.ts";
import { residualVibration, toleratedBand } from "../../src/physics/shapingResidual.ts";

// N. C. Singer, W. P. Seering 1990, Preshaping command inputs to reduce system vibration, J. Dyn. Syst.
// Meas. Control 112, 76–82. Numbers: the formulas evaluated in double precision in another language;
// ω_n is the undamped frequency.
const TABLE = [
  {
    zeta: 0,
    half: Math.PI,
    amplitudes: [
      [0.5, 0.5],
      [0.25, 0.5, 0.25],
      [0.125, 0.375, 0.375, 0.125],
    ],
  },
  {
    zeta: 0.01,
    half: 3.141749745004427,
    amplitudes: [
      [0.5078537283652705, 0.4921462716347295],
      [0.257915409414506, 0.49987663790152914, 0.24220795268396497],
      [0.13098330227401206, 0.38079632142148184, 0.369018635430812, 0.11920174087369434],
    ],
  },
  {
    zeta: 0.05,
    half: 3.1455270228880017,
    amplitudes: [
      [0.5392382385109088, 0.4607617614890911],
      [0.29077787787234777, 0.496920721277122, 0.21230140085053006],
      [0.156798550661825, 0.4019379816315683, 0.34344310028411457, 0.09782036742249187],
    ],
  },
  {
    zeta: 0.1,
    half: 3.1574194169982763,
    amplitudes: [
      [0.5782861816535916, 0.42171381834640836],
      [0.33441490789149075, 0.4877425475242017, 0.1778425445843075],
      [0.1933875201726077, 0.42308216315664904, 0.30853165812965344, 0.0749986585410897],
    ],
  },
];

test.each(TABLE)("ZV, ZVD, ZVDD at ζ = $zeta", ({ zeta, half, amplitudes }) => {
  const omega = 1;
  const f = (omega * Math.sqrt(1 - zeta * zeta)) / (2 * Math.PI);
  amplitudes.forEach((expected, derivatives) => {
    const sequence = zvSequence(f, zeta, derivatives);
    expected.forEach((a, i) => {
      expect(sequence.amplitudes[i]).toBeCloseTo(a, 12);
      expect(sequence.times[i]).toBeCloseTo(i * half, 11);
    });
  });
});

test("residual of ZV and ZVD at a wrong frequency", () => {
  expect(residualVibration(zvSequence(1, 0), 1.1, 0)).toBeCloseTo(0.15643446504023104, 9);
  expect(residualVibration(zvSequence(1, 0, 1), 1.1, 0)).toBeCloseTo(0.024471741852423307, 9);
  expect(residualVibration(zvSequence(1, 0.05), 1.2, 0.05)).toBeCloseTo(0.28068562779102807, 9);
  expect(residualVibration(zvSequence(1, 0.05, 1), 1.2, 0.05)).toBeCloseTo(0.0787844216484436, 9);
});

test("undamped ZV leaves |cos(πf/2f_m)|: 8 % at 5 % error, 16 % at 10 %, 31 % at 20 %", () => {
  for (const [error, percent] of [
    [0.05, 8],
    [0.1, 16],
    [0.2, 31],
  ] as const) {
    for (const sign of [-1, 1]) {
      const ratio = 1 + sign * error;
      const residual = residualVibration(zvSequence(4200, 0), 4200 * ratio, 0);
      expect(residual).toBeCloseTo(Math.abs(Math.cos((Math.PI / 2) * ratio)), 12);
      expect(Math.round(100 * residual)).toBe(percent);
    }
  }
});

test("widths of the band with at most 5 %: 0.06 for ZV, 0.29 for ZVD, 0.40 for EI", () => {
  // W. Singhose 2009, Int. J. Precis. Eng. Manuf. 10, 153–168, from memory; and in closed form:
  // |sin(πe/2)| = V for ZV, its square for ZVD, with the error e = f/f_m − 1.
  const width = (sequence: ReturnType<typeof zvSequence>) => {
    const band = toleratedBand(sequence, 1, 0, 0.05)!;
    return band.to - band.from;
  };
  expect(width(zvSequence(1, 0))).toBeCloseTo((4 / Math.PI) * Math.asin(0.05), 8);
  expect(width(zvSequence(1, 0, 1))).toBeCloseTo((4 / Math.PI) * Math.asin(Math.sqrt(0.05)), 8);
  // (1 + V)/2 cos(πr) + (1 − V)/2 = V.
  const r = Math.acos((2 * 0.05 - 0.95) / 1.05) / Math.PI;
  expect(width(eiSequence(1, 0, 0.05))).toBeCloseTo(2 * (1 - r), 8);
  expect(width(zvSequence(1, 0)).toFixed(2)).toBe("0.06");
  expect(width(zvSequence(1, 0, 1)).toFixed(2)).toBe("0.29");
  expect(width(eiSequence(1, 0, 0.05)).toFixed(2)).toBe("0.40");
});

test("EI for 5 % without damping: 0.2625, 0.475, 0.2625 at 0, T/2, T", () => {
  // W. E. Singhose, W. P. Seering, N. C. Singer 1994, J. Mech. Des. 116, 654–659; from memory.
  const { times, amplitudes } = eiSequence(1, 0, 0.05);
  [0.2625, 0.475, 0.2625].forEach((a, i) => {
    expect(amplitudes[i]).toBeCloseTo(a, 14);
  });
  expect(times).toEqual([0, 0.5, 1]);
});

/**
 * Curve fits of the damped sequence that go back to W. Singhose's thesis (MIT 1997); coefficients as
 * two public codes print them. In periods, last impulse at 1.
 */
function fitted(zeta: number, V: number) {
  const z2 = zeta * zeta;
  const a1 =
    0.24968 + 0.24962 * V + 0.80008 * zeta + 1.23328 * V * zeta + 0.49599 * z2 + 3.17316 * V * z2;
  const a3 =
    0.25149 + 0.21474 * V - 0.83249 * zeta + 1.41498 * V * zeta + 0.85181 * z2 - 4.90094 * V * z2;
  const t2 =
    0.4999 +
    (0.46159 * zeta + 4.26169 * z2 + 1.75601 * z2 * zeta) * V +
    (8.57843 * zeta - 108.644 * z2 + 336.989 * z2 * zeta) * V * V;
  return { amplitudes: [a1, 1 - a1 - a3, a3], t2 };
}

test.each([
  [0.01, 0.05],
  [0.05, 0.05],
  [0.1, 0.05],
  [0.2, 0.05],
  [0.05, 0.1],
  [0.1, 0.1],
])("EI at ζ = %f for V = %f agrees with the published fit", (zeta, V) => {
  const fit = fitted(zeta, V);
  const { times, amplitudes } = eiSequence(1, zeta, V);
  // The fit itself misses its own undamped form by 5e-4 (0.24968 for 0.25); with it, 2e-3 is asked for.
  amplitudes.forEach((a, i) => {
    expect(Math.abs(a - fit.amplitudes[i]!)).toBeLessThan(2e-3);
  });
  expect(Math.abs(times[1]! / times[2]! - fit.t2)).toBeLessThan(2e-3);
});
