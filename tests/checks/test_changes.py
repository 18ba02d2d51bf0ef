"""In which findings two runs differ, and what of it is worse."""

from __future__ import annotations

import random

import pytest

from headparts.checks.changes import FindingChange, findings_changed, margin
from headparts.checks.finding import Finding

WALL = Finding("W04", "a~b", "wall", value=2.0, limit=1.2, compare=">=", severity="FAIL", verdict="pass")


def finding(verdict: str = "pass", value: float | None = 2.0, **more: object) -> Finding:
    fields = {**WALL.__dict__, "verdict": verdict, "value": value, **more}
    return Finding(**fields)


def one(before: Finding | None, after: Finding | None) -> FindingChange:
    (change,) = findings_changed([before] if before else [], [after] if after else [])
    return change


@pytest.mark.parametrize(
    ("before", "after", "kinds", "direction"),
    [
        (("pass", 2.0), ("fail", 1.0), ("verdict", "value"), "worse"),
        (("fail", 1.0), ("pass", 2.0), ("verdict", "value"), "better"),
        (("warn", 1.0), ("fail", 1.0), ("verdict",), "worse"),
        (("fail", 1.0), ("warn", 1.0), ("verdict",), "better"),
        # a verdict that is lost is never an improvement
        (("fail", 1.0), ("not_run", None), ("verdict", "value"), "worse"),
        (("pass", 2.0), ("not_run", None), ("verdict", "value"), "worse"),
        (("not_run", None), ("pass", 2.0), ("verdict", "value"), "better"),
        (("not_run", None), ("fail", 1.0), ("verdict", "value"), "worse"),
        # less margin to a least value
        (("pass", 2.0), ("pass", 1.9), ("value",), "worse"),
        (("pass", 1.9), ("pass", 2.0), ("value",), "better"),
    ],
)
def test_what_is_worse(before, after, kinds, direction):
    change = one(finding(*before), finding(*after))
    assert change.kinds == kinds
    assert change.direction == direction


def test_less_margin_to_a_greatest_value_and_in_a_range():
    most = {"compare": "<=", "limit": 10.0}
    assert one(finding(value=8.0, **most), finding(value=8.5, **most)).direction == "worse"
    inside = {"compare": "in", "limit": (0.4, 0.5)}
    assert margin(finding(value=0.43, **inside)) == pytest.approx(0.03)
    # 0.45 is in the middle: to either side is worse
    assert one(finding(value=0.45, **inside), finding(value=0.42, **inside)).direction == "worse"
    assert one(finding(value=0.45, **inside), finding(value=0.48, **inside)).direction == "worse"
    assert one(finding(value=0.41, **inside), finding(value=0.48, **inside)).direction == "better"


def test_a_stricter_limit_is_a_change_of_the_limit_and_worse():
    change = one(finding(), finding(limit=1.3))
    assert (change.kinds, change.direction, change.difference) == (("limit",), "worse", 0.0)
    assert one(finding(), finding(limit=1.1)).direction == "better"
    assert one(finding(), finding(limit=None, compare="none")).kinds == ("limit",)


def test_what_appears_and_goes():
    assert one(None, finding("fail", 1.0)).direction == "worse"
    assert one(None, finding("warn", 1.0)).direction == "worse"
    assert one(None, finding()).direction == "other"
    assert one(None, finding("info", 1.0, severity="INFO")).direction == "worse"  # outside its limit
    assert one(None, finding("info", 1.0, limit=None, compare="none")).direction == "other"
    gone = one(finding("fail", 1.0), None)
    assert (gone.kinds, gone.direction) == (("gone",), "other")


def test_values_beyond_a_billionth_differ_and_notes_do_not():
    assert findings_changed([finding()], [finding(value=2.0 + 0.9e-9, note="said", method="other")]) == ()
    assert one(finding(), finding(value=2.0 + 1.1e-9)).kinds == ("value",)
    assert one(finding(value=None), finding(value=0.0)).kinds == ("value",)


def test_only_what_fails_now_and_did_not_before_fails_anew():
    failing = finding("fail", 1.0)
    assert one(None, failing).fails_anew
    assert one(finding("not_run", None), failing).fails_anew
    assert not one(failing, finding("fail", 0.5)).fails_anew
    assert not one(failing, None).fails_anew


def test_the_worst_comes_first():
    """Verdicts before values that moved, the one nearest to its limit first among those; then the rest."""
    names = ("fails", "warns", "lost", "better", "near", "far", "gone")
    before = {name: finding(subject=name) for name in names}
    before["better"] = finding("fail", 1.0, subject="better")
    after = {
        "far": finding(value=1.9, subject="far"),
        "near": finding(value=1.3, subject="near"),
        "better": finding(subject="better"),
        "lost": finding("not_run", None, subject="lost"),
        "warns": finding("warn", 1.0, subject="warns"),
        "fails": finding("fail", 1.0, subject="fails"),
    }
    found = findings_changed(before.values(), after.values())
    assert [change.one.subject for change in found] == list(names)


@pytest.mark.parametrize("name", ["pump_26cc", "generator_62cc", "sprayer_10cc"])
def test_a_job_against_itself_in_any_order_is_empty(request, name):
    from headparts.checks.context import Context
    from headparts.checks.run import run_checks
    from headparts.config import read_job
    from headparts.plan import plan_job

    path = request.config.rootpath / "configs" / f"{name}.yaml"
    findings = run_checks(Context(plan_job(read_job(path))), ("B", "F", "V", "R", "K"))
    shuffled = random.Random(1).sample(findings, len(findings))
    assert findings_changed(findings, shuffled) == ()
    first, second = findings[::2], findings[1::2]
    there, back = findings_changed(first, second), findings_changed(second, first)
    assert {(c.one.key, c.kinds) for c in there} == {
        (c.one.key, ("gone",) if c.kinds == ("appeared",) else ("appeared",)) for c in back
    }
    assert len(there) == len(findings)
