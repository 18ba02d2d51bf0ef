"""Small parts with sizes that closed forms know."""

from __future__ import annotations

import math

import pytest

cq = pytest.importorskip("cadquery")

from headparts.parts.part import Part, Placement  # noqa: E402


@pytest.fixture(scope="session")
def ring() -> Part:
    """A turned ring 20 x 10 x 8 with a cross hole: cylinders inside and out, curved edges."""
    solid = (
        cq.Workplane()
        .circle(10)
        .circle(5)
        .extrude(8)
        .cut(cq.Workplane("YZ").center(0, 4).circle(1.5).extrude(20))
        .val()
    )
    return Part("ring", solid, material="al_bronze", density=7.6, colour=(0.8, 0.55, 0.25))


@pytest.fixture(scope="session")
def ball() -> Part:
    """A ball of radius 10: the surface whose triangles overshoot their request most."""
    return Part("ball", cq.Workplane().sphere(10).val(), density=7.85)


@pytest.fixture(scope="session")
def pin() -> Part:
    """A pin 6 x 20 that sits leaning: its frame is turned and shifted in the head."""
    lean = math.radians(15.0)
    place = Placement(
        origin=(30.0, -4.0, 7.0),
        x=(math.cos(lean), 0.0, -math.sin(lean)),
        z=(math.sin(lean), 0.0, math.cos(lean)),
    )
    solid = cq.Workplane().circle(3).extrude(20).val()
    return Part("pin", solid, material="steel", density=7.85, placement=place, colour=(0.3, 0.4, 0.9))
