"""AS14 (formula): the lowest edge of a tilted head, not its middle, comes near the piston."""

import math

import pytest

from headparts.mechanics.valve_seat import head_underside, lowest_edge, piston_gap

Z, TILT, HEAD = 4.60, 15.0, 19.5
UNDER = head_underside(0.30, HEAD, 19.1, 45.0, 0.90)


def test_lowest_edge_passes_at_one_millimetre():
    assert pytest.approx(-0.8, abs=1e-9) == UNDER
    gap = piston_gap(lowest_edge(Z, UNDER, TILT, HEAD), 1.0, 0.4, 1.3, TILT)
    assert gap == pytest.approx(1.4481, abs=5e-5)
    assert gap >= 1.0
    assert piston_gap(lowest_edge(Z, UNDER, TILT, HEAD), 1.0, 0.4, 1.3, TILT, deck_u=0.15) == pytest.approx(
        1.2981, abs=5e-5
    )


def test_trap_the_middle_of_the_head_looks_far_safer():
    middle = Z + UNDER * math.cos(math.radians(TILT))
    assert piston_gap(middle, 1.0, 0.4, 1.3, TILT) == pytest.approx(3.9716, abs=5e-5)
    edge = piston_gap(lowest_edge(Z, UNDER, TILT, HEAD), 1.0, 0.4, 1.3, TILT)
    assert piston_gap(middle, 1.0, 0.4, 1.3, TILT) - edge > 2.5
