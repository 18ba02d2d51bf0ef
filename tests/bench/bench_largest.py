"""CPU seconds of `largest` after imports, and as a ratio to one run of all checks of the same job in the same run.

    python tests/bench/bench_largest.py [--runs 3] [--enforce]

The ratio is what a machine cannot change much. ``--enforce`` exits 1 when a port takes more than 3 s or more than
twelve times one run, or any other key more than 15 s. Not part of the test suite.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.plan import plan_job
from headparts.sizing import largest

CONFIGS = Path(__file__).resolve().parents[2] / "configs"
PORT = "stations.intake.port.dia"
CASES = [
    ("pump_26cc", PORT, ()),
    ("generator_62cc", PORT, ()),
    ("sprayer_10cc", PORT, ()),
    ("generator_62cc", "repairs.sleeve_intake.bore.dia", ()),
    ("pump_26cc", "stations.intake.axis.p.0", ()),
    ("pump_26cc", "stations.intake.port.elev", ()),
    (
        "pump_26cc",
        "stations.intake.valve.head",
        ("stations.intake.bushing.seat.outer", "stations.intake.bushing.body.dia"),
    ),
]


def seconds(run: Callable[[], object], runs: int) -> float:
    """Median CPU time [s]."""
    taken = []
    for _ in range(runs):
        begun = time.process_time()
        run()
        taken.append(time.process_time() - begun)
    return statistics.median(taken)


def main() -> int:
    """Time every case and print one line each."""
    options = argparse.ArgumentParser(
        description="CPU seconds of `largest`, and ratios to one run of all checks."
    )
    options.add_argument("--runs", type=int, default=3)
    options.add_argument("--enforce", action="store_true", help="exit 1 when a budget is exceeded")
    asked = options.parse_args()
    broken = False
    print(f"{'job':16}{'key':36}{'one run s':>10}{'largest s':>10}{'ratio':>7}{'sizes':>7}  answer")
    for name, key, along in CASES:
        path = CONFIGS / f"{name}.yaml"
        found = largest(path, key, together=along)
        one = seconds(lambda: run_checks(Context(plan_job(read_job(path)))), asked.runs)  # noqa: B023
        whole = seconds(lambda: largest(path, key, together=along), asked.runs)  # noqa: B023
        over = whole > 3.0 or whole > 12.0 * one if key == PORT else whole > 15.0
        broken = broken or over
        print(
            f"{name:16}{key:36}{one:10.2f}{whole:10.2f}{whole / one:7.1f}{found.trials:7}  "
            f"{found.value:.3f} {found.stop.id}{'  over budget' if over else ''}",
            flush=True,
        )
    return 1 if broken and asked.enforce else 0


if __name__ == "__main__":
    sys.exit(main())
