"""What holds for the half-widths of any head: no draw below the worst case, bounds on the right side of the wall.

Limits are set into the scatter of each kind's thinnest wall, so that draws decide. The second route measures voids that
are really moved, with what trims them, by the certified walls.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np
import pytest
from hypothesis import given
from strategies.effort import effort
from strategies.heads import heads, planned

from headparts.checks.context import Context
from headparts.checks.uncertainty import Draws, motion_of, sources_of
from headparts.geometry.distance import walls
from headparts.geometry.holes import BallHole, EndlessCylinderHole, PrismHole
from headparts.geometry.moved_pairs import MovedPair
from headparts.sizing.risk import assess, walls_of

SAMPLES = 1000
few = {"count": (3, 4), "repaired": False, "finned": False}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("risk")


def scattered(job, folder):
    """The head with a limit 0.4 of the terms below the thinnest wall of each kind, and its walls."""
    job = {
        **job,
        "datums": {**job["datums"], "cast_u": 0.35},
        "process": {**job["process"], "drill_start_u": 0.1},
    }
    thinnest: dict[str, tuple[float, float]] = {}
    for pair in walls_of(Context(planned({**job, "limits": {}}, folder))):
        if pair.wall is not None and 0.2 < pair.wall.value < inf and pair.terms_missing is None:
            thinnest[pair.check] = min(
                thinnest.get(pair.check, (inf, 0.0)), (pair.wall.value, sum(pair.terms))
            )
    limits = {check: round(wall - 0.4 * terms, 4) for check, (wall, terms) in thinnest.items()}
    return Context(planned({**job, "limits": {k: v for k, v in limits.items() if v > 0.05}}, folder))


@effort(2)
@given(heads(**few))
def test_no_draw_is_below_the_worst_case_of_any_head(folder, job):
    context = scattered(job, folder)
    found = assess(context, SAMPLES)
    for pair in found.pairs:
        if pair.below is None or pair.nominal is None:
            continue
        assert pair.worst_case <= pair.rss <= pair.nominal
        assert pair.below.surely <= pair.below.perhaps
        if pair.below.how == "never":
            assert pair.worst_case >= pair.limit - 1e-8
        if pair.sampled_least is not None:
            assert pair.worst_case - 1e-6 <= pair.sampled_least[0] <= pair.sampled_least[1]
        if pair.true_least is not None:
            low, high = pair.true_least
            assert pair.worst_case - 1e-6 <= low <= high <= pair.nominal + 1e-6
            assert pair.sampled_least is None or low <= pair.sampled_least[0] + 1e-6
    assert found.any_through.value <= found.any_below.value


def carried(void, shift):
    """The void moved with what trims it."""
    moved = []
    for hole in void.holes:
        if isinstance(hole, EndlessCylinderHole):
            moved.append(replace(hole, point=tuple(np.asarray(hole.point) + shift)))
        elif isinstance(hole, BallHole):
            moved.append(replace(hole, centre=tuple(np.asarray(hole.centre) + shift)))
        else:
            assert isinstance(hole, PrismHole)
            centre = (hole.centre[0] + shift[0], hole.centre[1] + shift[1])
            moved.append(replace(hole, centre=centre, roof=hole.roof + shift[2]))
    return replace(void.moved(shift), holes=tuple(moved))


@effort(2)
@given(heads(**few))
def test_bounds_hold_for_voids_that_are_really_moved(folder, job):
    context = scattered(job, folder)
    draws = Draws(SAMPLES, 1)
    for pair in walls_of(context):
        if pair.wall is None or pair.terms_missing is not None or not 0.2 < pair.wall.value < inf:
            continue
        limit, total = float(pair.limit.value), sum(pair.terms)
        if pair.wall.value - total >= limit or pair.wall.value < limit:
            continue
        sources = sources_of(context, pair)
        if any(source.kind in ("slope", "growth") for source in sources):
            continue
        first, second = (motion_of(sources, side, draws) for side in (0, 1))
        made = MovedPair(*pair.voids, pair.wall.lower, limit, 1.02 * total + 1e-6, pair.wall.at)
        found = made.bounds(first, second, limit)
        rows = np.argsort(found.lower)[:4]
        truth = walls(
            [(pair.voids[0], carried(pair.voids[1], (second.shift - first.shift)[k])) for k in rows]
        )
        for k, wall in zip(rows, truth, strict=True):
            assert found.lower[k] <= wall.upper + 1e-9, pair.subject
            assert found.upper[k] >= wall.lower - 1e-9, pair.subject
            if wall.upper < limit:
                assert found.lower[k] > wall.lower - 2e-3, pair.subject
