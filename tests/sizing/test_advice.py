"""Every number that advice gives is tried on the job: it mends the finding, one shop step less does not, and the price
that it names is what a full check of the changed job shows, nothing more and nothing less."""

from __future__ import annotations

import math
import re
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from edges.case import context
from strategies.altered import ALTERED, GEAR, told

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.run import run_checks
from headparts.config.overlaid import Laid, Overlay
from headparts.errors import JobFileError
from headparts.plan import plan_job
from headparts.sizing.advise import COSTED, TELL, advice, advised
from headparts.sizing.remedy import Advised, Remedy
from headparts.sizing.remedy_table import rows_for

Found = dict[tuple[str, str, str, str], Finding]
RANK = {"pass": 0, "info": 0, "warn": 1, "fail": 2}


@cache
def _folder() -> Path:
    import tempfile

    return Path(tempfile.mkdtemp())


def checked(job: str, changes: dict[str, Any], *only: str) -> Found:
    """Every finding of a full check of the job as it would be written, or of some checks."""
    return {each.key: each for each in run_checks(context(_folder(), job, changes), only)}


@cache
def told_of(index: int) -> tuple[Found, tuple[Advised, ...]]:
    """The findings of one altered job and the advice on them."""
    job, changes = ALTERED[index]
    its = context(_folder(), job, changes)
    findings = run_checks(its)
    return {each.key: each for each in findings}, tuple(advice(its, findings))


def beyond(finding: Finding) -> float | None:
    """By how much a finding is beyond its limit [its unit]; written out anew."""
    if finding.value is None or finding.limit is None or finding.compare == "none":
        return None
    if isinstance(finding.limit, tuple):
        low, high = finding.limit
        return max(low - finding.value, finding.value - high)
    return finding.value - finding.limit if finding.compare == "<=" else finding.limit - finding.value


def worsened(before: Found, after: Found) -> dict[tuple[str, str, str, str], str]:
    """Every finding that is worse, and how; written out anew, without the rules of the advice."""
    made = {}
    for key, now in after.items():
        was = before.get(key)
        if now.verdict == "not_run":
            if was is not None and was.verdict != "not_run":
                made[key] = "not_run"
            continue
        rank, had = RANK[now.verdict], 0 if was is None else RANK.get(was.verdict, 0)
        if rank > had:
            made[key] = now.verdict
        elif rank == had == 2 and was is not None:
            deep, deeper = beyond(was), beyond(now)
            if deep is not None and deeper is not None and deeper > deep + 1e-7:
                made[key] = "deeper"
    never = {key for key, was in before.items() if was.verdict == "not_run"}
    stopped = {key[0] for key, now in after.items() if now.verdict == "not_run" and key not in never}
    for key, was in before.items():
        gone = key not in after and was.verdict != "not_run" and key[0] in stopped
        if gone and not any(k[:2] == key[:2] and now.verdict != "not_run" for k, now in after.items()):
            made.setdefault(key, "not_run")
    return made


def test_there_is_something_to_mend_in_every_family() -> None:
    """The altered jobs are many and of all families, or the tests below would say little."""
    assert len(ALTERED) >= 60
    mended = Counter(
        each.finding.id for index in range(len(ALTERED)) for each in told_of(index)[1] if each.remedies
    )
    assert {id_[0] for id_ in mended} >= set("BFKMPQRSVW")
    assert len(mended) >= 45


@pytest.mark.parametrize("index", range(len(ALTERED)), ids=[told(changes) for _, changes in ALTERED])
def test_the_numbers_mend_what_they_are_for_at_the_price_they_name(index: int) -> None:
    job, changes = ALTERED[index]
    before, advices = told_of(index)
    for each in advices:
        for remedy in each.remedies:
            after = checked(job, {**changes, **remedy.values})
            assert after[each.finding.key].verdict == "pass", remedy.text
            assert {cost.key: cost.verdict for cost in remedy.costs} == worsened(before, after), remedy.text
            assert_nearest(job, changes, each.finding, remedy)


def assert_nearest(job: str, changes: dict[str, Any], finding: Finding, remedy: Remedy) -> None:
    """One step less is nearer to the job's own numbers, and the finding does not pass with it."""
    for change, less in zip(remedy.changes, remedy.less, strict=True):
        assert abs(less.value - less.own) <= abs(change.value - change.own) + 1e-9
    assert remedy.less != remedy.changes
    try:
        fewer = checked(job, {**changes, **{change.key: change.value for change in remedy.less}}, finding.id)
    except JobFileError:
        return  # on whole steps the first one can lie on the job's own side, where the reader refuses it
    assert fewer[finding.key].verdict in ("fail", "warn"), remedy.text


@pytest.mark.parametrize("index", range(len(ALTERED)), ids=[told(changes) for _, changes in ALTERED])
def test_what_is_told_is_short_and_within_bounds(index: int) -> None:
    _, advices = told_of(index)
    for each in advices:
        assert len(each.remedies) <= TELL < COSTED
        assert all(not remedy.costs for remedy in each.remedies) or len(each.remedies) == 1
        for remedy in each.remedies:
            assert re.sub(r"\.\d+(?=[,;)])", "", remedy.text) in re.sub(r"\.\d+(?=[,;)])", "", each.text)
            row = next(row for row in rows_for(each.finding) if _says(row.words, remedy.words))
            for change in remedy.changes:
                assert change.value != change.own
                assert abs(change.value - change.own) <= row.reach + row.step
            first = remedy.changes[0].value
            assert row.low is None or first >= row.low
            assert row.high is None or first <= row.high
            assert change_is_whole(first, row.step) or row.kind == "shift"


def change_is_whole(value: float, step: float) -> bool:
    """Whether a shop can set it: a whole number of steps."""
    return abs(value / step - round(value / step)) < 1e-6


def _says(pattern: str, words: str) -> bool:
    text = re.sub(r"\\\{\w+\\\}", ".+", re.escape(pattern))
    return re.fullmatch(text, words) is not None


def test_the_same_job_gets_the_same_advice() -> None:
    job, changes = ALTERED[0]
    _, first = told_of(0)
    its = context(_folder(), job, changes)
    assert tuple(advice(its, run_checks(its))) == first


def test_only_what_fails_or_warns_and_is_not_accepted_is_told_anything() -> None:
    index = next(i for i, (_, changes) in enumerate(ALTERED) if "accept" in changes)
    found, advices = told_of(index)
    accepted = found["B02", "bushing_intake", "nominal", "land"]
    assert accepted.verdict == "warn"
    assert accepted.key not in {each.finding.key for each in advices}
    job, changes = ALTERED[index]
    after = {each.key: each for each in advised(context(_folder(), job, changes), list(found.values()))}
    for key, finding in found.items():
        if finding.verdict in ("pass", "info", "not_run"):
            assert after[key] == finding


def test_a_job_with_measured_values_laid_over_it_is_advised_by_those(tmp_path):
    """The tip measured 0.6 lower than the file says: the shim that K01 asks for is that of the measured tip."""
    key, tip = "stations.intake.valve.gauge_to_tip", 48.65
    context(tmp_path, "pump_26cc", {**GEAR, "stations.intake.spring.shim": 3.7})
    job, faults = Overlay(tmp_path / "job.yaml").laid({key: Laid(tip, 0.03, "height gauge", measured=True)})
    assert not faults
    its = Context(plan_job(job))
    (mended,) = [each for each in advice(its, run_checks(its)) if each.finding.id == "K01"]
    shim = 3.3 + 0.3 + math.sin(math.pi / 4) / 2 + tip - 4.0 - 30.0 - 3.2 - 10.8 - 1.0
    assert mended.remedies[0].values == {
        "stations.intake.spring.shim": pytest.approx(math.floor(shim * 100) / 100)
    }


def test_too_many_findings_for_one_run_are_told_so() -> None:
    """What a run tries is counted: the worst come first, the rest keep their words and say that numbers are left out."""
    job, changes = next((j, c) for j, c in ALTERED if c.get("head.chamber.dia") == 30.0)
    its = context(_folder(), job, changes)
    findings = run_checks(its)
    full = advice(its, findings)
    few = advice(its, findings, budget=60)
    assert [each.finding.key for each in few] == [each.finding.key for each in full]
    spent = [bool(each.left_out) for each in few]
    assert any(spent)
    assert all(spent[spent.index(True) :])
    for each in few:
        if each.left_out:
            assert each.text == f"{each.finding.advice} (without numbers, too many findings for one run)"
