"""Many small rigid motions of one body at once: turned about a point, shifted, and a bore cut wider.

A motion carries along everything that trims the body (its planes, the chamber, a bushing's body), so that every
point of it moves by at most the shift plus the tilt times its distance from the pivot. Lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from headparts.geometry.axis import Array, Axis, Vec, unit, vector
from headparts.geometry.convex import Convex


@dataclass(frozen=True)
class Tilt:
    """How a bore wanders: about ``pivot`` on its axis; ``into`` is the unit direction in which it is drilled.

    ``slope`` (N, 3), across ``into``: at depth h below the pivot the axis has moved by h |slope| at most (the
    chord of the angle whose tangent is |slope|).
    """

    pivot: Vec
    into: Vec
    slope: Array

    @cached_property
    def end(self) -> Array:
        """Where ``into`` points after each turn, the shortest way; unit vectors (N, 3)."""
        end = np.asarray(self.into) + self.slope
        return np.asarray(end / np.sqrt(np.einsum("nk,nk->n", end, end))[:, None])


@dataclass(frozen=True)
class Motion:
    """N motions x -> pivot + Q (x - pivot) + shift: ``shift`` (N, 3) mm, ``tilt`` None where nothing turns,
    ``growth`` (N,) mm by which the radius of a round hole is larger, None where it is not.
    """

    shift: Array
    tilt: Tilt | None = None
    growth: Array | None = None

    def __len__(self) -> int:
        return len(self.shift)

    def chosen(self, rows: np.ndarray) -> Motion:
        """Only the motions ``rows`` (indices or mask)."""
        tilt = self.tilt and replace(self.tilt, slope=self.tilt.slope[rows])
        return Motion(self.shift[rows], tilt, None if self.growth is None else self.growth[rows])

    def turned(self, directions: Array, back: bool = False) -> Array:
        """Directions (3,) or (N, 3) turned with the body, or ``back`` into its own place; shape (N, 3)."""
        wide = np.broadcast_to(directions, self.shift.shape)
        if self.tilt is None:
            return np.asarray(wide)
        start, end = np.asarray(self.tilt.into), self.tilt.end
        along = end @ start + 1.0
        if back:
            part, whole = np.einsum("nk,nk->n", end, wide), wide @ start
        else:
            part, whole = wide @ start, np.einsum("nk,nk->n", end, wide)
        both = ((part + whole) / along)[:, None]
        target = start if back else end
        return np.asarray(wide - both * (start + end) + 2.0 * part[:, None] * target)

    def applied(self, points: Array) -> Array:
        """Points (3,) or (N, 3) of the body, moved; shape (N, 3)."""
        if self.tilt is None:
            return np.asarray(points + self.shift)
        pivot = np.asarray(self.tilt.pivot)
        return np.asarray(self.turned(points - pivot) + pivot + self.shift)

    def undone(self, points: Array) -> Array:
        """Where moved points (N, 3) lie in the body before it was moved; shape (N, 3)."""
        if self.tilt is None:
            return np.asarray(points - self.shift)
        pivot = np.asarray(self.tilt.pivot)
        return np.asarray(self.turned(points - self.shift - pivot, back=True) + pivot)

    def radius(self, nominal: float) -> Array:
        """Radius of a round hole after each motion [mm]; shape (N,)."""
        return nominal + (np.zeros(len(self)) if self.growth is None else self.growth)

    def body(self, row: int, convex: Convex) -> Convex:
        """One convex body after motion ``row``; a round hole is widened, the planes that trim it are not."""
        if self.growth is not None and self.growth[row] != 0.0:
            convex = _wider(convex, float(self.growth[row]))
        if self.tilt is None:
            return convex.moved(self.shift[row])
        one = self.chosen(np.array([row, row, row]))
        rotation = one.turned(np.eye(3)).T
        pivot = np.asarray(self.tilt.pivot)
        return convex.transformed(rotation, pivot - rotation @ pivot + self.shift[row])

    def axis(self, nominal: Axis) -> tuple[Array, Array]:
        """First points and unit directions of a straight axis, both (N, 3)."""
        return self.applied(np.asarray(nominal.point)), self.turned(np.asarray(nominal.direction))


def _wider(body: Convex, growth: float) -> Convex:
    if body.shape != "cylinder" or body.radius is None or body.axis is None:
        return body
    solid = body.rounds[0]
    bound = body.bound and (body.bound[0], body.bound[1] + growth)
    rounds = (replace(solid, size=solid.size + growth), *body.rounds[1:])
    return replace(body, rounds=rounds, bound=bound, radius=body.radius + growth)


def disc(draws: Array, first: Array, second: Array) -> Array:
    """Shifts (N, 3) in the plane of two unit vectors from pairs (N, 2)."""
    return np.asarray(draws[:, :1] * first + draws[:, 1:] * second)


def drilled(face: Vec, outward: Vec, slope: Array) -> Tilt:
    """The tilt of a bore drilled from ``face`` against ``outward``."""
    return Tilt(face, vector(-np.asarray(unit(outward))), slope)
