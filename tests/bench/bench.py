"""Times of whole processes, each as a ratio to a baseline measured in the same run.

    python tests/bench/bench.py [--runs 5] [--job configs/pump_26cc.yaml] [--build] [--enforce]

Seconds differ from machine to machine; what a machine does to everything cancels in the ratio. Baselines: a
bare interpreter, and an interpreter that only loads the CAD kernel. ``--enforce`` exits 1 when a budget is
exceeded. Not part of the test suite.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Case:
    """One process to time; ``extra`` [s] above the bare interpreter and ``seconds`` in all are budgets."""

    name: str
    arguments: tuple[str, ...]
    extra: float | None = None
    seconds: float | None = None
    memory: float | None = None


@dataclass(frozen=True)
class Result:
    """Median wall time [s] and greatest memory [MB] of one case."""

    case: Case
    seconds: float
    memory: float


def once(arguments: tuple[str, ...]) -> tuple[float, float]:
    """Wall time [s] and peak memory [MB] of one process; it must end with 0 or 1."""
    begun = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, *arguments], cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
    )
    assert process.stderr is not None
    said = process.stderr.read()
    if hasattr(os, "wait4"):
        _, status, usage = os.wait4(process.pid, 0)
        code = os.waitstatus_to_exitcode(status)
        process.returncode = code
        unit = 1024.0 if sys.platform != "darwin" else 1024.0 * 1024.0
        memory = usage.ru_maxrss / unit
    else:
        code = process.wait()
        memory = float("nan")
    taken = time.perf_counter() - begun
    if code not in (0, 1):
        raise SystemExit(f"{' '.join(arguments)} ended with {code}:\n{said.decode(errors='replace')}")
    return taken, memory


def cases(job: str, folder: str, build: bool) -> list[Case]:
    """What is timed, the two baselines first."""
    program = ("-m", "headparts")
    found = [
        Case("bare interpreter", ("-c", "pass")),
        Case("load the kernel", ("-c", "import OCP.gp")),
        Case("import headparts", ("-c", "import headparts"), extra=0.1),
        Case("headparts --help", (*program, "--help"), extra=0.06),
        Case("headparts fit 16.5 H7/s6", (*program, "fit", "16.5", "H7/s6"), extra=0.1),
        Case("read a job", ("-c", f"import headparts; headparts.read_job({job!r})"), extra=0.25),
        Case("check --only F,K,R", (*program, "check", job, "--only", "F,K,R"), seconds=0.5),
        Case("headparts check", (*program, "check", job), seconds=5.0, memory=1500.0),
    ]
    if build:
        command = (*program, "build", job, "-o", str(Path(folder) / "run"))
        found.append(Case("headparts build", command, seconds=30.0, memory=1500.0))
    return found


def measure(each: Case, runs: int) -> Result:
    """The median of ``runs`` processes after one that warms the disk."""
    once(each.arguments)
    taken = [once(each.arguments) for _ in range(runs)]
    return Result(each, statistics.median(time for time, _ in taken), max(memory for _, memory in taken))


def verdict(result: Result, bare: float) -> str:
    """What the budgets say: empty when there are none or all are kept."""
    case, broken = result.case, []
    if case.extra is not None and result.seconds - bare > case.extra:
        broken.append(f"over {case.extra:g} s above a bare interpreter")
    if case.seconds is not None and result.seconds > case.seconds:
        broken.append(f"over {case.seconds:g} s")
    if case.memory is not None and result.memory > case.memory:
        broken.append(f"over {case.memory:g} MB")
    return ", ".join(broken)


def main() -> int:
    """Time everything and print one line a case."""
    options = argparse.ArgumentParser(description="Times of whole processes, as ratios to a baseline.")
    options.add_argument("--runs", type=int, default=5)
    options.add_argument("--job", default="configs/pump_26cc.yaml")
    options.add_argument("--build", action="store_true", help="time a whole build, too")
    options.add_argument("--enforce", action="store_true", help="exit 1 when a budget is exceeded")
    asked = options.parse_args()
    failed = False
    bare = kernel = 0.0
    print(f"{'':26}{'median s':>10}{'x bare':>9}{'x kernel':>10}{'MB':>8}")
    with tempfile.TemporaryDirectory() as folder:
        for case in cases(asked.job, folder, asked.build):
            result = measure(case, asked.runs)
            bare = bare or result.seconds
            if case.name == "load the kernel":
                kernel = result.seconds
            ratio = f"{result.seconds / kernel:10.2f}" if kernel else f"{'':10}"
            said = verdict(result, bare)
            failed = failed or bool(said)
            print(
                f"{case.name:26}{result.seconds:10.3f}{result.seconds / bare:9.1f}{ratio}"
                f"{result.memory:8.0f}  {said}",
                flush=True,
            )
    return 1 if failed and asked.enforce else 0


if __name__ == "__main__":
    sys.exit(main())
