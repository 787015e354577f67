#!/usr/bin/env python3
"""One pulse by SciPy, for comparing figures and speed with the project.

Reads one JSON object of perf/pulseDump.ts on standard input, writes the figures of the pulse on
standard output.

  pulse_scipy.py [--method Radau|LSODA|BDF] [--rtol 1e-9] [--grid 1e-7] [--plays ends|centre]
  pulse_scipy.py --self-test

Written from the physics, as one system of ordinary differential equations with events:
  strip     q'' + 2 zeta omega q' + omega^2 q = pad F + jump M
  layers    Delta V = v_t + v_h(q), q = C v_t + Theta sigma, M = Theta.v_t; in parallel
            Delta V = q/C' + v_h'(q); each plate's charge flows into its node
  loss      v_h(q) = k int_0^R (q - y_r) dr, |q - y_r| <= r: a play for every half-width r. What
            is kept is y as a function of r, a staircase of straight pieces; a play moves where it
            is pushed. Charges turning round are events.
  drive     node potentials; currents of supplies (limited, not sinking), diodes and switch
            (limited) are straight-line functions of the potentials
  seat      F_el(depth) (1 + c d(depth)/dt), not below 0; c such that the pad leaves with e times the
            speed at which it met its seat, were it free; meeting and leaving are events
  gas       curtain and orifice in series at every call: psi(r), the middle pressure in closed form
            where the second restriction is choked, else by scipy.optimize.brentq; plenum
            by first law and mass balance, fed at the set temperature; chamber pumped
  start     the seat's static law, its surface crept to it, then stiffer by the dynamic factor
Nothing is tabulated and nothing is linearised over a step.
"""
import argparse
import json
import os
import platform
import sys
import time

# Matrices of two to thirty rows: more threads only wait for each other.
for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ.setdefault(threads, "1")

import numpy as np
import scipy
from scipy.integrate import BDF, LSODA, Radau
from scipy.optimize import brentq

METHODS = {"Radau": Radau, "LSODA": LSODA, "BDF": BDF}


class Plays:
    """Plays of every half-width from 0 to `reach`; y(r) is straight between the kept points."""

    def __init__(self, density, reach, r, y, offset=0.0):
        self.density, self.reach, self.offset = density, reach, offset
        self.r, self.y = np.asarray(r, float), np.asarray(y, float)

    @classmethod
    def at_loop_end(cls, branch, at, other, history):
        """At one end of the working loop, coming from its other end.

        The loop does not say where the plays wider than it stand. `centre`: amid the loop; `ends`:
        where a far journey to the other end pushed them.
        """
        density, reach = branch["density"], branch["reach"]
        q, far = branch[at]["q"], branch[other]["q"]
        sign = 1.0 if far > q else -1.0
        half = abs(far - q) / 2
        centre = 0.5 * (q + far)
        if half < reach:
            last = centre if history == "centre" else far - sign * reach
            out = cls(density, reach, [0.0, half, reach], [q, centre, last])
        else:
            out = cls(density, reach, [0.0, reach], [q, q + sign * reach])
        out.offset = branch[at]["v"] - out.voltage(q)
        return out

    def edge(self, q):
        """Half-width up to which the plays are pushed at charge q."""
        room = self.r - np.abs(q - self.y)
        free = np.nonzero(room > 0)[0]
        if len(free) == 0:
            return self.reach
        i = free[0]
        if i == 0:
            return 0.0
        # Straight in r as long as the play is on the side on which it is pushed.
        side = 1.0 if self.y[i - 1] > q else -1.0
        a, b = (self.r[j] - side * (self.y[j] - q) for j in (i - 1, i))
        return self.r[i - 1] + (self.r[i] - self.r[i - 1]) * max(0.0, -a) / (b - a)

    def moved(self, q):
        """Staircase after moving straight to q."""
        edge = self.edge(q)
        if edge <= 0:
            return self.r, self.y
        at_edge = np.interp(edge, self.r, self.y)
        if edge >= self.reach:
            at_edge = q - edge if at_edge <= q else q + edge
            return np.array([0.0, edge]), np.array([q, at_edge])
        wider = self.r > edge * (1 + 1e-15)
        return (
            np.concatenate(([0.0, edge], self.r[wider])),
            np.concatenate(([q, at_edge], self.y[wider])),
        )

    def voltage(self, q):
        r, y = self.moved(q)
        gap = q - y
        return self.offset + self.density * np.sum(0.5 * (gap[1:] + gap[:-1]) * np.diff(r))

    def tangent(self, q):
        return self.density * max(0.0, self.reach - self.edge(q))

    def settle(self, q):
        self.r, self.y = self.moved(q)


def self_test():
    """Against 4000 single plays on a random walk of turning points."""
    rng = np.random.default_rng(3)
    n, reach, density = 4000, 1.0, 2.0
    widths = (np.arange(n) + 0.5) / n * reach
    single = np.zeros(n)
    plays = Plays(density, reach, [0.0, reach], [0.0, 0.0])
    q = 0.0
    worst = 0.0
    for _ in range(400):
        turn = rng.uniform(-1.5, 1.5) * rng.uniform() ** 2
        for share in (0.3, 0.7, 1.0):
            x = q + share * (turn - q)
            moved = np.clip(single, x - widths, x + widths)
            worst = max(worst, abs(plays.voltage(x) - density * reach * np.mean(x - moved)))
        q = turn
        single = np.clip(single, q - widths, q + widths)
        plays.settle(q)
    print(f"largest difference to {n} single plays: {worst:.2e} of {density * reach * reach / 2}")
    return worst < 1e-3 / 4


def damping(e):
    """c v for which a body that meets F_el (1 + c d(depth)/dt) at v leaves at e v.

    Along the way m v dv/(1 + c v) = -F_el dx: both sides of it pass the same work of F_el.
    """
    if e >= 1:
        return 0.0
    work = lambda x, way: way * x - np.log1p(way * x)
    return brentq(lambda x: work(x, 1.0) - work(e * x, -1.0), 1e-3 * (1 - e), (1 - 1e-12) / e, xtol=1e-15, rtol=1e-14)


class Gas:
    def __init__(self, seat, plenum):
        self.gamma = seat["gamma"]
        self.kappa = (self.gamma - 1) / self.gamma
        self.critical = (2 / (self.gamma + 1)) ** (1 / self.kappa)
        self.choked = self.psi(self.critical)
        self.closes = seat["arrangement"] == "pressure closes"
        self.curtain = seat["cd_curtain"] * np.pi * seat["seal_diameter"]
        self.orifice_area = np.pi / 4 * seat["orifice_diameter"] ** 2
        self.orifice = seat["cd_orifice"] * self.orifice_area
        self.cd_orifice = seat["cd_orifice"]
        self.seal = np.pi / 4 * seat["seal_diameter"] ** 2
        self.specific = plenum["specific"]

    def psi(self, r):
        if r >= 1:
            return 0.0
        r = max(r, self.critical)
        return np.sqrt(2 / self.kappa * (r ** (2 / self.gamma) - r ** ((self.gamma + 1) / self.gamma)))

    def middle(self, first, second, d):
        """p_m/p0 where first psi(m) = second m psi(d/m)."""
        b = first / second
        if b <= 0:
            return d
        # Second choked: psi(m)/m = choked/b; both choked: m = b.
        if b <= self.critical:
            m = b
        else:
            x = self.kappa / 2 * (self.choked / b) ** 2
            # 1/y (1/y - 1) = x with y = m^kappa
            y = 2 / (1 + np.sqrt(1 + 4 * x))
            m = y ** (1 / self.kappa)
        if d <= m * self.critical:
            return m
        return brentq(lambda m: b * self.psi(m) - m * self.psi(d / m), d, 1.0, xtol=1e-15, rtol=1e-14)

    def at(self, lift, p0, pd, temperature):
        """Force along the opening direction and mass flow; the temperature over the set one."""
        if p0 <= pd:
            return 0.0, 0.0
        if lift <= 0:
            return (-1 if self.closes else 1) * (p0 - pd) * self.seal, 0.0
        curtain = self.curtain * lift
        first, second = (curtain, self.orifice) if self.closes else (self.orifice, curtain)
        m = self.middle(first, second, pd / p0)
        flow = second * m * p0 / np.sqrt(self.specific * temperature) * self.psi(pd / (m * p0))
        if self.closes:
            return -(p0 - m * p0) * self.seal, flow
        r = max(m, self.critical)
        velocity = self.cd_orifice * 2 / self.kappa * r * (r ** -self.kappa - 1)
        thrust = p0 * self.orifice_area * (r + velocity)
        return thrust + m * p0 * (self.seal - self.orifice_area) - pd * self.seal, flow


class Valve:
    def __init__(self, d, history):
        self.d = d
        s, e, c = d["strip"], d["electrics"], d["circuit"]
        self.omega, self.zeta = np.array(s["omega"]), np.array(s["zeta"])
        self.pad, self.jump = np.array(s["pad"]), np.array(s["jump"])
        self.n = len(self.omega)
        self.layers = L = e["layers"]
        self.inverse = np.linalg.inv(np.array(e["capacitance"]).reshape(L, L))
        self.theta = np.array(e["theta"])
        closed = [b and Plays.at_loop_end(b, "closed", "open", history) for b in e["series"]]
        self.series = closed
        self.parallel = [
            p and (p["capacitance"], p["branch"] and Plays.at_loop_end(p["branch"], "closed", "open", history))
            for p in e["parallel"]
        ]
        # Nodes: every terminal, the inside of storage with series resistance.
        wire, stray = c["wire"], c["stray"]
        self.sw, self.rails = c["switch"], c["rails"]
        own = [max(self.sw["outputCapacitance"], 0) or stray]
        self.terminal, self.inside = [], []
        for rail in self.rails:
            self.terminal.append(len(own))
            if rail["storage"] > 0 and rail["storageEsr"] > 0:
                own.append(stray)
                self.inside.append(len(own))
                own.append(rail["storage"])
            else:
                self.inside.append(len(own) if rail["storage"] > 0 else None)
                own.append(rail["storage"] or stray)
        electrode = []
        for to in c["electrodes"]:
            if to == "ground":
                electrode.append(None)
            elif to == "switched":
                electrode.append(0)
            elif to == "open":
                electrode.append(len(own))
                own.append(stray)
            else:
                electrode.append(self.terminal[to])
        self.own = np.array(own)
        self.nodes = len(own)
        self.B = np.zeros((L, self.nodes))
        for k in range(L):
            top, bottom = electrode[e["top"][k]], electrode[e["bottom"][k]]
            if top is not None:
                self.B[k, top] += 1
            if bottom is not None:
                self.B[k, bottom] -= 1
        self.per_slope = self.inverse @ self.theta
        self.linear = None
        if not any(self.series) and not any(p and p[1] for p in self.parallel):
            none = np.zeros(L)
            self.linear = self.capacitances(none, np.array([p[0] if p else 0.0 for p in self.parallel]))
        self.supply_r = [max(r["outputResistance"], wire) for r in self.rails]
        self.wire = wire
        self.command = d["closed_output"]
        self.seat, self.plenum, self.chamber = d["seat"], d["plenum"], d["chamber"]
        self.gas = Gas(self.seat, self.plenum) if self.seat and self.plenum else None
        self.touching = False
        self.surface = None
        self.hunt = 0.0
        self.stuck = False
        n, L, N = self.n, self.layers, self.nodes
        at = np.cumsum([0, n, n, N, L, L, 1, 1, 1, 1])
        self.at = [slice(a, b) for a, b in zip(at, at[1:])]
        self.size = int(at[-1])
        self.calls = 0

    # Drive ------------------------------------------------------------------------------------
    def currents(self, v):
        """Current into every node from resistors, supplies and switch."""
        i = np.zeros(self.nodes)
        for r, rail in enumerate(self.rails):
            t = self.terminal[r]
            inside = self.inside[r]
            if inside is not None and inside != t:
                flow = (v[inside] - v[t]) / max(rail["storageEsr"], self.wire)
                i[t] += flow
                i[inside] -= flow
            if inside is not None and rail["leakageResistance"] is not None:
                i[inside] -= v[inside] / rail["leakageResistance"]
            if rail["bleeder"] is not None:
                i[t] -= v[t] / rail["bleeder"]
            supply = (rail["voltage"] - v[t]) / self.supply_r[r]
            limit = rail["currentLimit"]
            if limit is not None:
                supply = min(max(supply, -limit), limit)
            if not rail["sinks"]:
                supply = min(supply, 0.0) if rail["voltage"] < 0 else max(supply, 0.0)
            i[t] += supply
        sw = self.sw
        for state, rail, series in (
            ("high", sw["high"], sw["seriesHigh"]),
            ("low", sw["low"], sw["seriesLow"]),
        ):
            node = None if rail < 0 else self.terminal[rail]
            across = (0.0 if node is None else v[node]) - v[0]
            resistance = max(series + sw["onResistance"], self.wire)
            if self.command == state:
                flow = across / resistance
                if sw["currentMax"] is not None:
                    flow = min(max(flow, -sw["currentMax"]), sw["currentMax"])
            elif self.command == "off":
                other = sw["low"] if state == "high" else sw["high"]
                opposite = 0.0 if other < 0 else v[self.terminal[other]]
                here = 0.0 if node is None else v[node]
                upper = here > opposite or (here == opposite and state == "high")
                # The upper node takes what is above it, the lower one gives what is below.
                flow = (min(across, 0.0) if upper else max(across, 0.0)) / resistance
            else:
                continue
            i[0] += flow
            if node is not None:
                i[node] -= flow
        return i

    def rest_potentials(self):
        """Where the currents vanish: they are straight-line functions, so one linear solve."""
        keep = [(r["currentLimit"], r["sinks"]) for r in self.rails]
        limit = self.sw["currentMax"]
        self.sw["currentMax"] = None
        for r in self.rails:
            r["currentLimit"], r["sinks"] = None, True
        zero = self.currents(np.zeros(self.nodes))
        Y = np.column_stack([self.currents(u) - zero for u in np.eye(self.nodes)])
        for r, (limited, sinks) in zip(self.rails, keep):
            r["currentLimit"], r["sinks"] = limited, sinks
        self.sw["currentMax"] = limit
        return np.linalg.solve(Y, -zero)

    # Layers -----------------------------------------------------------------------------------
    def tangents(self, q, qp):
        K = np.array([h.tangent(x) if h else 0.0 for h, x in zip(self.series, q)])
        Cp = np.array(
            [0.0 if p is None else 1 / (1 / p[0] + (p[1].tangent(x) if p[1] else 0.0)) for p, x in zip(self.parallel, qp)]
        )
        return K, Cp

    def capacitances(self, K, Cp):
        """Layers' capacitance and motional charge per slope, inverse of the nodes' capacitance."""
        A = self.inverse.copy()
        A.flat[:: self.layers + 1] += K
        Ce = np.linalg.inv(A)
        inner = Ce.copy()
        inner.flat[:: self.layers + 1] += Cp
        G = self.B.T @ inner @ self.B
        G.flat[:: self.nodes + 1] += self.own
        return Ce, Cp, Ce @ self.per_slope, np.linalg.inv(G)

    def electric_rates(self, v, q, qp, slope_rate):
        if self.linear is None:
            Ce, Cp, motional, inverse = self.capacitances(*self.tangents(q, qp))
        else:
            Ce, Cp, motional, inverse = self.linear
        motional = motional * slope_rate
        vdot = inverse @ (self.currents(v) - self.B.T @ motional)
        across = self.B @ vdot
        return vdot, Ce @ across + motional, Cp * across

    def moment(self, q, slope):
        return self.theta @ (self.inverse @ (q - self.theta * slope)) + self.d["strip"]["rest_moment"]

    def charges(self, v, slope, q):
        """Charges of the layers at potentials v, moved straight from where the plays stand."""
        across = self.B @ v
        for _ in range(100):
            vh = np.array([h.voltage(x) if h else 0.0 for h, x in zip(self.series, q)])
            K = np.array([h.tangent(x) if h else 0.0 for h, x in zip(self.series, q)])
            miss = self.inverse @ (q - self.theta * slope) + vh - across
            step = np.linalg.solve(self.inverse + np.diag(K), miss)
            q = q - step
            if np.max(np.abs(step)) < 1e-15 * (np.max(np.abs(q)) + 1e-15):
                break
        return q

    # Seat -------------------------------------------------------------------------------------
    def elastic(self, depth):
        pad = self.seat["pad"]
        soft = pad["seating"]
        return 0.0 if depth <= 0 else pad["stiffness"] * (depth + soft * np.expm1(-depth / soft))

    def pad_force(self, lift, speed):
        """Contact, film and sticking."""
        s = self.seat
        if self.touching:
            # A trifle above the surface before the event is found: no force.
            spring = s["dynamic_factor"] * self.elastic(-lift)
            return max(0.0, spring * (1 - self.hunt * speed))
        force = 0.0
        if s["squeeze"] > 0:
            film = -s["squeeze"] / max(lift, s["squeeze_gap"]) ** 3 * speed
            force += min(max(film, -s["squeeze_max"]), s["squeeze_max"])
        if self.stuck:
            share = max(lift, 0.0) / s["stick_stretch"]
            if share < 1:
                force -= s["stick_force"] * min(10 * share, (1 - share) / 0.9)
        return force

    def start(self):
        n, L = self.n, self.layers
        flexibility = np.sum((self.pad / self.omega) ** 2)
        pad_moment = np.sum(self.pad * self.jump / self.omega**2)
        slope_moment = np.sum((self.jump / self.omega) ** 2)
        v = self.rest_potentials()
        q = np.array([b["closed"]["q"] if b else 0.0 for b in self.d["electrics"]["series"]])
        slope = 0.0
        force = contact = 0.0
        s = self.seat
        for _ in range(200):
            q = self.charges(v, slope, q)
            moment = self.moment(q, slope)
            y = pad_moment * moment
            if s:
                gas = 0.0
                if self.gas:
                    gas, _ = self.gas.at(0.0, self.plenum["pressure"], s["downstream_pressure"], 1.0)
                # On the seat: flexibility (F_pad + F_gas) + y = stand-off - depth
                miss = lambda depth: y + flexibility * (self.elastic(depth) + gas) - s["stand_off"] + depth
                if miss(0.0) >= 0:
                    raise SystemExit("the valve does not rest on its seat")
                depth = brentq(miss, 0.0, -miss(0.0), xtol=1e-22, rtol=1e-15)
                contact = self.elastic(depth)
                force = contact + gas
                y = s["stand_off"] - depth
            new = pad_moment * force + slope_moment * moment
            moved, slope = abs(new - slope), new
            if moved <= 1e-15 * abs(new):
                break
        for h, x in zip(self.series, q):
            if h:
                h.settle(x)
        qp = np.zeros(L)
        across = self.B @ v
        for k, p in enumerate(self.parallel):
            if p is None:
                continue
            c, h = p
            if h is None:
                qp[k] = c * across[k]
                continue
            x = self.d["electrics"]["parallel"][k]["branch"]["closed"]["q"]
            for _ in range(200):
                step = (x / c + h.voltage(x) - across[k]) / (1 / c + h.tangent(x))
                x -= step
                if abs(step) < 1e-15 * abs(x):
                    break
            h.settle(x)
            qp[k] = x
        if s:
            self.touching = contact > 0
            self.surface = s["stand_off"]
            if contact > 0:
                wanted = contact / s["dynamic_factor"]
                depth = brentq(lambda x: self.elastic(x) - wanted, 0.0, 1e-3, xtol=1e-22, rtol=1e-15)
                self.surface = y + depth
            self.hunt = damping(s["restitution"]) / s["reference_speed"]
            self.stuck = s["stick_force"] > 0 and contact > 0
        x = np.zeros(self.size)
        a = self.at
        x[a[0]] = (self.pad * force + self.jump * moment) / self.omega**2
        x[a[2]], x[a[3]], x[a[4]] = v, q, qp
        x[a[6]] = self.plenum["pressure"] if self.plenum else 0.0
        x[a[7]] = self.chamber["basePressure"] if self.chamber else 0.0
        x[a[8]] = 1.0
        self.rest = y
        return x

    # The system -------------------------------------------------------------------------------
    def lift(self, x):
        y = self.pad @ x[self.at[0]]
        return y - (self.surface if self.seat else self.rest)

    def rates(self, _t, x):
        self.calls += 1
        a = self.at
        q, p, v, ql, qp = x[a[0]], x[a[1]], x[a[2]], x[a[3]], x[a[4]]
        plenum, chamber, gas = x[a[6]][0], x[a[7]][0], x[a[8]][0]
        warm = plenum / (self.plenum["pressure"] * gas) if self.plenum else 1.0
        out = np.empty(self.size)
        slope, slope_rate = self.jump @ q, self.jump @ p
        force = flow = 0.0
        if self.seat:
            lift, speed = self.lift(x), self.pad @ p
            force = self.pad_force(lift, speed)
            if self.gas:
                pd = chamber if self.chamber else self.seat["downstream_pressure"]
                push, flow = self.gas.at(0.0 if self.touching else lift, plenum, pd, warm)
                force += push
        vdot, qdot, qpdot = self.electric_rates(v, ql, qp, slope_rate)
        out[a[0]] = p
        out[a[1]] = (
            self.pad * force
            + self.jump * self.moment(ql, slope)
            - 2 * self.zeta * self.omega * p
            - self.omega**2 * q
        )
        out[a[2]], out[a[3]], out[a[4]] = vdot, qdot, qpdot
        out[a[5]] = flow
        out[a[6]] = out[a[7]] = out[a[8]] = 0.0
        if self.plenum and self.plenum["volume"] is not None:
            g, specific, start = self.plenum["gamma"], self.plenum["specific"], self.plenum["pressure"]
            feed = (self.plenum["feedConductance"] or 0.0) * (start - plenum)
            out[a[6]] = g / self.plenum["volume"] * (feed - specific * warm * flow)
            # Gas over that at the start, p V/specific.
            out[a[8]] = (feed / specific - flow) * specific / (start * self.plenum["volume"])
        if self.chamber and self.gas:
            c = self.chamber
            out[a[7]] = (flow * c["specific"] - c["pumpingSpeed"] * (chamber - c["basePressure"])) / c["volume"]
        return out

    def scales(self):
        a = self.at
        out = np.empty(self.size)
        volts = max(abs(r["voltage"]) for r in self.rails)
        travel = 1e-5
        out[a[0]] = travel / np.max(np.abs(self.pad))
        out[a[1]] = travel * self.omega[0] / np.max(np.abs(self.pad))
        out[a[2]] = volts
        out[a[3]] = out[a[4]] = volts / np.max(np.abs(self.inverse))
        out[a[5]] = 1e-10
        out[a[6]] = self.plenum["pressure"] if self.plenum else 1.0
        out[a[7]] = out[a[8]] = 1.0
        return out


class Turn:
    """A charge that goes one way: it has turned when it is back from its extreme by a trifle."""

    def __init__(self, index, plays, sign, q, rtol):
        self.index, self.plays, self.sign, self.extreme = index, plays, sign, q
        self.trifle = max(1e-7, rtol) * plays.reach

    def look(self, dense, begin, end, state):
        """Time at which it has turned, within a step; None: it has not."""
        now = self.sign * state[self.index]
        if now >= self.sign * self.extreme:
            self.extreme = self.sign * now
            return None
        inside = self.sign * dense(np.linspace(begin, end, 9))[self.index]
        self.extreme = self.sign * max(self.sign * self.extreme, inside.max())
        back = lambda t: self.sign * (self.extreme - dense(t)[self.index]) - self.trifle
        if back(end) <= 0:
            return None
        top = begin + (end - begin) * int(np.argmax(inside)) / 8
        top = top if back(top) < 0 else begin
        return brentq(back, top, end, xtol=1e-16, rtol=1e-15) if back(top) < 0 else end


def solve(valve, method, span, x, rtol, atol, turns):
    """Yields (dense output, end) of every step; returns the end, the state there and what ended it.

    Ends where the pad meets or leaves its seat ("seat"), or a charge turns.
    """
    solver = METHODS[method](valve.rates, span[0], x, span[1], rtol=rtol, atol=atol)
    side = -1 if valve.touching else 1
    while solver.status == "running":
        message = solver.step()
        if solver.status == "failed":
            raise SystemExit(f"{method} gave up at {solver.t} s: {message}")
        begin, end = solver.t_old, solver.t
        dense = solver.dense_output()
        hit = None
        if valve.seat and valve.lift(solver.y) * side < 0:
            along = lambda t: valve.lift(dense(t)) * side
            crosses = along(begin) > 0 > along(end)
            hit = (brentq(along, begin, end, xtol=1e-16, rtol=1e-15) if crosses else end, "seat")
        for turn in turns:
            at = turn.look(dense, begin, end, solver.y)
            if at is not None and (hit is None or at < hit[0]):
                hit = (at, turn)
        if hit is not None:
            yield dense, hit[0]
            return hit[0], dense(hit[0]) if hit[0] < end else solver.y, hit[1]
        yield dense, end
    return span[1], solver.y, None


def run(d, method, rtol, grid, history):
    valve = Valve(d, history)
    x = valve.start()
    start = x.copy()
    start_lift = valve.lift(x)
    end = d["duration"]
    grid_times = np.arange(round(end / grid) + 1) * grid
    base = valve.surface if valve.seat else valve.rest
    lift = np.empty(len(grid_times))
    volts = np.empty((len(grid_times), len(valve.rails)))
    lift[0], volts[0] = valve.lift(x), x[valve.at[2]][valve.terminal]
    filled = 1
    first = valve.at[3].start
    plays = [(first + k, h) for k, h in enumerate(valve.series) if h]
    plays += [(first + valve.layers + k, p[1]) for k, p in enumerate(valve.parallel) if p and p[1]]
    steps = events = 0
    contacts = []
    atol = rtol * 0.1 * valve.scales()
    stops = sorted({c["time"] for c in d["commands"] if 0 < c["time"] < end} | {end})
    t = 0.0
    turns = []
    while t < end:
        edge = [c["state"] for c in d["commands"] if c["time"] == t]
        if edge:
            valve.command = edge[-1]
        if edge or t == 0:
            rates = valve.rates(t, x)
            turns = [Turn(i, h, 1.0 if rates[i] >= 0 else -1.0, x[i], rtol) for i, h in plays]
        stop = next(s for s in stops if s > t)
        piece = solve(valve, method, (t, stop), x, rtol, atol, turns)
        while True:
            try:
                dense, to = next(piece)
            except StopIteration as over:
                t, x, hit = over.value
                break
            steps += 1
            until = np.searchsorted(grid_times, to, side="right")
            if until > filled:
                at = dense(grid_times[filled:until])
                lift[filled:until] = valve.pad @ at[valve.at[0]] - base
                volts[filled:until] = at[valve.at[2]][valve.terminal].T
                filled = until
        if hit == "seat":
            valve.touching = not valve.touching
            if valve.touching:
                speed = abs(valve.pad @ x[valve.at[1]])
                e = valve.seat["restitution"]
                valve.hunt = damping(e) / max(speed, 1e-3)
                contacts.append({"time_s": float(t), "speed_m_s": float(speed)})
        elif hit is not None:
            hit.plays.settle(hit.extreme)
            hit.plays.settle(x[hit.index])
            turns[turns.index(hit)] = Turn(hit.index, hit.plays, -hit.sign, x[hit.index], rtol)
        events += hit is not None
        if hit is None:
            for turn in turns:
                turn.plays.settle(turn.extreme)
                turn.plays.settle(x[turn.index])
        if valve.stuck and valve.lift(x) > valve.seat["stick_stretch"]:
            valve.stuck = False
    lift[filled:], volts[filled:] = valve.lift(x), x[valve.at[2]][valve.terminal]
    a = valve.at
    # What the integration let the layers' equation drift by.
    across = valve.B @ x[a[2]]
    vh = np.array([h.voltage(q) if h else 0.0 for h, q in zip(valve.series, x[a[3]])])
    drift = valve.inverse @ (x[a[3]] - valve.theta * (valve.jump @ x[a[0]])) + vh - across
    out = figures(grid_times, lift, d["gate"])
    out.update(
        gas_kg=float(x[a[5]][0]) if valve.gas else None,
        contacts=contacts[:3],
        rails=[
            {"name": r["name"], "low_V": float(v.min()), "high_V": float(v.max()), "end_V": float(v[-1])}
            for r, v in zip(valve.rails, volts.T)
        ],
        plenum_end_Pa=float(x[a[6]][0]),
        chamber_end_Pa=float(x[a[7]][0]),
        start={"lift_m": float(start_lift), "output_V": float(start[a[2]][0])},
        effort={"steps": steps, "events": events, "calls": valve.calls, "drift_V": float(np.max(np.abs(drift)))},
    )
    return out, (grid_times, lift, volts)


def crossing(t, y, level, rows):
    return None if len(rows) == 0 else float(t[rows[0]] + (t[rows[0] + 1] - t[rows[0]]) * (level - y[rows[0]]) / (y[rows[0] + 1] - y[rows[0]]))


def figures(t, lift, gate):
    """Largest lift up to the first contact after the gate's end, and the half-way times."""
    last = len(t) - 1
    end = int(np.searchsorted(t, gate))
    meets = [i for i in range(max(1, end), last + 1) if lift[i] <= 0 < lift[i - 1]]
    stop = meets[0] if meets else last
    top = int(np.argmax(lift[: stop + 1]))
    half = lift[top] / 2
    up = np.nonzero((lift[:top] < half) & (lift[1 : top + 1] >= half))[0]
    down = top + np.nonzero((lift[top:stop] >= half) & (lift[top + 1 : stop + 1] < half))[0]
    closing = crossing(t, lift, half, down[-1:])
    return {
        "peak_lift_m": float(lift[top]),
        "open_delay_s": crossing(t, lift, half, up[:1]),
        "close_delay_s": None if closing is None else closing - gate,
    }


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("--method", default="Radau")
    ask.add_argument("--rtol", type=float, default=1e-9)
    ask.add_argument("--grid", type=float, default=1e-7)
    ask.add_argument("--plays", default="centre", choices=("centre", "ends"))
    ask.add_argument("--repeats", type=int, default=1)
    ask.add_argument("--series", help="also write time, lift and rails as text to this file")
    ask.add_argument("--self-test", action="store_true")
    given = ask.parse_args()
    if given.self_test:
        sys.exit(0 if self_test() else 1)
    d = json.load(sys.stdin)
    times = []
    for _ in range(given.repeats):
        begun = time.perf_counter()
        out, series = run(d, given.method, given.rtol, given.grid, given.plays)
        times.append(time.perf_counter() - begun)
    if given.series:
        t, lift, volts = series
        np.savetxt(given.series, np.column_stack((t, lift, volts)))
    out["seconds"] = sorted(times)[len(times) // 2]
    out["made"] = {
        "python": platform.python_version(),
        "numpy": np.__version__,
        "scipy": scipy.__version__,
        "method": given.method,
        "rtol": given.rtol,
    }
    json.dump(out, sys.stdout, indent=1)
    sys.stdout.write("\n")


main()
