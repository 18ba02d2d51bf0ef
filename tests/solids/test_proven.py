"""The proof of a cut: what is lost is noticed, seams are turned, and without a proof there is no model."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import cadquery as cq
import pytest

from headparts.errors import KernelError
from headparts.geometry.bodies import Box, Cut, Cylinder
from headparts.solids.body_solid import solid_of
from headparts.solids.cut import cut, cut_raw
from headparts.solids.primitives import box, cylinder
from headparts.solids.proven import SEAMS, proven_cut
from headparts.solids.shapes import solids_of

BLOCK = Box((-20.0, -20.0, 0.0), (20.0, 20.0, 25.0))
WIDE = Cut(Cylinder((0.0, 0.0, -1.0), (0.0, 0.0, 1.0), 8.0, 27.0), name="bore")
CROSS = Cut(Cylinder((0.0, 0.0, 12.0), (1.0, 0.0, 0.0), 5.0, 30.0), name="port")
OIL = Cut(Cylinder((15.0, 15.0, -1.0), (0.0, 0.0, 1.0), 0.1, 27.0), name="oil_hole")


def test_a_good_cut_is_proven_at_once() -> None:
    solid, proof = proven_cut(BLOCK, [WIDE, OIL], "block")
    exact = 40.0 * 40.0 * 25.0 - math.pi * (64.0 + 0.01) * 25.0
    assert proof.volume == pytest.approx(exact, rel=1e-9)
    assert proof.second_volume == pytest.approx(exact, abs=proof.second_tolerance)
    assert proof.second_tolerance < 1e-4 * exact
    assert proof.tries == ()
    assert len(solids_of(solid)) == 1


def test_a_lost_tool_is_noticed_by_the_volume() -> None:
    def forgetful(body: Any, tools: Sequence[Any]) -> Any:
        return cut_raw(body, tools[:1])

    with pytest.raises(KernelError, match=r"block: could not be proven, no model.*by rays"):
        proven_cut(BLOCK, [WIDE, CROSS], "block", forgetful)


def test_a_lost_small_hole_is_noticed_by_name() -> None:
    """0.8 mm3 of 35000: far below what a volume can show."""

    def forgetful(body: Any, tools: Sequence[Any]) -> Any:
        return cut_raw(body, tools[:1])

    with pytest.raises(KernelError, match=r"the cut 'oil_hole' is not there"):
        proven_cut(BLOCK, [WIDE, OIL], "block", forgetful)


def test_seams_are_turned_and_the_tries_recorded() -> None:
    calls: list[int] = []

    def moody(body: Any, tools: Sequence[Any]) -> Any:
        calls.append(len(tools))
        return cut_raw(body, tools[:1] if len(calls) < 3 else tools)

    _, proof = proven_cut(BLOCK, [WIDE, CROSS], "block", moody)
    assert len(calls) == 3
    assert len(proof.tries) == 2
    assert f"seams at {SEAMS[0]:g} rad" in proof.tries[0]
    said = [line for line in proof.lines() if line.startswith("seams were turned and the cut repeated")]
    assert len(said) == 2


def test_the_tries_differ_in_their_seams() -> None:
    seams: list[float] = []

    def watch(body: Any, tools: Sequence[Any]) -> Any:
        frame = next(face for face in cq.Shape.cast(tools[0]).Faces() if face.geomType() == "CYLINDER")
        from OCP.BRepAdaptor import BRepAdaptor_Surface

        x = BRepAdaptor_Surface(frame.wrapped).Cylinder().XAxis().Direction()
        seams.append(math.atan2(x.Y(), x.X()))
        raise KernelError("as asked")

    with pytest.raises(KernelError, match="as asked"):
        proven_cut(BLOCK, [WIDE], "block", watch)
    assert len({round(angle, 6) for angle in seams}) == len(SEAMS)


def test_nothing_left_is_an_error() -> None:
    everything = Cut(Box((-30.0, -30.0, -1.0), (30.0, 30.0, 30.0)), name="all")
    with pytest.raises(KernelError, match="leave nothing"):
        proven_cut(BLOCK, [everything], "block")


def test_cut_refuses_pieces() -> None:
    slot = box((-1.0, -30.0, -1.0), (1.0, 30.0, 30.0))
    with pytest.raises(KernelError, match="2 separate pieces"):
        cut(solid_of(BLOCK), [slot])
    with pytest.raises(KernelError, match="nothing is left"):
        cut(solid_of(BLOCK), [cylinder((0.0, 0.0, -1.0), (0.0, 0.0, 1.0), 60.0, 30.0)])
