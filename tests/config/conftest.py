"""Fixtures of the job-file tests: write a text, read it, collect its faults, change one place of a known job."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from headparts.config import Fault, JobFile, read_job
from headparts.errors import JobFileError

CONFIGS = Path(__file__).parents[2] / "configs"
MARK = "\u00a7"  # stands before the place at which a fault is expected

HEADER = "schema: 1\njob: {id: J, status: proposal}\n"


@pytest.fixture
def header() -> str:
    """The two blocks that every job needs."""
    return HEADER


@pytest.fixture(scope="session")
def known() -> dict[str, str]:
    """The texts of the three jobs in configs/ by short name."""
    names = {"pump": "pump_26cc", "generator": "generator_62cc", "sprayer": "sprayer_10cc"}
    return {short: (CONFIGS / f"{name}.yaml").read_text(encoding="utf-8") for short, name in names.items()}


@pytest.fixture
def read(tmp_path: Path) -> Callable[[str | bytes], JobFile]:
    """Write a text beside nothing else and read it as a job."""

    def inner(text: str | bytes) -> JobFile:
        path = tmp_path / "job.yaml"
        path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
        return read_job(path)

    return inner


@pytest.fixture
def faults(read: Callable[[str | bytes], JobFile]) -> Callable[[str | bytes], tuple[Fault, ...]]:
    """Every fault of a text; the test fails when it has none."""

    def inner(text: str | bytes) -> tuple[Fault, ...]:
        with pytest.raises(JobFileError) as caught:
            read(text)
        assert caught.value.faults, "an error without a fault"
        return caught.value.faults

    return inner


@pytest.fixture
def change(known: dict[str, str]) -> Callable[[str, str, str], tuple[str, tuple[int, int] | None]]:
    """Change the first `old` of a known job into `new`; gives the text and the line and column of the mark in it."""

    def inner(job: str, old: str, new: str) -> tuple[str, tuple[int, int] | None]:
        text = known.get(job, job)
        assert old in text, f"{old!r} is not in the job"
        return placed(text.replace(old, new, 1))

    return inner


def placed(text: str) -> tuple[str, tuple[int, int] | None]:
    """A text without its mark, and where the mark stood (line and column from 1)."""
    if MARK not in text:
        return text, None
    before = text.split(MARK)[0]
    return text.replace(MARK, ""), (before.count("\n") + 1, len(before) - before.rfind("\n"))


@pytest.fixture
def one_fault(
    change: Callable[[str, str, str], tuple[str, tuple[int, int] | None]],
    faults: Callable[[str | bytes], tuple[Fault, ...]],
) -> Callable[[str, str, str, str], Fault]:
    """Change a known job; exactly one fault must follow, at the mark and with the key given. Gives the fault."""

    def inner(job: str, old: str, new: str, key: str) -> Fault:
        text, place = change(job, old, new)
        found = faults(text)
        assert [fault.key for fault in found] == [key], [str(fault) for fault in found]
        if place is not None:
            assert (found[0].line, found[0].column) == place, str(found[0])
        return found[0]

    return inner
