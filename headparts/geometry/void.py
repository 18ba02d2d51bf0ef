"""Voids: named cavities and cuts between which walls are measured.

A void is the union of its convex ``cores`` without its ``holes``. "Everything below the joint face is
removed" is written into the cores as the half-space z >= 0 (`above_joint`). Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from headparts.errors import GeometryError
from headparts.geometry.convex import Convex, ball, box, cylinder, half_space
from headparts.geometry.holes import BallHole, Hole, PrismHole, endless_cylinder_hole

KINDS = (
    "bore",
    "port",
    "pocket",
    "sleeve_bore",
    "gas",
    "oil",
    "oil_return",
    "bolt",
    "thread",
    "moving",
    "outside",
    "unknown",
    "chamber",
)


@dataclass(frozen=True)
class Void:
    """A cavity or cut: union of ``cores`` minus ``holes``; ``u`` half-width (mm), ``core_group`` as cast."""

    name: str
    kind: str
    cores: tuple[Convex, ...]
    holes: tuple[Hole, ...] = ()
    u: float = 0.0
    core_group: str | None = None

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise GeometryError(f"void {self.name}: kind {self.kind!r} is none of {', '.join(KINDS)}")
        if not self.cores:
            raise GeometryError(f"void {self.name}: at least one convex core is needed")
        if not math.isfinite(self.u) or self.u < 0:
            raise GeometryError(f"void {self.name}: the half-width u must be at least 0, got {self.u!r}")

    def contains(self, points: ArrayLike, tolerance: float = 1e-9) -> np.ndarray:
        """Whether points of shape (..., 3) belong to the void (holes removed); shape (...), bool."""
        inside = np.any([core.contains(points, tolerance) for core in self.cores], axis=0)
        for hole in self.holes:
            inside = inside & (hole.depth(points) <= tolerance)
        return np.asarray(inside)

    def moved(self, shift: ArrayLike) -> Void:
        """The void with its cores translated by ``shift`` (mm); its holes stay where they are."""
        return replace(self, cores=tuple(core.moved(shift) for core in self.cores))

    def without(self, *holes: Hole) -> Void:
        """The void with further bodies removed from it."""
        return replace(self, holes=(*self.holes, *holes))

    def above_joint(self) -> Void:
        """The void without everything below the joint face z = 0."""
        return replace(self, cores=tuple(above_joint(core) for core in self.cores))


def above_joint(body: Convex) -> Convex:
    """``body`` without everything below the joint face z = 0."""
    return body.with_half_space((0.0, 0.0, 0.0), (0.0, 0.0, -1.0))


def below_plane(body: Convex, z: float) -> Convex:
    """``body`` without everything above the plane at height ``z`` (the head's top)."""
    return body.with_half_space((0.0, 0.0, z), (0.0, 0.0, 1.0))


def round_void(
    name: str,
    kind: str,
    point: ArrayLike,
    direction: ArrayLike,
    diameter: float,
    length: float,
    holes: Sequence[Hole] = (),
    u: float = 0.0,
    core_group: str | None = None,
    top: float | None = None,
) -> Void:
    """A drilled or cored round hole: cylinder above the joint face, cut off at z = ``top`` when given."""
    body = above_joint(cylinder(point, direction, diameter / 2, length))
    if top is not None:
        body = below_plane(body, top)
    return Void(name, kind, (body,), tuple(holes), u, core_group)


def port_void(
    name: str,
    foot: ArrayLike,
    direction: ArrayLike,
    diameter: float,
    length: float,
    valve_point: ArrayLike,
    valve_direction: ArrayLike,
    body_diameter: float,
    holes: Sequence[Hole] = (),
    u: float = 0.0,
    kind: str = "port",
) -> Void:
    """A port or sleeve bore from the curved outside of the bushing body to the face.

    ``foot`` lies on the valve axis (or nearest to it), ``length`` runs from the foot to the face along the
    port. The core is the full cylinder from the foot; the endless cylinder of the body is removed, so the
    side generators reach further in than the axis. What would lie behind the foot is not part of a port
    that enters from one side.
    """
    body = above_joint(cylinder(foot, direction, diameter / 2, length))
    inner = endless_cylinder_hole(valve_point, valve_direction, body_diameter / 2)
    return Void(name, kind, (body,), (inner, *holes), u)


def chamber_void(hole: Hole, name: str = "chamber") -> Void:
    """The chamber as a void: its shape for z >= 0 and everything below z = 0."""
    below = half_space((0.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    return Void(name, "chamber", (*_chamber_cores(hole), below))


def _chamber_cores(hole: Hole) -> Iterable[Convex]:
    if isinstance(hole, BallHole):
        return (above_joint(ball(hole.centre, hole.radius)),)
    if isinstance(hole, PrismHole):
        cx, cy = hole.centre
        dx, dy, r = hole.half_x - hole.corner, hole.half_y - hole.corner, hole.corner
        cores = []
        if dx > 0:
            cores.append(box((cx - dx, cy - hole.half_y, 0.0), (cx + dx, cy + hole.half_y, hole.roof)))
        if dy > 0:
            cores.append(box((cx - hole.half_x, cy - dy, 0.0), (cx + hole.half_x, cy + dy, hole.roof)))
        if r > 0:
            feet = sorted({(cx + sx * dx, cy + sy * dy) for sx in (1, -1) for sy in (1, -1)})
            cores += [cylinder((x, y, 0.0), (0.0, 0.0, 1.0), r, hole.roof) for x, y in feet]
        return tuple(cores)
    raise GeometryError("a chamber is a disc, a dome or a bathtub")
