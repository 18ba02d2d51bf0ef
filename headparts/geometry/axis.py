"""Axes, directions and frames in the head's coordinates (mm, degrees).

Angles as in the job file: tilt from +Z, azimuth from +X counter-clockwise seen from above, elevation from
the XY plane. numpy only.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from headparts.errors import GeometryError

Vec = tuple[float, float, float]
Array = NDArray[np.float64]

PARALLEL_SINE = 1e-12
"""Two directions whose sine of the enclosed angle is below this count as parallel."""


def vector(values: ArrayLike) -> Vec:
    """Three finite floats as a tuple. Raises GeometryError for anything else."""
    array = np.asarray(values, dtype=float)
    if array.shape != (3,) or not np.all(np.isfinite(array)):
        raise GeometryError(f"expected three finite coordinates, got {values!r}")
    return (float(array[0]), float(array[1]), float(array[2]))


def unit(values: ArrayLike) -> Vec:
    """The direction of ``values`` with length 1. Raises GeometryError for a zero vector."""
    array = np.asarray(vector(values))
    length = float(np.linalg.norm(array))
    if length < 1e-12:
        raise GeometryError("a direction must not be the zero vector")
    return vector(array / length)


def direction_from_tilt(tilt: float, azim: float) -> Vec:
    """Unit vector leaning ``tilt`` degrees from +Z toward the azimuth ``azim`` (degrees)."""
    sine, cosine = sin_cos(tilt)
    sine_azim, cosine_azim = sin_cos(azim)
    return unit((sine * cosine_azim, sine * sine_azim, cosine))


def direction_from_elevation(azim: float, elev: float) -> Vec:
    """Unit vector at azimuth ``azim`` rising ``elev`` degrees above the XY plane."""
    sine, cosine = sin_cos(elev)
    sine_azim, cosine_azim = sin_cos(azim)
    return unit((cosine * cosine_azim, cosine * sine_azim, sine))


def sin_cos(degrees: float) -> tuple[float, float]:
    """Sine and cosine of an angle in degrees, exact at multiples of 90."""
    if not math.isfinite(degrees):
        raise GeometryError(f"an angle must be finite, got {degrees!r}")
    quarter, rest = divmod(degrees, 90.0)
    sine, cosine = (0.0, 1.0) if rest == 0.0 else (math.sin(math.radians(rest)), math.cos(math.radians(rest)))
    turns = ((sine, cosine), (cosine, -sine), (-sine, -cosine), (-cosine, sine))
    result = turns[int(quarter) % 4]
    return (result[0] + 0.0, result[1] + 0.0)


def perpendicular_pair(direction: ArrayLike) -> tuple[Array, Array]:
    """Two unit vectors that make a right-handed frame (u, v, direction)."""
    x, y, z = unit(direction)
    sizes = (abs(x), abs(y), abs(z))
    least = sizes.index(min(sizes))
    first = ((0.0, -z, y), (z, 0.0, -x), (-y, x, 0.0))[least]  # a coordinate axis times the direction
    size = math.hypot(*first)
    a, b, c = (value / size for value in first)
    return np.array((a, b, c)), np.array((y * c - z * b, z * a - x * c, x * b - y * a))


@dataclass(frozen=True)
class Axis:
    """A directed straight line: ``point`` (mm), unit ``direction``, ``length`` (mm, may be inf).

    The axis runs from ``point`` to ``point + length * direction``; parameters are measured from ``point``.
    """

    point: Vec
    direction: Vec
    length: float = math.inf

    def __post_init__(self) -> None:
        object.__setattr__(self, "point", vector(self.point))
        object.__setattr__(self, "direction", unit(self.direction))
        if math.isnan(self.length) or self.length <= 0:
            raise GeometryError(f"an axis needs a positive length, got {self.length!r}")

    @classmethod
    def through(cls, first: ArrayLike, second: ArrayLike) -> Axis:
        """The axis from ``first`` to ``second``; its length is their distance."""
        start, end = np.asarray(vector(first)), np.asarray(vector(second))
        return cls(vector(start), unit(end - start), float(np.linalg.norm(end - start)))

    def at(self, parameter: float) -> Vec:
        """The point ``parameter`` mm from ``point`` along the direction."""
        return vector(np.asarray(self.point) + parameter * np.asarray(self.direction))

    def parameter_of(self, point: ArrayLike) -> float:
        """Where the foot of ``point`` lies on the axis (mm from ``self.point``)."""
        return float((np.asarray(point, dtype=float) - np.asarray(self.point)) @ np.asarray(self.direction))

    def distance_to(self, points: ArrayLike) -> Array:
        """Distance (mm) of points, shape (..., 3), from the endless line; shape (...)."""
        offset = np.asarray(points, dtype=float) - np.asarray(self.point)
        d = np.asarray(self.direction)
        along = offset @ d
        result: Array = np.linalg.norm(offset - along[..., None] * d, axis=-1)
        return result


@dataclass(frozen=True)
class Frame:
    """A right-handed set of axes: ``origin`` (mm), unit vectors ``x``, ``y``, ``z`` in world coordinates."""

    origin: Vec
    x: Vec
    y: Vec
    z: Vec

    def __post_init__(self) -> None:
        for name in ("origin", "x", "y", "z"):
            object.__setattr__(self, name, vector(getattr(self, name)))
        rows = self.matrix
        if not np.allclose(rows @ rows.T, np.eye(3), atol=1e-9) or np.linalg.det(rows) < 0:
            raise GeometryError("a frame needs three unit vectors square to each other, right-handed")

    @classmethod
    def from_z_x(cls, origin: ArrayLike, z: ArrayLike, x_hint: ArrayLike | None = None) -> Frame:
        """Frame with the given z; x is the part of ``x_hint`` square to z (any x when no hint is given).

        Raises GeometryError when the hint is parallel to z.
        """
        axis = np.asarray(unit(z))
        if x_hint is None:
            x = perpendicular_pair(axis)[0]
        else:
            hint = np.asarray(unit(x_hint))
            x = hint - (hint @ axis) * axis
            if np.linalg.norm(x) < 1e-9:
                raise GeometryError("the x direction of a frame must not be parallel to its z")
        x = np.asarray(unit(x))
        return cls(vector(origin), vector(x), vector(np.cross(axis, x)), vector(axis))

    @property
    def matrix(self) -> Array:
        """Rows x, y, z: shape (3, 3)."""
        return np.array([self.x, self.y, self.z], dtype=float)

    def to_local(self, points: ArrayLike) -> Array:
        """World points, shape (..., 3), in this frame."""
        result: Array = (np.asarray(points, dtype=float) - np.asarray(self.origin)) @ self.matrix.T
        return result

    def to_world(self, points: ArrayLike) -> Array:
        """Points of this frame, shape (..., 3), in world coordinates."""
        result: Array = np.asarray(points, dtype=float) @ self.matrix + np.asarray(self.origin)
        return result

    def rotate(self, vectors: ArrayLike) -> Array:
        """Directions of this frame, shape (..., 3), in world coordinates (no shift)."""
        result: Array = np.asarray(vectors, dtype=float) @ self.matrix
        return result

    def rotate_back(self, vectors: ArrayLike) -> Array:
        """World directions, shape (..., 3), in this frame (no shift)."""
        result: Array = np.asarray(vectors, dtype=float) @ self.matrix.T
        return result


def angle_between(first: ArrayLike, second: ArrayLike) -> float:
    """Angle between two directions, 0 to 180 degrees."""
    a, b = np.asarray(unit(first)), np.asarray(unit(second))
    return math.degrees(math.atan2(float(np.linalg.norm(np.cross(a, b))), float(a @ b)))


def common_perpendicular(a: Axis, b: Axis) -> tuple[float, float, float, float]:
    """Gap (mm), angle (0 to 90 degrees) and foot parameters (mm along a, along b) of two endless lines.

    Parallel lines have no unique feet: the foot on ``a`` is then the middle of the stretch that both axes
    share (0 when they share none or are endless), the foot on ``b`` lies opposite.
    """
    pa, da = np.asarray(a.point), np.asarray(a.direction)
    pb, db = np.asarray(b.point), np.asarray(b.direction)
    cross = np.cross(da, db)
    sine = float(np.linalg.norm(cross))
    cosine = float(da @ db)
    angle = math.degrees(math.atan2(sine, abs(cosine)))
    offset = pb - pa
    if sine < PARALLEL_SINE:
        foot_a = _shared_middle(a, b, cosine)
        foot_b = (foot_a - float(offset @ da)) * cosine
        gap = float(np.linalg.norm(offset - (offset @ da) * da))
        return gap, 0.0, foot_a, foot_b
    gap = abs(float(offset @ cross)) / sine
    foot_a = float(np.cross(offset, db) @ cross) / sine**2
    foot_b = float(np.cross(offset, da) @ cross) / sine**2
    return gap, angle, foot_a, foot_b


def _shared_middle(a: Axis, b: Axis, cosine: float) -> float:
    start = a.parameter_of(b.point)
    end = start + math.copysign(b.length, cosine)
    low, high = max(0.0, min(start, end)), min(a.length, max(start, end))
    if not (math.isfinite(low) and math.isfinite(high)) or high < low:
        return 0.0
    return 0.5 * (low + high)
