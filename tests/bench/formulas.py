"""CPU time of the press-fit functions on a million cases, each as a ratio to a plain numpy sum in the same run.

    python tests/bench/formulas.py [--cases 1000000] [--enforce]

CPU seconds of this process (`time.process_time`), the best of five runs: other processes on the machine count little.
``--enforce`` exits 1 when a function takes over half a second. Not part of the test suite.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable

import numpy as np

from headparts.mechanics import guide, hot_fit, press_fit, thermal, yielding

BUDGET = 0.5
"""[CPU s] for each function."""


def functions(cases: int) -> dict[str, Callable[[], object]]:
    """What is timed, with arrays for all that varies from part to part."""
    chance = np.random.default_rng(1)
    i, d = chance.uniform(0.01, 0.05, cases), chance.uniform(12.0, 18.0, cases)
    di, do, p = (
        d * chance.uniform(0.5, 0.8, cases),
        d * chance.uniform(1.3, 2.0, cases),
        chance.uniform(5, 60, cases),
    )
    elastic = (71e3, 0.33, 125e3, 0.30)
    hot = ((21.1e-6, 22.7e-6), chance.uniform(150.0, 220.0, cases), (17.0e-6, 17.8e-6), 160.0)
    strength = chance.uniform(100.0, 160.0, cases)
    return {
        "(plain sum of two arrays)": lambda: i + d,
        "contact_pressure": lambda: press_fit.contact_pressure(i, d, di, do, *elastic),
        "contact_pressure, ends held": lambda: press_fit.contact_pressure(i, d, di, do, *elastic, "strain"),
        "interference_for_pressure": lambda: press_fit.interference_for_pressure(p, d, di, do, *elastic),
        "hub_hoop": lambda: press_fit.hub_hoop(p, d, do),
        "hub_tresca": lambda: press_fit.hub_tresca(p, d, do),
        "bush_hoop": lambda: press_fit.bush_hoop(p, d, di),
        "bush_hoop_at_fit": lambda: press_fit.bush_hoop_at_fit(p, d, di),
        "bore_closure": lambda: press_fit.bore_closure(p, d, di, 125e3),
        "outer_growth": lambda: press_fit.outer_growth(p, d, do, 71e3),
        "press_force": lambda: press_fit.press_force(p, d, 17.0, 0.1),
        "holding_torque": lambda: press_fit.holding_torque(p, d, 17.0, 0.1),
        "first_yield_pressure": lambda: yielding.first_yield_pressure(strength, d, do),
        "interference_at": lambda: thermal.interference_at(i, d, 22e-6, hot[1], 17.5e-6, 160.0),
        "least_interference_at": lambda: thermal.least_interference_at(i, d, *hot),
        "pressure_range_at": lambda: hot_fit.pressure_range_at(i, i + 0.01, d, di, do, *elastic, *hot),
        "bore_to_ream": lambda: guide.bore_to_ream(di, 0.02, i, d, do, *elastic),
    }


def best(function: Callable[[], object], runs: int = 5) -> float:
    """CPU seconds of the quickest of some runs."""
    taken = []
    for _ in range(runs):
        begun = time.process_time()
        function()
        taken.append(time.process_time() - begun)
    return min(taken)


def main() -> int:
    """Time everything and print one line a function."""
    options = argparse.ArgumentParser(description="CPU time of the press-fit functions on many cases.")
    options.add_argument("--cases", type=int, default=1_000_000)
    options.add_argument("--enforce", action="store_true", help="exit 1 when a function is over budget")
    asked = options.parse_args()
    over, plain = 0, 0.0
    for name, function in functions(asked.cases).items():
        seconds = best(function)
        plain = plain or max(seconds, 1e-6)
        word = f"over {BUDGET:g} s" if seconds > BUDGET else ""
        over += bool(word)
        print(f"{name:30}{seconds:9.3f} s{seconds / plain:8.0f} x  {word}", flush=True)
    return 1 if over and asked.enforce else 0


if __name__ == "__main__":
    sys.exit(main())
