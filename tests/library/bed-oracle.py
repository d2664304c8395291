"""Heated beds with SciPy: reads cases as JSON from stdin, writes answers as JSON.

Shares nothing with the library but the problem: each layer is cut into many slices with their temperatures in the slices'
middles, correlations of convection are written anew and asked at every step, and an implicit Runge-Kutta method of order 5
(Radau IIA) with tight tolerances solves the whole. The plate with its rim is cut into thousands of cells.
"""

import json
import math
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.linalg import solve_banded
from scipy.optimize import brentq
from scipy.sparse import diags, lil_matrix

ZERO = 273.15
SIGMA = 5.670374419e-8
GRAVITY = 9.80665


def air(film):
    return {
        "k": 6.6857e-4 + 9.3e-5 * film - 2.5714e-8 * film**2,
        "nu": 1.005714e-10 * film**2 + 3.444e-8 * film - 3.466857e-6,
        "alpha": 1.6e-10 * film**2 + 4.48e-8 * film - 5.32e-6,
        "pr": 0.7601 - 1.7e-4 * film,
    }


def convection(t, ambient, length, nusselt):
    """Natural convection, W/m^2."""
    film = (t + ambient) / 2
    a = air(film)
    ra = GRAVITY / (film * a["nu"] * a["alpha"]) * abs(t - ambient) * length**3
    return nusselt(ra, a["pr"]) * a["k"] / length * (t - ambient)


def up(ra, _):
    return 0.54 * ra**0.25 if ra < 1e7 else 0.15 * ra ** (1 / 3)


def down(ra, _):
    return 0.52 * ra**0.2


def edge(ra, pr):
    return (0.825 + 0.387 * ra ** (1 / 6) / (1 + (0.492 / pr) ** (9 / 16)) ** (8 / 27)) ** 2


def radiated(t, ambient, emissivity):
    return emissivity * SIGMA * (t**4 - ambient**4)


def losses(c):
    """Loss on top, at the edges and at the underside by temperature, W."""
    ambient = c["ambient"] + ZERO
    w, d = c["plate"]["size"]
    area = w * d
    length = area / (2 * (w + d))
    rim = 2 * (w + d) * c["height"]
    return (
        lambda t: area * (convection(t, ambient, length, up) + radiated(t, ambient, c["top_emissivity"])),
        lambda t: rim * (convection(t, ambient, c["height"], edge) + radiated(t, ambient, c["plate"]["emissivity"])),
        lambda t: area * (convection(t, ambient, length, down) + radiated(t, ambient, 0.9)),
    )


SLICES = 8


def bed(c):
    """Courses of a bed of layers: from cold, held at its target, and with the heater stuck on."""
    ambient = c["ambient"] + ZERO
    target = c["target"] + ZERO
    top, side, under = losses(c)
    # Layers from below: heat capacity (J/K), resistance (K/W). The heater's heat comes in between its two halves.
    capacity, outward = [], []
    edges = {}
    for layer in c["layers"]:
        edges[layer["name"]] = len(capacity)
        n = SLICES if layer["capacity"] > 0 and layer["resistance"] > 0 else 1
        for _ in range(n):
            capacity.append(layer["capacity"] / n)
            outward.append(layer["resistance"] / n / 2)
    # Gaps of air hold no heat: they are part of the way between their neighbours.
    keep = [i for i, x in enumerate(capacity) if x > 0]
    between = []
    for a, b in zip(keep, keep[1:]):
        between.append(outward[a] + outward[b] + sum(2 * outward[i] for i in range(a + 1, b)))
    c_keep = np.array([capacity[i] for i in keep])
    half = [outward[i] for i in keep]
    conductance = 1 / np.array(between)
    at = {name: sum(1 for i in keep if i < first) for name, first in edges.items()}
    n = len(keep)
    lower, plate = at["heater_above"] - 1, at["plate"]
    gap_below_plate = between[plate - 1]

    def outer(t, resistance, loss):
        """Heat that leaves a face behind half a slice."""
        if t - ambient < 1e-9:
            return 0.0, t
        if resistance == 0:
            return loss(t), t
        face = brentq(lambda f: (t - f) / resistance - loss(f), ambient, t, xtol=1e-11)
        return loss(face), face

    def heater_face(y, power):
        """The temperature of the wires: heat goes up and down from there."""
        g1, g2 = 1 / half[lower], 1 / half[lower + 1]
        return (power + g1 * y[lower] + g2 * y[lower + 1]) / (g1 + g2)

    def under_face(y):
        """The plate's underside: between what lies below and the plate's first slice."""
        r1, r2 = gap_below_plate - half[plate], half[plate]
        return (y[plate - 1] / r1 + y[plate] / r2) / (1 / r1 + 1 / r2) if r1 > 0 else y[plate - 1]

    def power_at(t, u):
        warm = 1 + c["heater"]["coefficient"] * (t - ZERO - 20)
        # Heaters side by side, each behind wires of its own.
        own = [(zone["series"], zone["resistance"] * warm) for zone in c["heater"].get("zones", [c["heater"]])]
        return sum((u / (series + r)) ** 2 * r for series, r in own)

    def flow(y, u, held):
        f = np.zeros(n)
        q = conductance * (y[1:] - y[:-1])
        # What passes the wires' face is handled apart.
        q[lower] = 0.0
        f[:-1] += q
        f[1:] -= q
        g1, g2 = 1 / half[lower], 1 / half[lower + 1]
        if held:
            share = 0.0
        else:
            mean = (g1 * y[lower] + g2 * y[lower + 1]) / (g1 + g2)
            share = power_at(mean, u)
            for _ in range(3):
                share = power_at((share + g1 * y[lower] + g2 * y[lower + 1]) / (g1 + g2), u)
        wires = (share + g1 * y[lower] + g2 * y[lower + 1]) / (g1 + g2)
        f[lower] += g1 * (wires - y[lower])
        f[lower + 1] += g2 * (wires - y[lower + 1])
        f[-1] -= outer(y[-1], half[-1], top)[0]
        f[0] -= outer(y[0], half[0], under)[0]
        f[plate] -= side(under_face(y)) if under_face(y) - ambient > 1e-9 else 0.0
        rate = f / c_keep
        if held:
            rate[plate] = 0.0
        return rate

    # Each slice is tied to its neighbours; the cutoff to what it sits on.
    neighbours = diags([1, 1, 1], [-1, 0, 1], shape=(n, n))
    with_cutoff = lil_matrix((n + 1, n + 1))
    with_cutoff[:n, :n] = neighbours
    with_cutoff[n, [lower, lower + 1, plate - 1, plate, n]] = 1
    exact = {"method": "Radau", "rtol": 1e-5, "atol": 1e-4}

    def solve(y0, u, held, during, event):
        event.terminal = True
        return solve_ivp(
            lambda t, y: flow(y, u, held), (0, during), y0, events=[event], jac_sparsity=neighbours, **exact
        )

    y0 = np.full(n, ambient)
    u, high = c["heater"]["voltage"], c["heater"]["highest_voltage"]

    # From cold to the target, by the plate's underside.
    warm = solve(y0, u, False, 10800, lambda t, y: under_face(y) - target)
    warm_up = warm.t_events[0][0]

    # Held: the first slice of the plate stands for its underside.
    start = warm.y_events[0][0].copy()
    start[plate] = target
    still = solve(start, u, True, 10800 - warm_up, lambda t, y: 1.0)

    def print_side(y):
        return outer(y[-1], half[-1], top)[1]

    rest = print_side(still.y[:, -1])
    if print_side(start) >= rest - 2:
        ready = warm_up
    else:
        seen = solve(start, u, True, 10800 - warm_up, lambda t, y: print_side(y) - (rest - 2))
        ready = warm_up + seen.t_events[0][0]

    # Stuck on from the target, with what the cutoff feels as one more unknown.
    def stuck(t, z):
        y = z[:n]
        seen = heater_face(y, power_at(y[lower], high)) if c["cutoff"]["on_heater"] else under_face(y)
        return np.append(flow(y, high, False), (seen - z[n]) / c["cutoff"]["lag"])

    def opens(t, z):
        return z[n] - (c["cutoff"]["opens_at"] + ZERO)

    def limit(t, z):
        return under_face(z[:n]) - (c["limit"] + ZERO)

    events = [opens, limit]
    course = solve_ivp(
        stuck, (0, 43200), np.full(n + 1, target), events=events, jac_sparsity=with_cutoff, **exact
    )
    when = course.t_events[0]
    return {
        "warm_up": warm_up,
        "ready": ready,
        "rest": rest - ZERO,
        "stuck": under_face(course.y[:n, -1]) - ZERO,
        "opening": when[0] if len(when) else None,
        "opened": under_face(course.y_events[0][0][:n]) - ZERO if len(when) else None,
        "limit": course.t_events[1][0] if len(course.t_events[1]) else None,
    }


def rim(c):
    """How much colder than its middle a plate of one long side is at its edge: heated in the middle, bare beyond.

    Finite volumes: below the heater as much comes in by area as keeps the middle at its temperature.
    """
    ambient, target = c["ambient"] + ZERO, c["target"] + ZERO
    excess, side, thickness = target - ambient, c["plate"]["size"][0], c["height"]
    top, edges, under = losses(c)
    # On top through the film that lies on it; the film's face is as warm as makes both flows the same.
    film = c["film"] / side**2
    face = brentq(lambda t: (target - t) / film - top(t), ambient, target, xtol=1e-11)
    coefficient = (top(face) + under(target)) / (side**2 * excess)
    half, heated, cells = side / 2, c["heated"] / 2, 4000
    inner = max(1, round(cells * heated / half))
    width = np.full(cells, heated / inner)
    if half > heated:
        width[inner:] = (half - heated) / (cells - inner)
    kt = c["conductivity"] * thickness
    link = kt / ((width[1:] + width[:-1]) / 2)
    # Through the last half cell to the edge, and from there to the room.
    lost = edges(target) / (4 * side) / excess
    out = 1 / (width[-1] / 2 / kt + 1 / lost)
    diagonal = coefficient * width
    diagonal[:-1] += link
    diagonal[1:] += link
    diagonal[-1] += out
    source = np.where(np.arange(cells) < inner, width, 0.0)
    bands = np.vstack([np.append(0, -link), diagonal, np.append(-link, 0)])
    y = solve_banded((1, 1), bands, source)
    at_edge = y[-1] * out / lost
    return excess * (1 - at_edge / y[0])


def rates(c):
    """How fast a plate that is as warm throughout warms at some temperatures, K/s."""
    top, side, under = losses(c)
    lost = lambda t: top(t) + side(t) + under(t) if t > c["ambient"] + ZERO else 0.0
    return [(c["power"] - lost(t + ZERO)) / c["capacity"] for t in c["at"]]


def halves(c):
    """How much hotter than its mean a plate gets whose two halves are warmed unequally: finite volumes along it, Newton's method.

    What is lost is asked anew at each cell's own temperature.
    """
    ambient, (w, d) = c["ambient"] + ZERO, c["plate"]["size"]
    top, side, under = losses(c)
    cells = 200
    part = w * d / cells
    link = c["conductivity"] * c["thickness"] * d / (w / cells)
    given = np.repeat(np.array(c["powers"]) / (w * d / 2), cells // 2) * part

    def lost(t):
        return np.array([(top(x) + side(x) + under(x)) / cells if x - ambient > 1e-9 else 0.0 for x in t])

    # From where all of it would be as warm, by what is given.
    mean = brentq(lambda x: top(x) + side(x) + under(x) - sum(c["powers"]), ambient + 1, 2000)
    t = np.full(cells, mean)
    for _ in range(30):
        flow = np.zeros(cells)
        flow[:-1] += link * (t[1:] - t[:-1])
        flow[1:] -= link * (t[1:] - t[:-1])
        rest = flow + given - lost(t)
        slope = (lost(t + 0.01) - lost(t)) / 0.01
        diagonal = slope + link * np.where((np.arange(cells) == 0) | (np.arange(cells) == cells - 1), 1, 2)
        bands = np.vstack([np.append(0, np.full(cells - 1, -link)), diagonal, np.append(np.full(cells - 1, -link), 0)])
        step = solve_banded((1, 1), bands, rest)
        t += step
        if np.abs(step).max() < 1e-9:
            break
    return {"hottest": t.max() - ZERO, "mean": mean - ZERO}


answers = {"bed": bed, "rim": rim, "rates": rates, "halves": halves}
cases = json.load(sys.stdin)
json.dump([answers[c["ask"]](c) for c in cases], sys.stdout)
