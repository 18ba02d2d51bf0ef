"""Quadratic triangles of one section: fine in the web and round the rings, coarse elsewhere."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from headparts.errors import GeometryError
from headparts.stress.extra import mesher
from headparts.stress.section import Ellipse, Section

Array = NDArray[np.float64]
ON = 1e-6
"""A node is on a curve within this [mm]."""


@dataclass(frozen=True)
class Mesh:
    """Triangles of six nodes: corners, then the middles of sides 01, 12 and 20.

    ``points`` [mm] (n, 2); ``triangles`` (m, 6); ``region`` (m,): -1 the head, else the number of the ring; ``web``:
    nodes on the line across the web from the first bore to the second, in order.
    """

    points: Array
    triangles: NDArray[np.intp]
    region: NDArray[np.intp]
    web: NDArray[np.intp]

    def on(self, ellipse: Ellipse) -> NDArray[np.intp]:
        """Nodes on an ellipse, by their angle about its centre."""
        hit = np.flatnonzero(np.abs(ellipse.level(self.points) - 1.0) * ellipse.long < ON)
        away = self.points[hit] - np.asarray(ellipse.centre)
        order = np.argsort(np.arctan2(away[:, 1], away[:, 0]))
        return np.asarray(hit[order])


def mesh_of(section: Section, fineness: float = 1.0) -> Mesh:
    """Mesh a section. ``fineness`` divides every element size: 2 halves them.

    At fineness 1 there are 4 elements across the web and 3 across a ring's wall.
    Raises GeometryError when the section cannot be meshed or falls into pieces, MissingExtra without gmsh.
    """
    gmsh = mesher()
    web = section.web if len(section.rings) == 2 else None
    with _session(gmsh):
        occ = gmsh.model.occ
        base = _polygon(occ, section.outline)
        tools = [(2, _hole(occ, shape)) for _, shape in section.holes]
        tools += [(2, _disc(occ, ring.outer)) for ring in section.rings]
        head, _ = occ.cut([(2, base)], tools)
        rings = []
        for ring in section.rings:
            made, _ = occ.cut([(2, _disc(occ, ring.outer))], [(2, _disc(occ, ring.inner))])
            rings += made
        lines = []
        if web is not None:
            ends = [occ.addPoint(float(x), float(y), 0.0) for x, y in web]
            lines = [(1, occ.addLine(*ends))]
        if not head:
            raise GeometryError("nothing of the head is left in this section")
        occ.fragment(head, rings + lines)
        occ.removeAllDuplicates()
        occ.synchronize()
        gmsh.model.mesh.setSizeCallback(_sizes(section, fineness))
        try:
            gmsh.model.mesh.generate(2)
        except Exception as error:
            raise GeometryError(f"the section at z = {section.z:g} could not be meshed: {error}") from error
        tags, flat, _ = gmsh.model.mesh.getNodes()
        kinds, _, nodes = gmsh.model.mesh.getElements(2)
        if list(kinds) != [9]:
            raise GeometryError(f"the section at z = {section.z:g} could not be meshed")
        raw = np.asarray(nodes[0], dtype=np.int64).reshape(-1, 6)
        tags, flat = np.asarray(tags), np.asarray(flat).reshape(-1, 3)[:, :2]
    return _tidied(section, tags, flat, raw)


def _tidied(section: Section, tags: NDArray[Any], flat: Array, raw: NDArray[Any]) -> Mesh:
    used = np.unique(raw)
    place = np.zeros(int(tags.max()) + 1, dtype=np.int64)
    place[tags] = np.arange(len(tags))
    points = flat[place[used]]
    number = np.zeros(int(used.max()) + 1, dtype=np.int64)
    number[used] = np.arange(len(used))
    triangles = number[raw]
    a, b, c = (points[triangles[:, k]] for k in range(3))
    turned = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0] < 0.0
    triangles[turned] = triangles[turned][:, [0, 2, 1, 5, 4, 3]]
    middle = (a + b + c) / 3.0
    region = np.full(len(triangles), -1)
    for k, ring in enumerate(section.rings):
        region[ring.outer.level(middle) < 1.0] = k
    return Mesh(points, triangles, region, _on_web(section, points))


def _on_web(section: Section, points: Array) -> NDArray[np.intp]:
    if len(section.rings) < 2:
        return np.zeros(0, dtype=np.intp)
    start, end = section.web
    width = float(np.linalg.norm(end - start))
    along = (points - start) @ (end - start) / width
    beside = np.abs((points - start) @ np.array([-(end - start)[1], (end - start)[0]]) / width)
    hit = np.flatnonzero((beside < ON) & (along > -ON) & (along < width + ON))
    if len(hit) < 3:
        raise GeometryError("the web is not all metal at this height: a cavity lies in it")
    return np.asarray(hit[np.argsort(along[hit])])


@contextmanager
def _session(gmsh: Any) -> Iterator[None]:
    gmsh.initialize(readConfigFiles=False, interruptible=False)
    try:
        for key, value in {
            "General.Terminal": 0, "General.NumThreads": 1, "Mesh.ElementOrder": 2, "Mesh.Algorithm": 6,
            "Mesh.MeshSizeExtendFromBoundary": 0, "Mesh.MeshSizeFromPoints": 0, "Mesh.HighOrderOptimize": 1,
        }.items():  # fmt: skip
            gmsh.option.setNumber(key, value)
        gmsh.model.add("section")
        yield
    finally:
        gmsh.finalize()


def _polygon(occ: Any, corners: tuple[tuple[float, float], ...]) -> int:
    points = [occ.addPoint(x, y, 0.0) for x, y in corners]
    lines = [occ.addLine(p, q) for p, q in zip(points, points[1:] + points[:1], strict=True)]
    return int(occ.addPlaneSurface([occ.addCurveLoop(lines)]))


def _disc(occ: Any, e: Ellipse) -> int:
    c, s = math.cos(e.angle), math.sin(e.angle)
    return int(occ.addDisk(*e.centre, 0.0, e.long, e.short, zAxis=[0, 0, 1], xAxis=[c, s, 0]))


def _hole(occ: Any, shape: Ellipse | tuple[tuple[float, float], ...]) -> int:
    return _disc(occ, shape) if isinstance(shape, Ellipse) else _polygon(occ, shape)


def _sizes(section: Section, fineness: float) -> Any:
    """Wanted element size at a place: the least that the web, the rings and the distance from them ask for."""
    corners = np.asarray(section.outline)
    far = float(np.ptp(corners, axis=0).max()) / 12.0
    rings = [
        (ring.outer.centre, (ring.outer.long + ring.outer.short) / 2,
         min((ring.outer.short - ring.inner.short) / 3.0, ring.outer.short / 8.0), ring.inner.short)
        for ring in section.rings
    ]  # fmt: skip
    web = section.web_width / 4.0
    spot = (section.web[0] + section.web[1]) / 2.0 if len(section.rings) == 2 else None

    def size(_dim: int, _tag: int, x: float, y: float, _z: float, _lc: float) -> float:
        wanted = far
        for (cx, cy), radius, near, inner in rings:
            away = math.hypot(x - cx, y - cy)
            beyond = max(away - radius, inner - away, 0.0)
            wanted = min(wanted, near + 0.3 * beyond)
        if spot is not None:
            wanted = min(wanted, web + 0.25 * max(math.hypot(x - spot[0], y - spot[1]) - 2.0 * web, 0.0))
        return wanted / fineness

    return size
