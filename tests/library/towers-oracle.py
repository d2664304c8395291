"""Three towers joined by beams, as bars in space: reads cases as JSON from standard input, writes stiffness and first frequency of each."""

import json
import sys

import numpy as np
from scipy.linalg import eigh


def bar(E, A, Iy, Iz, J, a, b, upward):
    """Stiffness of a bar in space, of six ways at each end; `upward` lies in the plane in which it bends by Iz."""
    d = np.subtract(b, a)
    L = np.linalg.norm(d)
    x = d / L
    z = np.cross(x, upward)
    z /= np.linalg.norm(z)
    y = np.cross(z, x)
    R = np.kron(np.eye(4), np.array([x, y, z]))
    k = np.zeros((12, 12))
    for i, j, s in ((0, 6, E * A / L), (3, 9, E / 2.6 * J / L)):
        k[[i, j], [i, j]] += s
        k[i, j] -= s
        k[j, i] -= s
    for I, at, sign in ((Iz, [1, 5, 7, 11], 1), (Iy, [2, 4, 8, 10], -1)):
        s = sign
        b = E * I / L**3 * np.array([[12, s * 6 * L, -12, s * 6 * L], [s * 6 * L, 4 * L**2, -s * 6 * L, 2 * L**2],
                                     [-12, -s * 6 * L, 12, -s * 6 * L], [s * 6 * L, 2 * L**2, -s * 6 * L, 4 * L**2]])
        k[np.ix_(at, at)] += b
    return R.T @ k @ R


def towers(case):
    E, h, side, n = case["E"], case["h"], case["side"], 24
    angles = np.pi / 2 + 2 * np.pi / 3 * np.arange(3)
    feet = side / np.sqrt(3) * np.array([np.cos(angles), np.sin(angles), 0 * angles]).T
    up = np.array([0, 0, 1])
    # Ways of each: of the points of a tower, then of the two ends of each beam, which share the tops' places.
    column = lambda t, i: 6 * ((n + 1) * t + i) + np.arange(6)
    first = 18 * (n + 1)
    end = lambda b, e: np.concatenate([column((b + e) % 3, n)[:3], first + 3 * (2 * b + e) + np.arange(3)])
    size = first + 18
    K, M = np.zeros((size, size)), np.zeros(size)
    for t in range(3):
        inward = -feet[t] / np.linalg.norm(feet[t])
        for i in range(n):
            a, b = (feet[t] + up * h * k / n for k in (i, i + 1))
            at = np.concatenate([column(t, i), column(t, i + 1)])
            K[np.ix_(at, at)] += bar(E, 1, case["around"], case["inward"], 1e-12, a, b, inward)
            for k in (i, i + 1):
                M[column(t, k)[:3]] += case["mc"] * h / n / 2
        M[column(t, n)[:3]] += case["top"] / 3
    for b in range(3):
        points = [feet[(b + e) % 3] + up * h for e in (0, 1)]
        at = np.concatenate([end(b, 0), end(b, 1)])
        K[np.ix_(at, at)] += bar(E, 1, 1e-12, case["Ib"], 1e-12, *points, up)
        across = np.cross(points[1] - points[0], up)
        across /= np.linalg.norm(across)
        for e in (0, 1):
            # The corner holds it in its upright plane alone.
            turns = (end(b, e)[3:], column((b + e) % 3, n)[3:])
            held = case["corner"] * np.outer(across, across) + 1e-3 * np.eye(3)
            for i, one in enumerate(turns):
                for j, other in enumerate(turns):
                    K[np.ix_(one, other)] += held if i == j else -held
            M[column((b + e) % 3, n)[:3]] += case["mb"] * side / 2
    gone = [d for t in range(3) for d in column(t, 0)[: 6 if case["fixed"] else 3]]
    free = np.setdiff1d(np.arange(size), gone)
    push = np.zeros(size)
    way = np.array([np.cos(case["way"]), np.sin(case["way"]), 0])
    for t in range(3):
        push[column(t, n)[:3]] += way / 3
    moved = np.zeros(size)
    moved[free] = np.linalg.solve(K[np.ix_(free, free)], push[free])
    off = push @ moved
    # First way of swinging that goes sideways: by a few iterations from that push, which hardly turns them about the middle.
    shape = moved
    for _ in range(5):
        next_shape = np.zeros(size)
        next_shape[free] = np.linalg.solve(K[np.ix_(free, free)], (M * shape)[free])
        shape = next_shape / np.sqrt(next_shape @ (M * next_shape))
    return [1 / off, np.sqrt(shape @ K @ shape) / (2 * np.pi)]


json.dump([towers(case) for case in json.load(sys.stdin)], sys.stdout)
