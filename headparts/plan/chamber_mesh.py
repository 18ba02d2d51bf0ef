"""A chamber that is given as a watertight STL: its volume above the joint face, and what lies inside it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from headparts.config import JobFile
from headparts.errors import GeometryError, JobFileError
from headparts.geometry.axis import Array
from headparts.geometry.box_tree import BoxTree
from headparts.geometry.skin import Skin
from headparts.geometry.skin_wall import this_side
from headparts.plan.given import read_given

UNPROVEN = "unproven: a mesh chamber, what its triangles are off the real surface is not known"
TRIMMED = "unproven: nothing was removed for the mesh chamber and the nearest points lie in it; the wall is at least this"


@dataclass(frozen=True, eq=False)
class ChamberMesh:
    """The chamber's closed skin in the head's frame, mm."""

    skin: Skin

    @cached_property
    def _tree(self) -> BoxTree:
        return BoxTree(self.skin)

    @cached_property
    def above_joint(self) -> tuple[Array, np.ndarray]:
        """Triangles (m, 3, 3) and faces (m,) of the part above the joint face z = 0."""
        down = np.array([0.0, 0.0, -1.0])
        return this_side(self.skin.corners, self.skin.faces, np.zeros(3), down)

    @cached_property
    def volume(self) -> float:
        """Volume above the joint face [mm3]: the flux of z through its skin; the plane z = 0 adds nothing."""
        corners, _ = self.above_joint
        a, b, c = (corners[:, k] for k in range(3))
        up = np.cross(b - a, c - a)[:, 2] / 2.0
        return float(up @ corners[:, :, 2].mean(axis=1))

    @property
    def depth(self) -> float:
        """Joint face to the highest place [mm]."""
        return float(self.skin.box[1][2])

    def holds(self, points: Array) -> np.ndarray:
        """Whether points (n, 3) lie in the chamber or below the joint face."""
        below = points[:, 2] <= 1e-9
        return np.asarray(below | self._tree.contains(points))


def chamber_mesh(job: JobFile) -> ChamberMesh | None:
    """The chamber of a job whose type is mesh, or None. JobFileError with one fault at the key for a bad file."""
    if job.get("head.chamber.type") != "mesh":
        return None
    path = job.folder / str(job.get("head.chamber.file"))
    try:
        stamp = path.stat()
        mesh = _read(str(path), (stamp.st_mtime_ns, stamp.st_size))
        outline = job.get("head.outline.z")
        if outline is not None and mesh.depth >= outline[1]:
            raise GeometryError(
                f"it reaches up to z = {mesh.depth:.4g}, the casting's top is z = {outline[1]:g}"
            )
        return mesh
    except GeometryError as error:
        raise JobFileError([job.fault("head.chamber.file", str(error))]) from None
    except OSError as error:
        message = f"it cannot be read: {error.strerror or error}"
        raise JobFileError([job.fault("head.chamber.file", message)]) from None


@lru_cache(maxsize=4)
def _read(path: str, _stamp: tuple[int, int]) -> ChamberMesh:
    if not path.lower().endswith(".stl"):
        raise GeometryError("a mesh chamber is a watertight STL: its name must end with .stl")
    skin = read_given(path).skin
    assert skin is not None
    if not skin.box[1][2] > 0.0:
        raise GeometryError("the chamber must reach above the joint face, z > 0 in the head's frame")
    return ChamberMesh(skin)
