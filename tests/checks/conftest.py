"""The three example jobs, checked once a session."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.plan import plan_job

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def checked_jobs():
    known: dict[str, SimpleNamespace] = {}

    def get(name: str) -> SimpleNamespace:
        if name not in known:
            plan = plan_job(read_job(ROOT / "configs" / f"{name}.yaml"))
            known[name] = SimpleNamespace(plan=plan, findings=run_checks(Context(plan)))
        return known[name]

    return get
