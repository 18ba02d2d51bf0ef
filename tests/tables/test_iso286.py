"""Limits and fits: texts, range ends, what is refused, and what the printed text says.

Values: ISO 286-1:2010, compared with public transcriptions; the whole tables are in tests/published.
"""

import re
import subprocess
import sys

import pytest

from headparts.errors import TableError
from headparts.tables.iso286 import (
    Fit,
    describe_fit,
    deviations,
    fit,
    it_grade,
    parse_class,
    parse_fit,
    parse_grade,
)


@pytest.mark.parametrize(
    ("size", "grade", "width"),
    [
        (3.0, "IT6", 0.006), (3.0001, "IT6", 0.008), (6.0, 7, 0.012), (6.0001, 7, 0.015), (10.0, "8", 0.022),
        (18.0, "IT7", 0.018), (18.0001, "IT7", 0.021), (30.0, "IT8", 0.033), (80.0, "IT7", 0.030),
        (0.5, "IT01", 0.0003), (50.0, "IT18", 3.9), (1.0001, "IT14", 0.25),
    ],
)  # fmt: skip
def test_standard_tolerance(size, grade, width):
    assert it_grade(size, grade) == width


@pytest.mark.parametrize(
    ("size", "text", "expected"),
    [
        (16.5, "H7", (0.0, 0.018)), (16.5, "s6", (0.028, 0.039)), (4.0, "H7", (0.0, 0.012)),
        (8.0, "js7", (-0.0075, 0.0075)), (10.0, "K6", (-0.007, 0.002)), (20.0, "k8", (0.0, 0.033)),
        (20.0, "k6", (0.002, 0.015)), (14.0, "x6", (0.040, 0.051)), (14.1, "x6", (0.045, 0.056)),
        (5.0, "N9", (-0.030, 0.0)), (3.0, "N9", (-0.029, -0.004)), (3.0, "K9", (-0.025, 0.0)),
        (12.0, "P7", (-0.029, -0.011)), (25.0, "g6", (-0.020, -0.007)), (25.0, "G7", (0.007, 0.028)),
        (40.0, "j6", (-0.005, 0.011)), (40.0, "J7", (-0.011, 0.014)), (5.0, "cd5", (-0.051, -0.046)),
        (60.0, "R7", (-0.060, -0.030)), (2.0, "h01", (-0.0003, 0.0)),
    ],
)  # fmt: skip
def test_deviations(size, text, expected):
    assert deviations(size, text) == pytest.approx(expected, abs=1e-12)


def test_fit_holds_all_six_numbers():
    found = fit(16.5, "H7/s6")
    assert isinstance(found, Fit)
    assert found.hole_limits == (16.5, 16.518)
    assert found.shaft_limits == (16.528, 16.539)
    assert (found.least_interference, found.greatest_interference) == (0.010, 0.039)
    assert (found.least_clearance, found.greatest_clearance) == (-0.039, -0.010)
    with pytest.raises(AttributeError):
        found.size = 17.0


@pytest.mark.parametrize(
    ("text", "kind"),
    [("H7/g6", "clearance"), ("H7/h6", "clearance"), ("H7/k6", "transition"), ("H7/p6", "interference")],
)
def test_kind_of_fit(text, kind):
    assert fit(12.0, text).kind == kind


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: it_grade(80.1, "IT7"),
            "80.1 mm is not in the table; there is over 0 up to and including 80 mm",
        ),
        (lambda: it_grade(0.0, "IT7"), "0 mm is not in the table"),
        (lambda: it_grade(-5.0, "IT7"), "-5 mm is not in the table"),
        (lambda: it_grade(float("nan"), "IT7"), "nan is not a finite number"),
        (lambda: it_grade(True, "IT7"), "True is not a finite number"),
        (lambda: it_grade("16.5", "IT7"), "'16.5' is not a finite number"),
        (lambda: it_grade(10.0, "IT19"), "there is IT01, IT0, IT1 to IT18"),
        (lambda: it_grade(10.0, "7.0"), "there is IT01, IT0, IT1 to IT18"),
        (lambda: it_grade(1.0, "IT14"), "begin over 1 mm"),
        (
            lambda: deviations(16.5, "t6"),
            "t6 is not defined for 16.5 mm; there is over 24 up to and including 80 mm",
        ),
        (lambda: deviations(14.0, "v6"), "there is over 14"),
        (lambda: deviations(16.0, "y6"), "there is over 18"),
        (lambda: deviations(12.0, "cd5"), "there is over 0 up to and including 10 mm"),
        (lambda: deviations(10.0, "K9"), "K has grades up to 8 over 3 mm"),
        (lambda: deviations(10.0, "j8"), "there is j5, j6, j7"),
        (lambda: deviations(10.0, "J9"), "there is J6, J7, J8"),
        (lambda: deviations(1.0, "a9"), "begins over 1 mm"),
        (lambda: deviations(1.0, "N9"), "begins over 1 mm"),
        (lambda: deviations(10.0, "I7"), "class 'I7' is not known"),
        (lambda: deviations(10.0, "Hh7"), "class 'Hh7' is not known"),
        (lambda: deviations(10.0, "H"), "class 'H' is not known"),
        (lambda: deviations(10.0, "H007"), "class 'H007' is not known"),
        (lambda: fit(10.0, "H7s6"), "write hole/shaft, as H7/s6"),
        (lambda: fit(10.0, "s6/H7"), "first the hole in capitals"),
        (lambda: fit(10.0, "H7/S6"), "first the hole in capitals"),
        (lambda: fit(10.0, "H7/s6/k6"), "write hole/shaft"),
        (lambda: fit(10.0, None), "write hole/shaft"),
    ],
)
def test_refusals_name_what_there_is(call, message):
    with pytest.raises(TableError, match=re.escape(message)):
        call()


def test_texts():
    assert parse_grade(" IT 7 ") == "7"
    assert parse_grade("01") == "01"
    assert str(parse_class(" ZC18 ")) == "ZC18"
    assert [str(part) for part in parse_fit(" H7 / s6 ")] == ["H7", "s6"]


def test_description_says_what_the_numbers_are():
    assert describe_fit(16.5, "H7/s6").splitlines() == [
        "fit 16.5 H7/s6: interference fit, all in mm, interference on the diameter",
        "  hole   H7     0.000  +0.018   16.500 to 16.518 mm",
        "  shaft  s6    +0.028  +0.039   16.528 to 16.539 mm",
        "  interference  least 0.010, greatest 0.039 mm",
        "  source: ISO 286-1:2010 tables, each row compared with public transcriptions",
    ]
    assert "  clearance  least 0.000, greatest 0.024 mm" in describe_fit(10, "H7/h6")
    assert "  from clearance 0.0225 to interference 0.0075 mm" in describe_fit(10, "H7/js7")


def test_a_fit_is_printed_without_numpy():
    code = (
        "import sys; from headparts.tables.iso286 import describe_fit; describe_fit(16.5, 'H7/s6'); "
        "sys.exit(any(name in sys.modules for name in ('numpy', 'cadquery', 'OCP', 'yaml')))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
