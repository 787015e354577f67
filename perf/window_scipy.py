#!/usr/bin/env python3
"""The free-length window by NumPy and SciPy, for comparing speed and figures with the project.

Reads one JSON object on standard input and writes one on standard output:
  in:  layers, dv (volts over each driven layer, per state), lengths, pad, masses, seat, gas, repeats
  out: seconds (median of the repeats), and per length f1_Hz, swing_m, lift_m, sealing_force_N,
       crack_open_ratio

Computes, for each free length:
  section   neutral plane, bending stiffness with the field redistributed (E* = E/(1 - k31^2) about the
            layer's own mid-plane), mass per length, moment per volt
  modes     the first four of a clamped Euler-Bernoulli strip with its lumped masses, the pad among
            them: about 16 cubic (Hermite) elements, scipy.linalg.eigh
  seat      stiffness and free deflection at the pad; all equilibria of strip, gas and pad on a grid of
            lifts, refined by scipy.optimize.brentq; the branch reached from closed
  gas       choked orifice behind the curtain: middle pressure tabulated once against the area ratio
Leaves out what the project adds: rotary inertia and shear, width correction, gas loading, fields and
stresses in every state, drive, chamber, lock-out band, the exact ends of the window.
"""
import json
import statistics
import sys
import time

import numpy as np
from scipy.linalg import eigh
from scipy.optimize import brentq

ELEMENTS = 16


def section(layers):
    thickness = np.array([l["thickness"] for l in layers])
    top = np.cumsum(thickness)
    middle = top - thickness / 2
    young = np.array([l["young"] for l in layers])
    width = np.array([l["width"] for l in layers])
    d31 = np.array([l["d31"] * l["poling"] for l in layers])
    coupling = np.array([l["d31"] ** 2 * l["young"] / l["eps33T"] if l["eps33T"] > 0 else 0.0 for l in layers])
    area = young * width * thickness
    neutral = np.sum(area * middle) / np.sum(area)
    arm = middle - neutral
    own = young / (1 - coupling) * width * thickness**3 / 12
    stiffness = np.sum(own + area * arm**2)
    mass = np.sum(width * thickness * np.array([l["density"] for l in layers]))
    theta = young * width * d31 * arm
    return stiffness, mass, theta


def first_modes(length, stiffness, mass, lumps, count=4):
    """lumps: (place, mass, rotary inertia); a node stands at each of them."""
    places = sorted({at for at, _, _ in lumps} | {0.0, length})
    nodes = [0.0]
    for a, b in zip(places, places[1:]):
        nodes.extend(np.linspace(a, b, max(1, round(ELEMENTS * (b - a) / length)) + 1)[1:])
    nodes = np.array(nodes)
    n = len(nodes)
    k = np.zeros((2 * n, 2 * n))
    m = np.zeros((2 * n, 2 * n))
    for i in range(n - 1):
        h = nodes[i + 1] - nodes[i]
        ke = stiffness / h**3 * np.array(
            [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
             [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]]
        )
        me = mass * h / 420 * np.array(
            [[156, 22 * h, 54, -13 * h], [22 * h, 4 * h * h, 13 * h, -3 * h * h],
             [54, 13 * h, 156, -22 * h], [-13 * h, -3 * h * h, -22 * h, 4 * h * h]]
        )
        at = slice(2 * i, 2 * i + 4)
        k[at, at] += ke
        m[at, at] += me
    for at, lump, inertia in lumps:
        node = int(np.argmin(np.abs(nodes - at)))
        m[2 * node, 2 * node] += lump
        m[2 * node + 1, 2 * node + 1] += inertia
    values = eigh(k[2:, 2:], m[2:, 2:], eigvals_only=True, subset_by_index=[0, count - 1])
    return np.sqrt(values) / (2 * np.pi)


def middle_pressure_table(gamma):
    """p_m/p0 against the area ratio a, vacuum behind: a psi(p_m/p0) = (p_m/p0) psi*."""
    critical = (2 / (gamma + 1)) ** (gamma / (gamma - 1))

    def psi(r):
        r = max(r, critical)
        return np.sqrt(2 * gamma / (gamma - 1) * (r ** (2 / gamma) - r ** ((gamma + 1) / gamma)))

    choked = psi(critical)
    areas = np.logspace(-4, 3, 160)
    ratios = [brentq(lambda r, a=a: a * psi(r) - r * choked, 1e-9, 1 - 1e-12) for a in areas]
    return np.log(areas), np.array(ratios)


def window(problem):
    stiffness, mass, theta = section(problem["layers"])
    seat, pad, gas = problem["seat"], problem["pad"], problem["gas"]
    log_area, ratio = middle_pressure_table(gas["gamma"])
    seal_area = np.pi * seat["diameter"] ** 2 / 4
    orifice = seat["cd_orifice"] * np.pi * gas["orifice"] ** 2 / 4
    moment = {s: float(np.dot(theta, problem["dv"][s])) for s in ("open", "closed")}
    sign = seat["opening_sign"]
    soft = pad["seating"]

    def gas_force(lift):
        if lift <= 0:
            return gas["p0"] * seal_area
        area = seat["cd_curtain"] * np.pi * seat["diameter"] * lift / orifice
        return gas["p0"] * (1 - np.interp(np.log(area), log_area, ratio)) * seal_area

    def pad_force(depth):
        return 0.0 if depth <= 0 else pad["stiffness"] * (depth + soft * np.expm1(-depth / soft))

    out = {k: [] for k in ("f1_Hz", "swing_m", "lift_m", "sealing_force_N", "crack_open_ratio")}
    for length in problem["lengths"]:
        at = length - pad["from_tip"]
        lumps = [(length - l["from_tip"], l["mass"], l["inertia"]) for l in problem["masses"]]
        out["f1_Hz"].append(first_modes(length, stiffness, mass, lumps)[0])
        k = 3 * stiffness / at**3
        free = {s: sign * moment[s] / stiffness * at**2 / 2 for s in moment}
        out["swing_m"].append(abs(free["open"] - free["closed"]))

        def net(lift, state):
            return k * (free[state] - seat["stand_off"] - lift) - gas_force(lift) + pad_force(-lift)

        reach = abs(free["open"] - free["closed"])
        grid = np.linspace(-reach, reach, 60)

        def roots(state):
            values = [net(h, state) for h in grid]
            return [
                brentq(net, grid[i], grid[i + 1], args=(state,), xtol=1e-13)
                for i in range(len(grid) - 1)
                if values[i] * values[i + 1] < 0
            ]

        closed_roots = roots("closed")
        closed = closed_roots[0] if closed_roots else float("nan")
        above = [h for h in roots("open") if h >= closed] if closed_roots else []
        out["lift_m"].append(above[0] if above else float("nan"))
        out["sealing_force_N"].append(pad_force(-closed))
        preload = k * (seat["stand_off"] - free["closed"])
        needed = gas["p0"] * seal_area + max(0.0, preload)
        out["crack_open_ratio"].append(k * reach / needed)
    return out


def main():
    problem = json.load(sys.stdin)
    times = []
    result = None
    for _ in range(problem["repeats"]):
        start = time.perf_counter()
        result = window(problem)
        times.append(time.perf_counter() - start)
    clean = {k: [None if v != v else float(v) for v in values] for k, values in result.items()}
    json.dump({"seconds": statistics.median(times), "numpy": np.__version__, **clean}, sys.stdout)


main()
