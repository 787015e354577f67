"""Reference numbers for test/published/calibrate.test.ts, by SciPy's least_squares on the same stacked residuals.

A strip as power laws: f1 = 1161 (E/60)^0.5 (h/0.5) (L/14)^-2, swing = 143 (d/274) (L/14)^2 (h/0.5)^-1,
force = 0.515 (E/60) (d/274) (h/0.5)^2 (L/14)^-1. Run: python3 test/published/calibrate_scipy.py
"""
import json
import numpy as np
from scipy.optimize import least_squares

prior = np.array([14.0, 274.0, 60.0, 0.5])  # L mm, d pm/V, E GPa, h mm
u = np.array([1.1, 19.0, 3.0, 0.0077])
data = np.array([1035.0, 159.2, 0.486])
C = np.diag(np.array([3.0, 3.2, 0.015]) ** 2)
C[1, 2] = C[2, 1] = 0.4 * 3.2 * 0.015
W = np.linalg.inv(np.linalg.cholesky(C))


def model(p):
    L, d, E, h = p[0] / 14, p[1] / 274, p[2] / 60, p[3] / 0.5
    return np.array([1161 * E**0.5 * h / L**2, 143 * d * L**2 / h, 0.515 * E * d * h**2 / L])


def rows(t):
    return np.concatenate([W @ (data - model(prior + u * t)), t])


fit = least_squares(rows, np.zeros(4), xtol=1e-14, ftol=1e-14, gtol=1e-14, jac="3-point")
V = np.linalg.inv(fit.jac.T @ fit.jac) * np.outer(u, u)
print(json.dumps({"parameters": list(prior + u * fit.x), "covariance": V.ravel().tolist(), "chi_squared": 2 * fit.cost}))
