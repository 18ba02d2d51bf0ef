"""The rocker-post spacer."""

from __future__ import annotations

import math

import pytest

from headparts.errors import ParameterError
from headparts.parts import SpacerParameters, spacer


def test_sizes_and_volume(spacer_parameters: SpacerParameters) -> None:
    part = spacer(spacer_parameters, density=2.7)
    expected = {
        "length": 26.0,
        "width": 10.0,
        "thickness": 2.0,
        "hole_diameter": 6.4,
        "hole_x": 13.0,
        "hole_y": 5.0,
        "oil_hole_diameter": 2.5,
        "oil_hole_x": 8.0,
        "oil_hole_y": 0.0,
    }
    assert set(part.sizes) == set(expected)
    for name, value in expected.items():
        assert part.measure(name) == pytest.approx(value, abs=1e-9), name
    by_hand = 2.0 * (26.0 * 10.0 - math.pi / 4.0 * (6.4**2 + 2.5**2))
    assert part.volume == pytest.approx(by_hand, rel=1e-9)
    assert part.mass == pytest.approx(by_hand * 2.7e-3, rel=1e-9)


def test_an_oil_hole_on_the_far_side_keeps_its_sign() -> None:
    part = spacer(SpacerParameters(26.0, 10.0, 2.0, 6.4, 2.5, (-8.0, -1.5)))
    assert part.measure("oil_hole_x") == pytest.approx(-8.0, abs=1e-9)
    assert part.measure("oil_hole_y") == pytest.approx(-1.5, abs=1e-9)


def test_chamfers_go_round_both_outlines() -> None:
    """Frustum rule: a bevelled end of height c has c/6 (A0 + 4 Am + A1)."""
    part = spacer(SpacerParameters(26.0, 10.0, 2.0, 6.4, chamfer=0.3))
    end = 0.3 / 6.0 * (26.0 * 10.0 + 4.0 * 25.7 * 9.7 + 25.4 * 9.4)
    by_hand = 26.0 * 10.0 * 1.4 + 2.0 * end - math.pi / 4.0 * 6.4**2 * 2.0
    assert part.volume == pytest.approx(by_hand, rel=1e-9)
    assert part.measure("chamfer") == pytest.approx(0.3, abs=1e-9)


def test_one_per_cent_is_seen(spacer_parameters: SpacerParameters) -> None:
    part = spacer(spacer_parameters)
    changed = spacer(SpacerParameters(26.26, 10.1, 2.02, 6.464, 2.525, (8.08, 0.0)))
    for name in ("length", "width", "thickness", "hole_diameter", "oil_hole_diameter", "oil_hole_x"):
        assert part.measure(name, changed.solid) == pytest.approx(1.01 * part.measure(name), rel=1e-9), name


@pytest.mark.parametrize(
    ("key", "change"),
    [
        ("thickness", {"thickness": 0.0}),
        ("length", {"length": float("inf")}),
        ("hole_diameter", {"hole_diameter": 10.0}),
        ("chamfer", {"chamfer": 1.0}),
        ("chamfer", {"chamfer": -0.1}),
        ("oil_hole_at", {"oil_hole_at": None}),
        ("oil_hole_at", {"oil_hole_at": (12.0, 0.0)}),
        ("oil_hole_at", {"oil_hole_at": (4.0, 0.0)}),
        ("oil_hole_at", {"oil_hole_at": (8.0, 4.0)}),
    ],
    ids=str,
)
def test_impossible_spacers(key: str, change: dict[str, object]) -> None:
    sizes = {
        "length": 26.0,
        "width": 10.0,
        "thickness": 2.0,
        "hole_diameter": 6.4,
        "oil_hole_diameter": 2.5,
        "oil_hole_at": (8.0, 0.0),
    }
    SpacerParameters(**sizes)
    with pytest.raises(ParameterError) as caught:
        SpacerParameters(**{**sizes, **change})
    assert caught.value.key == key
