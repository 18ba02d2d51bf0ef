"""File names: what is refused and why, and what counts as the same file."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headparts.errors import HeadpartsError, OutputError
from headparts.exports.names import check_name, collision

BAD = [
    ("", "empty"),
    ("a/b.step", "path"),
    ("..\\b.step", "path"),
    ("../b", "path"),
    ("..", "dot"),
    (".hidden", "dot"),
    ("-rf", "dash"),
    (" a", "blank"),
    ("a.", "ends"),
    ("a ", "ends"),
    ("a\nb", "control"),
    ("a\x00b", "control"),
    ("a\x7fb", "control"),
    ("a\u202eb.step", "control"),  # turns the reading direction: the ending shown is not the real one
    ("a\u2028b", "control"),
    ("c:evil", "forbid"),
    ("what?", "forbid"),
    ("CON", "device"),
    ("nul.step", "device"),
    ("Lpt1.dxf", "device"),
    ("e\u0301.step", "composed"),
    ("x" * 121, "longer"),
]


@pytest.mark.parametrize(("name", "why"), BAD)
def test_refused_with_the_reason(name: str, why: str) -> None:
    with pytest.raises(OutputError, match=why):
        check_name(name)


def test_the_error_is_ours_and_an_os_error() -> None:
    with pytest.raises(OSError) as caught:
        check_name("-x")
    assert isinstance(caught.value, HeadpartsError)


@pytest.mark.parametrize(
    "name", ["bushing_intake.step", "WPS26-H1.html", "é.svg", "a b.pdf", "con1.step", "0"]
)
def test_plain_names_pass_unchanged(name: str) -> None:
    assert check_name(name) == name


@given(st.text(st.characters(categories=("L", "N")), min_size=1, max_size=20))
def test_case_twins_collide(name: str) -> None:
    assert collision(name.upper(), ["other", name.lower().upper()]) is not None


def test_collision_names_the_other() -> None:
    assert collision("Report.HTML", ["a", "report.html"]) == "report.html"
    assert collision("report.htm", ["a", "report.html"]) is None
