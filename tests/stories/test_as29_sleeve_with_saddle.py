"""AS29: the saddle-ended sleeves of the 62 cc generator job and of the 10 cc sprayer job, without the kernel.

Worked out apart from this package: generator 18.636 to 26.340 long (outside 15.79 to a saddle of R 11.0 at
66.75 degrees), volume 452.15 mm3; sprayer 10.68855 to 13.168719, 106.066539 mm3.
"""

from __future__ import annotations

import math

import pytest

from headparts.geometry.axis import Axis, direction_from_elevation, direction_from_tilt
from headparts.geometry.quadrature import saddle_sleeve
from headparts.geometry.window import PortInBody


def port(point, tilt, azim, foot_s, port_azim, elev, length, radius):
    valve = Axis(point, direction_from_tilt(tilt, azim), 60.0)
    return PortInBody.of(
        valve, Axis(valve.at(foot_s), direction_from_elevation(port_azim, elev), length), radius
    )


def test_generator():
    seen = port((10.9, -0.5, 4.6), 15.0, 0.0, 8.5, -40.0, 12.0, 34.0, 7.895)
    assert 90.0 - seen.rise == pytest.approx(66.748896, abs=1e-5)
    sleeve = saddle_sleeve(seen, 7.895, 7.5, 11.0, 34.0)
    assert sleeve.length_min == pytest.approx(18.635509, abs=1e-5)
    assert sleeve.length_max == pytest.approx(26.340432, abs=1e-5)
    assert sleeve.volume.value == pytest.approx(452.149449, abs=0.01)


def test_sprayer():
    seen = port((6.1, 0.8, 3.45), 5.0, 0.0, 5.6, 40.0, 9.0, 18.0, 3.965)
    sleeve = saddle_sleeve(seen, 3.965, 3.6, 6.25, 18.0)
    assert sleeve.length_min == pytest.approx(10.68855, abs=1e-5)
    assert sleeve.length_max == pytest.approx(13.168719, abs=1e-5)
    assert sleeve.volume.value == pytest.approx(106.066539, abs=0.005)


def test_trap_length_on_the_axis():
    """The length on the axis says nothing of how far the saddle's horns reach in."""
    seen = port((10.9, -0.5, 4.6), 15.0, 0.0, 8.5, -40.0, 12.0, 34.0, 7.895)
    sleeve = saddle_sleeve(seen, 7.895, 7.5, 11.0, 34.0)
    on_axis = 34.0 - 11.0 / math.sin(math.radians(66.748896))
    assert sleeve.length_max - on_axis > 3.0
    assert on_axis - sleeve.length_min > 3.0
