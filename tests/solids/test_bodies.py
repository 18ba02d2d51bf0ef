"""Convex bodies as data: rays, membership and the kernel's solid must tell the same story."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import GeometryError
from headparts.geometry.bodies import Ball, Beyond, Body, Box, Cone, Cut, Cylinder, RoundedBox
from headparts.solids.body_solid import solid_of
from headparts.solids.verify import is_valid, volume

SLANT = (math.sin(0.4) * math.cos(1.1), math.sin(0.4) * math.sin(1.1), math.cos(0.4))
BODIES: list[tuple[str, Body, float]] = [
    ("cylinder", Cylinder((1.0, 2.0, 3.0), SLANT, 4.0, 9.0), math.pi * 16.0 * 9.0),
    ("cone", Cone((1.0, 2.0, 3.0), SLANT, 4.0, 1.5, 9.0), math.pi * 3.0 * (16.0 + 6.0 + 2.25)),
    ("flat cone", Cone((1.0, 2.0, 3.0), SLANT, 5.0, 0.0, 1.0), math.pi * 25.0 / 3.0),
    ("steep cone", Cone((1.0, 2.0, 3.0), SLANT, 0.0, 0.7, 12.0), math.pi * 0.49 * 4.0),
    ("box", Box((-3.0, -2.0, 1.0), (4.0, 5.0, 9.0)), 7.0 * 7.0 * 8.0),
    ("ball", Ball((1.0, 2.0, 3.0), 5.0), 4.0 / 3.0 * math.pi * 125.0),
    (
        "rounded box",
        RoundedBox((1.0, 2.0), 12.0, 8.0, 3.0, (-1.0, 6.0)),
        7.0 * (96.0 - (4.0 - math.pi) * 9.0),
    ),
    ("half ball", Beyond(Ball((1.0, 2.0, 3.0), 5.0), (1.0, 2.0, 3.0), SLANT), 2.0 / 3.0 * math.pi * 125.0),
]
IDS = [name for name, _, _ in BODIES]


@pytest.mark.parametrize(("name", "body", "exact"), BODIES, ids=IDS)
def test_the_kernels_solid_has_the_right_volume(name: str, body: Body, exact: float) -> None:
    made = solid_of(body)
    assert is_valid(made)
    assert volume(made) == pytest.approx(exact, rel=1e-9)


@pytest.mark.parametrize(("name", "body", "exact"), BODIES, ids=IDS)
@pytest.mark.parametrize("along", [(0.0, 0.0, 1.0), SLANT, (-0.6, 0.64, 0.48), (0.96, 0.0, -0.28)], ids=str)
def test_rays_add_up_to_the_volume(
    name: str, body: Body, exact: float, along: tuple[float, float, float]
) -> None:
    d = np.array(along)
    u = np.cross(d, (0.3, 0.8, 0.52))
    u /= np.linalg.norm(u)
    v = np.cross(d, u)
    side, n = 40.0, 600
    steps = (np.arange(n) + 0.5) * side / n - side / 2.0
    middle = np.array([1.0, 2.0, 3.0])
    start = middle + (steps[:, None, None] * u + steps[None, :, None] * v).reshape(-1, 3)
    enter, leave = body.span(start, d)
    found = float(np.maximum(leave - enter, 0.0).sum()) * (side / n) ** 2
    assert found == pytest.approx(exact, rel=4e-3)


@pytest.mark.parametrize(("name", "body", "exact"), BODIES, ids=IDS)
def test_membership_agrees_with_the_rays(name: str, body: Body, exact: float) -> None:
    rng = np.random.default_rng(3)
    points = rng.uniform(-9.0, 13.0, (60_000, 3))
    d = np.array([0.48, -0.6, 0.64])
    enter, leave = body.span(points, d)
    inside = (enter < 0.0) & (leave > 0.0)
    assert inside.any()
    assert (body.contains(points) == inside).all()
    assert body.contains(body.inner()).all()


def test_a_cut_spares_what_it_must() -> None:
    tool = Cut(
        Cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 3.0, 20.0),
        Cylinder((0.0, 0.0, -50.0), (0, 0, 1), 8.0, 100.0),
    )
    theta = (np.arange(4000) + 0.5) * math.pi / 4000
    chord = 2.0 * 9.0 * np.sin(theta) ** 2  # dy = 3 sin(theta) d(theta), chord 6 sin(theta)
    exact = float(np.mean((20.0 - np.sqrt(64.0 - 9.0 * np.cos(theta) ** 2)) * chord)) * math.pi
    assert volume(solid_of(tool)) == pytest.approx(exact, rel=1e-6)
    start = np.array([[-5.0, 1.0, 0.5]])
    (a, b), (c, e) = tool.spans(start, np.array([1.0, 0.0, 0.0]))
    lengths = max(float(b[0] - a[0]), 0.0) + max(float(e[0] - c[0]), 0.0)
    assert lengths == pytest.approx(20.0 - math.sqrt(63.0), abs=1e-12)
    assert not tool.contains(np.array([[5.0, 0.0, 0.0]])).any()
    assert tool.contains(tool.inner()).all()


def test_a_corner_that_does_not_fit() -> None:
    with pytest.raises(GeometryError, match="corner"):
        RoundedBox((0.0, 0.0), 8.0, 6.0, 3.0, (0.0, 1.0))
