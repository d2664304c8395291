"""Solves the problems of solutions.test.ts with SciPy: reads a list of problems as JSON, writes the list of their solutions."""

import json
import sys

import numpy
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

SIGMA = 5.670374419e-8


def net(p, y):
    """Power that stays in a plate, in W: heater, less convection that grows with a power of the difference, less radiation."""
    difference = y - p["ambient"]
    convected = p["convection"] * numpy.sign(difference) * abs(difference) ** p["exponent"]
    return p["power"] - convected - p["radiation"] * SIGMA * (y**4 - p["ambient"] ** 4)


def solve(p):
    times = numpy.linspace(0, p["during"], 121)
    slope = lambda _, y: [net(p, y[0]) / p["capacity"]]
    course = solve_ivp(slope, (0, p["during"]), [p["from"]], "DOP853", times, rtol=1e-11, atol=1e-9)
    arrival = lambda _, y: y[0] - p["to"]
    arrival.terminal = True
    reached = solve_ivp(slope, (0, 1e7), [p["from"]], "DOP853", events=arrival, rtol=1e-11, atol=1e-9)
    return {
        "course": list(course.y[0]),
        "arrival": float(reached.t_events[0][0]) if len(reached.t_events[0]) else None,
        "balance": brentq(lambda y: net(p, y), 150, 3000, xtol=1e-12),
        "between": [float(numpy.interp(t, times, course.y[0])) for t in p["at"]],
    }


json.dump([solve(p) for p in json.load(sys.stdin)], sys.stdout)
