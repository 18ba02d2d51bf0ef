"""The head as a solid from a file that the job names: read once, judged, and put in its place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from headparts.config import JobFile
from headparts.errors import GeometryError, JobFileError, KernelError

if TYPE_CHECKING:  # skins of triangles are loaded for the jobs that have some
    from headparts.geometry.placement import Motion
    from headparts.geometry.skin import Skin
    from headparts.plan.given import Given

CHORD = 0.02
"""How far triangles may be off the surface of a given STEP solid [mm]; walls found on them are polished."""


@dataclass(frozen=True, eq=False)
class GivenHead:
    """A given head in the head's frame, mm.

    kind : STEP or STL. skin : its triangles. solid : of STEP the kernel's solid. off : by how much its three
    points miss the head's. said : what was read, in one line.
    """

    kind: str
    skin: Skin
    solid: Any
    off: float
    said: str


def given_head(job: JobFile) -> GivenHead | None:
    """The head that ``head.solid`` names, or None. Raises JobFileError with one fault at the key for a bad file."""
    block = job.get("head.solid")
    if block is None:
        return None
    path = job.folder / block.file
    try:
        stamp = path.stat()
        return _placed(str(path), (stamp.st_mtime_ns, stamp.st_size), block.file, block.place)
    except GeometryError as error:
        raise JobFileError([job.fault("head.solid.file", str(error))]) from None
    except OSError as error:
        message = f"it cannot be read: {error.strerror or error}"
        raise JobFileError([job.fault("head.solid.file", message)]) from None


def read_files(job: JobFile) -> None:
    """Read every file that a job names, so that a bad one is a fault of the job before anything is done."""
    given_head(job)
    if job.get("head.chamber.type") == "mesh":
        from headparts.plan.chamber_mesh import chamber_mesh

        chamber_mesh(job)


@lru_cache(maxsize=4)
def _placed(path: str, _stamp: tuple[int, int], name: str, place: Any) -> GivenHead:
    from headparts.geometry.placement import by_three_points
    from headparts.plan.given import read_given

    given, motion = read_given(path), by_three_points(place)
    skin = _skin(given).moved(motion.turn, motion.shift)
    solid = None if given.solid is None else _moved(given.solid, motion)
    low, high = skin.box
    size = " x ".join(f"{each:.2f}" for each in high - low)
    dropped = f", {skin.dropped} degenerate triangles dropped" if skin.dropped else ""
    said = (
        f"head read from {name}: {given.kind}, {size} mm, {skin.volume / 1000.0:.3f} cm3{dropped}; its three "
        f"points fit the head's within {motion.off:.3f} mm"
    )
    return GivenHead(given.kind, skin, solid, motion.off, said)


def _skin(given: Given) -> Skin:
    if given.skin is not None:
        return given.skin
    from headparts.solids.mesh import skin_of

    try:
        return skin_of(given.solid, CHORD)
    except KernelError as error:
        raise GeometryError(f"the solid does not close: {error}") from None


def _moved(solid: Any, motion: Motion) -> Any:
    from headparts.solids.primitives import moved
    from headparts.solids.shapes import solid as one

    turn = np.asarray(motion.turn)
    return one(moved(solid, motion.shift.tolist(), turn[:, 0].tolist(), turn[:, 2].tolist()))
