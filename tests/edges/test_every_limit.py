"""Every limit can be scaled where the description says so, and nowhere else, and can be set by id.

Asked of every row that has an Edge, on the job of that edge.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from edges import collected
from edges.case import OUTSIDE

SCALED = {
    "W01", "W02", "W03", "W04", "W05", "W06", "W07", "W07r", "W09", "W11", "S08", "P03", "V01", "V02", "V08", "V09",
    "V10", "V11", "B01", "B02", "B03", "B04", "B05", "B06", "B08", "B10", "B11", "K01", "K02", "R06", "R07", "M01", "M05",
}  # fmt: skip
"""Checks all of whose limits are lengths of the casting, the bushing or the valve, from the description."""
SCALED_ONLY = {"V03": "rim_gap", "B15": "lead_length"}
"""The same of one quantity alone."""
FOLLOWS = {"F09"}
"""Judged by B10's limit as used, so scaled with it."""


def plain_edges():
    """The first edge of each row, of a range of each of its ends, whose job sets no limit of its own."""
    first = {}
    for edge in collected.edges():
        if not edge.sets_limits:
            end = edge.limit if isinstance(edge.row.limit, tuple) else None
            first.setdefault((edge.id, edge.quantity, edge.name, end), edge)
    return list(first.values())


EDGES = plain_edges()


def times(limit, factor):
    return tuple(factor * end for end in limit) if isinstance(limit, tuple) else factor * limit


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_scale_multiplies_lengths_and_nothing_else(edge, tmp_path):
    plain = edge.judge(tmp_path, 0)
    scaled = replace(edge, change={**edge.change, "limits.scale": 0.5}).judge(tmp_path, 0)
    asked = edge.id in SCALED | FOLLOWS or SCALED_ONLY.get(edge.id) == edge.quantity
    assert edge.row.scaled == (asked and edge.id not in FOLLOWS)
    assert scaled.value == plain.value
    assert scaled.scale == (0.5 if asked else None)
    assert scaled.limit == pytest.approx(times(plain.limit, 0.5 if asked else 1.0), rel=1e-15, abs=0.0)
    assert scaled.default_limit == plain.default_limit


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_limit_given_by_id_judges_and_shows_the_one_of_the_table(edge, tmp_path):
    """Moved by a little to either side of the value it passes or does not, whatever the scale."""
    plain = edge.judge(tmp_path, 0)
    little = 1e-6 * max(1.0, abs(edge.limit))
    wider = 1.0 if plain.compare == "<=" or (plain.compare == "in" and edge.limit == plain.limit[1]) else -1.0
    for sign, verdict in ((wider, "pass"), (-wider, OUTSIDE[edge.severity])):
        moved = edge.limit + sign * little
        limit = moved
        if plain.compare == "in":
            limit = [moved if end == edge.limit else end for end in plain.limit]
        given = {edge.id: {edge.name or edge.quantity: limit}, "scale": 0.5}
        judged = replace(edge, change={**edge.change, "limits": given}).judge(tmp_path, 0)
        assert judged.verdict == verdict
        assert judged.limit == (tuple(limit) if isinstance(limit, list) else limit)
        assert judged.default_limit == plain.default_limit
        assert judged.scale is None


FURTHER = [
    edge
    for edge in EDGES
    if edge.name and isinstance(edge.row.limit, float) and edge.id not in ("S02", "S05")
]
"""Limits that a name sets; S05's plain number counts for both of its ends, S02's for the tube backed by its bore."""


@pytest.mark.parametrize("edge", FURTHER, ids=str)
def test_a_plain_number_sets_only_the_first_limit_of_a_row(edge, tmp_path):
    plain = edge.judge(tmp_path, 0)
    judged = replace(edge, change={**edge.change, f"limits.{edge.id}": 0.123}).judge(tmp_path, 0)
    assert (judged.limit, judged.verdict) == (plain.limit, plain.verdict)


def test_two_numbers_set_both_ends_of_a_clearance_and_of_the_intake_alone(tmp_path):
    """B10: a least and a greatest of the intake in one; the exhaust's are set by their names."""
    limits = {"limits.B10": [0.011, 0.077]}
    for edge in EDGES:
        if edge.id == "B10":
            judged = replace(edge, change={**edge.change, **limits}).judge(tmp_path, 0)
            wanted = {"": 0.011, "clearance_max": 0.077}.get(edge.name, judged.default_limit)
            assert judged.limit == wanted
