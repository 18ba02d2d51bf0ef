"""A port is the same bore wherever on its axis its point is written."""

from __future__ import annotations

from math import cos, radians, sin

import pytest

OUT = 4.0
TURN, RISE = radians(40), radians(9)
PORT = (cos(RISE) * cos(TURN), cos(RISE) * sin(TURN), sin(RISE))
LEAN = (sin(radians(5)), 0.0, cos(radians(5)))
FOOT = tuple(p + 5.6 * d for p, d in zip((6.10, 0.80, 3.45), LEAN, strict=True))
"""The sprayer's intake port: from s = 5.6 of an axis that leans 5 degrees, azimuth 40, rising 9 degrees."""


def moved_out(by: float) -> tuple[tuple[str, str], ...]:
    point = ", ".join(f"{p + by * d:.12f}" for p, d in zip(FOOT, PORT, strict=True))
    return (
        ("p: {on_axis_s: 5.6}", f"p: [{point}]"),
        ("face: {along: 18.0}", f"face: {{along: {18.0 - by}}}"),
    )


@pytest.mark.parametrize("by", [OUT, 5.5, -3.0])
def test_a_point_further_along_the_ports_axis_changes_no_wall_and_no_opening(changed, checked, by):
    """The body's radius 6.25 less the port's 3.65 is 2.6: a bore begun at a point further out would be short."""
    found = changed(
        "sprayer_10cc", *moved_out(by), only=("W02", "W04", "W05", "W07", "W08", "W11", "P03", "S05", "S08")
    )
    known = checked("sprayer_10cc").by_key
    mine = [key for key in found if "port_intake" in key[1] or "sleeve" in key[1]]
    assert len(mine) > 40
    for key in mine:
        if known[key].value is None:
            assert found[key].value is None, key
        else:
            assert found[key].value == pytest.approx(known[key].value, abs=2e-5), key
