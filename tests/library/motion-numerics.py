"""Independent numerics for motion and structure: reads cases as JSON from standard input, and writes one list of results for each kind."""

import json
import sys

import numpy as np
from scipy.linalg import eigh, expm
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, minimize_scalar
from scipy.spatial import ConvexHull


def element(E, A, I, m, a, b):
    """Stiffness and consistent mass of a plane frame element between two points, in the plane's axes."""
    d = np.subtract(b, a)
    L = np.hypot(*d)
    c, s = d / L
    k = E * I / L**3 * np.array([[12, 6 * L, -12, 6 * L], [6 * L, 4 * L**2, -6 * L, 2 * L**2],
                                 [-12, -6 * L, 12, -6 * L], [6 * L, 2 * L**2, -6 * L, 4 * L**2]])
    w = m * L / 420 * np.array([[156, 22 * L, 54, -13 * L], [22 * L, 4 * L**2, 13 * L, -3 * L**2],
                                [54, 13 * L, 156, -22 * L], [-13 * L, -3 * L**2, -22 * L, 4 * L**2]])
    K, M = np.zeros((6, 6)), np.zeros((6, 6))
    bend, axial = [1, 2, 4, 5], [0, 3]
    K[np.ix_(bend, bend)] = k
    M[np.ix_(bend, bend)] = w
    K[np.ix_(axial, axial)] = E * A / L * np.array([[1, -1], [-1, 1]])
    M[np.ix_(axial, axial)] = m * L / 6 * np.array([[2, 1], [1, 2]])
    R = np.zeros((6, 6))
    R[:3, :3] = R[3:, 3:] = [[c, s, 0], [-s, c, 0], [0, 0, 1]]
    return R.T @ K @ R, R.T @ M @ R


def portal(case):
    """Sway stiffness and first frequency of a portal, each bar of six elements, beam ends turning on springs in the corners."""
    E, h, L, n = case["E"], case["h"], case["L"], 6
    points, bars = [], []

    def bar(a, b, I, m):
        first = len(points)
        points.extend([tuple(np.array(a) + (np.array(b) - a) * i / n) for i in range(n + 1)])
        bars.extend([(first + i, first + i + 1, I, m) for i in range(n)])
        return first, first + n

    left = bar((0, 0), (0, h), case["Ic"], case["mc"])
    right = bar((L, 0), (L, h), case["Ic"], case["mc"])
    beam = bar((0, h), (L, h), case["Ib"], case["mb"])
    # Each node has its own turning; where bars meet they share their place.
    dof, count = {}, 0
    merged = {beam[0]: left[1], beam[1]: right[1]}
    for p in range(len(points)):
        for axis in range(3):
            if p in merged and axis < 2:
                continue
            dof[p, axis] = count
            count += 1
    for p, q in merged.items():
        for axis in range(2):
            dof[p, axis] = dof[q, axis]
    K, M = np.zeros((count, count)), np.zeros((count, count))
    for a, b, I, m in bars:
        k, w = element(E, case["A"], I, m, points[a], points[b])
        ids = [dof[p, axis] for p in (a, b) for axis in range(3)]
        K[np.ix_(ids, ids)] += k
        M[np.ix_(ids, ids)] += w
    for p, q in merged.items():
        i, j = dof[p, 2], dof[q, 2]
        K[i, i] += case["corner"]
        K[j, j] += case["corner"]
        K[i, j] -= case["corner"]
        K[j, i] -= case["corner"]
    held = []
    for foot in (left[0], right[0]):
        held += [dof[foot, 0], dof[foot, 1]] + ([dof[foot, 2]] if case["fixed"] else [])
    free = [i for i in range(count) if i not in held]
    force = np.zeros(count)
    for p in (left[1], right[1]):
        force[dof[p, 0]] = 0.5
        M[dof[p, 0], dof[p, 0]] += case["top"] / 2
    moved = np.linalg.solve(K[np.ix_(free, free)], force[free])
    sway = moved[free.index(dof[left[1], 0])]
    first = eigh(K[np.ix_(free, free)], M[np.ix_(free, free)], eigvals_only=True, subset_by_index=[0, 0])[0]
    return [1 / sway, np.sqrt(first) / (2 * np.pi)]


def beam_sag(case):
    """Sag in the middle by the differential equation of the beam, E I w'' = M, w = 0 at both ends."""
    E, I, L, F, q, fixed = (case[k] for k in ("E", "I", "L", "F", "q", "fixed"))
    # Half of the beam, from its end: w'' = (M0 + R x - q x^2 / 2) / (E I); the slope is zero in the middle.
    R = F / 2 + q * L / 2

    def slope_in_middle(M0):
        s = solve_ivp(lambda x, y: [y[1], -(M0 + R * x - q * x * x / 2) / (E * I)], (0, L / 2), [0, 0], rtol=1e-11, atol=1e-18)
        return s.y[1, -1], s.y[0, -1]

    if fixed:
        a, b = slope_in_middle(0)[0], slope_in_middle(1)[0]
        return slope_in_middle(a / (a - b))[1]
    s0, w0 = slope_in_middle(0)
    return w0 - s0 * L / 2


def tilt(case):
    """Turning in the middle of a beam on two supports by a moment there: forty elements."""
    n, E, I, L = 40, case["E"], case["I"], case["L"]
    l = L / n
    k = E * I / l**3 * np.array([[12, 6 * l, -12, 6 * l], [6 * l, 4 * l**2, -6 * l, 2 * l**2],
                                 [-12, -6 * l, 12, -6 * l], [6 * l, 2 * l**2, -6 * l, 4 * l**2]])
    K = np.zeros((2 * n + 2, 2 * n + 2))
    for i in range(n):
        K[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += k
    free = [i for i in range(2 * n + 2) if i not in (0, 2 * n)]
    moment = np.zeros(2 * n + 2)
    moment[n + 1] = case["M"]
    return np.linalg.solve(K[np.ix_(free, free)], moment[free])[free.index(n + 1)]


def buckling(case):
    """Least load at which a bar buckles: elements with their geometric stiffness."""
    n = 40
    E, I, L, ends = case["E"], case["I"], case["L"], case["ends"]
    l = L / n
    k = E * I / l**3 * np.array([[12, 6 * l, -12, 6 * l], [6 * l, 4 * l**2, -6 * l, 2 * l**2],
                                 [-12, -6 * l, 12, -6 * l], [6 * l, 2 * l**2, -6 * l, 4 * l**2]])
    g = 1 / (30 * l) * np.array([[36, 3 * l, -36, 3 * l], [3 * l, 4 * l**2, -3 * l, -l**2],
                                 [-36, -3 * l, 36, -3 * l], [3 * l, -l**2, -3 * l, 4 * l**2]])
    K, G = np.zeros((2 * n + 2, 2 * n + 2)), np.zeros((2 * n + 2, 2 * n + 2))
    for i in range(n):
        s = slice(2 * i, 2 * i + 4)
        K[s, s] += k
        G[s, s] += g
    held = {"fixed_free": [0, 1], "supported": [0, 2 * n], "fixed_supported": [0, 1, 2 * n], "fixed_fixed": [0, 1, 2 * n, 2 * n + 1]}[ends]
    free = [i for i in range(2 * n + 2) if i not in held]
    return 1 / eigh(G[np.ix_(free, free)], K[np.ix_(free, free)], eigvals_only=True)[-1]


def thread(case):
    """Torque on a thread: force and torque of the contact's normal N and its friction, solved as two equations."""
    W, d, lead, f, flank = (case[k] for k in ("W", "d", "lead", "f", "flank"))
    t = np.arctan(lead / (np.pi * d))
    out = []
    for sign in (1, -1):
        # Along the axis: N cos(t) - sign f N / cos(flank) sin(t) = W. Around: P = N sin(t) + sign f N / cos(flank) cos(t).
        mu = sign * f / np.cos(flank)
        N = W / (np.cos(t) - mu * np.sin(t))
        out.append(sign * N * (np.sin(t) + mu * np.cos(t)) * d / 2)
    return out


def strands(case):
    """Stiffness of crossed belts at the carriage: energy of the strands of both loops, each motor held, at the worst place."""
    W, D, EA = case["W"], case["D"], case["EA"]

    def compliance(x, y):
        K = np.zeros((2, 2))
        # Loop a is pulled by x + y, loop b by x - y, on one strand of each; the other strand gives way by as much.
        for direction, short in ((np.array([1.0, 1.0]), x + y), (np.array([1.0, -1.0]), W - x + y)):
            for length in (short, 2 * (W + D) - short):
                K += EA / length * np.outer(direction, direction)
        return np.linalg.inv(K)[0, 0]

    xs, ys = np.linspace(0.02, 0.98, 25), np.linspace(0.04, 1, 25)
    return 1 / max(compliance(x * W, y * D) for x in xs for y in ys)


def belt_mode(case):
    """First frequency of a rotor on its field, two strands of sixty springs without mass, and a mass between them: an eigenvalue."""
    n, EA, L, m, T, J, r = 60, case["EA"], case["L"], case["m"], case["T"], case["J"], case["r"]
    # Both strands begin at the pulley: place 0; the mass sits between them, at place n.
    K, M = np.zeros((2 * n, 2 * n)), np.zeros((2 * n, 2 * n))
    for i in range(2 * n):
        ids = [i, (i + 1) % (2 * n)]
        K[np.ix_(ids, ids)] += EA * n / L * np.array([[1, -1], [-1, 1]])
    # The slope of the torque where it stands, by a difference: four steps of 1.8 degrees are a period.
    torque = lambda a: -T * np.sin(2 * np.pi * a / np.radians(4 * 1.8))
    K[0, 0] += -(torque(1e-6) - torque(-1e-6)) / 2e-6 / r**2
    M[0, 0], M[n, n] = J / r**2, m
    return 1 / np.sqrt(eigh(M, K, eigvals_only=True)[-1]) / (2 * np.pi)


def course(M, K, push, watch, case):
    """Furthest that what is watched is off over a ramp of speed, of any length up to that of the case, and a jump in speed at any delay after
    it; and the lowest frequency. A differential equation, each mode damped alike. `push` is what an acceleration of 1 does to the bodies."""
    n, a, v, jump, d = len(M), case["a"], case["v"], case.get("jump", 0.0), case["damping"]
    squares, shapes = eigh(K, M)
    C = M @ shapes @ np.diag(2 * d * np.sqrt(np.maximum(squares, 0))) @ shapes.T @ M
    inverse = np.linalg.inv(M)
    slow, fast = np.sqrt(squares[squares > 1e-6][0]), np.sqrt(squares[-1])
    swing = 2 * np.pi / slow
    times = np.arange(0, 5 * swing, 0.15 / fast)

    def run(acceleration, start):
        f = lambda t, y: np.concatenate([y[n:], inverse @ (push * acceleration - K @ y[:n] - C @ y[n:])])
        return watch @ solve_ivp(f, (0, times[-1]), start, method="DOP853", t_eval=times, rtol=1e-8, atol=1e-12).y[:n]

    # All is linear: a ramp is a push that begins, and one the other way that begins later; a jump is a hit.
    pushed = run(a, np.zeros(2 * n))
    hit = run(0.0, np.concatenate([np.zeros(n), inverse @ push * jump])) if jump else 0 * pushed
    later = lambda course, by: np.concatenate([np.zeros(by), course[: len(course) - by]])
    longest = np.searchsorted(times, min(v / a, 1.5 * swing))
    worst = 0.0
    for length in np.unique(np.linspace(1, longest, 40).astype(int)):
        ramp = pushed - later(pushed, length)
        worst = max(worst, np.abs(ramp).max())
        for delay in np.unique(np.linspace(0, np.searchsorted(times, 1.5 * swing), 60).astype(int)) if jump else []:
            for sign in (1, -1):
                worst = max(worst, np.abs(ramp + sign * later(hit, length + delay)).max())
    return [worst, slow / (2 * np.pi)]


def jerked(case):
    """A tool on belt, rotor and frame: frame, rotor against its command, load against its command."""
    EA, L, m, T, J, r, top = (case[k] for k in ("EA", "L", "m", "T", "J", "r", "top"))
    belt, field, frame = 2 * EA / L, 50 * T / r**2, top * (2 * np.pi * case["frame"]) ** 2
    M = np.diag([top - m, J / r**2, m])
    stretch = np.array([-1.0, -1.0, 1.0])
    K = np.diag([frame, field, 0]) + belt * np.outer(stretch, stretch)
    return course(M, K, np.array([0, -J / r**2, -m]), np.array([0, 0, 1.0]), case)


def shaken(case):
    """A machine on soft feet that a bed moves on, and the top of its portal: how far the top lags behind the foot."""
    bed, top, rest = case["bed"], case["top"], case["rest"]
    feet = (bed + top + rest) * (2 * np.pi * case["feet"]) ** 2
    portal = top * (2 * np.pi * case["mode"]) ** 2
    # The foot with the bed on it, and the top: the bed's way on the foot is given, and pushes the foot back by its mass.
    M = np.diag([bed + rest, top])
    K = np.array([[feet + portal, -portal], [-portal, portal]])
    return course(M, K, np.array([-bed, 0.0]), np.array([-1.0, 1.0]), case)[0]


def motor(case):
    """Torque and speed limits of a motor: phasors, and their roots by Brent."""
    k, R, L, p, I, V = (case[key] for key in ("k", "R", "L", "p", "I", "V"))
    voltage = lambda w, i: abs(k * w + (R + 1j * p * w * L) * i)
    current = lambda w: 0.0 if k * w >= V else min(I, brentq(lambda i: voltage(w, i) - V, 0, 1.01 * V / R, xtol=1e-15))
    corner = brentq(lambda w: voltage(w, I) - V, 0, V / k)
    fastest = brentq(lambda w: case["share"] * k * current(w) - case["T"], 0, V / k)
    return [k * current(case["w"]), corner, fastest]


def corner_plate(case):
    """Sag of a plate on its four corners by the virtual work of polynomials: Kirchhoff's plate, an even grid of terms."""
    a, h, E, nu, q, n = case["a"], case["h"], case["E"], 0.33, case["q"], 9
    D = E * h**3 / (12 * (1 - nu**2))
    P = np.polynomial.polynomial
    terms = [(i, j) for i in range(0, n, 2) for j in range(0, n, 2)]
    x, w = np.polynomial.legendre.leggauss(24)

    def d(i, order):
        c = np.zeros(n + 1)
        c[i] = 1
        return P.polyval(x, P.polyder(c, order)) if order else P.polyval(x, c)

    X = {(i, o): d(i, o) for i in range(0, n, 2) for o in (0, 1, 2)}
    s = 2 / a
    N = len(terms)
    K, F = np.zeros((N, N)), np.zeros(N)
    integral = lambda u, v: (w * u) @ v
    for r, (i, j) in enumerate(terms):
        F[r] = q * (w @ X[i, 0]) * (w @ X[j, 0]) / s**2
        for c, (k, l) in enumerate(terms):
            xx = integral(X[i, 2], X[k, 2]) * integral(X[j, 0], X[l, 0])
            yy = integral(X[i, 0], X[k, 0]) * integral(X[j, 2], X[l, 2])
            mix = integral(X[i, 2], X[k, 0]) * integral(X[j, 0], X[l, 2]) + integral(X[i, 0], X[k, 2]) * integral(X[j, 2], X[l, 0])
            twist = integral(X[i, 1], X[k, 1]) * integral(X[j, 1], X[l, 1])
            K[r, c] = D * s**2 * (xx + yy + nu * mix + 2 * (1 - nu) * twist)
    # Corners held: the sum of all terms is zero there.
    C = np.ones((1, N))
    A = np.block([[K, C.T], [C, np.zeros((1, 1))]])
    return np.linalg.solve(A, np.append(F, 0))[terms.index((0, 0))]


def worst_direction(case):
    """Crossed belts: the most torque of one motor over all directions of a move, for the masses alone and with its rotor."""
    mx, my, a, r, J = (case[k] for k in ("mx", "my", "a", "r", "J"))
    pull = lambda t: r / 2 * (mx * np.cos(t) + my * np.sin(t)) * a
    rotor = lambda t: J * (np.cos(t) + np.sin(t)) * a / r
    most = lambda f: -minimize_scalar(lambda t: -f(t), bounds=(0, np.pi / 2), method="bounded", options={"xatol": 1e-12}).fun
    return [most(pull), most(lambda t: pull(t) + rotor(t))]


def around(case):
    """Length of a belt around two pulleys, and the angle that it lies on the first: the hull of points on both circles."""
    C, R, r, n = case["C"], case["R"], case["r"], 8000
    t = np.arange(n) * 2 * np.pi / n
    points = np.concatenate([np.column_stack((R * np.cos(t), R * np.sin(t))), np.column_stack((C + r * np.cos(t), r * np.sin(t)))])
    hull = ConvexHull(points)
    return [hull.area, np.count_nonzero(hull.vertices < n) / n * 2 * np.pi]


def crossed_path(case):
    """Length of one of two crossed belts: tangents and arcs from the carriage over bridge, motor, two corners and bridge back to it."""
    W, D, r, b, c, taken = (case[k] for k in ("W", "D", "r", "b", "c", "taken"))
    # Centre, radius, and 1 where the belt turns left there, -1 where it turns right.
    stops = [((c - taken / 2, b + r), 0, 1), ((0, b), r, 1), ((0, 0), r, -1), ((0, D), r, -1), ((W, D), r, -1), ((W, b), r, -1), ((c + taken / 2, b - r), 0, -1)]
    total, before = 0.0, None
    for (p, r1, s1), (q, r2, s2) in zip(stops, stops[1:]):
        d = np.subtract(q, p)
        length, offset = np.hypot(*d), s2 * r2 - s1 * r1
        direction = np.arctan2(d[1], d[0]) - np.arcsin(offset / length)
        total += np.sqrt(length**2 - offset**2)
        if before is not None:
            total += r1 * ((s1 * (direction - before)) % (2 * np.pi))
        before = direction
    return total


def slack(case):
    """Least tension with which neither strand of a belt goes slack, pulled to and fro at 400 places: two springs, by their balance."""
    S, near, EA, F = (case[k] for k in ("S", "near", "EA", "F"))
    lost = 0.0
    for L1 in np.linspace(near, S - near, 400):
        # How far the carriage goes, and what both strands gain: pulled by F, the motor held.
        moved, gain, loss = np.linalg.solve([[EA / L1, -1, 0], [-EA / (2 * S - L1), 0, -1], [0, 1, -1]], [0, 0, F])
        lost = max(lost, -loss, gain)
    return lost


def string(case):
    """First frequency of a string of two hundred lumps."""
    n, T, m, L = 200, case["T"], case["m"], case["L"]
    K = T * n / L * (2 * np.eye(n - 1) - np.eye(n - 1, k=1) - np.eye(n - 1, k=-1))
    return np.sqrt(eigh(K, m * L / n * np.eye(n - 1), eigvals_only=True, subset_by_index=[0, 0])[0]) / (2 * np.pi)


def drive(case):
    """A belt drive: the acceleration that its torque comes to, the speed that its torque stops within a full step, and how far friction
    keeps it back: rotor and load as two bodies with a damped belt between them, a differential equation, a root."""
    m, mu, l, eta, J, T, standing, share, p = (case[k] for k in ("m", "mu", "l", "eta", "J", "T", "standing", "share", "p"))
    r, friction = l / (2 * np.pi), mu * m * 9.80665
    # Stretch and its rate, rotor and load apart; the belt is as stiff and as damped as makes both swing no more after a while.
    stiff = 1e5
    both = 1 / (1 / m + r**2 / (J * eta))
    damped = 2 * np.sqrt(stiff * both)
    pull = np.array([stiff, damped, 0])
    turned = np.array([0, 0, share * T / J * r]) - pull * r**2 / (eta * J)
    moved = pull / m - np.array([0, 0, friction / m])
    motion = np.array([[0, 1, 0], turned - moved, [0, 0, 0]])
    fastest = moved @ expm(motion * 60 / np.sqrt(stiff / both)) @ [0, 0, 1]
    step = 2 * np.pi / (4 * p)
    left = share * standing - friction * r / eta
    arrived = lambda t, y: y[0] - step
    arrived.terminal = True
    move = solve_ivp(lambda t, y: [y[1], left / (J + m * r**2)], (0, 1), [0, 0], events=arrived, rtol=1e-10, atol=1e-14)
    back = brentq(lambda a: standing * np.sin(p * a) - friction * r, 0, np.pi / (2 * p)) * r
    return [fastest, move.y[1, -1] * r, back]


def swing(case):
    """Frequency of a rotor that was turned a little from where it stands: its equation of motion."""
    T, p, J = case["T"], case["p"], case["J"]
    through = lambda t, y: y[0]
    through.direction = -1
    guess = 2 * np.pi / np.sqrt(p * T / J)
    run = solve_ivp(lambda t, y: [y[1], -T / J * np.sin(p * y[0])], (0, 3 * guess), [1e-6 / p, 0], events=through, rtol=1e-11, atol=1e-16)
    first, second = run.t_events[0][:2]
    return 1 / (second - first)


def bearing(case):
    """Force across a shaft, at a distance from its front bearing, that loads this as much as a known one at 20 mm: two balances."""
    F, s, d = case["F"], case["s"], case["d"]
    front = lambda at: np.linalg.solve([[1, 1], [0, s]], [1, s + at])[1]
    return F * front(20e-3) / front(d)


def whip(case):
    """First frequency at which a bar swings: forty elements; as turns a second the speed at which a screw whips."""
    n, E, I, A, L = 40, case["E"], case["I"], case["A"], case["L"]
    K, M = np.zeros((2 * n + 2, 2 * n + 2)), np.zeros((2 * n + 2, 2 * n + 2))
    for i in range(n):
        k, w = element(E, A, I, 7850 * A, (i * L / n, 0), ((i + 1) * L / n, 0))
        bend, at = [1, 2, 4, 5], slice(2 * i, 2 * i + 4)
        K[at, at] += k[np.ix_(bend, bend)]
        M[at, at] += w[np.ix_(bend, bend)]
    held = {"fixed_free": [0, 1], "supported": [0, 2 * n], "fixed_supported": [0, 1, 2 * n], "fixed_fixed": [0, 1, 2 * n, 2 * n + 1]}[case["ends"]]
    free = [i for i in range(2 * n + 2) if i not in held]
    return np.sqrt(eigh(K[np.ix_(free, free)], M[np.ix_(free, free)], eigvals_only=True, subset_by_index=[0, 0])[0]) / (2 * np.pi)


def backwards(case):
    """Torque that a load makes on a screw whose friction is known by its efficiency upward: balance of forces, friction by a root."""
    e, W, d, lead = (case[k] for k in ("e", "W", "d", "lead"))
    up = lambda f: thread({"W": 1, "d": d, "lead": lead, "f": f, "flank": 0})[0]
    f = brentq(lambda f: lead / (2 * np.pi * up(f)) - e, 0, 1)
    return thread({"W": W, "d": d, "lead": lead, "f": f, "flank": 0})[1]


def tower(case):
    """Two bars on their feet, braced at a height, with a mass on top, pushed there: stiffness, and first frequency, by forty elements."""
    n, E, I, m, h, b, top = 40, case["E"], case["I"], case["m"], case["height"], case["braced"], case["top"]
    # Half of the elements below the brace, half above.
    at_height = np.concatenate([np.linspace(0, b, n // 2 + 1), np.linspace(b, h, n // 2 + 1)[1:]])
    K, M = np.zeros((2 * n + 2, 2 * n + 2)), np.zeros((2 * n + 2, 2 * n + 2))
    for i in range(n):
        k, w = element(E, 1, I, m, (at_height[i], 0), (at_height[i + 1], 0))
        bend, at = [1, 2, 4, 5], slice(2 * i, 2 * i + 4)
        K[at, at] += k[np.ix_(bend, bend)]
        M[at, at] += w[np.ix_(bend, bend)]
    M[2 * n, 2 * n] += top / 2
    held = ([0, 1] if case["fixed"] else [0]) + [n]
    free = [i for i in range(2 * n + 2) if i not in held]
    K, M = K[np.ix_(free, free)], M[np.ix_(free, free)]
    force = np.zeros(len(free))
    force[-2] = 0.5
    first = eigh(K, M, eigvals_only=True, subset_by_index=[0, 0])[0]
    return [1 / np.linalg.solve(K, force)[-2], np.sqrt(first) / (2 * np.pi)]


def jam(case):
    """Friction at which a block between two bearings cannot be pulled any more: a root of the balance of forces."""
    a, s = case["a"], case["s"]

    def left(mu):
        # A pull of 1 beside the guide; two bearings press with N and -N and hold back with mu N each.
        press = np.linalg.solve([[1, 1], [s / 2, -s / 2]], [0, a])
        return 1 - mu * np.abs(press).sum()

    return brentq(left, 0, 1e3)


def arch(case):
    """Height of half a wave of a sine over a chord that is as much longer as the plate grows: a root of its length."""
    L, grown = case["L"], case["grown"]
    longer = lambda w: quad(lambda x: np.sqrt(1 + (np.pi * w / L * np.cos(np.pi * x / L)) ** 2), 0, L, epsabs=1e-13)[0] - L - grown
    return brentq(longer, 1e-6, L)


def held(case):
    """How many ways of a body are left, and how many of what holds it is too much: the rank of all that guides and pulls ask for."""
    rng = np.random.default_rng(int(case["seed"]))
    rows = []
    for _ in range(int(case["guides"])):
        x, y = rng.uniform(-0.2, 0.2, 2)
        rows += [[1, 0, 0, 0, 0, -y], [0, 1, 0, 0, 0, x]]
        if not case["tilts"]:
            rows += [[0, 0, 0, 1, 0, 0], [0, 0, 0, 0, 1, 0]] + ([[0, 0, 0, 0, 0, 1]] if case["rail"] else [])
    for _ in range(int(case["pulls"])):
        x, y = rng.uniform(-0.2, 0.2, 2)
        rows.append([0, 0, 1, y, -x, 0])
    rank = int(np.linalg.matrix_rank(np.array(rows)))
    return [6 - rank, len(rows) - rank]


def bent_screw(case):
    """How far a bent bar pushes another one aside in the middle: both of bar elements, joined there."""
    def bar(E, I, L, ends, n=12):
        K = np.zeros((2 * n + 2, 2 * n + 2))
        for i in range(n):
            k, _ = element(E, 1, I, 0, (L * i / n, 0), (L * (i + 1) / n, 0))
            bend, at = [1, 2, 4, 5], slice(2 * i, 2 * i + 4)
            K[at, at] += k[np.ix_(bend, bend)]
        gone = {"supported": [0, 2 * n], "fixed": [0, 1, 2 * n, 2 * n + 1], "fixed_fixed": [0, 1, 2 * n, 2 * n + 1],
                "fixed_supported": [0, 1, 2 * n], "fixed_free": [0, 1], "one_end": [0, 1]}[ends]
        free = [i for i in range(2 * n + 2) if i not in gone]
        return K[np.ix_(free, free)], free.index(n)

    screw, at = bar(2e11, np.pi * case["core"] ** 4 / 64, case["length"], case["ends"])
    guide, there = bar(2e11, np.pi * case["rod"] ** 4 / 64, case["rod_length"], case["held"])
    size = len(screw)
    # As it lies by itself it is bent, without stress: by as much in the middle as was measured.
    lies = np.linalg.solve(screw, np.eye(size)[at])
    lies *= case["bend"] / lies[at]
    both = np.zeros((size + len(guide),) * 2)
    both[:size, :size], both[size:, size:] = screw, case["guides"] * guide
    joint = np.zeros(len(both))
    joint[at], joint[size + there] = 1, -1
    pushed = np.concatenate([screw @ lies, np.zeros(len(guide))])
    tied = np.block([[both, joint[:, None]], [joint[None, :], np.zeros((1, 1))]])
    return np.linalg.solve(tied, np.concatenate([pushed, [0]]))[at]


def creeping(case):
    """Share of a belt's tension that is left when what holds its pulley got softer: a root, with the take-up where it was set."""
    strand = case["span"] / case["EA"]
    bent = 4 * case["a"] ** 3 / (case["E"] * case["b"] * case["t"] ** 3)
    taken_up = case["T"] * strand + 2 * case["T"] * bent
    left = lambda T: T * strand + 2 * T * bent / case["kept"] - taken_up
    return brentq(left, 0, case["T"], xtol=1e-12) / case["T"]


kinds = {f.__name__: f for f in (
    creeping, held, bent_screw,
    portal, beam_sag, tilt, buckling, thread, strands, belt_mode, motor, corner_plate, worst_direction, around, crossed_path, slack, string,
    drive, swing, bearing, whip, backwards, tower, jam, arch, jerked, shaken)}
asked = json.load(sys.stdin)
json.dump({name: [kinds[name](case) for case in cases] for name, cases in asked.items()}, sys.stdout)
