"""Walls of trimmed voids of random heads against a general minimiser that knows nothing of the package's geometry.

Ports with their curved inner ends, bores trimmed by disc, dome and bathtub. The other route: 6000 samples of every
smooth region of both bodies, sequential quadratic programming (scipy) from the nearest ones. It can only be too
large, so it may never come out below a proven lower bound, nor below the value by more than the proof's width.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import second_route
from strategies.effort import effort
from strategies.heads import heads, planned, void_of

from headparts.geometry.distance import walls

CUTS = ("body_bore", "port", "shank_bore")


def pairs_of(job):
    """Every cut with every cavity that is one round hole, and with the cuts of the other station."""
    cuts = [(role, name) for name in job["stations"] for role in CUTS]
    holes = [cavity["name"] for cavity in job["head"]["cavities"] if "tap_dia" not in cavity]
    across = [(a, b) for a in cuts for b in cuts if a[1] < b[1]]
    return [(cut, hole) for cut in cuts for hole in holes] + across


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("trimmed")


@effort(10)
@given(
    heads(count=(3, 4), chamber=("disc", "dome", "bathtub"), repaired=False, finned=False, points=False),
    st.randoms(use_true_random=False),
)
def test_trimmed_voids_against_a_general_minimiser(folder, job, random):
    plan = planned(job, folder)
    pairs = pairs_of(job)
    random.shuffle(pairs)
    pairs = pairs[:12]
    found = walls([(void_of(plan, a), void_of(plan, b)) for a, b in pairs])
    trimmed = [k for k, item in enumerate(found) if item.method == "convex pieces" and item.value > 0.01]
    rng = np.random.default_rng(random.randrange(10**6))
    for k in trimmed[:3]:
        (a, b), item = pairs[k], found[k]
        other = second_route.least_distance(
            second_route.regions_of(job, a), second_route.regions_of(job, b), rng
        )
        assert other >= item.lower - 1e-7, (a, b)
        assert other >= item.upper - 1e-6, (a, b)
        assert other == pytest.approx(item.value, abs=1e-5), (a, b)  # both found the same place


def test_the_other_route_finds_known_distances():
    """Two holes 10 apart, radii 2 and 3; a bore under a dome whose rim (3, 0, sqrt 91) is nearest to (20, 0, 0)."""
    job = {"head": {"cavities": [
        {"name": "a", "axis": {"p": [0, 0, 0], "tilt": 0, "azim": 0}, "dia": 4.0, "len": 20.0},
        {"name": "b", "axis": {"p": [10, 0, 0], "tilt": 0, "azim": 0}, "dia": 6.0, "len": 20.0}]}}  # fmt: skip
    rng = np.random.default_rng(1)
    both = second_route.cavity(job, "a"), second_route.cavity(job, "b")
    assert second_route.least_distance(*both, rng) == pytest.approx(5.0, abs=1e-7)
    job = {"head": {"chamber": {"type": "dome", "base_radius": 10.0, "depth": 10.0}, "cavities": [
        {"name": "a", "axis": {"p": [0, 0, 0], "tilt": 0, "azim": 0}, "dia": 6.0, "len": 14.0},
        {"name": "b", "axis": {"p": [20, 0, 0], "tilt": 0, "azim": 0}, "dia": 2.0, "len": 0.001}]}}  # fmt: skip
    both = second_route.cavity(job, "a"), second_route.cavity(job, "b")
    expected = np.hypot(16.0, np.sqrt(91) - 0.001)
    assert second_route.least_distance(*both, rng) == pytest.approx(expected, abs=1e-6)
