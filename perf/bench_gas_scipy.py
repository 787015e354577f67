#!/usr/bin/env python3
"""Fits of the bench by SciPy on made data, for test/bench/gasScipy.test.ts.

    python3 perf/bench_gas_scipy.py > test/bench/gas-scipy.json

Each entry holds the data and what SciPy finds in it. Nothing of the project is used.
  line      scipy.stats.linregress (exact x) and scipy.odr (errors in both)
  settling  scipy.optimize.curve_fit, p0 + r t + a (1 - exp(-t/tau))
  decay     curve_fit, base + step exp(-t/tau)
  steps     dense generalised least squares of steps with covariance s2 (q dN on the diagonal + 2, -1 beside),
            averaged over the restricted likelihood of q on a grid flat in ln q, q = 0 included
  contact   curve_fit, tare + max(0, a + k z)
  lengths   curve_fit, deflection and resonance together, clamp that gives by brentq on its characteristic equation
  pulse     regularised deconvolution with numpy.fft
"""
import json
import sys

import numpy as np
import scipy
from scipy import odr, optimize, stats

rng = np.random.default_rng(20260)
out = {"made_by": "perf/bench_gas_scipy.py", "numpy": np.__version__, "scipy": scipy.__version__}

# Straight line, opening voltage against pressure.
x = np.array([1, 4, 8, 12, 16, 20, 18, 14, 10, 6, 2]) * 1e5
y = 24 + 3.2e-5 * x + rng.normal(0, 0.8, x.size)
xr = x + rng.normal(0, 2e4, x.size)
plain = stats.linregress(x, y)
both = odr.ODR(
    odr.RealData(xr, y, sx=2e4, sy=0.8), odr.unilinear, beta0=[3e-5, 20], sstol=1e-15, partol=1e-15, maxit=500
).run()
out["line"] = {
    "x": x.tolist(), "x_read": xr.tolist(), "y": y.tolist(), "ux": 2e4, "uy": 0.8,
    "plain": [plain.intercept, plain.slope], "u_plain": [plain.intercept_stderr, plain.stderr],
    "both": [both.beta[1], both.beta[0]], "chi2": both.sum_square,
    "u_both": [float(np.sqrt(both.cov_beta[1, 1])), float(np.sqrt(both.cov_beta[0, 0]))],
}

# Rise with a settling part.
t = np.arange(60) * 10.0
p = 1e-3 + 2e-5 * t + 0.01 * (1 - np.exp(-t / 80)) + rng.normal(0, 2e-4, t.size)
f = lambda t, p0, r, a, tau: p0 + r * t + a * (1 - np.exp(-t / tau))
best, cov = optimize.curve_fit(f, t, p, [0, 2e-5, 0.01, 100], xtol=1e-14, ftol=1e-14, gtol=1e-14)
out["settling"] = {"t": t.tolist(), "p": p.tolist(), "rate": best[1], "u_rate": float(np.sqrt(cov[1, 1])), "tau": best[3]}
line = stats.linregress(t, p)
out["settling"].update({"line": line.slope, "u_line": line.stderr})

# Decay of a pumped pulse.
t = np.arange(100) * 0.004
p = 1e-5 + 2e-4 * np.exp(-t / 0.07) + rng.normal(0, 4e-6, t.size)
f = lambda t, b, a, tau: b + a * np.exp(-t / tau)
best, cov = optimize.curve_fit(f, t, p, [0, 2e-4, 0.1], xtol=1e-14, ftol=1e-14, gtol=1e-14)
out["decay"] = {"t": t.tolist(), "p": p.tolist(), "values": best.tolist(), "u": np.sqrt(np.diag(cov)).tolist()}

# Steps of a filling: readings with noise, pulses that scatter.
n = np.cumsum(rng.integers(1, 4, 25)) - 1
n = n - n[0]
walk = np.concatenate([[0], np.cumsum(np.sqrt(np.diff(n)) * rng.normal(0, 6e-6, n.size - 1))])
p = 1e-4 + 2e-4 * n + walk + rng.normal(0, 1e-5, n.size)
d, dn = np.diff(p), np.diff(n).astype(float)
m = d.size
grid = np.concatenate([[0], np.exp(np.linspace(-12, 12, 25)) / dn.mean()])
L, beta, var = [], [], []
for q in grid:
    V = np.diag(2 + q * dn) - np.eye(m, k=1) - np.eye(m, k=-1)
    Vi = np.linalg.inv(V)
    N = dn @ Vi @ dn
    b = dn @ Vi @ d / N
    r = d - b * dn
    s2 = r @ Vi @ r / (m - 1)
    L.append((m - 1) * np.log(s2) + np.linalg.slogdet(V)[1] + np.log(N))
    beta.append(b)
    var.append(s2 / N)
L, beta, var = map(np.array, (L, beta, var))
w = np.exp(-(L - L.min()) / 2)
w /= w.sum()
step = w @ beta
out["steps"] = {"n": n.tolist(), "p": p.tolist(), "step": step, "u": float(np.sqrt(w @ (var + (beta - step) ** 2))), "none": w[0]}

# Contact point on a balance.
z = np.concatenate([np.arange(25), np.arange(24)[::-1]]) * 5e-6
F = 0.012 + np.maximum(0, 1.8e4 * (z - 42e-6)) + rng.normal(0, 0.01, z.size)
f = lambda z, tare, a, k: tare + np.maximum(0, a + k * z)
best, cov = optimize.curve_fit(f, z, F, [0.01, -0.7, 1.7e4], xtol=1e-14, ftol=1e-14, gtol=1e-14)
g = np.array([0, -1 / best[2], best[1] / best[2] ** 2])
out["contact"] = {
    "z": z.tolist(), "F": F.tolist(), "stiffness": best[2], "u_stiffness": float(np.sqrt(cov[2, 2])),
    "contact": -best[1] / best[2], "u_contact": float(np.sqrt(g @ cov @ g)),
}

# Several free lengths.
def give_factor(e):
    f = lambda b: 1 + np.cos(b) * np.cosh(b) - e * b * (np.sin(b) * np.cosh(b) - np.cos(b) * np.sinh(b))
    return (optimize.brentq(f, 0.8, 2.3, xtol=1e-14) / 1.8751040687119611) ** 2

l = np.array([8, 10, 12, 14, 16]) * 1e-3
def model(_, delta, give, a, b):
    x = l + delta * 1e-3
    R = np.array([give_factor(give * 1e-3 / v) for v in x])
    return np.concatenate([a * (x / 12e-3) ** 2, b * (x / 12e-3) ** -2 * R])
true = model(None, 0.4, 0.3, 70e-6, 1400)
sigma = np.concatenate([0.01 * true[:5], 0.005 * true[5:]])
y = true + sigma * rng.normal(0, 1, 10)
sigma = np.concatenate([0.01 * y[:5], 0.005 * y[5:]])
best, cov = optimize.curve_fit(model, np.arange(10), y, [0.3, 0.2, 70e-6, 1400], sigma=sigma, absolute_sigma=True, xtol=1e-14, ftol=1e-14, gtol=1e-14)
out["lengths"] = {
    "l": l.tolist(), "w": y[:5].tolist(), "f": y[5:].tolist(),
    "delta_m": best[0] * 1e-3, "u_delta_m": float(np.sqrt(cov[0, 0])) * 1e-3,
    "give_m": best[1] * 1e-3, "u_give_m": float(np.sqrt(cov[1, 1])) * 1e-3,
}

# Pulse behind a slow gauge.
N, size, tau, lam = 200, 512, 15.0, 0.02
h = np.exp(-np.arange(N) / tau)
h /= h.sum()
pulse = np.exp(-(((np.arange(N) - 80) / 10.0) ** 2) / 2)
y = np.convolve(pulse, h)[:N] + rng.normal(0, 0.01, N)
H, Y = np.fft.fft(h, size), np.fft.fft(y, size)
D2 = (4 * np.sin(np.pi * np.arange(size) / size) ** 2) ** 2
solved = np.fft.ifft(np.conj(H) * Y / (abs(H) ** 2 + lam * D2)).real[:N]
scores = []
lambdas = np.exp(np.linspace(-40, 20, 61))
for k in lambdas:
    missed = k * D2 / (abs(H) ** 2 + k * D2)
    left = 1 - 1.4 * np.sum(1 - missed) / N
    scores.append(np.sum((missed * abs(Y)) ** 2) / left**2 if left > 0 else np.inf)
out["pulse"] = {
    "h": h.tolist(), "y": y.tolist(), "lambda": lam, "x": solved.tolist(),
    "cross_validated": lambdas[int(np.argmin(scores))],
    "noise_gain": float(np.sqrt(np.mean(abs(H) ** 2 / (abs(H) ** 2 + lam * D2) ** 2))),
}
json.dump(out, sys.stdout, indent=0)
