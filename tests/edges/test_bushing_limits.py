"""Limits of the bushing's own sizes (B)."""

from __future__ import annotations

import pytest

from edges.case import Edge

EDGES = [
    Edge(
        "B02",
        "land",
        "bushing_intake",
        "pump_26cc",
        {"stations.intake.bushing.body.dia": 16.1, "stations.intake.bushing.seat.outer": 14.1},
        "stations.intake.bushing.body.dia",
        -1,
        1.0,
        "FAIL",
        "(16.1 - 14.1)/2 = 1.0",
        drop="stations.intake.bushing.seat.outer",
    ),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_both_sides_of_the_limit(edge, tmp_path):
    edge.holds(tmp_path)


@pytest.mark.parametrize("edge", [edge for edge in EDGES if edge.drop], ids=str)
def test_not_run_without_its_input(edge, tmp_path):
    edge.is_not_run(tmp_path)
