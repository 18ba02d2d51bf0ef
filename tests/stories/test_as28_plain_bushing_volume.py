"""AS28: volume of the plain bushing, 26 cc pump job, intake; without the CAD kernel.

Worked out apart from this package: revolved 2518.94 mm3, with window 2331.46, removed 187.47, 19.23 g at
8.25 g/cm3.
"""

from __future__ import annotations

import pytest

from headparts.geometry.quadrature import PlainBushing, plain_bushing_volume, window_volume
from headparts.geometry.window import PortInBody

BUSHING = PlainBushing(
    body_radius=8.25,
    shank_radius=4.0,
    throat_radius=6.3,
    guide_radius=2.0,
    body_end_s=17.0,
    roof_s=14.0,
    top_s=38.0 - 3.3,
)
PORT = PortInBody(foot_s=7.0, rise=12.0, radius=5.25)


def test_revolved():
    assert plain_bushing_volume(BUSHING).value == pytest.approx(2518.94, abs=0.005)


def test_with_window():
    found = plain_bushing_volume(BUSHING, PORT)
    assert found.value == pytest.approx(2331.463284, abs=0.005)
    assert found.error < 1e-3
    assert window_volume(BUSHING, PORT).value == pytest.approx(187.47, abs=0.005)
    assert found.value * 8.25e-3 == pytest.approx(19.23, abs=0.01)


def test_trap_a_through_hole_removes_twice_as_much():
    """The port enters from one side only; a drill through both walls would take twice the metal and more."""
    one_side = window_volume(BUSHING, PORT).value
    other_side = window_volume(BUSHING, PortInBody(7.0, -12.0, 5.25)).value
    assert one_side + other_side > 1.9 * one_side
