"""Walls between the cuts and cavities of random heads: bounds, witnesses, motion, scale, order, growth.

The voids come from whole jobs, trimmed by chamber and bushing as there; witnesses are looked up in bodies written
down anew from the job's numbers (strategies/second_route.py).
"""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import second_route
from strategies.effort import effort
from strategies.heads import heads, planned, thousandths, void_of

from headparts.geometry.distance import walls
from headparts.geometry.holes import BallHole, EndlessCylinderHole, PrismHole
from headparts.geometry.pairs import distances

CUTS = ("body_bore", "shank_bore", "port")
UNTURNED = np.eye(3)
plain = {"repaired": False, "finned": False, "points": False}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("heads")


def parts_of(job):
    """Every cut as (role, station) and every cavity that is one round hole, by name."""
    cuts = [(role, name) for name in job["stations"] for role in CUTS]
    return cuts + [cavity["name"] for cavity in job["head"]["cavities"] if "tap_dia" not in cavity]


def some_pairs(data, job, count):
    """Pairs of parts that are not both of one station."""
    every = [
        pair
        for pair in combinations(parts_of(job), 2)
        if isinstance(pair[1], str) or pair[0][1] != pair[1][1]
    ]
    return data.draw(st.lists(st.sampled_from(every), min_size=1, max_size=count, unique=True))


def measured(data, job, folder, count=6):
    """Some pairs of the head with their voids and their walls, those that are well apart."""
    plan = planned(job, folder)
    pairs = some_pairs(data, job, count)
    voids = [(void_of(plan, a), void_of(plan, b)) for a, b in pairs]
    rows = zip(pairs, voids, walls(voids), strict=True)
    return [(pair, both, found) for pair, both, found in rows if 0.01 < found.value < np.inf]


def near(found):
    """How far two answers to the same question may differ: rounding, or the width of the proof."""
    return 1e-8 if found.upper - found.lower <= 1e-8 else max(1.1e-6, 1.1 * (found.upper - found.lower))


def carried_hole(hole, q, shift, factor):
    if isinstance(hole, PrismHole):
        assert np.allclose(q, UNTURNED)
        cx, cy = (factor * c + s for c, s in zip(hole.centre, shift, strict=False))
        sizes = (factor * size for size in (hole.half_x, hole.half_y, hole.corner))
        return PrismHole((cx, cy), *sizes, factor * hole.roof + shift[2])
    if isinstance(hole, BallHole):
        return BallHole(tuple(factor * q @ np.array(hole.centre) + shift), factor * hole.radius)
    assert isinstance(hole, EndlessCylinderHole)
    place = tuple(factor * q @ np.array(hole.point) + shift)
    return EndlessCylinderHole(place, tuple(q @ np.array(hole.direction)), factor * hole.radius)


def carried(void, q=UNTURNED, shift=(0.0, 0.0, 0.0), factor=1.0):
    """The whole void, holes and all, after x -> factor q x + shift."""
    cores = tuple(core.transformed(q, shift, factor) for core in void.cores)
    return replace(
        void, cores=cores, holes=tuple(carried_hole(hole, q, shift, factor) for hole in void.holes)
    )


@effort(4)
@given(heads(count=(3, 5), **plain), st.data())
def test_bounds_are_in_order_and_their_witnesses_lie_in_the_bodies_of_the_job(folder, job, data):
    for (a, b), _, found in measured(data, job, folder):
        assert 0 <= found.lower <= found.value <= found.upper
        assert not found.proven or found.upper - found.lower <= 1e-6
        first, second = (np.array(point) for point in found.at)
        assert np.linalg.norm(first - second) == pytest.approx(found.upper, abs=1e-10)
        for part, point in ((a, first), (b, second)):
            assert any(region.holds(point[None], 2e-9)[0] for region in second_route.regions_of(job, part)), (
                part
            )


@effort(3)
@given(heads(count=(3, 5), chamber=("dome", "none"), **plain), st.data(), st.integers(0, 10**6))
def test_any_rigid_motion_of_both_leaves_the_wall(folder, job, data, seed):
    rng = np.random.default_rng(seed)
    q, _ = np.linalg.qr(rng.normal(size=(3, 3)))  # turns and mirrors
    shift = rng.uniform(-100, 100, 3)
    rows = measured(data, job, folder)
    moved = walls([(carried(a, q, shift), carried(b, q, shift)) for _, (a, b), _ in rows])
    for (pair, _, before), after in zip(rows, moved, strict=True):
        assert after.value == pytest.approx(before.value, abs=near(before), rel=1e-9), pair


@effort(4)
@given(heads(count=(3, 5), **plain), st.data(), st.floats(0.05, 20.0), st.tuples(*[thousandths(-50, 50)] * 3))
def test_scaling_both_scales_the_wall(folder, job, data, factor, shift):
    rows = measured(data, job, folder)
    made = walls(
        [
            (carried(a, factor=factor, shift=shift), carried(b, factor=factor, shift=shift))
            for _, (a, b), _ in rows
        ]
    )
    for (pair, _, before), after in zip(rows, made, strict=True):
        allowed = near(before) * max(1.0, factor) + near(after)
        assert after.value == pytest.approx(factor * before.value, abs=allowed), pair


@effort(4)
@given(heads(count=(3, 5), **plain), st.data())
def test_swapping_the_two_leaves_the_wall(folder, job, data):
    rows = measured(data, job, folder)
    for (pair, _, before), after in zip(rows, walls([(b, a) for _, (a, b), _ in rows]), strict=True):
        assert after.value == pytest.approx(before.value, abs=near(before)), pair
        assert after.lower <= before.upper + 1e-9
        assert before.lower <= after.upper + 1e-9


@effort(4)
@given(heads(count=(3, 5), **plain), st.data(), thousandths(0.001, 30))
def test_moving_one_straight_away_never_lowers_the_bound(folder, job, data, step):
    """Away: along n with n.(y - x) >= g for all x, y of the two untrimmed holes, which is their own distance g.

    Then |y + s n - x|^2 = |y - x|^2 + 2 s n.(y - x) + s^2 >= d^2 + 2 s g + s^2 whatever has been trimmed off.
    """
    rows = measured(data, job, folder)
    plain_ones = distances([a.cores[0] for _, (a, _), _ in rows], [b.cores[0] for _, (_, b), _ in rows])
    pairs, least = [], []
    for k, (_, (a, b), before) in enumerate(rows):
        gap = float(plain_ones.upper[k])
        if gap > 1e-3:
            away = (plain_ones.b[k] - plain_ones.a[k]) / gap
            pairs.append((a, carried(b, shift=tuple(step * away))))
            least.append((before, (before.lower**2 + 2 * step * (gap - 1e-6) + step**2) ** 0.5))
    for after, (before, bound) in zip(walls(pairs), least, strict=True):
        assert after.upper >= bound - 1e-8
        assert after.lower >= before.lower - near(before) or not after.proven
        assert after.value <= before.upper + step + near(after)


@effort(4)
@given(heads(count=(3, 5), chamber=("none",), **plain), st.data(), thousandths(0.001, 0.5))
def test_a_radius_grown_by_e_lowers_the_wall_by_0_to_e(folder, job, data, e):
    """Every point of the grown hole lies within e of the old one, which lies in it; one that is not trimmed."""
    names = [part for part in parts_of(job) if isinstance(part, str)]
    if not names:
        return
    name = data.draw(st.sampled_from(names))
    other = deepcopy(job)
    next(cavity for cavity in other["head"]["cavities"] if cavity["name"] == name)["dia"] += 2 * e
    plan, grown = planned(job, folder), planned(other, folder)
    # z >= 0 trims a leaning hole as the chamber does: only holes square to the joint face, or clear of it, count
    core = plan.voids.cavity(name).cores[0]
    low = min(core.axis.point[2], core.axis.at(core.axis.length)[2])
    if abs(core.axis.direction[2]) < 1 and low < 2 * core.radius + e:
        return
    cuts = [part for part in parts_of(job) if not isinstance(part, str)]
    before = walls([(void_of(plan, cut), plan.voids.cavity(name)) for cut in cuts])
    after = walls([(void_of(plan, cut), grown.voids.cavity(name)) for cut in cuts])
    for cut, old, new in zip(cuts, before, after, strict=True):
        if old.value > e:
            assert -near(old) <= old.value - new.value <= e + near(old), (cut, name)
