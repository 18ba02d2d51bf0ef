"""Numbers for reading: honest at the limit, never a minus zero, never a control sign."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headparts.checks.finding import Finding, holds
from headparts.reports.numbers import bounds_text, clean, limit_text, number, place_text, star_text, value_of

UNITS = st.sampled_from(["mm", "deg", "mm2", "mm3", "cm3", "MPa", "N", "N m", "m/s", "K", "degC", ""])


@given(
    limit=st.floats(-1e4, 1e4).map(lambda x: round(x, 3)),
    away=st.floats(1e-8, 1.0),
    side=st.sampled_from([-1, 1]),
    unit=UNITS,
    compare=st.sampled_from([">=", "<="]),
)
def test_rounding_never_changes_the_verdict(
    limit: float, away: float, side: int, unit: str, compare: str
) -> None:
    value = limit + side * away
    finding = Finding("X", "s", "q", value=value, unit=unit, limit=limit, compare=compare, verdict="fail")
    shown = float(value_of(finding))
    assert holds(shown, compare, limit) == holds(value, compare, limit)


@given(value=st.floats(-1e5, 1e5), unit=UNITS)
def test_what_is_shown_is_near_and_has_no_minus_zero(value: float, unit: str) -> None:
    text = number(value, unit)
    assert float(text) == pytest.approx(value, abs=(0.5 if unit == "N" else 0.05) + 1e-9)
    assert text.lstrip("-0.") or not text.startswith("-")


def test_decimals_by_unit() -> None:
    assert number(12.34567, "mm") == "12.346"
    assert number(0.012345, "mm") == "0.0123"
    assert number(138.3929, "MPa") == "138.4"
    assert number(9962.66, "N") == "9963"
    assert number(66.751, "deg") == "66.75"
    assert number(1.0) == "1"
    assert number(None, "mm") == "-"


def test_limits_as_a_person_writes_them() -> None:
    assert limit_text(1.5, ">=") == ">= 1.5"
    assert limit_text((0.42, 0.5), "in") == "0.42 to 0.5"
    assert limit_text(1.5 * 0.65, "<=") == "<= 0.975"
    assert limit_text(None, ">=") == ""
    assert limit_text(0.0, ">") == "> 0"
    assert limit_text(1.0, "none") == ""


def test_stars_say_the_default_and_why() -> None:
    base = Finding("W01", "s", "wall", value=1.0, unit="mm", limit=1.5, compare=">=", default_limit=1.5)
    assert star_text(base) == ""
    assert star_text(replace(base, limit=0.975, scale=0.65)) == "scale 0.65, default >= 1.5"
    assert star_text(replace(base, limit=1.2)) == "set by the job, default >= 1.5"
    assert star_text(replace(base, limit=1.5, scale=1.0)) == "scale 1, default >= 1.5"


def test_places_and_bounds() -> None:
    base = Finding("W01", "s", "wall", value=1.0, at=((0.0, -0.00001, 1.0), (2.0, 3.0, 4.56789)))
    assert place_text(base) == "(0.000, 0.000, 1.000) to (2.000, 3.000, 4.568)"
    assert place_text(replace(base, at=((1.0, 1.0, 1.0), (1.0, 1.0, 1.0)))) == "at (1.000, 1.000, 1.000)"
    assert place_text(replace(base, at=None)) == ""
    assert bounds_text(replace(base, bounds=(1.0, 1.0 + 1e-8))) == "proven"
    assert bounds_text(replace(base, bounds=(0.9, 1.1))) == "between 0.9000 and 1.1000"


def test_control_and_direction_signs_are_shown_as_question_marks() -> None:
    assert clean("a\x1b[2J\x07b\u202ec\u2028d") == "a?[2J?b?c?d"
    assert clean("  two\n lines\t ") == "two lines"
    assert clean("µ °C ü 漢") == "µ °C ü 漢"
