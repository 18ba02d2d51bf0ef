"""The three example jobs, checked once a session."""

from __future__ import annotations

from pathlib import Path

import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.plan import plan_job

ROOT = Path(__file__).resolve().parents[2]
JOBS = ("pump_26cc", "generator_62cc", "sprayer_10cc")


class Checked:
    """A job with its plan and findings."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.plan = plan_job(read_job(ROOT / "configs" / f"{name}.yaml"))
        self.findings = run_checks(Context(self.plan))
        self.by_key = {finding.key: finding for finding in self.findings}


@pytest.fixture(scope="session")
def checked():
    known: dict[str, Checked] = {}

    def get(name: str) -> Checked:
        if name not in known:
            known[name] = Checked(name)
        return known[name]

    return get
