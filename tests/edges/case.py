"""A limit met exactly by a job, and what its verdict must be one smallest step to either side."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from headparts.checks.context import Context
from headparts.checks.explained import worked, worked_limit
from headparts.checks.finding import Finding
from headparts.checks.run import run_checks
from headparts.checks.table import Row, rows
from headparts.config import read_job
from headparts.plan import plan_job

ROOT = Path(__file__).resolve().parents[2]
OUTSIDE = {"FAIL": "fail", "WARN": "warn", "INFO": "info"}


@dataclass(frozen=True)
class Edge:
    """One limit of one row of the table.

    ``job`` : name of an example job, or the text of a small one. ``at`` : the numbers, by dotted key, with which the
    quantity of ``subject`` equals ``limit``; ``why`` shows the hand calculation. ``key`` is one of them and
    ``outward`` +1 or -1, the direction in which it leaves the limit by ``step``, the smallest that tells (a value
    within 1e-9 of its limit passes). ``change`` : whatever else differs from the job, by dotted key. ``drop`` : a key
    without which the check does not run and that it must name. ``name`` : of the limit, as in the table; ``label`` :
    what tells cases of one limit apart.
    """

    id: str
    quantity: str
    subject: str
    job: str
    at: Mapping[str, float]
    key: str
    outward: int
    limit: float
    severity: str
    why: str
    name: str = ""
    case: str = "nominal"
    change: Mapping[str, Any] = field(default_factory=dict)
    drop: str = ""
    step: float = 1e-8
    tolerance: float = 1e-9
    label: str = ""

    def __str__(self) -> str:
        return f"{self.id}-{self.subject}-{self.quantity}-{self.label or self.name or self.case}"

    @property
    def row(self) -> Row:
        """The row of the table whose limit this is."""
        return the_row(self.id, self.quantity, self.name)

    def judge(self, folder: Path, steps: float) -> Finding:
        """The finding with ``key`` so many steps outward of the exact limit."""
        values = {**self.change, **self.at}
        values[self.key] = self.at[self.key] + self.outward * steps * self.step
        return found(folder, self.job, values, self.id, self.subject, self.quantity, self.case)

    def holds(self, folder: Path) -> None:
        """On the limit it passes, with the value worked out by hand; a step inside too, a step outside not."""
        on = self.judge(folder, 0)
        assert on.value == pytest.approx(self.limit, rel=0, abs=self.tolerance), self.why
        assert on.severity == self.severity
        assert self.limit == pytest.approx(limit_of(on, self.limit), rel=0, abs=1e-12)
        assert self.row.limit in (None, on.default_limit)
        if on.bounds is not None:
            assert on.bounds == pytest.approx((self.limit, self.limit), rel=0, abs=self.step), self.why
        self.is_explained(on)
        assert self.judge(folder, -1).verdict == "pass"
        assert on.verdict == (OUTSIDE[self.severity] if on.compare == ">" else "pass")
        outside = self.judge(folder, 1)
        assert outside.verdict == OUTSIDE[self.severity]
        assert outside.verdict == "info" or outside.advice

    def is_explained(self, on: Finding) -> None:
        """Its formula with the numbers put in gives its value and, where a rule makes it, its limit."""
        told = worked(on)
        assert told is not None
        assert told.result == pytest.approx(on.value, rel=1e-9, abs=self.tolerance)
        made = worked_limit(on)
        if made is not None and not self.sets_its_own:
            assert made.result == pytest.approx(self.limit, rel=1e-9, abs=1e-9)

    @property
    def sets_its_own(self) -> bool:
        """Whether the job of this edge sets the limit of its check by id."""
        return self.id in self.change.get("limits", {}) or any(
            key.split(".")[:2] == ["limits", self.id] for key in self.change
        )

    @property
    def sets_limits(self) -> bool:
        """Whether the job of this edge sets a limit or a scale."""
        return any(key.split(".")[0] == "limits" for key in self.change)

    def is_not_run(self, folder: Path) -> None:
        """Without ``drop`` it does not run, has no value and names the key."""
        changes = {**self.change, **self.at, self.drop: None}
        hits = all_found(folder, self.job, changes, self.id, self.subject, self.quantity)
        assert hits
        for missing in hits:  # one, or one a case
            assert (missing.verdict, missing.value, missing.limit) == ("not_run", None, None)
            assert self.drop in missing.missing


@dataclass(frozen=True)
class Told:
    """A quantity without a limit: its value worked out by hand, ``why`` shows how."""

    id: str
    quantity: str
    subject: str
    job: str
    value: float
    why: str
    change: Mapping[str, Any] = field(default_factory=dict)
    case: str = "nominal"
    verdict: str = "info"
    tolerance: float = 1e-9
    name: str = ""

    def __str__(self) -> str:
        return f"{self.id}-{self.subject}-{self.quantity}-{self.name or self.case}"

    def holds(self, folder: Path) -> None:
        """The value by hand, by its formula too where it has one, and the verdict of a row that has no limit."""
        on = found(folder, self.job, dict(self.change), self.id, self.subject, self.quantity, self.case)
        assert on.value == pytest.approx(self.value, rel=0, abs=self.tolerance), self.why
        assert on.verdict == self.verdict
        told = worked(on)
        if told is not None:
            assert told.result == pytest.approx(self.value, rel=1e-9, abs=self.tolerance), self.why


def limit_of(finding: Finding, wanted: float) -> float:
    """The limit of a finding; of a range the end that is meant."""
    if isinstance(finding.limit, tuple):
        return min(finding.limit, key=lambda end: abs(end - wanted))
    assert finding.limit is not None
    return finding.limit


def the_row(check: str, quantity: str, name: str) -> Row:
    """The one row of the table with this id, quantity and name of its limit."""
    (row,) = [each for each in rows() if (each.id, each.quantity, each.name) == (check, quantity, name)]
    return row


def found(
    folder: Path,
    job: str,
    changes: Mapping[str, Any],
    check: str,
    subject: str,
    quantity: str,
    case: str = "",
) -> Finding:
    """The one finding of a check about a subject, in a job with changes by dotted key; None takes a key out."""
    hits = [
        each for each in all_found(folder, job, changes, check, subject, quantity) if case in ("", each.case)
    ]
    assert len(hits) == 1, hits
    return hits[0]


def all_found(
    folder: Path, job: str, changes: Mapping[str, Any], check: str, subject: str, quantity: str
) -> list[Finding]:
    """Every finding of a check about a subject and a quantity, one a case."""
    findings = judged(folder, job, changes, check)
    hits = [each for each in findings if (each.subject, each.quantity) == (subject, quantity)]
    assert hits, [each.key for each in findings]
    return hits


def judged(folder: Path, job: str, changes: Mapping[str, Any], check: str) -> list[Finding]:
    """Every finding of one check."""
    return run_checks(context(folder, job, changes), (check,))


def context(folder: Path, job: str, changes: Mapping[str, Any]) -> Context:
    """A job with changes by dotted key, read as a user's file is read."""
    data = deepcopy(_data(job))
    for key, value in changes.items():
        put(data, key.split("."), deepcopy(value))  # what later keys alter must not be the test's own
    path = folder / "job.yaml"
    path.write_text(yaml.dump(data, Dumper=_DUMPER, sort_keys=False), encoding="utf-8")
    return Context(plan_job(read_job(path)))


_DUMPER = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
"""The same text either way, the first in less time."""


@cache
def _data(job: str) -> Any:
    text = job if "\n" in job else (ROOT / "configs" / f"{job}.yaml").read_text(encoding="utf-8")
    data = yaml.safe_load(text)
    data.pop("drawing", None)  # a scale, 2:1, is a number to base 60 here, and no check reads it
    return data


def put(data: Any, steps: list[str], value: Any) -> None:
    """Set a dotted key: a place in a list by number or by ``name``, a measured {v, u, by} by its number."""
    for step in steps[:-1]:
        if isinstance(data, list):
            data = data[int(step)] if step.isdigit() else next(each for each in data if each["name"] == step)
        else:
            data = data.setdefault(step, {})
    last: Any = int(steps[-1]) if isinstance(data, list) else steps[-1]
    if value is None:
        if isinstance(data, list) or last in data:  # a test may take out what it would have set itself
            del data[last]
        return
    known = data[last] if isinstance(data, list) else data.get(last)
    if isinstance(known, dict) and "v" in known and not isinstance(value, dict):
        known["v"] = value
    else:
        data[last] = value
