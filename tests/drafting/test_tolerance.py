"""How sizes are written: ISO 129-1 and ISO 286 practice (from memory)."""

from __future__ import annotations

import math

import pytest

from headparts.drafting.tolerance import Label, Tolerance, deviation, label, number
from headparts.errors import ParameterError


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (16.5, None, "16.5"),
        (16.534, None, "16.534"),
        (17.0, None, "17"),
        (0.7071, None, "0.707"),
        (-0.0001, None, "0"),
        (4.0, 3, "4.000"),
        (1000.0, None, "1000"),
    ],
)
def test_numbers(value, places, text):
    assert number(value, places) == text


def test_deviations_carry_their_sign_and_zero_has_none():
    assert (deviation(0.039), deviation(-0.02), deviation(0.0)) == ("+0.039", "-0.02", "0")


def test_labels():
    assert label(16.534, Tolerance(upper=0.003, lower=-0.003), "Ø") == Label("Ø16.534 ±0.003")
    assert label(4.0, Tolerance("H7", 0.012, 0.0), "Ø") == Label("Ø4 H7", "+0.012", "0")
    assert label(17.0, Tolerance(upper=0.0, lower=-0.02)) == Label("17", "0", "-0.02")
    assert label(12.686, Tolerance(bracketed=True), "Ø") == Label("(Ø12.686)")
    assert label(45.0, Tolerance(upper=0.25, lower=-0.25), "", "°") == Label("45° ±0.25°")
    assert label(23.2512, None, "", "°") == Label("23.25°")


@pytest.mark.parametrize(
    "wrong",
    [{"upper": 0.1}, {"lower": 0.0}, {"upper": -0.1, "lower": 0.1}, {"upper": math.nan, "lower": 0.0}],
)
def test_impossible_tolerances_are_refused(wrong):
    with pytest.raises(ParameterError):
        Tolerance(**wrong)
