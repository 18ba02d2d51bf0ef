"""Walls to a chamber that is given as a mesh, and what its mesh leaves open in the other walls."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

import numpy as np

from headparts.checks.context import Context
from headparts.geometry.convex import half_space
from headparts.geometry.distance import Wall
from headparts.geometry.void import Void

if TYPE_CHECKING:  # skins of triangles are loaded for the jobs that have some
    from headparts.plan.chamber_mesh import ChamberMesh

STEPS = 200


def chamber_wall(context: Context, cut: Void) -> Wall:
    """A cut to the chamber, all below the joint face included, whatever gives the chamber's shape."""
    mesh = context.plan.voids.chamber_mesh
    if mesh is None:
        chamber = context.remember("chamber", lambda: context.plan.voids.chamber.void)
        return context.walls.one(cut, chamber)
    return _to_mesh(context, cut, mesh)


def _to_mesh(context: Context, cut: Void, mesh: ChamberMesh) -> Wall:
    from headparts.geometry.skin_wall import skin_wall
    from headparts.plan.chamber_mesh import UNPROVEN

    below = context.remember("below", lambda: Void("chamber", "chamber", (half_space((0, 0, 0), (0, 0, 1)),)))
    joint = context.walls.one(cut, below)
    if joint.value == inf:
        return joint
    corners, faces = mesh.above_joint
    best = skin_wall(cut, corners, faces, ()).best
    if best is None or joint.value <= min(best.value, 0.0):
        return joint
    inside = _axis_inside(cut, mesh)
    if inside or best.value == 0.0:
        radius = cut.cores[0].radius or 0.0
        remark = "unproven: the cut runs into the mesh chamber; how deep is not worked out"
        return Wall(-radius if inside else 0.0, -inf, 0.0, best.at, "triangles of the chamber", False, remark)
    if joint.value < best.value:
        return joint
    return Wall(best.value, -inf, best.value, best.at, "triangles of the chamber", False, UNPROVEN)


def _axis_inside(cut: Void, mesh: ChamberMesh) -> bool:
    """Whether any place of the cut's axis, where the cut is, lies in the chamber."""
    axis = cut.cores[0].axis
    assert axis is not None
    share = np.linspace(0.0, axis.length, STEPS)
    points = np.asarray(axis.point) + share[:, None] * np.asarray(axis.direction)
    points = points[cut.contains(points)]
    return bool(len(points) and mesh.holds(points).any())


def trimmed_note(context: Context, wall: Wall) -> str:
    """What a mesh chamber leaves open in a wall between other voids: "" where its two points lie clear of it."""
    mesh = context.plan.voids.chamber_mesh
    if mesh is None or wall.at is None or not mesh.holds(np.asarray(wall.at, dtype=float)).any():
        return ""
    from headparts.plan.chamber_mesh import TRIMMED

    return TRIMMED
