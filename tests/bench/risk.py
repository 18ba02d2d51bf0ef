"""CPU seconds of drawing the half-widths of the three example jobs, walls measured before.

    python tests/bench/risk.py [--samples 100000] [--runs 3] [--tight]

``--tight`` sets limits in the middle of many walls' scatter, so that a dozen walls need draws. The budget is 2 s for
the example jobs. Not part of the test suite.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from headparts.checks.context import Context
from headparts.config import read_job
from headparts.plan import plan_job
from headparts.sizing.risk import any_below, assess, open_pairs, walls_of

ROOT = Path(__file__).resolve().parents[2]
JOBS = ("sprayer_10cc", "pump_26cc", "generator_62cc")
TIGHT = "limits: {W01: 0.6, W02: 1.86, W03: 6.7, W04: 5.5, W05: 4.0, W06: 2.68, W11: 6.35, S08: 3.0}"
BUDGET = 2.0


def spent(run: object, *arguments: object) -> float:
    """CPU seconds of one call."""
    begun = time.process_time()
    run(*arguments)  # type: ignore[operator]
    return time.process_time() - begun


def main() -> None:
    """Print one line a job."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--samples", type=int, default=100_000)
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--tight", action="store_true")
    options = parser.parse_args()
    paths = [ROOT / "configs" / f"{name}.yaml" for name in JOBS]
    with tempfile.TemporaryDirectory() as folder:
        if options.tight:
            lines = paths[0].read_text(encoding="utf-8").splitlines()
            lines = [TIGHT if line.startswith("limits:") else line for line in lines]
            paths = [Path(folder) / "tight.yaml"]
            paths[0].write_text("\n".join(lines), encoding="utf-8")
        print(f"{options.samples} draws, best of {options.runs}, CPU seconds")
        for path in paths:
            context = Context(plan_job(read_job(path)))
            walls = spent(walls_of, context)
            whole = min(spent(assess, context, options.samples) for _ in range(options.runs))
            quick = min(spent(any_below, context, options.samples) for _ in range(options.runs))
            count = len(open_pairs(context))
            over = "" if options.tight or whole <= BUDGET else f"  OVER {BUDGET} s"
            print(
                f"{path.stem:16} walls once {walls:6.2f}   {count:2} walls drawn   "
                f"risk {whole:6.2f}   probability alone {quick:6.2f}{over}"
            )


if __name__ == "__main__":
    main()
