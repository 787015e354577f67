#!/usr/bin/env python3
"""Fits of electrical bench data by NumPy and SciPy, as an outside reference for the project's own.

Writes test/bench/electric-scipy.json: three synthetic data sets (rounded as an instrument's file would be) and what
scipy.optimize.least_squares makes of them with the same residuals:
  circuit   ln Y of a capacitor with two resonances, 150 frequencies: C0, tan delta, (C1, fs, Q) of each
  decay     current after an edge, i = I0 exp(-t/tau) + offset
  recovery  sag of a rail, s = s_end + A exp(-t/tau)
Standard deviations are those of (J^T J)^-1 times the sum of squares over the degrees of freedom.

  python3 perf/bench_electric_scipy.py > test/bench/electric-scipy.json
"""
import json

import numpy as np
import scipy
from scipy.optimize import least_squares

RNG = np.random.default_rng(20260101)


def admittance(f, p):
    w = 2 * np.pi * f
    y = 1j * w * p[0] * (1 - 1j * p[1])
    for c1, fs, q in zip(p[2::3], p[3::3], p[4::3]):
        x = f / fs
        y = y + 1j * w * c1 / (1 - x * x + 1j * x / q)
    return y


def rounded(values, digits):
    return [float(f"{v:.{digits}g}") for v in values]


def solve(residuals, start):
    scale = np.abs(np.array(start, float))
    fit = least_squares(
        lambda s: residuals(s * scale), np.array(start, float) / scale, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15
    )
    n = fit.fun.size - fit.x.size
    covariance = np.linalg.inv(fit.jac.T @ fit.jac) * (2 * fit.cost / n)
    return {
        "parameters": (fit.x * scale).tolist(),
        "standard_deviations": (np.sqrt(np.diag(covariance)) * scale).tolist(),
        "sum_of_squares": 2 * fit.cost,
    }


def circuit():
    f = np.array(rounded(np.geomspace(300, 12000, 150), 7))
    truth = [2e-8, 0.018, 1.1e-9, 1210.0, 42.0, 2.5e-10, 7420.0, 55.0]
    y = admittance(f, truth)
    z = rounded(1 / np.abs(y) * (1 + 0.004 * RNG.standard_normal(f.size)), 7)
    phase = rounded(-np.angle(y) + 0.004 * RNG.standard_normal(f.size), 7)
    data = np.exp(-1j * np.array(phase)) / np.array(z)

    def residuals(p):
        r = np.log(admittance(f, p) / data)
        return np.concatenate([r.real, r.imag])

    return {"f_Hz": f.tolist(), "impedance_ohm": z, "phase_rad": phase, **solve(residuals, truth)}


def decay(start, noise, span, n, digits, keys):
    t = np.array(rounded(np.linspace(0, span, n), 9))
    y = np.array(rounded(start[0] * np.exp(-t / start[1]) + start[2] + noise * RNG.standard_normal(n), digits))
    found = solve(lambda p: p[0] * np.exp(-t / p[1]) + p[2] - y, start)
    return {"t_s": t.tolist(), keys: y.tolist(), **found}


print(
    json.dumps(
        {
            "made_by": f"perf/bench_electric_scipy.py, NumPy {np.__version__}, SciPy {scipy.__version__}",
            "circuit": circuit(),
            "decay": decay([0.32, 1.08e-5, 2e-4], 0.002, 1.2e-4, 200, 7, "current_A"),
            "recovery": decay([6.9, 9.9e-4, 0.4], 0.3, 5e-3, 200, 7, "sag_V"),
        },
        indent=1,
    )
)
