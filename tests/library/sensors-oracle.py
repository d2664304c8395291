"""Independent numerics for sensors, with NumPy and SciPy: reads cases as JSON from stdin, writes answers as JSON.

Shares nothing with the library but the problem: a curve of Steinhart and Hart is turned round by the roots of its cubic, a
table is a line through the logarithms, platinum and thermocouple are polynomials by their coefficients, temperatures are found
by bisection on the resistance or voltage itself, and the slope by differences of a hundredth of a kelvin.
"""

import json
import math
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline
from scipy.optimize import bisect

ZERO = 273.15

TABLE = [
    (-40, 33.36), (-20, 9.681), (-10, 5.525), (0, 3.264), (10, 1.99), (20, 1.249), (25, 1), (30, 0.8056), (40, 0.5325),
    (50, 0.3601), (60, 0.2487), (70, 0.1751), (80, 0.1256), (85, 0.107), (90, 0.09155), (100, 0.06781), (110, 0.05095),
    (120, 0.03881), (125, 0.03403), (130, 0.02993), (135, 0.0264),
]

# NIST, ITS-90, type K: above and below 0 degC.
ABOVE = [-1.7600413686e-2, 3.8921204975e-2, 1.8558770032e-5, -9.9457592874e-8, 3.1840945719e-10, -5.6072844889e-13,
         5.6075059059e-16, -3.2020720003e-19, 9.7151147152e-23, -1.2104721275e-26]
BELOW = [0, 3.9450128025e-2, 2.3622373598e-5, -3.2858906784e-7, -4.9904828777e-9, -6.7509059173e-11, -5.7410327428e-13,
         -3.1088872894e-15, -1.0451609365e-17, -1.9889266878e-20, -1.6322697486e-23]


def curve(family, n):
    """What the sensor gives at a temperature in degC: ohms, or volts."""
    if family == "beta":
        return lambda t: n["nominal"] * math.exp(n["beta"] * (1 / (t + ZERO) - 1 / (25 + ZERO)))
    if family in ("three", "four"):

        def resistance(t):
            roots = np.roots([n["c"], n["square"], n["b"], n["a"] - 1 / (t + ZERO)])
            real = roots[np.argmin(np.abs(roots.imag))].real
            for _ in range(3):
                value = ((n["c"] * real + n["square"]) * real + n["b"]) * real + n["a"] - 1 / (t + ZERO)
                real -= value / ((3 * n["c"] * real + 2 * n["square"]) * real + n["b"])
            return n["unit"] * math.exp(real)

        return resistance
    if family == "table":
        x = [math.log(t + ZERO) for t, _ in TABLE]
        y = [math.log(share) for _, share in TABLE]
        return lambda t: n["nominal"] * math.exp(np.interp(math.log(t + ZERO), x, y))
    if family == "platinum":

        def resistance(t):
            cubic = [0, 0, 0, -100 * -4.183e-12, -4.183e-12] if t < 0 else [0]
            return n["nominal"] * (
                np.polynomial.polynomial.polyval(t, [1, 3.9083e-3, -5.775e-7])
                + np.polynomial.polynomial.polyval(t, cubic)
            )

        return resistance

    def volts(t):
        if t < 0:
            return 1e-3 * np.polynomial.polynomial.polyval(t, BELOW)
        hump = 0.1185976 * math.exp(-1.183432e-4 * (t - 126.9686) ** 2)
        return 1e-3 * (np.polynomial.polynomial.polyval(t, ABOVE) + hump)

    return volts


def turned(f, value, low, high):
    """The temperature at which the curve has a value, or the end of the curve that is nearer to it."""
    ends = f(low), f(high)
    if (ends[0] - value) * (ends[1] - value) > 0:
        rising = ends[1] > ends[0]
        return high if (value > max(ends)) == rising else low
    return bisect(lambda t: f(t) - value, low, high, xtol=1e-11, maxiter=200)


def conductor(area):
    """Ohms by the metre of fine strands below 0.5 mm^2: 39 ohm/km by 33.7 of solid copper, as the thinnest of IEC 60228."""
    return 1.157 * 0.0172414 / area


def lagging(c):
    """How far a bed is above its target when a sensor behind it first shows the target: both as differential equations."""
    rate = CubicSpline(c["at"], c["rates"])
    shows = lambda t, y: y[1] - c["target"]
    shows.terminal = True
    run = solve_ivp(
        lambda t, y: [rate(y[0]), (y[0] - y[1]) / c["lag"]], (0, 1e5), [25, 25], events=shows, rtol=1e-9, atol=1e-9
    )
    return run.y_events[0][0][0] - c["target"]


def answer(c):
    if c["family"] == "lag":
        return lagging(c)
    own, shown_by = curve(c["family"], c["own"]), curve(c["family"], c["set"])
    steps = 2 ** c["bits"]
    hot = c["family"] == "thermocouple"

    def signal(t):
        if hot:
            return c["zero"] + c["gain"] * (own(t) - own(c["terminals"]))
        r = own(t) + 2 * c["length"] * conductor(c["area"])
        return c["reference"] * r / (r + c["pull_up"])

    def read(volts):
        share = min(max(volts / c["reference"], 0.5 / steps), 1 - 0.5 / steps)
        if hot:
            value = (share * c["reference"] - c["zero"]) / c["gain"] + own(c["terminals"])
        else:
            value = c["pull_up"] * share / (1 - share)
        return ZERO + turned(shown_by, value, c["from"], c["to"])

    def counts(t):
        return min(max(signal(t) / c["reference"] * steps, 0.5), steps - 0.5)

    h = 0.01
    slope = (counts(c["at"] + h) - counts(c["at"] - h)) / (2 * h)
    return {
        "resistance": own(c["at"]),
        "signal": signal(c["at"]),
        "counts": counts(c["at"]),
        "step": abs(1 / slope),
        "shown": read(signal(c["at"])),
        "broken": read(c["reference"]),
        "shorted": read(c["zero"] if hot else 0),
    }


json.dump([answer(c) for c in json.load(sys.stdin)], sys.stdout)
