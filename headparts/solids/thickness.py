"""The thickness field of a kernel solid: exact rays, then exact distances of the faces that they join."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepGProp import BRepGProp
from OCP.BRepTools import BRepTools
from OCP.BRepTopAdaptor import BRepTopAdaptor_FClass2d
from OCP.GeomAPI import GeomAPI_ProjectPointOnSurf
from OCP.gp import gp_Dir, gp_Lin, gp_Pnt, gp_Pnt2d, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector
from OCP.TopAbs import TopAbs_FACE, TopAbs_IN, TopAbs_OUT, TopAbs_REVERSED, TopAbs_VERTEX
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS
from OCP.TopTools import TopTools_IndexedMapOfShape

from headparts.geometry.thickness import Floats, Thickness, Thin, best_by_pair, by_ray, thin_pairs
from headparts.solids.distance import least_distance
from headparts.solids.shapes import wrapped
from headparts.solids.verify import bounds, volume

MOST_PAIRS = 150
"""Exact distances asked for at most, for the pairs with the shortest rays first."""
LEAST_POINTS = 6
"""Points on the smallest face."""
NEAR = 1e-6
"""Hits nearer to a ray's start than this are the start itself [mm]."""
_TOLERANCE = 1e-7
_PLASTIC = 1.324717957244746
_THIRD = 1.220744084605760
"""Bases of low-discrepancy recurrences: real roots of x^3 = x + 1 and x^4 = x + 1."""


def solid_thickness(solid: Any, points: int = 10_000, below: float = 0.0) -> Thickness:
    """Thickness at about ``points`` places, by area, at least six a face; the same solid gives the same places.

    ``below`` [mm]: every pair of faces that a ray joins and that may be nearer than this is measured exactly,
    not only those that may hold the least (at most 150 pairs in all).
    """
    faces = _Faces(wrapped(solid))
    start, normals, face, shares = faces.sampled(points)
    values, exits = faces.exits(start, -normals)
    sound = np.isfinite(values)
    touching = np.array([a != b and faces.touch(a, b) for a, b in zip(face, exits, strict=True)], dtype=bool)
    adjacent = sound & touching
    seen = best_by_pair(values, face, exits, sound & ~adjacent)
    edges = best_by_pair(values, face, exits, adjacent)
    rays = [
        (by_ray(float(values[k]), start[k], -normals[k], pair, float(values[k])), k)
        for pair, k in seen.items()
    ]

    def measure(ray: Thin, k: int) -> Thin:
        return _measured(faces, ray, start[k], -normals[k], int(face[k]))

    pairs, untried = thin_pairs(rays, below, MOST_PAIRS, faces.apart, measure)
    return Thickness(
        kind="STEP",
        volume=volume(solid),
        box=bounds(solid),
        face_count=len(faces),
        points=start,
        normals=normals,
        values=values,
        faces=face,
        exits=exits,
        adjacent=adjacent,
        shares=shares,
        pairs=tuple(sorted(pairs, key=lambda thin: thin.value)),
        edges=tuple(
            by_ray(float(values[k]), start[k], -normals[k], ab, float(values[k])) for ab, k in edges.items()
        ),
        untried=untried,
    )


def _measured(faces: _Faces, ray: Thin, start: Floats, along: Floats, own: int) -> Thin:
    """The exact distance of two faces where it runs in metal, else the shortest ray, refined."""
    a, b = ray.faces
    if a != b:
        found = least_distance(faces.face(a), faces.face(b))
        if found.value <= ray.value + 1e-9 and faces.in_metal(*found.at):
            return Thin(found.value, found.at, ray.faces, "face pair", ray.seen)
    value, start, along = faces.refined(own, b if own == a else a, ray.value, start, along)
    return by_ray(value, start, along, ray.faces, ray.seen)


class _Faces:
    """The faces of a solid by number: surfaces, neighbours, rays."""

    def __init__(self, shape: Any) -> None:
        self._shape = shape
        self._map = TopTools_IndexedMapOfShape()
        TopExp.MapShapes_s(shape, TopAbs_FACE, self._map)
        self._surfaces = [BRepAdaptor_Surface(self.face(k)) for k in range(len(self))]
        self._inside = [BRepTopAdaptor_FClass2d(self.face(k), _TOLERANCE) for k in range(len(self))]
        corners = TopTools_IndexedMapOfShape()
        TopExp.MapShapes_s(shape, TopAbs_VERTEX, corners)
        self._corners = [frozenset(self._corners_of(k, corners)) for k in range(len(self))]
        self._boxes = [bounds(self.face(k)) for k in range(len(self))]
        self._rays = IntCurvesFace_ShapeIntersector()
        self._rays.Load(shape, _TOLERANCE)
        self._classifier = BRepClass3d_SolidClassifier(shape)

    def __len__(self) -> int:
        return int(self._map.Extent())

    def face(self, number: int) -> Any:
        """The kernel's face of a number counted from 0."""
        return TopoDS.Face_s(self._map.FindKey(number + 1))

    def _corners_of(self, number: int, every: Any) -> Iterator[int]:
        own = TopTools_IndexedMapOfShape()
        TopExp.MapShapes_s(self.face(number), TopAbs_VERTEX, own)
        for k in range(1, own.Extent() + 1):
            yield every.FindIndex(own.FindKey(k))

    def touch(self, a: int, b: int) -> bool:
        """Whether two faces share a corner (every edge has one)."""
        return min(a, b) >= 0 and not self._corners[a].isdisjoint(self._corners[b])

    def apart(self, a: int, b: int) -> float:
        """Distance of the upright boxes round two faces [mm]: they are not nearer than that."""
        (low_a, high_a), (low_b, high_b) = self._boxes[a], self._boxes[b]
        gaps = [max(p - s, r - q, 0.0) for p, q, r, s in zip(low_a, high_a, low_b, high_b, strict=True)]
        return max(0.0, math.hypot(*gaps) - 1e-5)

    def in_metal(self, p: Any, q: Any) -> bool:
        """Whether the straight line between two points of the surface runs in metal or along a face of it."""
        for share in (0.02, 0.25, 0.5, 0.75, 0.98):
            at = [a + share * (b - a) for a, b in zip(p, q, strict=True)]
            self._classifier.Perform(gp_Pnt(*at), _TOLERANCE)
            if self._classifier.State() == TopAbs_OUT:
                return False
        return True

    def sampled(self, points: int) -> tuple[Floats, Floats, np.ndarray, Floats]:
        """Places (n, 3), outward normals (n, 3), face numbers (n,) and areas stood for (n,)."""
        areas = []
        for k in range(len(self)):
            sums = GProp_GProps()
            BRepGProp.SurfaceProperties_s(self.face(k), sums, 1e-6)
            areas.append(abs(sums.Mass()))
        total = sum(areas)
        places, normals, numbers, shares = [], [], [], []
        for k, area in enumerate(areas):
            found = list(self._on_face(k, max(LEAST_POINTS, round(points * area / total))))
            for place, normal in found:
                places.append(place)
                normals.append(normal)
                numbers.append(k)
                shares.append(area / len(found))
        return np.array(places), np.array(normals), np.array(numbers, dtype=np.int64), np.array(shares)

    def _on_face(self, number: int, wanted: int) -> Iterator[tuple[Floats, Floats]]:
        """Places of one face, evenly by area, and normals out of the metal."""
        u0, u1, v0, v1 = BRepTools.UVBounds_s(self.face(number))
        corners = [(u0 + (u1 - u0) * i / 8.0, v0 + (v1 - v0) * j / 8.0) for i in range(9) for j in range(9)]
        most = max(self._at(number, u, v)[2] for u, v in corners)
        made = 0
        for k in range(60 * wanted + 200):
            u = u0 + (u1 - u0) * ((0.5 + k / _THIRD) % 1.0)
            v = v0 + (v1 - v0) * ((0.5 + k / _THIRD**2) % 1.0)
            place, normal, stretch = self._at(number, u, v)
            if stretch <= (0.5 + k / _THIRD**3) % 1.0 * most:
                continue
            if self._inside[number].Perform(gp_Pnt2d(u, v), True) != TopAbs_IN:
                continue
            yield place, normal
            made += 1
            if made == wanted:
                return

    def _at(self, number: int, u: float, v: float) -> tuple[Floats, Floats, float]:
        """Place, normal out of the metal and stretch (area a unit of u and v) at a face's parameters."""
        point, along_u, along_v = gp_Pnt(), gp_Vec(), gp_Vec()
        self._surfaces[number].D1(u, v, point, along_u, along_v)
        square = along_u.Crossed(along_v)
        size = square.Magnitude()
        normal = np.array([square.X(), square.Y(), square.Z()]) / max(size, 1e-300)
        if self.face(number).Orientation() == TopAbs_REVERSED:
            normal = -normal
        return np.array([point.X(), point.Y(), point.Z()]), normal, size

    def exits(self, start: Floats, along: Floats) -> tuple[Floats, np.ndarray]:
        """How far (n,) each ray runs in the metal and the face (n,) where it leaves; nan and -1 where none."""
        values, numbers = np.full(len(start), np.nan), np.full(len(start), -1, dtype=np.int64)
        for k, (p, d) in enumerate(zip(start.tolist(), along.tolist(), strict=True)):
            values[k], numbers[k] = self._exit(p, d)
        return values, numbers

    def _exit(self, p: Any, d: Any) -> tuple[float, int]:
        if not any(d):
            return math.nan, -1
        line = gp_Lin(gp_Pnt(*p), gp_Dir(*d))
        self._rays.PerformNearest(line, NEAR, 1e4)
        if not self._rays.IsDone() or self._rays.NbPnt() < 1:
            return math.nan, -1
        number = self._map.FindIndex(self._rays.Face(1)) - 1
        _, normal, _ = self._at(number, self._rays.UParameter(1), self._rays.VParameter(1))
        if float(normal @ np.asarray(d)) < -1e-9:  # entering: an exit before it was missed
            return math.nan, -1
        return float(self._rays.WParameter(1)), number

    def refined(
        self, own: int, other: int, value: float, start: Floats, along: Floats
    ) -> tuple[float, Floats, Floats]:
        """A shorter ray from face ``own`` to ``other``: places round the best one, nearer and nearer."""
        u, v = self._parameters(own, start)
        u0, u1, v0, v1 = BRepTools.UVBounds_s(self.face(own))
        step_u, step_v = (u1 - u0) / 16.0, (v1 - v0) / 16.0
        for _ in range(60):
            better = None
            for i, j in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1), (1, -1), (-1, 1)):
                at_u, at_v = u + i * step_u, v + j * step_v
                if self._inside[own].Perform(gp_Pnt2d(at_u, at_v), True) != TopAbs_IN:
                    continue
                place, normal, _ = self._at(own, at_u, at_v)
                length, number = self._exit(place, -normal)
                if number == other and length < value - 1e-12:
                    value, better = length, (at_u, at_v, place, -normal)
            if better is None:
                step_u, step_v = step_u / 2.0, step_v / 2.0
                if max(step_u / max(u1 - u0, 1e-12), step_v / max(v1 - v0, 1e-12)) < 1e-9:
                    break
            else:
                u, v, start, along = better
        return value, start, along

    def _parameters(self, number: int, place: Floats) -> tuple[float, float]:
        """u and v of a place on a face."""
        u0, u1, v0, v1 = BRepTools.UVBounds_s(self.face(number))
        surface = BRep_Tool.Surface_s(self.face(number))
        found = GeomAPI_ProjectPointOnSurf(gp_Pnt(*place.tolist()), surface, u0, u1, v0, v1)
        if found.NbPoints() < 1:
            return (u0 + u1) / 2.0, (v0 + v1) / 2.0
        u, v = found.LowerDistanceParameters()
        return float(u), float(v)
