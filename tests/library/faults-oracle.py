"""Independent numerics for single faults, with SciPy: reads cases as JSON from stdin, writes answers as JSON.

Each answer is the solution of a differential equation over time, where the library has a closed form.
"""

import json
import math
import sys

from scipy.integrate import solve_ivp

ZERO = 273.15


def wire(case):
    """Seconds until copper that keeps all its heat gets from one temperature to another.

    Resistivity 1/58 ohm mm^2/m at 20 degC with 0.393 %/K (IEC 60028), 3.45e6 J/(m^3 K) (IEC 60949).
    """
    density = case["current"] / case["area"] * 1e6

    def rate(celsius, _):
        return [3.45e6 / (1 / 58e6 * (1 + 0.00393 * (celsius - 20)) * density**2)]

    solution = solve_ivp(rate, (case["from"], case["to"]), [0], rtol=1e-10, atol=1e-15)
    return solution.y[0][-1]


def fall(case):
    """Seconds and speed in which a load comes down its travel, turning the rotor by its screw: the energy of both is that of the weight,
    less what the thread rubs away."""
    per_turn = case["lead"] / (2 * math.pi)
    inertia = case["rotor"] + case["screw"]

    def rate(_, y):
        turning = y[1] / per_turn
        # Torque of the load on the motors, and inertia of all that turns or goes down with them.
        total = case["motors"] * inertia + case["mass"] * per_turn**2
        return [turning * per_turn, case["motors"] * case["torque"] / total * per_turn]

    def there(_, y):
        return y[0] - case["travel"]

    there.terminal = True
    solution = solve_ivp(rate, (0, 1e4), [0, 0], events=there, rtol=1e-10, atol=1e-12)
    return [solution.t_events[0][0], solution.y_events[0][0][1]]


answers = {"wire": wire, "fall": fall}
json.dump([answers[case["what"]](case) for case in json.load(sys.stdin)], sys.stdout)
