"""One horizontal section of the head: outline, press bores with their rings, and the cavities that it meets.

Everything from the plan's numbers; no kernel. Lengths in mm, the head's x and y, angles in radians.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from headparts.errors import GeometryError, ParameterError
from headparts.geometry.convex import Convex
from headparts.geometry.void import Void

Array = NDArray[np.float64]
Point = tuple[float, float]

CORNERS = 48
"""Corners given to a cavity whose section is no ellipse."""


@dataclass(frozen=True)
class Ellipse:
    """An ellipse: centre, half axes (``long`` lies at ``angle`` from +x)."""

    centre: Point
    long: float
    short: float
    angle: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 < self.short <= self.long < math.inf:
            raise GeometryError(
                f"an ellipse needs half axes above 0, long >= short, got {self.long}, {self.short}"
            )

    @classmethod
    def round(cls, centre: Point, diameter: float) -> Ellipse:
        """A circle."""
        return cls(centre, diameter / 2, diameter / 2)

    @classmethod
    def of_cylinder(
        cls, point: Sequence[float], direction: Sequence[float], radius: float, z: float
    ) -> Ellipse:
        """The section of an endless cylinder at height ``z``. Raises GeometryError for one that lies flat."""
        dx, dy, dz = (float(v) for v in direction)
        if abs(dz) < 0.05:
            raise GeometryError("a cylinder that lies flat has no section that is an ellipse of use")
        t = (z - point[2]) / dz
        centre = (float(point[0] + t * dx), float(point[1] + t * dy))
        return cls(
            centre, radius / abs(dz), radius, math.atan2(dy, dx) if math.hypot(dx, dy) > 1e-12 else 0.0
        )

    def at(self, turns: Array) -> Array:
        """Points at parameters ``turns`` (radians from the long axis), shape (..., 2)."""
        c, s = math.cos(self.angle), math.sin(self.angle)
        u, v = self.long * np.cos(turns), self.short * np.sin(turns)
        return np.stack([self.centre[0] + c * u - s * v, self.centre[1] + s * u + c * v], axis=-1)

    def _own(self, points: Array) -> tuple[Array, Array]:
        c, s = math.cos(self.angle), math.sin(self.angle)
        x, y = points[..., 0] - self.centre[0], points[..., 1] - self.centre[1]
        return c * x + s * y, -s * x + c * y

    def level(self, points: Array) -> Array:
        """Root of (u/long)^2 + (v/short)^2: 1 on the ellipse, below 1 inside; shape (...)."""
        u, v = self._own(np.asarray(points, dtype=float))
        return np.asarray(np.hypot(u / self.long, v / self.short))

    def normals(self, points: Array) -> Array:
        """Outward unit normals at points of the ellipse, shape (..., 2)."""
        u, v = self._own(np.asarray(points, dtype=float))
        gu, gv = u / self.long**2, v / self.short**2
        c, s = math.cos(self.angle), math.sin(self.angle)
        made = np.stack([c * gu - s * gv, s * gu + c * gv], axis=-1)
        return np.asarray(made / np.linalg.norm(made, axis=-1, keepdims=True))


@dataclass(frozen=True)
class Ring:
    """A bushing in its bore as the section shows it.

    ``outer``: the bore it sits in; ``inner``: its own bore; ``diameter`` [mm] of the fit, along which ``interference``
    [mm] counts; ``modulus`` [MPa], ``poisson``.
    """

    name: str
    outer: Ellipse
    inner: Ellipse
    diameter: float
    interference: float
    modulus: float
    poisson: float

    def __post_init__(self) -> None:
        if not 0.0 < self.modulus < math.inf:
            raise ParameterError(f"{self.name}: modulus", self.modulus, "must be finite and greater than 0")
        if not 0.0 <= self.poisson < 0.5:
            raise ParameterError(f"{self.name}: poisson", self.poisson, "must be 0 or more and below 0.5")
        if not math.isfinite(self.interference):
            raise ParameterError(f"{self.name}: interference", self.interference, "must be a finite number")
        if self.outer.level(self.inner.at(np.linspace(0.0, 2 * math.pi, 73))).max() >= 1.0:
            raise GeometryError(f"{self.name}: its bore is not within its outside")


@dataclass(frozen=True)
class Section:
    """What is metal at height ``z``: a closed ``outline`` (corners) without ``holes`` and without the rings' bores.

    ``modulus`` [MPa] and ``poisson`` of the head; ``rings`` one or two; ``notes`` what was left out.
    """

    z: float
    outline: tuple[Point, ...]
    rings: tuple[Ring, ...]
    modulus: float
    poisson: float
    holes: tuple[tuple[str, Ellipse | tuple[Point, ...]], ...] = ()
    notes: tuple[str, ...] = ()

    @cached_property
    def web(self) -> tuple[Array, Array]:
        """The two points, of the first and the second bore, between which the metal is thinnest."""
        first, second = (ring.outer for ring in self.rings)
        a, b = np.linspace(0, 2 * math.pi, 721), np.linspace(0, 2 * math.pi, 721)
        for _ in range(8):
            p, q = first.at(a), second.at(b)
            gaps = np.linalg.norm(p[:, None] - q[None], axis=-1)
            i, j = np.unravel_index(int(gaps.argmin()), gaps.shape)
            step_a, step_b = a[1] - a[0], b[1] - b[0]
            best = (a[i], b[j])
            a = best[0] + np.linspace(-1.5, 1.5, 61) * step_a
            b = best[1] + np.linspace(-1.5, 1.5, 61) * step_b
        p, q = first.at(np.asarray(best[0])), second.at(np.asarray(best[1]))
        if first.level(q) <= 1.0 or second.level(p) <= 1.0 or float(np.linalg.norm(q - p)) < 1e-6:
            raise GeometryError(
                f"the bores of {self.rings[0].name} and {self.rings[1].name} meet: there is no web"
            )
        return p, q

    @property
    def web_width(self) -> float:
        """Thickness of the metal between the bores [mm]; with one ring its least metal to the outline."""
        if len(self.rings) < 2:
            return self.rim
        return float(np.linalg.norm(self.web[1] - self.web[0]))

    @cached_property
    def rim(self) -> float:
        """Least distance of the first ring's bore to the outline [mm], by dense points."""
        points = self.rings[0].outer.at(np.linspace(0, 2 * math.pi, 721))
        corners = np.asarray(self.outline)
        starts, steps = corners, np.roll(corners, -1, axis=0) - corners
        share = np.einsum("pkj,kj->pk", points[:, None] - starts, steps) / (steps**2).sum(axis=1)
        feet = starts + np.clip(share, 0.0, 1.0)[..., None] * steps
        return float(np.linalg.norm(points[:, None] - feet, axis=-1).min())


def section_of(body: Convex, z: float) -> Ellipse | tuple[Point, ...] | None:
    """The section of a convex body at height ``z``: an exact ellipse, a polygon of 48 corners, or None.

    A corner lies within 1e-6 mm of the body's surface. A sliver thinner than 1/80 of the body may be missed.
    """
    if body.axis is not None and body.radius is not None and abs(body.axis.direction[2]) >= 0.05:
        whole = Ellipse.of_cylinder(body.axis.point, body.axis.direction, body.radius, z)
        if bool(np.all(body.contains(_lift(whole.at(np.linspace(0, 2 * math.pi, 73)), z), 1e-6))):
            return whole
    middle = _inside(body, z)
    if middle is None or body.bound is None:
        return None
    turns = np.arange(CORNERS) * (2 * math.pi / CORNERS)
    rays = np.stack([np.cos(turns), np.sin(turns)], axis=-1)
    low, high = np.zeros(CORNERS), np.full(CORNERS, 2.0 * body.bound[1] + 1.0)
    for _ in range(60):
        half = (low + high) / 2
        held = body.contains(_lift(middle + half[:, None] * rays, z), 0.0)
        low, high = np.where(held, half, low), np.where(held, high, half)
    points = middle + low[:, None] * rays
    return tuple((float(x), float(y)) for x, y in points)


def _inside(body: Convex, z: float) -> Array | None:
    if body.bound is None:
        return None
    centre, radius = body.bound
    if abs(z - centre[2]) >= radius:
        return None
    reach = math.sqrt(radius**2 - (z - centre[2]) ** 2)
    steps = np.linspace(-reach, reach, 161)
    grid = np.stack(np.meshgrid(centre[0] + steps, centre[1] + steps), axis=-1).reshape(-1, 2)
    held = grid[body.contains(_lift(grid, z), 0.0)]
    return held.mean(axis=0) if len(held) else None


def _lift(points: Array, z: float) -> Array:
    return np.concatenate([points, np.full((*points.shape[:-1], 1), z)], axis=-1)


def holes_of(voids: Iterable[Void], z: float) -> tuple[tuple[str, Any], ...]:
    """Named sections of voids at height ``z``, one a convex core; the voids' own holes are not looked at."""
    made = []
    for void in voids:
        for core in void.cores:
            found = section_of(core, z)
            if found is not None:
                made.append((void.name, found))
    return tuple(made)
