"""Example jobs planned; tests of the model are skipped, with the reason, where the extra is not installed."""

from __future__ import annotations

from pathlib import Path

import pytest

from headparts.config import read_job
from headparts.errors import MissingExtra
from headparts.plan import plan_job
from headparts.stress.extra import finite_elements, mesher

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def extra() -> None:
    """The libraries of the extra [stress]."""
    try:
        finite_elements()
        mesher()
    except MissingExtra as error:
        pytest.skip(str(error))


@pytest.fixture(scope="session")
def planned():
    known = {}

    def get(name: str):
        if name not in known:
            known[name] = plan_job(read_job(ROOT / "configs" / f"{name}.yaml"))
        return known[name]

    return get
