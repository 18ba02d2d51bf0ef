"""Parts in the frame of a file: their own, the head's, or that of a set-up."""

from __future__ import annotations

from collections.abc import Sequence

from headparts.errors import GeometryError
from headparts.parts.part import Part, Placement
from headparts.solids.primitives import moved
from headparts.solids.step_file import Body

Vector = tuple[float, float, float]


def seen_from(frame: Placement) -> Placement:
    """The head's frame as it stands in ``frame``: moving world solids by it gives them in ``frame``.

    Raises:
        GeometryError: the axes of ``frame`` are not square to each other.
    """
    x, z, o = frame.x, frame.z, frame.origin
    if abs(_dot(x, z)) > 1e-9 or abs(_dot(x, x) - 1.0) > 1e-9 or abs(_dot(z, z) - 1.0) > 1e-9:
        raise GeometryError(f"frame with x {x} and z {z}: the axes must be unit vectors square to each other")
    y = _cross(z, x)
    return Placement(
        origin=(-_dot(x, o), -_dot(y, o), -_dot(z, o)),
        x=(x[0], y[0], z[0]),
        z=(x[2], y[2], z[2]),
    )


def own(parts: Sequence[Part]) -> tuple[Body, ...]:
    """Each part in its own frame."""
    return tuple(Body(part.name, part.shape, part.colour) for part in parts)


def in_head(parts: Sequence[Part]) -> tuple[Body, ...]:
    """Each part where it sits, in the head's frame."""
    return tuple(Body(part.name, part.placed_shape(), part.colour) for part in parts)


def in_frame(parts: Sequence[Part], frame: Placement) -> tuple[Body, ...]:
    """Each part where it sits, seen from ``frame`` (a set-up's origin, X and spindle direction)."""
    back = seen_from(frame)
    return tuple(
        Body(part.name, moved(part.placed_shape(), back.origin, back.x, back.z), part.colour)
        for part in parts
    )


def point_in(frame: Placement, point: Vector) -> Vector:
    """A point of the head's frame in the coordinates of ``frame`` [mm]."""
    x, z = frame.x, frame.z
    y = _cross(z, x)
    away = (point[0] - frame.origin[0], point[1] - frame.origin[1], point[2] - frame.origin[2])
    return _dot(x, away), _dot(y, away), _dot(z, away)


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Vector, b: Vector) -> Vector:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]
