"""Triangles of a solid, within a tolerance that is truly in mm.

The kernel takes its deflection as a wish: the worst chord error measured was 0.5 (cylinder), 1.0 (torus) and
2.1 (sphere) times the request, it is relative to the edge length unless told otherwise, and a finer mesh
already on the shape is used again. So a bare copy is meshed, the error is measured on the surfaces
themselves, and the request is tightened until the measured error is inside the tolerance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from headparts.errors import KernelError, ParameterError
from headparts.geometry.skin import Skin
from headparts.geometry.weld import enclosed_volume, joined, open_edges, whole
from headparts.solids.mesh_error import surface_error

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_ANGLE = 0.5
_TRIES = 6


@dataclass(frozen=True)
class Mesh:
    """Triangles of a closed surface, normals outward.

    Attributes:
        vertices: (n, 3) [mm], no two closer than 1e-7 in every coordinate.
        triangles: (m, 3) indices into ``vertices``, counter-clockwise seen from outside.
        deviation: [mm] largest measured distance of a triangle from the surface it stands for.
        tolerance: [mm] what was asked for; ``deviation`` is not above it.
    """

    vertices: Floats
    triangles: Ints
    deviation: float
    tolerance: float

    @property
    def volume(self) -> float:
        """Enclosed volume [mm3] by the divergence theorem."""
        return enclosed_volume(self.vertices, self.triangles)


def triangulate(solid: Any, tolerance: float) -> Mesh:
    """Mesh a solid so that no triangle is further than ``tolerance`` [mm] from its surface.

    Args:
        solid: a cadquery solid or a kernel shape; it is not touched (a copy without its mesh is used).
        tolerance: 0.0005 to 1 mm.

    Raises:
        ParameterError: the tolerance is out of that range.
        KernelError: the shape cannot be meshed closed and within the tolerance.
    """
    skin = skin_of(solid, tolerance)
    return Mesh(skin.vertices, skin.triangles, skin.chord or 0.0, tolerance)


def skin_of(solid: Any, tolerance: float) -> Skin:
    """The same as a skin: every triangle with the number of its face, every face with its measured chord error.

    Faces are counted from 0 in the kernel's order of exploring, each once. Raises as ``triangulate``.
    """
    if not 0.0005 <= tolerance <= 1.0:
        raise ParameterError("stl_tol", tolerance, "0.0005 to 1 mm")
    shape = getattr(solid, "wrapped", solid)
    request = tolerance
    trouble = "it has no faces"
    for _ in range(_TRIES):
        points, corners, faces, deviations = _mesh_once(shape, request)
        if len(corners):
            deviation = float(deviations.max())
            vertices, triangles = joined(points, corners)
            kept = whole(triangles)
            triangles = triangles[kept]
            loose = open_edges(triangles)
            if loose:
                trouble = f"{loose} edges stay open"
            elif deviation > tolerance:
                trouble = f"triangles stay {deviation:.4f} mm off the surface"
            else:
                return Skin(vertices, triangles, faces[kept], deviation, chords=deviations)
            request *= 0.5 if loose else max(0.25, 0.9 * tolerance / deviation)
        else:
            request *= 0.5
    raise KernelError(f"no closed mesh within {tolerance} mm: {trouble}")


def _mesh_once(shape: Any, deflection: float) -> tuple[Floats, Ints, Ints, Floats]:
    """Points, triangles on them, the face of every triangle, and the chord error of every face."""
    from OCP.BRep import BRep_Tool
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.TopAbs import TopAbs_FACE, TopAbs_REVERSED
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopLoc import TopLoc_Location
    from OCP.TopoDS import TopoDS

    bare = BRepBuilderAPI_Copy(shape, True, False).Shape()
    BRepMesh_IncrementalMesh(bare, deflection, False, _ANGLE, False)
    points: list[Floats] = []
    corners: list[Ints] = []
    owners: list[Ints] = []
    deviations: list[float] = []
    count = 0
    faces = TopExp_Explorer(bare, TopAbs_FACE)
    while faces.More():
        face = TopoDS.Face_s(faces.Current())
        location = TopLoc_Location()
        triangulation = BRep_Tool.Triangulation_s(face, location)
        faces.Next()
        if triangulation is None:
            raise KernelError("a face could not be meshed")
        place = location.Transformation()
        nodes = np.array(
            [triangulation.Node(i).Transformed(place).Coord() for i in range(1, triangulation.NbNodes() + 1)],
            dtype=np.float64,
        ).reshape(-1, 3)
        cells = np.array(
            [triangulation.Triangle(i).Get() for i in range(1, triangulation.NbTriangles() + 1)],
            dtype=np.int64,
        ).reshape(-1, 3)
        cells -= 1
        if face.Orientation() == TopAbs_REVERSED:
            cells = cells[:, ::-1]
        owners.append(np.full(len(cells), len(deviations), dtype=np.int64))
        deviations.append(surface_error(face, nodes, cells))
        points.append(nodes)
        corners.append(cells + count)
        count += len(nodes)
    if not points:
        none = np.empty(0, dtype=np.int64)
        return np.empty((0, 3)), none.reshape(0, 3), none, np.empty(0)
    return np.concatenate(points), np.concatenate(corners), np.concatenate(owners), np.array(deviations)
