"""Works out the two wells again by a general integrator of differential equations, and prints the worst difference."""

import json
import pathlib
import sys

import numpy as np
from scipy.integrate import solve_ivp

cases = json.loads((pathlib.Path(sys.argv[1]) / "wells.json").read_text(encoding="utf-8"))
worst = 0.0
for case in cases:
    c, rate = case["c"], case["k_per_h"]
    # Manwell & McGowan: heights of the wells q1/c and q2/(1-c); the flow between them is k times their difference.
    k = rate * c * (1 - c)
    state = np.array(case["start"])
    for current, available, bound in zip(case["currents"], case["available"], case["bound"]):
        def flow(_, q, current=current):
            between = k * (q[1] / (1 - c) - q[0] / c)
            return [between - current, -between]

        state = solve_ivp(flow, (0, 1), state, method="LSODA", rtol=1e-11, atol=1e-11).y[:, -1]
        worst = max(worst, abs(state[0] - available) / case["q_max_ah"], abs(state[1] - bound) / case["q_max_ah"])
print(f"{len(cases)} discharges of 48 hours: worst difference {worst:.3g} of all charge (held to 1e-8)")
if not worst <= 1e-8:
    sys.exit("the wells differ")
