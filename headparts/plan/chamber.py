"""The combustion chamber as the job file gives it: a body to remove, its outline at any height, its roof."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import pi
from typing import TYPE_CHECKING, Any

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.holes import BallHole, Hole, PrismHole, bathtub_hole, disc_hole, dome_hole
from headparts.geometry.void import Void, chamber_void
from headparts.plan.needs import MissingInput

if TYPE_CHECKING:  # skins of triangles are loaded for the jobs that have some
    from headparts.plan.chamber_mesh import ChamberMesh


@dataclass(frozen=True)
class ChamberPlan:
    """A disc, dome, bathtub or mesh chamber; z = 0 is the joint face, + into the head. Lengths in mm."""

    block: Any
    mesh: ChamberMesh | None = None

    @cached_property
    def hole(self) -> Hole:
        """The chamber as a body removed from voids; a mesh chamber has none (MissingInput)."""
        block = self.block
        if block.type == "disc":
            return disc_hole(block.dia, block.depth)
        if block.type == "dome":
            return dome_hole(block.base_radius, block.depth)
        if block.type == "bathtub":
            return bathtub_hole(block.length, block.width, block.depth, block.corner)
        raise MissingInput(
            "head.chamber", note="a mesh chamber has no closed form: this check is not built for it"
        )

    @cached_property
    def void(self) -> Void:
        """The chamber's shape for z >= 0 and everything below z = 0."""
        return chamber_void(self.hole)

    @property
    def depth(self) -> float:
        """Joint face to the highest point of the roof [mm]."""
        return float(self.block.depth) if self.mesh is None else self.mesh.depth

    @cached_property
    def volume(self) -> float:
        """Volume above the joint face [mm3], closed form; of a mesh, of its triangles."""
        if self.mesh is not None:
            return self.mesh.volume
        hole = self.hole
        if isinstance(hole, BallHole):
            height = self.depth
            return pi * height**2 * (3.0 * hole.radius - height) / 3.0
        if isinstance(hole, PrismHole):
            area = 4.0 * hole.half_x * hole.half_y - (4.0 - pi) * hole.corner**2
            return area * hole.roof
        raise MissingInput("head.chamber")

    def wall_distance(self, points: Array) -> Array:
        """Horizontal distance of points, shape (n, 3), to the chamber wall at their height [mm], shape (n,).

        Positive inside; below the joint face the mouth at z = 0 counts; above a dome's top the wall has
        closed to a point.
        """
        hole = self.hole
        z = np.maximum(points[:, 2], 0.0)
        if isinstance(hole, BallHole):
            square = hole.radius**2 - (z - hole.centre[2]) ** 2
            radius = np.sqrt(np.maximum(square, 0.0))
            return np.asarray(radius - np.hypot(points[:, 0] - hole.centre[0], points[:, 1] - hole.centre[1]))
        if isinstance(hole, PrismHole):
            flat = np.column_stack([points[:, 0], points[:, 1], np.full(len(points), -1e6)])
            return np.asarray(hole.depth(flat))
        raise MissingInput("head.chamber")

    def roof_along(self, points: Array, direction: Array) -> Array:
        """Where lines leave the chamber upward: distance along ``direction`` [mm], shape (n,).

        ``points`` shape (n, 3); the line's last point in the chamber, or in z <= 0 where it misses it.
        """
        joint = -points[:, 2] / direction[2]
        hole = self.hole
        if isinstance(hole, BallHole):
            leave = _leave_ball(points, direction, hole)
            top = points[:, 2] + leave * direction[2]
            return np.where(np.isfinite(leave) & (top >= 0.0), leave, joint)
        if isinstance(hole, PrismHole):
            leave = _leave_prism(points, direction, hole)
            return np.asarray(np.where(np.isfinite(leave), np.maximum(leave, joint), joint))
        raise MissingInput("head.chamber")


def _leave_ball(points: Array, direction: Array, hole: BallHole) -> Array:
    offset = points - np.asarray(hole.centre)
    along = offset @ direction
    square = along**2 - (np.einsum("ij,ij->i", offset, offset) - hole.radius**2)
    return np.where(square >= 0.0, -along + np.sqrt(np.maximum(square, 0.0)), -np.inf)


def _leave_prism(points: Array, direction: Array, hole: PrismHole) -> Array:
    """Last parameter at which each line is inside the prism above z = 0; -inf where it never is."""
    start = -points[:, 2] / direction[2]
    roof = (hole.roof - points[:, 2]) / direction[2]
    low, high = start.copy(), roof.copy()
    at_start = _depth(points, direction, start, hole)
    at_roof = _depth(points, direction, roof, hole)
    inside_roof = at_roof >= 0.0
    for _ in range(60):
        middle = (low + high) / 2.0
        inside = _depth(points, direction, middle, hole) >= 0.0
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    leave = np.where(inside_roof, roof, low)
    return np.asarray(np.where(inside_roof | (at_start >= 0.0), leave, -np.inf))


def _depth(points: Array, direction: Array, t: Array, hole: PrismHole) -> Array:
    moved = points + t[:, None] * direction
    moved[:, 2] = -1e6
    return np.asarray(hole.depth(moved))
