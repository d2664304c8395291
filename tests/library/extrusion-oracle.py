"""Independent numerics for extrusion, with SciPy: reads cases as JSON from stdin, writes answers as JSON.

Shares nothing with the library but the problem: pressure by integrating the local gradient along the cone, the
warmth of a rod by the whole series over the roots of its film, buckling as an eigenvalue, warm-up and rest of a hot end by an ODE solver and
a root finder on a heat balance written anew, friction by integrating along the tube.
"""

import json
import math
import sys

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

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


def roots(biot, count=60):
    """Roots of x J1(x) = Bi J0(x), one between each two zeros of J1."""
    ends = np.concatenate([[0], jn_zeros(1, count)])
    return np.array(
        [brentq(lambda x: x * j1(x) - biot * j0(x), a + 1e-9, b - 1e-9, xtol=1e-14) for a, b in zip(ends, ends[1:])]
    )


def coldness(fo, biot):
    """Mean and core of a cylinder warmed through a film, by the whole series."""
    x = roots(biot)
    falls = np.exp(-(x**2) * fo)
    mean = np.sum(4 * biot**2 / (x**2 * (x**2 + biot**2)) * falls)
    core = np.sum(2 / x * j1(x) / (j0(x) ** 2 + j1(x) ** 2) * falls)
    return {"mean": float(mean), "core": float(core)}


def film(c):
    return coldness(c["fo"], c["biot"])


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


def thickness(f, t):
    """Consistency by temperature: the fall of its logarithm by Williams, Landel and Ferry, integrated from where it is known."""
    glass, at = f["glass"], f["at"]
    slope = lambda x: f["thinning"] * ((51.6 + at - glass) / (51.6 + max(x - glass, 15))) ** 2 * (x - glass > 15)  # noqa: E731
    return f["consistency"] * math.exp(-quad(slope, at, t, epsabs=0, epsrel=1e-10, points=[glass + 15])[0])


def pushes(c):
    """Force that a hot end asks for at a flow, by quadrature along its cone, and the melt's temperature there."""
    f, gap = c["filament"], (c["channel"] - c["diameter"]) / 2
    rod = math.pi / 4 * c["diameter"] ** 2
    biot = c["diameter"] / 2 / gap
    alpha = f["conductivity"] / (f["density"] * f["specific_heat"])

    def melt(q):
        return c["nozzle"] - (c["nozzle"] - c["ambient"]) * coldness(math.pi * alpha * c["heated"] / q, biot)["mean"]

    def push(q):
        t = melt(q)
        asked = {"consistency": thickness(f, t), "exponent": f["exponent"], "flow": q}
        taper = cone({**asked, "narrow": c["bore"], "wide": c["channel"], "length": c["taper"]})
        land = c["land"] + f["entrance"] * c["bore"] / 2
        straight = cone({**asked, "narrow": c["bore"], "wide": c["bore"], "length": land})
        drag = thickness(f, (t + c["nozzle"]) / 2) * (q / rod / gap) ** f["exponent"]
        inside = (taper + straight) * rod + math.pi * c["diameter"] * c["heated"] * drag
        return inside * friction({"friction": c["friction"], "bend": c["bend"]}) + c["spool"]

    return melt, push


def extruder(c):
    """The flow at which each limit is met, found by root finding on what it asks for, and the least of them."""
    f = c["filament"]
    melt, push = pushes(c)

    def flow_at(force):
        return brentq(lambda x: push(math.exp(x)) - force, math.log(2e-13), math.log(2e-7), xtol=1e-10)

    torque_push = c["torque"] * c["reduction"] * c["efficiency"] / (c["wheel"] / 2)
    limits = {
        "melting": brentq(lambda q: melt(q) - f["well"], 1e-10, 1e-6, xtol=1e-16),
        "torque": math.exp(flow_at(torque_push)),
        "grip": math.exp(flow_at(min(c["grip"], c["fitting"]))),
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
    push = pushes(c)[1]

    def left(w):
        asked = push(w / c["reduction"] * c["wheel"] / 2 * rod) * c["wheel"] / 2 / (c["reduction"] * c["efficiency"])
        return c["share"] * c["k"] * current(w) - asked

    w = brentq(left, 1e-9, c["voltage"] / c["k"], xtol=1e-14, rtol=1e-14)
    return w / c["reduction"] * c["wheel"] / 2 * rod


answers = {"motor": motor, "extruder": extruder, "cone": cone, "film": film, "buckling": buckling, "friction": friction, "hot_end": hot_end}
cases = json.load(sys.stdin)
json.dump([answers[c["ask"]](c) for c in cases], sys.stdout)
