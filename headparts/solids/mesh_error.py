"""How far triangles are from the surface they stand for, measured in closed form on the simple surfaces."""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# Barycentric sample points of a triangle: corners left out, edge middles and the centroid included.
_STEPS = 6
_SAMPLES = np.array(
    [
        (i / _STEPS, j / _STEPS, 1.0 - (i + j) / _STEPS)
        for i, j in product(range(_STEPS + 1), repeat=2)
        if i + j <= _STEPS and max(i, j, _STEPS - i - j) < _STEPS
    ]
)
# The worst point of a chord lies at most 1/12 of the triangle away from a sample: (1 - 1/9) of it is seen.
_UNSEEN = 1.0 / (1.0 - 1.0 / 9.0)


def surface_error(face: Any, nodes: Floats, triangles: Ints) -> float:
    """Largest distance [mm] of the triangles of one face from the face's own surface.

    Args:
        face: kernel face, in the same place as the nodes.
        nodes: (n, 3) [mm]. triangles: (m, 3) indices.

    Planes give 0 (their nodes lie in them); cylinders, cones, spheres and tori are measured in closed form
    at 25 points a triangle; other surfaces by exact projection of the centroids and edge middles.
    """
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.GeomAbs import GeomAbs_SurfaceType as Kind

    surface = BRepAdaptor_Surface(face, False)
    kind = surface.GetType()
    if not len(triangles):
        return 0.0
    if kind == Kind.GeomAbs_Plane:
        return _plane_error(surface.Plane(), nodes)
    corners = nodes[triangles]
    if kind == Kind.GeomAbs_Cylinder:
        cylinder = surface.Cylinder()
        radius, _ = _about(cylinder.Position(), corners)
        error = np.abs(radius - cylinder.Radius())
    elif kind == Kind.GeomAbs_Cone:
        cone = surface.Cone()
        radius, height = _about(cone.Position(), corners)
        slope = cone.SemiAngle()
        error = np.abs(radius - cone.RefRadius() - height * np.tan(slope)) * np.cos(slope)
    elif kind == Kind.GeomAbs_Sphere:
        sphere = surface.Sphere()
        radius, height = _about(sphere.Position(), corners)
        error = np.abs(np.hypot(radius, height) - sphere.Radius())
    elif kind == Kind.GeomAbs_Torus:
        torus = surface.Torus()
        radius, height = _about(torus.Position(), corners)
        error = np.abs(np.hypot(radius - torus.MajorRadius(), height) - torus.MinorRadius())
    else:
        return _projected_error(face, corners)
    return float(error.max()) * _UNSEEN


def _about(position: Any, corners: Floats) -> tuple[Floats, Floats]:
    """Distance from the axis and height along it of the sample points of triangles (m, 3, 3)."""
    origin = np.array(position.Location().Coord())
    axis = np.array(position.Direction().Coord())
    points = np.einsum("sk,mkx->msx", _SAMPLES, corners) - origin
    height = points @ axis
    return np.linalg.norm(points - height[..., None] * axis, axis=-1), height


def _plane_error(plane: Any, nodes: Floats) -> float:
    normal = np.array(plane.Axis().Direction().Coord())
    origin = np.array(plane.Location().Coord())
    return float(np.abs((nodes - origin) @ normal).max())


def _projected_error(face: Any, corners: Floats) -> float:
    from OCP.BRep import BRep_Tool
    from OCP.GeomAPI import GeomAPI_ProjectPointOnSurf
    from OCP.gp import gp_Pnt

    surface = BRep_Tool.Surface_s(face)
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    worst = 0.0
    for x, y, z in np.concatenate([(a + b + c) / 3, (a + b) / 2, (b + c) / 2, (c + a) / 2]):
        projection = GeomAPI_ProjectPointOnSurf(gp_Pnt(x, y, z), surface)
        if projection.NbPoints():
            worst = max(worst, projection.LowerDistance())
    return worst
