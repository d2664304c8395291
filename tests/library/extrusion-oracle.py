"""Independent numerics for extrusion, with SciPy: reads cases as JSON from stdin, writes answers as JSON.

Shares nothing with the library but the problem: pressure by integrating the local gradient along the cone, the core's
temperature by the series over the roots of J0, buckling as an eigenvalue, warm-up and rest of a hot end by an ODE solver and
a root finder on a heat balance written anew, friction by integrating along the tube.
"""

import json
import math
import sys

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq
from scipy.special import j1, jn_zeros

ZERO = 273.15
SIGMA = 5.670374419e-8


def cone(c):
    """Pressure along a cone: the gradient of a power-law fluid at each radius, integrated."""
    k, n, q = c["consistency"], c["exponent"], c["flow"]
    r1, r2, length = c["narrow"] / 2, c["wide"] / 2, c["length"]

    def gradient(z):
        r = r1 + (r2 - r1) * z / length
        return 2 * k / r * ((3 * n + 1) / n * q / (math.pi * r**3)) ** n

    return quad(gradient, 0, length, epsabs=0, epsrel=1e-12, limit=200)[0]


def core(c):
    """Flow at which the core comes to its temperature, by the whole series of a cylinder with a hot wall."""
    theta = (c["wall"] - c["core"]) / (c["wall"] - c["start"])
    roots = jn_zeros(0, 60)

    def excess(fo):
        return np.sum(2 / (roots * j1(roots)) * np.exp(-(roots**2) * fo)) - theta

    fo = brentq(excess, 0.02, 5, xtol=1e-14)
    return {"flow": math.pi * c["diffusivity"] * c["length"] / fo, "fo": fo}


def buckling(c):
    """Least eigenvalue of E I y'' = -F y between tilting ends, by finite differences, refined by extrapolation."""
    inertia = math.pi * c["diameter"] ** 4 / 64

    def least(n):
        h = c["length"] / n
        off = -np.ones(n - 2)
        matrix = (np.diag(2 * np.ones(n - 1)) + np.diag(off, 1) + np.diag(off, -1)) / h**2
        return np.linalg.eigvalsh(matrix)[0]

    a, b = least(60), least(120)
    return c["modulus"] * inertia * (4 * b - a) / 3


def friction(c):
    """Tension along a curved tube: dF = mu F dphi."""
    run = solve_ivp(lambda _, f: c["friction"] * f, (0, c["bend"]), [1.0], rtol=1e-11, atol=1e-13)
    return run.y[0, -1]


def air(kelvin):
    """Yovanovich's fit of Incropera's table A.4: conductivity, viscosity, diffusivity, Prandtl number."""
    return (
        -2.5714e-8 * kelvin**2 + 9.3e-5 * kelvin + 6.6857e-4,
        1.005714e-10 * kelvin**2 + 3.444e-8 * kelvin - 3.466857e-6,
        1.6e-10 * kelvin**2 + 4.48e-8 * kelvin - 5.32e-6,
        0.7601 - 1.7e-4 * kelvin,
    )


def hot_end(c):
    """Warm-up by Radau, rest by Brent's method, of a block that convects, radiates and conducts along its neck."""
    ambient = c["ambient"] + ZERO
    w, d, h = c["sides"]
    area = 2 * (w * d + w * h + d * h)
    neck = c["neck_length"] / (c["neck_conductivity"] * math.pi / 4 * (c["outer"] ** 2 - c["inner"] ** 2))

    def loss(t):
        k, nu, alpha, prandtl = air((t + ambient) / 2)
        rayleigh = 9.80665 / ((t + ambient) / 2) * abs(t - ambient) * h**3 / (nu * alpha)
        nusselt = (0.825 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
        outside = nusselt * k / h * (t - ambient) + c["emissivity"] * SIGMA * (t**4 - ambient**4)
        return area * outside + (t - ambient) / (neck + c["sink"])

    target = c["target"] + ZERO
    reached = lambda _, y: y[0] - target  # noqa: E731
    reached.terminal = True
    run = solve_ivp(
        lambda _, y: [(c["power"] - loss(y[0])) / c["capacity"]],
        (0, 36000),
        [ambient],
        method="Radau",
        events=reached,
        rtol=1e-10,
        atol=1e-8,
    )
    limit = lambda _, y: y[0] - (c["limit"] + ZERO)  # noqa: E731
    limit.terminal = True
    stuck = solve_ivp(
        lambda _, y: [(c["power"] - loss(y[0])) / c["capacity"]],
        (0, 36000),
        [target],
        method="Radau",
        events=limit,
        rtol=1e-10,
        atol=1e-8,
    )
    rest = brentq(lambda t: c["power"] - loss(t), ambient + 1e-6, 3000, xtol=1e-10)
    return {"time": run.t_events[0][0], "stuck": stuck.t_events[0][0], "rest": rest}


def extruder(c):
    """The flow at which each limit is met, found by root finding on what it asks for, and the least of them."""
    f = c["filament"]
    rod = math.pi / 4 * c["diameter"] ** 2

    def pressure(q):
        melt = {"consistency": f["consistency"], "exponent": f["exponent"], "flow": q}
        taper = cone({**melt, "narrow": c["bore"], "wide": c["channel"], "length": c["taper"]})
        land = cone({**melt, "narrow": c["bore"], "wide": c["bore"], "length": c["land"]})
        return taper + land

    def push(q):
        return pressure(q) * rod * friction({"friction": c["friction"], "bend": c["bend"]})

    def flow_at(force):
        return brentq(lambda x: math.log(push(math.exp(x)) / force), math.log(1e-30), math.log(1e30), xtol=1e-13)

    torque_push = c["torque"] * c["reduction"] * c["efficiency"] / (c["wheel"] / 2)
    inertia = math.pi * c["diameter"] ** 4 / 64
    melt = {"diffusivity": f["conductivity"] / (f["density"] * f["specific_heat"]), "length": c["heated"]}
    limits = {
        "melting": c["share"] * core({**melt, "wall": c["nozzle"], "start": c["ambient"], "core": f["flows_at"]})["flow"],
        "torque": math.exp(flow_at(torque_push)),
        "grip": math.exp(flow_at(min(c["grip"], c["fitting"]))),
        "buckling": math.exp(flow_at(math.pi**2 * f["modulus"] * inertia / c["gap"] ** 2)),
    }
    least = min(limits, key=limits.get)
    return {"push": push(c["flow"]), "limit": limits[least], "by": least}


def motor(c):
    """The speed at which a motor's usable torque is just what a power-law melt asks for, and the flow there."""

    def current(w):
        drives = lambda i: (c["k"] * w + c["resistance"] * i) ** 2 + (50 * w * c["inductance"] * i) ** 2  # noqa: E731
        if c["k"] * w >= c["voltage"]:
            return 0.0
        return min(c["peak"], brentq(lambda i: drives(i) - c["voltage"] ** 2, 0, 1e4, xtol=1e-15))

    rod = math.pi / 4 * c["diameter"] ** 2
    melt = {"consistency": c["consistency"], "exponent": c["exponent"]}

    def left(w):
        flow = w / c["reduction"] * c["wheel"] / 2 * rod
        taper = cone({**melt, "flow": flow, "narrow": c["bore"], "wide": c["channel"], "length": c["taper"]})
        land = cone({**melt, "flow": flow, "narrow": c["bore"], "wide": c["bore"], "length": c["land"]})
        asked = (taper + land) * rod * c["wheel"] / 2 / (c["reduction"] * c["efficiency"])
        return c["share"] * c["k"] * current(w) - asked

    w = brentq(left, 1e-9, c["voltage"] / c["k"], xtol=1e-14, rtol=1e-14)
    return w / c["reduction"] * c["wheel"] / 2 * rod


answers = {"motor": motor, "extruder": extruder, "cone": cone, "core": core, "buckling": buckling, "friction": friction, "hot_end": hot_end}
cases = json.load(sys.stdin)
json.dump([answers[c["ask"]](c) for c in cases], sys.stdout)
