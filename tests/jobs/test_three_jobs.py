"""Every value and verdict of the three example jobs against an independent calculation (tests/jobs/data)."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from headparts.checks.table import ids
from headparts.plan.derived import derived

JOBS = ("pump_26cc", "generator_62cc", "sprayer_10cc")


def rows(name: str) -> list[dict[str, str]]:
    path = Path(__file__).parent / "data" / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("name", JOBS)
def test_values_and_verdicts(checked, name):
    job = checked(name)
    wrong = []
    for row in rows(name):
        if row["id"] == "derived":
            continue
        key = (row["id"], row["subject"], row["case"], row["quantity"])
        found = job.by_key.get(key)
        if found is None or found.value is None:
            wrong.append((key, "absent"))
        elif abs(found.value - float(row["value"])) > float(row["tol"]):
            wrong.append((key, found.value, row["value"]))
        elif found.verdict != row["verdict"]:
            wrong.append((key, found.verdict, row["verdict"]))
    assert wrong == []


@pytest.mark.parametrize("name", JOBS)
def test_derived_values(checked, name):
    found = {(subject, quantity): value for subject, quantity, value, _ in derived(checked(name).plan)}
    wrong = [
        (row["subject"], row["quantity"], found.get((row["subject"], row["quantity"])), row["value"])
        for row in rows(name)
        if row["id"] == "derived"
        and not (
            (row["subject"], row["quantity"]) in found
            and abs(found[row["subject"], row["quantity"]] - float(row["value"])) <= float(row["tol"])
        )
    ]
    assert wrong == []


@pytest.mark.parametrize("name", JOBS)
def test_no_fail_and_only_the_honest_warnings(checked, name):
    warned = {
        (finding.id, finding.subject) for finding in checked(name).findings if finding.verdict == "warn"
    }
    beryllium = {("H01", "bushing_intake"), ("H01", "bushing_exhaust")} if name == "pump_26cc" else set()
    assert warned == {("F05", "bushing_exhaust")} | beryllium
    assert [finding.key for finding in checked(name).findings if finding.verdict == "fail"] == []


@pytest.mark.parametrize("name", JOBS)
def test_every_check_appears_and_names_are_unique(checked, name):
    findings = checked(name).findings
    assert {finding.id for finding in findings} == set(ids())
    assert len({finding.key for finding in findings}) == len(findings)


@pytest.mark.parametrize("name", JOBS)
def test_not_run_says_why_and_has_no_value(checked, name):
    for finding in checked(name).findings:
        if finding.verdict == "not_run":
            assert finding.value is None
            assert finding.missing or finding.note
        assert finding.source


@pytest.mark.parametrize("name", JOBS)
def test_walls_are_proven_and_bounds_enclose_them(checked, name):
    for finding in checked(name).findings:
        if finding.bounds is not None and finding.value is not None:
            lower, upper = finding.bounds
            assert lower <= finding.value + 1e-9 <= upper + 2e-9
            assert upper - lower <= 1e-6, finding.key


def test_the_worst_case_is_never_above_the_nominal_wall(checked):
    for name in JOBS:
        job = checked(name)
        for finding in job.findings:
            if finding.id in ("W07", "W07r") and finding.value is not None:
                walls = [
                    f.value for f in job.findings if f.subject == finding.subject and f.quantity == "wall"
                ]
                assert any(finding.value <= wall for wall in walls)
