"""Findings worked out in a second process, while the first one loads the kernel and builds the bodies."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.plan import plan_job


def findings_of(path: str, only: Sequence[str]) -> list[Finding]:
    """All findings of a job file; a plain function, so that another process can be asked for it."""
    return run_checks(Context(plan_job(read_job(path))), only)


def findings_apart(path: str, only: Sequence[str] = ()) -> Callable[[], list[Finding]]:
    """Start working out the findings in another process; what is returned waits for them.

    Where there is one processor only, or no second process can be had, they are worked out when asked for.
    """
    if (os.cpu_count() or 1) < 2:
        return lambda: findings_of(path, only)
    pool = ProcessPoolExecutor(1, mp_context=get_context("spawn"))
    future: Future[list[Finding]] = pool.submit(findings_of, path, tuple(only))

    def wait() -> list[Finding]:
        try:
            return future.result()
        except (BrokenProcessPool, OSError):
            return findings_of(path, only)
        finally:
            pool.shutdown(wait=False)

    return wait
