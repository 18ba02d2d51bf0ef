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


def changed_text(name: str, *changes: tuple[str, str]) -> str:
    """The text of an example job with replacements, each of which must hit."""
    text = (ROOT / "configs" / f"{name}.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


@pytest.fixture
def changed(tmp_path):
    """Findings of an example job with replacements in its text; ``only`` limits the checks."""

    def run(name: str, *changes: tuple[str, str], only: tuple[str, ...] = ()) -> dict:
        path = tmp_path / "job.yaml"
        path.write_text(changed_text(name, *changes), encoding="utf-8")
        findings = run_checks(Context(plan_job(read_job(path))), only)
        return {finding.key: finding for finding in findings}

    return run


@pytest.fixture
def without_repairs():
    """The replacement that takes the repairs block out of a job."""

    def change(name: str) -> tuple[str, str]:
        text = (ROOT / "configs" / f"{name}.yaml").read_text(encoding="utf-8")
        return text[text.index("repairs:") : text.index("rocker:")], ""

    return change
