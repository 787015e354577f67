import { describe, expect, test } from "vitest";
import { posterior } from "../../src/studies/calibrateFit.ts";

const free = (value: number, u: number) => ({
  value,
  u,
  stated: u,
  lower: Number.NEGATIVE_INFINITY,
  upper: Number.POSITIVE_INFINITY,
});
const all = (n: number) => new Set(Array.from({ length: n }, (_, j) => j));

describe("JCGM 100:2008, example H.2: resistance and reactance from correlated V, I, φ", () => {
  // Five simultaneous observations (table H.2); printed: R = 127.732(71) Ω, X = 219.847(295) Ω, r = −0.588.
  const V = [5.007, 4.994, 5.005, 4.99, 4.999];
  const I = [19.663e-3, 19.639e-3, 19.64e-3, 19.685e-3, 19.678e-3];
  const phi = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
  const series = [V, I, phi];
  const mean = series.map((x) => x.reduce((a, b) => a + b, 0) / x.length);
  const covariance = Float64Array.from({ length: 9 }, (_, k) => {
    const [a, b] = [Math.floor(k / 3), k % 3];
    return (
      V.reduce((sum, __, i) => sum + (series[a]![i]! - mean[a]!) * (series[b]![i]! - mean[b]!), 0) /
      20
    );
  });

  test("as a calibration of R, X and I with priors a hundred times as wide", () => {
    const found = posterior({
      priors: [free(120, 20), free(210, 20), free(0.02, 1e-3)],
      data: Float64Array.from(mean),
      covariance,
      model: ([R, X, current]) =>
        Float64Array.of(current! * Math.hypot(R!, X!), current!, Math.atan2(X!, R!)),
      entered: all(3),
    });
    const u = (j: number) => Math.sqrt(found.covariance[j * 3 + j]!);
    expect(found.status).toBe("converged");
    expect(found.parameters[0]).toBeCloseTo(127.732, 3);
    expect(found.parameters[1]).toBeCloseTo(219.847, 2);
    expect(u(0)).toBeCloseTo(0.071, 3);
    expect(u(1)).toBeCloseTo(0.2955, 3);
    expect(found.covariance[1]! / (u(0) * u(1))).toBeCloseTo(-0.588, 2);
  });
});

describe("SciPy's least_squares on the same stacked residuals (test/published/calibrate_scipy.py)", () => {
  const PARAMETERS = [
    14.823229888366166, 272.79897442323977, 59.80309770430325, 0.5005871797962066,
  ];
  const COVARIANCE = [
    0.02914879263734672, -0.9377116158433876, 0.37994257015596433, 0.0003325236589694928,
    -0.9377116158433856, 62.30591954985691, -15.844352639685955, 0.004022953445818195,
    0.379942570155963, -15.844352639685944, 7.1039379365475455, -0.0041477391459817095,
    0.0003325236589694978, 0.00402295344581801, -0.00414773914598163, 3.910629183633695e-5,
  ];
  const CHI_SQUARED = 0.6170418241851313;

  test("three values, two of them correlated, four numbers with priors", () => {
    const found = posterior({
      priors: [free(14, 1.1), free(274, 19), free(60, 3), free(0.5, 0.0077)],
      data: Float64Array.of(1035, 159.2, 0.486),
      covariance: Float64Array.of(
        9,
        0,
        0,
        0,
        3.2 ** 2,
        0.4 * 3.2 * 0.015,
        0,
        0.4 * 3.2 * 0.015,
        0.015 ** 2,
      ),
      model: (p) => {
        const [L, d, E, h] = [p[0]! / 14, p[1]! / 274, p[2]! / 60, p[3]! / 0.5];
        return Float64Array.of(
          (1161 * Math.sqrt(E) * h) / L ** 2,
          (143 * d * L ** 2) / h,
          (0.515 * E * d * h ** 2) / L,
        );
      },
      entered: all(4),
    });
    const prior = [1.1, 19, 3, 0.0077];
    found.parameters.forEach((p, j) => {
      // Both stop where a step no longer changes χ²: a millionth of a standard uncertainty.
      expect(Math.abs(p - PARAMETERS[j]!) / prior[j]!).toBeLessThan(2e-6);
    });
    // Slopes by differences of ±2 % of u here, of 1e-6 there: they differ by the third derivative.
    found.covariance.forEach((c, k) => {
      const scale = Math.sqrt(COVARIANCE[Math.floor(k / 4) * 5]! * COVARIANCE[(k % 4) * 5]!);
      expect(Math.abs(c - COVARIANCE[k]!) / scale).toBeLessThan(2e-4);
    });
    expect(found.chiSquared).toBeCloseTo(CHI_SQUARED, 6);
  });
});
