"""Least distance of two shapes by the kernel, polished: the second route for walls on a built solid.

The kernel's own distance is too large now and then (cylinder against ball in about 1 % of random pairs), which
is the unsafe side. Here its witness is only one of several starting points; from each, the two points are
projected on the other shape in turn until they stop moving, and the least distance found counts.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy, BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_FACE
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS

from headparts.errors import KernelError
from headparts.solids.primitives import Vector
from headparts.solids.shapes import wrapped

Array = NDArray[np.float64]

STILL = 1e-12
"""Two points that move less than this from one round to the next stand still [mm]."""
ROUNDS = 200
STARTS = 4


@dataclass(frozen=True)
class Separation:
    """Least distance found [mm], an upper bound that two points prove, and those points on a and on b.

    raw : what the kernel alone said [mm].
    """

    value: float
    at: tuple[Vector, Vector]
    raw: float


def least_distance(a: Any, b: Any, deflection: float = 0.1, starts: int = STARTS) -> Separation:
    """Least distance of two shapes (solids, faces): 0 when they touch or overlap.

    Parameters
    ----------
    a, b : cadquery or kernel shapes; they are not changed (meshes are made on copies).
    deflection : of the meshes from which further starting points are taken [mm].
    starts : how many of those; 0: only the kernel's own points are polished, and nothing is meshed.

    Raises
    ------
    KernelError : the kernel found no distance at all.
    """
    first, second = wrapped(a), wrapped(b)
    measured = BRepExtrema_DistShapeShape(first, second)
    if not measured.IsDone() or measured.NbSolution() < 1:
        raise KernelError("the kernel found no distance between two shapes")
    raw = float(measured.Value())
    if raw == 0.0:
        p = _xyz(measured.PointOnShape1(1))
        return Separation(0.0, (p, p), 0.0)
    begin = [(_xyz(measured.PointOnShape1(1)), _xyz(measured.PointOnShape2(1)))]
    if starts:
        begin += _mesh_starts(first, second, deflection, starts)
    best = min((_polished(first, second, *pair) for pair in begin), key=lambda found: found[0])
    return Separation(best[0], (best[1], best[2]), raw)


def polished_from(a: Any, b: Any, p: Vector, q: Vector) -> tuple[float, Vector, Vector]:
    """Least distance near two points of two shapes, and where: each projected on the other until they stand still.

    An upper bound of the least distance, and the least one when no nearer place lies elsewhere.
    """
    return _polished(wrapped(a), wrapped(b), p, q)


def _polished(a: Any, b: Any, p: Vector, q: Vector) -> tuple[float, Vector, Vector]:
    """Alternating projection from one pair of points, with a longer step tried now and then."""
    best = (math.inf, p, q)  # a start may be a mesh point, which lies beside the surface
    before: Vector | None = None
    step_before = math.inf
    for turn in range(ROUNDS):
        q = _nearest(b, p)
        moved_from = p
        p = _nearest(a, q)
        value = math.dist(p, q)
        if value < best[0]:
            best = (value, p, q)
        step = math.dist(p, moved_from)
        if step < STILL:
            break
        if turn % 3 == 2 and before is not None and 0.0 < step < step_before:
            # the moves shrink by a steady factor: sum the rest of the series, project, keep what is nearer
            factor = step / step_before
            gain = factor / (1.0 - factor)
            guess = _nearest(a, _plus(p, moved_from, gain))
            on_b = _nearest(b, guess)
            if math.dist(guess, on_b) < value:
                p = guess
        before, step_before = moved_from, step
    return best


def _nearest(shape: Any, point: Vector) -> Vector:
    """The point of a shape's surface that is nearest to a point."""
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Vertex()
    found = BRepExtrema_DistShapeShape(vertex, shape)
    if not found.IsDone() or found.NbSolution() < 1:
        raise KernelError("the kernel could not project a point on a shape")
    return _xyz(found.PointOnShape2(1))


def _mesh_starts(a: Any, b: Any, deflection: float, count: int) -> list[tuple[Vector, Vector]]:
    """The nearest pairs between two coarse clouds of surface points, no two of them close together."""
    cloud_a, cloud_b = _cloud(a, deflection), _cloud(b, deflection)
    if not len(cloud_a) or not len(cloud_b):
        return []
    nearest = np.empty(len(cloud_a))
    partner = np.empty(len(cloud_a), dtype=int)
    for block in np.array_split(np.arange(len(cloud_a)), max(1, len(cloud_a) * len(cloud_b) // 2_000_000)):
        gaps = ((cloud_a[block, None, :] - cloud_b[None, :, :]) ** 2).sum(axis=2)
        partner[block] = gaps.argmin(axis=1)
        nearest[block] = gaps.min(axis=1)
    starts: list[tuple[Vector, Vector]] = []
    reach = float(np.ptp(cloud_a, axis=0).max()) / 10.0
    for i in np.argsort(nearest):
        p = _vector(cloud_a[i])
        if all(math.dist(p, other[0]) > reach for other in starts):
            starts.append((p, _vector(cloud_b[partner[i]])))
        if len(starts) == count:
            break
    return starts


def _cloud(shape: Any, deflection: float) -> Array:
    """Points of a shape's surface: the corners and middles of a mesh of its faces."""
    copy = BRepBuilderAPI_Copy(shape, True, False).Shape()
    BRepMesh_IncrementalMesh(copy, deflection, False, 0.3, False)
    points = [point for triangle in _triangles(copy) for point in _spread(triangle)]
    return np.unique(np.round(np.array(points), 9), axis=0) if points else np.empty((0, 3))


def _triangles(shape: Any) -> Iterator[Array]:
    explorer = TopExp_Explorer(shape, TopAbs_FACE)
    while explorer.More():
        place = TopLoc_Location()
        mesh = BRep_Tool.Triangulation_s(TopoDS.Face_s(explorer.Current()), place)
        if mesh is not None:
            move = place.Transformation()
            for number in range(1, mesh.NbTriangles() + 1):
                corners = mesh.Triangle(number).Get()
                yield np.array([_xyz(mesh.Node(corner).Transformed(move)) for corner in corners])
        explorer.Next()


def _spread(triangle: Array) -> Sequence[Array]:
    a, b, c = triangle
    return (a, b, c, (a + b) / 2.0, (b + c) / 2.0, (c + a) / 2.0, (a + b + c) / 3.0)


def _plus(end: Vector, start: Vector, factor: float) -> Vector:
    x, y, z = (e + factor * (e - s) for e, s in zip(end, start, strict=True))
    return x, y, z


def _vector(row: Array) -> Vector:
    return float(row[0]), float(row[1]), float(row[2])


def _xyz(point: Any) -> Vector:
    return point.X(), point.Y(), point.Z()
