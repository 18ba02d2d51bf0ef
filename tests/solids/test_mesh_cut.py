"""Scans cut as triangles: closed forms, what belongs to which tool, and what is refused."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence

import numpy as np
import pytest
import trimesh

from headparts.errors import KernelError
from headparts.geometry.bodies import Box, Cut, Cylinder
from headparts.geometry.skin import Skin, trusted
from headparts.geometry.weld import open_edges
from headparts.solids.mesh_cut import cut_skin, subtract

TIGHT = 0.002
"""Tolerance of the tools' triangles here [mm]."""


def block(low: Sequence[float], high: Sequence[float], inside_out: bool = False) -> trimesh.Trimesh:
    made = trimesh.creation.box(bounds=(low, high))
    if inside_out:
        made.invert()
    return made


def as_scan(*shells: trimesh.Trimesh) -> Skin:
    whole = trimesh.util.concatenate(shells)
    return trusted(np.array(whole.vertices), np.array(whole.faces))


SCAN = as_scan(block((0.0, 0.0, 0.0), (20.0, 20.0, 10.0)))
UPRIGHT = Cut(Cylinder((10.0, 10.0, -1.0), (0.0, 0.0, 1.0), 3.0, 12.0), name="upright")
LEVEL = Cut(Cylinder((-1.0, 10.0, 5.0), (1.0, 0.0, 0.0), 3.0, 22.0), name="level")


def test_a_bore_takes_its_cylinder_less_at_most_the_chords() -> None:
    """pi r2 h, and no more than 2 pi r h times the tolerance less: chords lie inside the hole."""
    cut, proof = cut_skin(SCAN, [UPRIGHT], TIGHT, "block")
    truth, side = 4000.0 - math.pi * 9.0 * 10.0, 2.0 * math.pi * 3.0 * 10.0
    assert truth < cut.volume <= truth + side * TIGHT
    assert proof.volume == cut.volume
    assert 4000.0 - proof.second_volume == pytest.approx(4000.0 - truth, rel=1e-3)  # rays, the true cylinder
    assert 0.0 < proof.chord <= TIGHT
    assert proof.loose == ()
    assert open_edges(cut.triangles) == 0


def test_crossing_bores_are_cut_in_one_boolean() -> None:
    """Two equal cylinders that cross at right angles share 16 r3 / 3 (Steinmetz's solid, a textbook closed form)."""
    cut, _ = cut_skin(SCAN, [UPRIGHT, LEVEL], TIGHT, "block")
    removed = math.pi * 9.0 * 30.0 - 16.0 * 27.0 / 3.0
    side = 2.0 * math.pi * 3.0 * 30.0
    assert 4000.0 - removed < cut.volume <= 4000.0 - removed + side * TIGHT


def test_every_triangle_says_what_it_is_from() -> None:
    cut, proof = cut_skin(SCAN, [UPRIGHT, LEVEL], TIGHT, "block")
    assert set(cut.faces.tolist()) == {0, 1, 2}
    for number, (across, centre) in enumerate((((0, 1), (10.0, 10.0)), ((1, 2), (10.0, 5.0))), start=1):
        corners = cut.corners[cut.faces == number][..., across] - centre
        radius = np.linalg.norm(corners, axis=-1)
        assert radius.max() <= 3.0 + 1e-9
        assert radius.min() >= 3.0 - proof.chord - 1e-9
    of_scan = cut.corners[cut.faces == 0].reshape(-1, 3)
    on_a_side = np.abs(of_scan[:, None] - np.array([[0.0] * 3, [20.0, 20.0, 10.0]])).min(axis=(1, 2))
    assert on_a_side.max() < 1e-9


def test_the_same_cut_twice_in_one_process_is_the_same() -> None:
    """The library counts the bodies that it has seen; that must not show."""
    one, _ = cut_skin(SCAN, [UPRIGHT, LEVEL], TIGHT, "block")
    again, _ = cut_skin(SCAN, [UPRIGHT, LEVEL], TIGHT, "block")
    assert np.array_equal(one.vertices, again.vertices)
    assert np.array_equal(one.triangles, again.triangles)
    assert np.array_equal(one.faces, again.faces)


def test_a_hollow_inside_stays_and_a_loose_piece_goes() -> None:
    """A slot through all at x = 12 to 13 leaves 12 and 7 mm of 20; a hollow of 2 x 2 x 2 lies in the larger piece,
    another of 1 x 1 x 1 in the smaller one."""
    scan = as_scan(
        block((0.0, 0.0, 0.0), (20.0, 20.0, 10.0)),
        block((4.0, 4.0, 4.0), (6.0, 6.0, 6.0), inside_out=True),
        block((16.0, 4.0, 4.0), (17.0, 5.0, 5.0), inside_out=True),
    )
    slot = Cut(Box((12.0, -1.0, -1.0), (13.0, 21.0, 11.0)), name="slot")
    cut, proof = cut_skin(scan, [slot], 0.01, "block")
    assert cut.volume == pytest.approx(12.0 * 200.0 - 8.0, abs=1e-9)
    assert proof.loose == pytest.approx((7.0 * 200.0, -1.0), abs=1e-9)
    assert proof.second_volume == pytest.approx(cut.volume, abs=proof.second_tolerance)
    assert cut.box[1][0] == pytest.approx(12.0)
    assert len(np.unique(cut.triangles)) == len(cut.vertices)


def test_coplanar_faces_and_a_scan_that_is_cut_already() -> None:
    """A tool that ends in the block's own face leaves no film, and cutting a second time takes only chords."""
    flush = Cut(Cylinder((10.0, 10.0, 4.0), (0.0, 0.0, 1.0), 3.0, 6.0), name="flush")
    once, _ = cut_skin(SCAN, [flush], TIGHT, "block")
    assert once.volume == pytest.approx(4000.0 - 54.0 * math.pi, abs=2.0 * math.pi * 3.0 * 6.0 * TIGHT)
    over = once.corners.reshape(-1, 3)
    assert not ((np.hypot(*(over[:, :2] - 10.0).T) < 2.9) & (over[:, 2] > 9.9)).any()
    twice, _ = cut_skin(once, [flush], TIGHT, "block")
    assert once.volume - 2.0 * math.pi * 3.0 * 6.0 * TIGHT < twice.volume <= once.volume + 1e-6


def test_a_cut_that_is_not_there_is_refused() -> None:
    """A hole of 0.2 takes 0.3 mm3 of 4000, less than two large bores' chords excuse; it is missed all the same."""
    small = Cut(Cylinder((3.0, 3.0, -1.0), (0.0, 0.0, 1.0), 0.1, 12.0), name="small")

    def forgetful(skins: Sequence[Skin]) -> Skin:
        return subtract(skins[:-1])

    with pytest.raises(KernelError, match=r"block: .*no model is given.*the cut 'small' is not there"):
        cut_skin(SCAN, [UPRIGHT, LEVEL, small], 0.01, "block", forgetful)
    with pytest.raises(KernelError, match=r"its triangles hold 4000\.000 mm3, by rays 3717"):
        cut_skin(SCAN, [UPRIGHT], 0.01, "block", forgetful)


def test_a_cut_that_is_open_is_refused() -> None:
    def torn(skins: Sequence[Skin]) -> Skin:
        found = subtract(skins)
        return dataclasses.replace(found, triangles=found.triangles[1:], faces=found.faces[1:])

    with pytest.raises(KernelError, match="not watertight, 3 edges stay open"):
        cut_skin(SCAN, [UPRIGHT], 0.01, "block", torn)


def test_what_the_library_refuses_is_said() -> None:
    torn = dataclasses.replace(SCAN, triangles=SCAN.triangles[1:], faces=SCAN.faces[1:])
    with pytest.raises(KernelError, match=r"block: the boolean of triangles refuses .*NotManifold; no model"):
        cut_skin(torn, [UPRIGHT], 0.01, "block")
    everything = Cut(Box((-1.0, -1.0, -1.0), (21.0, 21.0, 11.0)), name="all")
    with pytest.raises(KernelError, match="block: the cuts leave nothing"):
        cut_skin(SCAN, [everything], 0.01, "block")


def test_a_scan_that_runs_through_itself_where_it_is_cut_is_refused() -> None:
    """Watertight and one shell, but one corner pushed through the far side: inside and outside are not clear there."""
    folded = SCAN.vertices.copy()
    corner = int(np.flatnonzero((folded == [20.0, 20.0, 10.0]).all(axis=1))[0])
    folded[corner] = (5.0, 5.0, -3.0)
    scan = trusted(folded, SCAN.triangles)
    with pytest.raises(KernelError, match="could not be proven, no model is given: its triangles hold"):
        cut_skin(scan, [UPRIGHT], 0.01, "block")
