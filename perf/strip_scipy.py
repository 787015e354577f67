"""Strips with steps, a tapered width and an elastic foundation, solved another way than in src/physics.

State along the strip (w, psi, M, V), psi the rotation of the section, M = EI psi', at frequency omega:
    w' = psi + s V,  psi' = M / (r EI),  M' = -V - r rho_I omega^2 psi,  V' = (k - r m omega^2) w   (sign: V = -dM/dx - ...)
integrated by SciPy's DOP853 (relative tolerance 1e-12) from both conditions of the inner end; a resonance is a
root of the 2 x 2 determinant of what the free tip demands (M = V = 0), found by brentq. No elements, no modes.
Prints JSON: the numbers that src/physics/beamDetail.test.ts holds.

    python3 perf/strip_scipy.py
"""

import json

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

EI, M_, RHO_I, S = 3e-3, 1.5e-2, 3e-10, 2e-5
L = 0.02


def piece(length, ei=EI, m=M_, rho_i=RHO_I, s=S, start=1.0, end=1.0, k=0.0):
    return dict(length=length, ei=ei, m=m, rho_i=rho_i, s=s, start=start, end=end, k=k)


def through(p, y0, omega, thin):
    s = 0.0 if thin else p["s"]
    rho_i = 0.0 if thin else p["rho_i"]

    def f(x, y):
        r = p["start"] + (p["end"] - p["start"]) * x / p["length"]
        w, psi, mom, v = y
        # equilibrium: dV/dx = k w - r m omega^2 w  (V: shear carried, V = (w' - psi) r / s)
        #              dM/dx = -V - r rho_i omega^2 psi
        return [
            psi + s * v / r,
            mom / (r * p["ei"]),
            -v - r * rho_i * omega**2 * psi,
            (p["k"] - r * p["m"] * omega**2) * w,
        ]

    return solve_ivp(f, (0, p["length"]), y0, method="DOP853", rtol=1e-12, atol=1e-30).y[:, -1]


def tip(pieces, start, omega, thin):
    y = np.array(start, float)
    for p in pieces:
        y = through(p, y, omega, thin)
    return y


def determinant(pieces, inner, omega, thin, mass=0.0):
    a = tip(pieces, inner[0], omega, thin)
    b = tip(pieces, inner[1], omega, thin)
    # free tip with a point mass: the shear carried just before it, V = m omega^2 w (its inertia)
    row = lambda y: (y[2], y[3] - mass * omega**2 * y[0])
    (m1, v1), (m2, v2) = row(a), row(b)
    return m1 * v2 - m2 * v1


CLAMPED = ((0, 0, 1, 0), (0, 0, 0, 1))
FREE = ((1, 0, 0, 0), (0, 1, 0, 0))


def frequencies(pieces, inner=CLAMPED, count=4, thin=False, mass=0.0):
    total = sum(p["length"] for p in pieces)
    unit = np.sqrt(EI / M_) / total**2
    grid = np.linspace(0.3, 12.5, 160) ** 2 * unit
    values = [determinant(pieces, inner, w, thin, mass) for w in grid]
    out = []
    for a, b, fa, fb in zip(grid, grid[1:], values, values[1:]):
        if fa * fb < 0:
            root = brentq(lambda w: determinant(pieces, inner, w, thin, mass), a, b, rtol=1e-12)
            out.append(root / (2 * np.pi))
        if len(out) == count:
            break
    return out


def compliance(pieces, inner, thin=False):
    """Deflection of the tip per newton there."""
    a = tip(pieces, inner[0], 0.0, thin)
    b = tip(pieces, inner[1], 0.0, thin)
    c = np.linalg.solve(np.array([[a[2], b[2]], [a[3], b[3]]]), [0.0, 1.0])
    return float(c[0] * a[0] + c[1] * b[0])


STEP = [piece(0.008), piece(0.005, ei=8e-4, m=3e-3, rho_i=1e-11, s=5e-5), piece(0.007, ei=1.7e-3, m=9e-3)]
TAPERS = {"0.25": 0.25, "0.6": 0.6, "2": 2.0, "0.05": 0.05}
KF = {"soft": 1e6, "firm": 3e7}
INSIDE = 0.004

result = {
    "step": dict(frequencies=frequencies(STEP), compliance=compliance(STEP, CLAMPED)),
    "taper": {
        name: dict(
            frequencies=frequencies([piece(L, end=r)]),
            thin=frequencies([piece(L, end=r)], thin=True),
            compliance=compliance([piece(L, end=r)], CLAMPED),
        )
        for name, r in TAPERS.items()
    },
    "taper with tip mass": frequencies([piece(L, end=0.4)], mass=5e-5),
    "foundation": {
        name: dict(
            frequencies=frequencies([piece(INSIDE, s=0.0, k=k), piece(L)], FREE),
            thin=frequencies([piece(INSIDE, k=k), piece(L)], FREE, thin=True),
            compliance=compliance([piece(INSIDE, s=0.0, k=k), piece(L)], FREE),
        )
        for name, k in KF.items()
    },
}
print(json.dumps(result, indent=2))
