"""Properties of walls that hold for any heads: motion, scale, moving away, growing. Random voids by strategy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from headparts.geometry.convex import ball, cylinder, frustum
from headparts.geometry.distance import wall, walls
from headparts.geometry.void import Void

numbers = st.floats(-20.0, 20.0).map(lambda x: round(x, 3))
sizes = st.floats(0.5, 6.0).map(lambda x: round(x, 3))
lengths = st.floats(1.0, 30.0).map(lambda x: round(x, 3))


@st.composite
def directions(draw):
    raw = np.array([draw(st.floats(-1, 1)) for _ in range(3)])
    assume(np.linalg.norm(raw) > 0.1)
    return tuple(raw)


@st.composite
def voids(draw):
    point = tuple(draw(numbers) for _ in range(3))
    shape = draw(st.sampled_from(["cylinder", "ball", "cone", "stepped"]))
    if shape == "ball":
        cores = (ball(point, draw(sizes)),)
    elif shape == "cone":
        cores = (frustum(point, draw(directions()), draw(sizes), 0.0, draw(lengths)),)
    else:
        first = cylinder(point, draw(directions()), draw(sizes), draw(lengths))
        cores = (first,)
        if shape == "stepped":
            cores = (
                first,
                cylinder(first.axis.at(first.axis.length), first.axis.direction, first.radius / 2, 5.0),
            )
    return Void("v", "oil", cores)


quick = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


def apart(a, b):
    found = wall(a, b)
    assume(found.value > 0.01)
    return found


@quick
@given(voids(), voids())
def test_bounds_hold_and_witnesses_lie_in_their_voids(a, b):
    found = apart(a, b)
    assert found.lower <= found.value <= found.upper
    assert found.upper - found.lower <= 1e-9
    assert a.contains(found.at[0], 1e-9)
    assert b.contains(found.at[1], 1e-9)


@quick
@given(voids(), voids(), st.integers(0, 10**6), st.floats(0.2, 5.0))
def test_rigid_motion_leaves_it_and_scaling_scales_it(a, b, seed, scale):
    rng = np.random.default_rng(seed)
    q, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    shift = rng.uniform(-30, 30, 3)

    def carried(void, factor):
        return Void("v", "oil", tuple(core.transformed(q, shift, factor) for core in void.cores))

    found = apart(a, b)
    moved, scaled = walls([(carried(a, 1.0), carried(b, 1.0)), (carried(a, scale), carried(b, scale))])
    assert moved.value == pytest.approx(found.value, abs=1e-8)
    assert scaled.value == pytest.approx(scale * found.value, abs=1e-8)


@quick
@given(voids(), voids(), st.floats(0.0, 5.0))
def test_moving_away_adds_what_it_moved(a, b, step):
    found = apart(a, b)
    away = (np.array(found.at[1]) - np.array(found.at[0])) / found.value
    moved = wall(a, b.moved(step * away))
    assert moved.value >= found.value - 1e-9  # never less
    assert moved.value <= found.value + step + 1e-9
    if len(a.cores) == len(b.cores) == 1:  # one convex pair: exactly as much
        assert moved.value == pytest.approx(found.value + step, abs=1e-8)


@quick
@given(voids(), voids(), directions(), st.floats(0.0, 2.0))
def test_a_shift_changes_the_wall_by_no_more_than_itself(a, b, direction, step):
    found = apart(a, b)
    shift = step * np.array(direction) / np.linalg.norm(direction)
    moved = wall(a, b.moved(shift))
    assume(moved.value > 1e-6)
    assert abs(moved.value - found.value) <= step + 1e-9


@quick
@given(voids(), voids(), voids())
def test_a_further_core_never_adds_metal(a, b, extra):
    found = apart(a, b)
    more = Void("v", "oil", b.cores + extra.cores)
    assert wall(a, more).value <= found.value + 1e-9


@quick
@given(voids(), voids())
def test_swapping_the_voids_changes_nothing(a, b):
    found = apart(a, b)
    assert wall(b, a).value == pytest.approx(found.value, abs=1e-9)


def test_a_void_against_itself_overlaps_by_its_least_width():
    body = Void("v", "oil", (cylinder((0, 1.125, 0), (0, 1, 0), 1.0, 1.0),))
    assert wall(body, body).value == pytest.approx(-2.0, abs=1e-12)  # round holes on one axis: both radii
    sphere = Void("v", "oil", (ball((0, 0, 0), 1.5),))
    assert wall(sphere, sphere).value == pytest.approx(-3.0, abs=1e-9)
