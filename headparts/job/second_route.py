"""Walls measured again: the least wall of every kind of pair, by the kernel on solids of the same cuts."""

from __future__ import annotations

from math import inf

from headparts.checks.context import Context
from headparts.checks.pairs import Pair, pairs
from headparts.errors import GeometryError
from headparts.job.bodies import SecondRoute


def second_route(context: Context) -> tuple[SecondRoute, ...]:
    """The least wall above zero of each check, measured by the kernel and polished."""
    from headparts.solids.distance import least_distance
    from headparts.solids.void_solid import void_solids

    rows = []
    for pair in least_pairs(context):
        assert pair.voids is not None
        assert pair.wall is not None
        try:
            first, second = (void_solids(void) for void in pair.voids)
        except GeometryError:
            continue
        value = min(least_distance(a, b).value for a in first for b in second)
        rows.append(SecondRoute(pair.check, pair.subject, pair.wall.value, value))
    return tuple(rows)


def least_pairs(context: Context) -> list[Pair]:
    """For each check the pair with the least wall; the outside is endless and is left to the voids."""
    best: dict[str, Pair] = {}
    for pair in pairs(context):
        if pair.wall is None or not 0.0 < pair.wall.value < inf or "outside" in pair.subject.split("~"):
            continue
        known = best.get(pair.check)
        if known is None or known.wall is None or pair.wall.value < known.wall.value:
            best[pair.check] = pair
    return list(best.values())
