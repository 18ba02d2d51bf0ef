"""A cut that is believed only when it has been proven: the head's one boolean, and what speaks for it."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_IN

from headparts.errors import KernelError
from headparts.geometry.bodies import Box, Cut
from headparts.geometry.rays import box_left
from headparts.solids.body_solid import solid_of
from headparts.solids.cut import cut_raw
from headparts.solids.given_body import GivenBody
from headparts.solids.primitives import SEAM
from headparts.solids.shapes import solids_of, wrapped
from headparts.solids.step_file import Body as FileBody
from headparts.solids.step_file import Header, read_step, write_step
from headparts.solids.verify import bounds, is_valid, volume

SEAMS = (SEAM, 1.17, 0.61, 2.9, 0.37)
"""Angles [rad] to which cylinder seams are turned, one after the other, until a cut is proven."""
ROUND_TRIP = 1e-6
"""Relative difference of volume allowed between a solid and what is read back from its STEP file."""
BOX = 1e-3
"""Difference of a corner of the box allowed after the round trip [mm]."""


@dataclass(frozen=True)
class Proof:
    """What speaks for a cut solid. Volumes in mm3.

    volume : adaptive, by the kernel. second_volume, second_tolerance : by rays, and what was allowed.
    step_volume : of the solid read back from a STEP file with the kernel's default settings.
    tries : why earlier tries were refused, one line each; empty when the first was proven.
    loose : volumes of pieces that the cuts left hanging free; they are not part of the solid.
    seconds : what it took.
    """

    volume: float
    second_volume: float
    second_tolerance: float
    step_volume: float
    tries: tuple[str, ...]
    loose: tuple[float, ...]
    seconds: float

    def lines(self) -> tuple[str, ...]:
        """The proof in plain sentences for a report."""
        said = [
            f"valid; volume {self.volume:.3f} mm3, by rays {self.second_volume:.3f} mm3 "
            f"(allowed difference {self.second_tolerance:.3f}), from STEP again {self.step_volume:.3f} mm3"
        ]
        said += [f"seams were turned and the cut repeated: {reason}" for reason in self.tries]
        said += [f"a loose piece of {piece:.3f} mm3 fell off and is left out" for piece in self.loose]
        return tuple(said)


def proven_cut(
    base: Box | GivenBody,
    tools: Sequence[Cut],
    name: str,
    cutter: Callable[[Any, Sequence[Any]], Any] = cut_raw,
    by_rays: Callable[[Box, Sequence[Cut]], tuple[float, float]] = box_left,
) -> tuple[Any, Proof]:
    """A body less all tools, in one boolean, accepted only when everything agrees.

    Tried in turn with the cylinders' seams at other angles: the cut must be valid, its adaptive volume must
    agree with the volume by rays, no tool may have metal all along its middle, and all must survive a STEP
    round trip.

    Parameters
    ----------
    base, tools : as plain bodies, so that the rays see the same primitives as the kernel; the base may be a solid
        from elsewhere, which rays meet by its triangles.
    name : for messages. cutter : how the kernel cuts (tests put in one that fails).
    by_rays : the volume left of a box, and the difference allowed (a caller may know it already).

    Raises
    ------
    KernelError : no try could be proven; the message says why each was refused.
    """
    began = time.perf_counter()
    uncut = base.given if isinstance(base, GivenBody) else solid_of(base)
    refused: list[str] = []

    @cache
    def left() -> tuple[float, float]:
        return base.left(tools) if isinstance(base, GivenBody) else by_rays(base, tools)

    for seam in SEAMS:
        cutters = [solid_of(tool, seam + 0.37 * number) for number, tool in enumerate(tools)]
        try:
            found, kept, loose = _pieces(cutter(uncut, cutters))
            second, allowed = left()
            fault = _fault(found, kept + sum(loose), second, allowed) or _not_cut(found, base, tools)
            step_volume = 0.0
            if fault is None:
                step_volume, fault = _round_trip(found, kept, name)
        except KernelError as error:
            fault = str(error)
        if fault is None:
            proof = Proof(
                volume=kept,
                second_volume=second - sum(loose),
                second_tolerance=allowed,
                step_volume=step_volume,
                tries=tuple(refused),
                loose=tuple(loose),
                seconds=time.perf_counter() - began,
            )
            return found, proof
        refused.append(f"seams at {seam:g} rad: {fault}")
    raise KernelError(f"{name}: could not be proven, no model is given. " + "; ".join(refused))


def _pieces(shape: Any) -> tuple[Any, float, list[float]]:
    """The largest solid and its volume, and the volumes of the others."""
    solids = solids_of(shape)
    if not solids:
        raise KernelError("the cuts leave nothing")
    volumes = [volume(piece) for piece in solids]
    largest = volumes.index(max(volumes))
    return solids[largest], volumes[largest], volumes[:largest] + volumes[largest + 1 :]


def _fault(found: Any, whole: float, second: float, allowed: float) -> str | None:
    if not is_valid(found):
        return "the kernel finds its own solid faulty"
    if not abs(whole - second) <= allowed:
        return f"volume {whole:.3f} mm3, by rays {second:.3f} mm3 (allowed difference {allowed:.3f})"
    return None


def _not_cut(found: Any, base: Box | GivenBody, tools: Sequence[Cut]) -> str | None:
    """A cut with metal all along its middle: a small hole that vanished hardly shows in the volume."""
    classifier = BRepClass3d_SolidClassifier(wrapped(found))

    def metal(point: Any) -> bool:
        classifier.Perform(gp_Pnt(*(float(value) for value in point)), 1e-7)
        return bool(classifier.State() == TopAbs_IN)

    for tool in tools:
        points = tool.inner()
        points = points[base.contains(points)]
        if len(points) and all(metal(point) for point in points):
            return f"the cut {tool.name!r} is not there"
    return None


def _round_trip(found: Any, meant: float, name: str) -> tuple[float, str | None]:
    """Volume after writing and reading a STEP file in memory, and what is wrong with it."""
    header = Header(name=name, description="round trip", date="2000-01-01", system="headparts")
    again = read_step(write_step([FileBody(name, found)], header))
    if len(again) != 1:
        return 0.0, f"a STEP file of it holds {len(again)} solids"
    back = again[0].solid
    kept = volume(back)
    if not is_valid(back):
        return kept, "read back from STEP it is faulty"
    if not abs(kept - meant) <= ROUND_TRIP * meant:
        return kept, f"read back from STEP its volume is {kept:.3f} mm3, not {meant:.3f}"
    for one, other in zip(bounds(found), bounds(back), strict=True):
        if max(abs(a - b) for a, b in zip(one, other, strict=True)) > BOX:
            return kept, "read back from STEP its box has changed"
    return kept, None
