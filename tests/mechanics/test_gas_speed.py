"""Gas speed, stages of the opening, valve ratios: by hand and by other functions of the same quantity."""

import math

import numpy as np
import pytest

from headparts.mechanics.gas_flow import first_stage_lift, throat_ruled_lift
from headparts.mechanics.gas_speed import (
    exhaust_over_intake,
    head_over_bore,
    opening_gain,
    opening_stage,
    speed_through,
)

SEAT, THROAT = (17.0, 1.0, 45.0), (15.0, 4.5)


def test_stages_change_where_the_lifts_say():
    ends = [first_stage_lift(1.0, 45.0), throat_ruled_lift(*SEAT, *THROAT)]
    lifts = [0.0, ends[0], ends[0] + 1e-9, ends[1] - 1e-9, ends[1] + 1e-9, 20.0]
    assert opening_stage(lifts, *SEAT, *THROAT) == pytest.approx([1, 1, 2, 2, 3, 3])
    assert opening_stage(2.2, 12.6, 0.7, 45.0, 11.0, 4.0) == 2.0  # AS08
    # a throat that rules from the start of the second stage on, and one so small that it rules at once
    assert opening_stage([1.0, 1.9], *SEAT, 7.0, 4.5) == pytest.approx([3, 3])
    assert opening_stage(np.full((2, 1), 1.0), [17.0, 18.0], 1.0, 45.0, 15.0, 4.5).shape == (2, 2)


def test_speed_by_the_volume_that_passes():
    # bore 40 mm, 10 m/s: pi 400 mm2 10 m/s through 100 mm2
    assert speed_through(40.0, [100.0, 200.0], 10.0) == pytest.approx(
        [math.pi * 400 / 10, math.pi * 400 / 20], rel=1e-12
    )


def test_ratios_and_gain():
    # two workshop manuals: 27/32 and 37.5/45.5
    assert exhaust_over_intake([27.0, 37.5], [32.0, 45.5]) == pytest.approx([0.84375, 0.82418], abs=1e-5)
    assert head_over_bore(19.5, 48.0) == pytest.approx(0.40625, abs=1e-12)
    # a round port opened from 5.5 to 6.8: 52.9 % (common practice, no source)
    assert opening_gain(6.8**2, 5.5**2) == pytest.approx(0.5286, abs=5e-5)
    assert opening_gain([3.0, 1.0], 2.0) == pytest.approx([0.5, -0.5])
