"""What counts as worse, and margins; the order is pass and info, warn, fail."""

from __future__ import annotations

from itertools import pairwise

import pytest

from headparts.checks.finding import Finding
from headparts.sizing.grid import boundary, scan
from headparts.sizing.judged import by_key, margin, worse


def row(verdict, value=1.0, limit=2.0, compare=">=", quantity="wall", severity="FAIL", subject="a"):
    return Finding(
        "W01",
        subject,
        quantity,
        value=value,
        limit=limit,
        compare=compare,
        severity=severity,
        verdict=verdict,
    )


@pytest.mark.parametrize(
    ("before", "after", "is_worse"),
    [
        ("pass", "info", False),
        ("info", "pass", False),
        ("pass", "warn", True),
        ("warn", "fail", True),
        ("warn", "pass", False),
        ("fail", "warn", False),
        ("pass", "not_run", True),
        ("fail", "not_run", True),
        ("not_run", "pass", False),
        ("not_run", "fail", True),
    ],
)
def test_the_order_of_verdicts(before, after, is_worse):
    assert bool(worse(by_key([row(before)]), by_key([row(after)]))) is is_worse


@pytest.mark.parametrize(("value", "is_worse"), [(1.0, False), (1.5, False), (0.999, True)])
def test_a_fail_may_fail_on_but_not_by_more(value, is_worse):
    assert bool(worse(by_key([row("fail", 1.0)]), by_key([row("fail", value)]))) is is_worse


def test_a_row_that_gives_way_to_one_that_did_not_run_is_worse():
    assert worse(by_key([row("pass", subject="head")]), by_key([row("not_run", subject="a~b")]))
    assert not worse(by_key([row("pass", subject="head")]), {})


def test_a_row_that_goes_beside_one_that_never_ran_is_not_worse():
    """A breakthrough that is there no longer: what could not be judged before cannot be judged now, nothing stopped."""
    never = row("not_run", value=None, subject="c~d")
    assert not worse(by_key([row("fail", subject="a~b"), never]), by_key([never]))
    assert worse(by_key([row("pass", subject="a~b"), never]), by_key([never, row("not_run", subject="job")]))


def test_a_row_that_turns_up_and_fails_is_worse():
    assert worse({}, by_key([row("fail")]))
    assert not worse({}, by_key([row("pass")]))


@pytest.mark.parametrize(
    ("value", "limit", "compare", "expected"),
    [
        (3.0, 2.0, ">=", 0.5),
        (1.0, 2.0, ">=", -0.5),
        (1.5, 2.0, "<=", 0.25),
        (0.25, 0.0, ">=", 0.25),
        (0.86, (0.8, 0.9), "in", 0.8),
        (0.95, (0.8, 0.9), "in", -1.0),
        (None, 2.0, ">=", None),
    ],
)
def test_margins_are_shares_of_the_limit(value, limit, compare, expected):
    assert margin(row("pass", value, limit, compare)) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(("good", "bad"), [(1.0, 9.0), (1.0004, 1.9)])
def test_a_boundary_is_found_to_one_step(good, bad):
    last, first = boundary(good, bad, 0.001, lambda value: value > 1.2345)
    assert (last, first) == (1.234, 1.235)


def test_a_scan_begins_one_step_off_and_ends_at_the_end():
    values = scan(10.0, 1000.0, 5.0, 0.001)
    assert values[0] == 10.001
    assert values[-1] == 1000.0
    assert values == sorted(values)
    assert all(b - a <= 0.25 + 1e-9 for a, b in pairwise(values) if b <= 15.0)
    assert scan(10.0, 2.0, 5.0, 0.001)[0] == 9.999
