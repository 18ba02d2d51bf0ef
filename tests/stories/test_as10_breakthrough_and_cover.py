"""AS10: sleeve bore of 15.85 into a pushrod tunnel: size and place of the opening, cover of the sleeve.

Numbers worked out apart from this package: axis gap 12.0857, angle 78.0, penetration 0.839, opening along
the port 5.896, centre 23.45 from the valve axis; solids of a CAD kernel: 5.893 long, 13.75 mm3.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.geometry.axis import Axis, common_perpendicular, direction_from_elevation, direction_from_tilt
from headparts.geometry.distance import wall
from headparts.geometry.opening import opening
from headparts.geometry.quadrature import saddle_sleeve
from headparts.geometry.void import port_void, round_void
from headparts.geometry.window import PortInBody

VALVE = Axis((10.90, -0.50, 4.60), direction_from_tilt(15.0, 0.0), 49.0)
FOOT = VALVE.at(8.5)
OUT = direction_from_elevation(-40.0, 12.0)


def bore(diameter, shift=(0.0, 0.0, 0.0)):
    foot = np.array(FOOT) + np.array(shift)
    return port_void(
        "sleeve_bore_intake",
        foot,
        OUT,
        diameter,
        34.0,
        VALVE.point,
        VALVE.direction,
        22.0,
        kind="sleeve_bore",
    )


def tunnel(shift=(0.0, 0.0, 0.0), diameter=10.0):
    return round_void(
        "tunnel_in", "oil", np.array([22.9, -24.5, 0.0]) + np.array(shift), (0, 0, 1), diameter, 40
    )


def toward_tunnel():
    """Unit vector from the port's axis to the tunnel's, along the common perpendicular."""
    port, well = Axis(FOOT, OUT, 34.0), Axis((22.9, -24.5, 0.0), (0, 0, 1), 40.0)
    gap, _, a, b = common_perpendicular(port, well)
    return (np.array(well.at(b)) - np.array(port.at(a))) / gap


def test_the_foot_of_the_port():
    assert pytest.approx((13.1000, -0.5000, 12.8104), abs=1e-4) == FOOT


def test_size_and_place():
    found = opening(bore(15.85), tunnel())
    assert found.axis_gap == pytest.approx(12.0857, abs=1e-3)
    assert found.axis_angle == pytest.approx(78.0, abs=1e-6)
    assert found.along == pytest.approx(5.8955, abs=0.002)
    assert found.centre == pytest.approx(23.4465, abs=0.002)
    assert found.overlap_volume == pytest.approx(13.75, rel=0.005)
    assert found.volume_error < 1e-5
    penetration = wall(bore(15.85), tunnel())
    assert penetration.value == pytest.approx(-0.839, abs=0.001)


def test_trap_square_crossing_chord():
    chord = 2 * math.sqrt(25 - (12.0857 - 7.925) ** 2)
    assert chord == pytest.approx(5.546, abs=0.002)
    assert opening(bore(15.85), tunnel()).along > chord + 0.3


def test_volume_by_a_lattice():
    """Second route: cells of a cubic lattice inside both."""
    step = 0.04
    first, second = bore(15.85), tunnel()
    x, y, z = np.meshgrid(
        np.arange(22, 29, step),
        np.arange(-23, -19, step),
        np.arange(12, 24, 5 * step),
        indexing="ij",
        sparse=False,
    )
    points = np.stack([x, y, z], axis=-1).reshape(-1, 3)
    near = points[np.hypot(points[:, 0] - 22.9, points[:, 1] + 24.5) <= 5.0]
    count = np.count_nonzero(first.contains(near) & second.contains(near))
    assert count * step * step * (5 * step) == pytest.approx(opening(first, second).overlap_volume, rel=1e-2)


def test_worst_case_cover():
    """Tunnel 0.10 and drill 0.15 nearer, bore 0.05 oversize in radius: 6.775; cover 3: 17.06 to 29.83."""
    nearer = toward_tunnel()
    worst = opening(bore(15.95, 0.15 * nearer), tunnel(-0.10 * nearer))
    assert worst.along == pytest.approx(6.775, abs=0.002)
    assert worst.start - 3.0 == pytest.approx(17.06, abs=0.005)
    assert worst.end + 3.0 == pytest.approx(29.83, abs=0.005)


def test_cover_of_the_sleeve_inside_and_outside():
    """Separate calculation: 5.134298 and 7.605729, with 0.10 + 0.10 nearer 4.832247 and 7.303677."""
    port = PortInBody.of(VALVE, Axis(FOOT, OUT, 34.0), 15.79 / 2)
    sleeve = saddle_sleeve(port, 15.79 / 2, 7.5, 11.0, 34.0)
    found = opening(bore(15.85), tunnel())
    assert found.start - sleeve.saddle_t_max == pytest.approx(5.134298, abs=1e-4)
    assert 34.0 - found.end == pytest.approx(7.605729, abs=1e-4)
    worst = opening(bore(15.85), tunnel(-0.20 * toward_tunnel()))
    assert worst.start - sleeve.saddle_t_max == pytest.approx(4.832247, abs=1e-4)
    assert 34.0 - worst.end == pytest.approx(7.303677, abs=1e-4)


def test_a_measured_opening_tells_the_true_gap():
    """Opening 4.6 along the port of 15.0: the axes are really 12.003 apart."""
    low, high = 0.0, 0.5
    for _ in range(30):
        shift = (low + high) / 2
        along = (
            opening(bore(15.0), tunnel(-shift * toward_tunnel()), with_volume=False).along
            if shift < 0.3
            else 9.9
        )
        low, high = (low, shift) if along > 4.6 else (shift, high)
    assert 12.0857 - (low + high) / 2 == pytest.approx(12.003, abs=0.001)
