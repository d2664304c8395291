"""Independent numerics for boxes and chambers, with SciPy: reads cases as JSON from stdin, writes answers as JSON.

Shares nothing with the library but the published correlations: the air within, a wall's inner and its outer surface, and the underside of a
bed are unknowns of their own, solved together, where the library steps twice and counts both sides of a wall alike.
"""

import json
import math
import sys

from scipy.integrate import solve_ivp
from scipy.optimize import brentq

ZERO = 273.15
SIGMA = 5.670374419e-8
G = 9.80665


def air(kelvin):
    """Yovanovich's fit of Incropera's table A.4: conductivity, viscosity, diffusivity, Prandtl number."""
    return (
        -2.5714e-8 * kelvin**2 + 9.3e-5 * kelvin + 6.6857e-4,
        1.005714e-10 * kelvin**2 + 3.444e-8 * kelvin - 3.466857e-6,
        1.6e-10 * kelvin**2 + 4.48e-8 * kelvin - 5.32e-6,
        0.7601 - 1.7e-4 * kelvin,
    )


def rayleigh(a, b, length):
    film = (a + b) / 2
    _, nu, alpha, _ = air(film)
    return G / film * abs(a - b) * length**3 / (nu * alpha)


def upright(a, b, height, emissivity):
    """Heat by area between an upright surface and the air beside it, with walls as warm as the air."""
    k, _, _, prandtl = air((a + b) / 2)
    ra = rayleigh(a, b, height)
    nusselt = (0.825 + 0.387 * ra ** (1 / 6) / (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
    return nusselt * k / height * (a - b) + emissivity * SIGMA * (a**4 - b**4)


def up(a, b, length, emissivity):
    ra = rayleigh(a, b, length)
    nusselt = 0.54 * ra**0.25 if ra < 1e7 else 0.15 * ra ** (1 / 3)
    return nusselt * air((a + b) / 2)[0] / length * (a - b) + emissivity * SIGMA * (a**4 - b**4)


def down(a, b, length, emissivity):
    nusselt = 0.52 * rayleigh(a, b, length) ** 0.2
    return nusselt * air((a + b) / 2)[0] / length * (a - b) + emissivity * SIGMA * (a**4 - b**4)


def walls(c, inside, outside):
    """Heat through the walls: for a flow, outside and inside surface follow; the flow is the one that meets the air within."""
    w, d, h = c["size"]
    area = 2 * (w + d) * h + w * d

    def air_for(outer):
        """The air within, where the outer surface of the wall has a temperature."""
        flow = upright(outer, outside, h, c["emissivity"])
        inner = outer + flow * c["insulance"]
        return brentq(lambda t: upright(t, inner, h, c["emissivity"]) - flow, inner, inner + 2000, xtol=1e-9)

    outer = brentq(lambda t: air_for(t) - inside, outside + 1e-9, inside, xtol=1e-9)
    return area * upright(outer, outside, h, c["emissivity"])


def with_air(c, inside, outside):
    flow = c["leak"] + c["fan"]
    if not c["fan"]:
        # From the lower to the neutral level, halfway up: the pressure that its warmth makes.
        flow += 0.65 * c["vent"] * math.sqrt(2 * G * (c["rise"] / 2) * (inside - outside) / inside)
    k, _, alpha, _ = air((inside + outside) / 2)
    return flow * k / alpha * (inside - outside)


def rest(c, heat):
    """Temperature at which as much leaves as is given off."""
    outside = c["outside"] + ZERO
    return brentq(
        lambda t: heat(t) - walls(c, t, outside) - with_air(c, t, outside), outside + 1e-6, outside + 400, xtol=1e-8
    )


def box(c):
    return rest(c, lambda _: c["heat"])


def warm(c):
    """Time from cold until a share of its rise is left out."""
    outside = c["outside"] + ZERO
    steady = box(c)
    until = outside + c["share"] * (steady - outside)
    w, d, h = c["size"]
    k, _, alpha, _ = air(outside)
    capacity = (2 * (w + d) * h + w * d) * c["areal"] / 2 + c["mass"] * 700 + w * d * h * k / alpha

    def rate(_, y):
        t = max(y[0], outside + 1e-5)
        return [(c["heat"] - walls(c, t, outside) - with_air(c, t, outside)) / capacity]

    def arrived(_, y):
        return y[0] - until

    arrived.terminal = True
    return float(solve_ivp(rate, (0, 1e6), [outside], events=arrived, rtol=1e-7, atol=1e-7).t_events[0][0])


def chamber(c):
    w, d = c["plate"]
    target, block = c["target"] + ZERO, c["nozzle"] + ZERO
    length = w * d / (2 * (w + d))

    def bed(t):
        def under(s):
            return (target - s) / c["foam"] - down(s, t, length, 0.9)

        below = down(target, t, length, 0.9)
        if c["foam"]:
            below = down(brentq(under, t + 1e-9, target, xtol=1e-9), t, length, 0.9)
        edges = 2 * (w + d) * c["thickness"] * upright(target, t, c["thickness"], c["plate_emissivity"])
        return w * d * (up(target, t, length, c["plate_emissivity"]) + below) + edges

    def hot_end(t):
        x, y, z = c["sides"]
        return 2 * (x * y + x * z + y * z) * upright(block, t, z, 0.09) + (block - t) / c["resistance"]

    return rest(c, lambda t: c["heat"] + bed(t) + hot_end(t))


answers = {"box": box, "warm": warm, "chamber": chamber}
cases = json.load(sys.stdin)
json.dump([answers[c["ask"]](c) for c in cases], sys.stdout)
