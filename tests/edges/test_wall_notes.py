"""What stands beside a measured wall: how it was proven, what is short of its limit, and rows of no wall at all.

Walls come out proven in jobs as small as these, so what the solver says of a wall is put in its place here.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import Any

import pytest
import yaml

from edges.blocks import ONE, PORTS, SLEEVED, TWO
from edges.case import found, judged
from edges.test_port_limits import JOB as PORT_JOB
from headparts.geometry.distance import walls

Y = "head.cavities.hole.axis.p.1"
UNPROVEN = "unproven: the bounds have not met"
BORE = "hole~sleeve_bore_tube"
ROWS = [
    ("W02", ONE, "body_bore_intake~hole", "wall"),
    ("W07", ONE, "body_bore_intake~hole", "worst_case"),
    ("W07r", ONE, "body_bore_intake~hole", "rss_case"),
    ("S08", SLEEVED, BORE, "wall"),
    ("S08", SLEEVED, BORE, "worst_case"),
    ("P03", PORT_JOB, "port_intake", "wall"),
]
NOTED = [row for row in ROWS if row[3] == "wall"]


@pytest.fixture
def walls_are(monkeypatch):
    """Every wall measured from here on, with some of its fields as given."""

    def put(**fields: Any) -> None:
        monkeypatch.setattr(
            "headparts.checks.walls_store.walls",
            lambda pairs: [replace(wall, **fields) for wall in walls(pairs)],
        )

    return put


@pytest.mark.parametrize("row", NOTED, ids=str)
def test_a_wall_that_is_not_proven_says_so(row, walls_are, tmp_path):
    check, job, subject, quantity = row
    assert "unproven" not in found(tmp_path, job, {}, check, subject, quantity).note
    walls_are(proven=False)
    assert UNPROVEN in found(tmp_path, job, {}, check, subject, quantity).note
    for proven in (True, False):
        walls_are(proven=proven, remark="scanned")
        note = found(tmp_path, job, {}, check, subject, quantity).note
        assert "scanned" in note
        assert UNPROVEN not in note


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_a_wall_not_known_from_below_has_no_bounds(row, walls_are, tmp_path):
    check, job, subject, quantity = row
    assert found(tmp_path, job, {}, check, subject, quantity).bounds is not None
    walls_are(lower=-inf)
    assert found(tmp_path, job, {}, check, subject, quantity).bounds is None


def test_a_cut_that_is_empty_has_no_wall(walls_are, tmp_path):
    """A wall of W and of S08 passes without a value, W07 has no row of it, and a port without metal does not run."""
    walls_are(value=inf, lower=inf, upper=inf, at=None)
    row = found(tmp_path, ONE, {}, "W02", "body_bore_intake~hole", "wall")
    assert (row.value, row.verdict, row.note) == (None, "pass", "the cut is empty here")
    for check in ("W07", "W07r"):
        assert {row.verdict for row in judged(tmp_path, ONE, {}, check)} == {"not_run"}  # no port here
    for quantity in ("wall", "worst_case"):
        row = found(tmp_path, SLEEVED, {}, "S08", BORE, quantity)
        assert (row.value, row.bounds) == (None, None)
    row = found(tmp_path, PORT_JOB, {}, "P03", "port_intake", "wall")
    assert (row.value, row.verdict, row.missing) == (None, "not_run", ("stations.intake.port",))


@pytest.mark.parametrize(("y", "said"), [(9.2, "0.300 mm short"), (9.4, "0.100 mm short")])
def test_a_wall_says_how_much_it_is_short(y, said, tmp_path):
    """y - 5 - 3 of the 1.5 wanted."""
    row = found(tmp_path, ONE, {Y: y}, "W02", "body_bore_intake~hole", "wall")
    assert row.verdict == "fail"
    assert row.advice.startswith(said)


def test_a_thread_alone_says_that_its_drilled_hole_is_not_given(tmp_path):
    told = "the drilled hole is not given"
    for check, change, noted in (
        ("W06", {"head.cavities.hole.kind": "thread"}, True),
        ("W06", {"head.cavities.hole.kind": "thread", "head.cavities.hole.tap_dia": 5.0}, False),
        ("W02", {}, False),
    ):
        row = found(tmp_path, ONE, change, check, "body_bore_intake~hole", "wall")
        assert (told in row.note) is noted


@pytest.mark.parametrize(
    ("limits", "worst", "rss"),
    [({}, 1.2, 1.6), ({"W11": 3.0}, 1.8, 2.4), ({"W11": 1.9}, 1.2, 1.6)],
    ids=str,
)
def test_a_pocket_over_the_other_port_is_judged_once_by_the_stricter(limits, worst, rss, tmp_path):
    """W05's pocket floor 2.0 and W11's 1.5 or the job's own: 0.6 and 0.8 of the greater."""
    changes = PORTS | {"stations.intake.spring": {"pocket": {"dia": 16.0, "floor_s": 20.0}}}
    changes |= {"limits": limits} if limits else {}
    for check, quantity, limit in (("W07", "worst_case", worst), ("W07r", "rss_case", rss)):
        row = found(tmp_path, TWO, changes, check, "pocket_intake~port_exhaust", quantity)
        assert row.limit == pytest.approx(limit, rel=0, abs=1e-12)


def test_each_sleeve_has_the_walls_of_its_own_bore(tmp_path):
    """A second sleeve in a port of the exhaust: no bore is judged under the other, nor by the other's cause."""
    second = {
        "name": "liner", "in_port": "exhaust", "cause": {"cavity": "hole", "seen": True}, "mode": "bonded",
        "bore": {"dia": 12, "tol": "H7", "from": "face", "to": "bushing_od"},
        "sleeve": {"material": "al_sleeve", "od": 11.94, "od_tol": [-0.01, 0.0], "id": 11.0, "id_tol": [0.0, 0.02],
                   "inner_end": "square"},
        "bond": {"service_T": 150, "rated_T": 230}, "anti_rotation": "pin",
    }  # fmt: skip
    exhaust = {
        "axis": {"p": [0, -60, 0], "tilt": 0, "azim": 0},
        "bushing": {"body": {"dia": 20, "len": 30}, "shank": {"dia": 6}},
        "port": {"p": {"on_axis_s": 15}, "azim": 0, "elev": 0, "dia": 10, "face": {"along": 60}},
    }
    first = yaml.safe_load(SLEEVED)["repairs"][0]
    changes = {"repairs": [first, second], "stations.exhaust": exhaust, "temps": None}
    rows = judged(tmp_path, SLEEVED, changes, "S08")
    keys = [(row.subject, row.quantity) for row in rows]
    assert len(keys) == len(set(keys))
    subjects = {row.subject for row in rows}
    assert {"hole~sleeve_bore_tube", "sleeve_bore_liner~tunnel"} <= subjects
    assert not {"sleeve_bore_tube~tunnel", "hole~sleeve_bore_liner"} & subjects
