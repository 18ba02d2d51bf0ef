"""Convex bodies that together stand for a void near another body: its cores, cut by pieces round its holes.

A piece behind a chord of a round hole holds a little more than the void; chords are halved until the excess
is at most a given sagitta. What lies beyond a reach is left out. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.convex import Convex, ball, box, cylinder
from headparts.geometry.holes import (
    ArcPiece,
    BallHole,
    EndlessCylinderHole,
    FacePiece,
    Hole,
    Piece,
    PrismHole,
)
from headparts.geometry.pairs import distances
from headparts.geometry.void import Void

FINEST = 12
"""Halvings after which a chord is left as it is."""


def bodies_near(
    void: Void, near: Convex, reach: float, sagitta: float
) -> tuple[list[Convex], list[Array], bool]:
    """Convex bodies of ``void`` within ``reach`` of ``near``, a nearest point of ``near`` to each, and
    whether chords stand for round walls (the bodies then hold more than the void, by ``sagitta`` mm at most).
    """
    kept, seeds = _within(near, list(void.cores), reach)
    chords = False
    for hole in void.holes:
        made: list[Convex] = []
        for body in kept:
            shared = [body.intersect(part) for part in _solids(hole)]
            if not _within(near, shared, reach)[0]:
                made.append(body)
                continue
            split, by_chords = _outside(hole, body, near, reach, sagitta)
            made += split
            chords = chords or by_chords
        kept, seeds = _within(near, made, reach)
    return kept, seeds, chords


def _within(near: Convex, bodies: Sequence[Convex], reach: float) -> tuple[list[Convex], list[Array]]:
    if not bodies:
        return [], []
    found = distances([near] * len(bodies), bodies, np.full(len(bodies), 2 * reach), polish=False)
    keep = [k for k in range(len(bodies)) if np.isfinite(found.upper[k]) and found.lower[k] < reach]
    return [bodies[k] for k in keep], [found.a[k] for k in keep]


def _outside(
    hole: Hole, body: Convex, near: Convex, reach: float, sagitta: float
) -> tuple[list[Convex], bool]:
    todo, done, chords = list(hole.pieces()), [], False
    for turn in range(FINEST):
        bodies = [replace(body, planes=body.planes + piece.planes) for piece in todo]
        if not bodies:
            break
        found = distances([near] * len(bodies), bodies, np.full(len(bodies), 2 * reach), polish=False)
        more: list[Piece] = []
        for k, piece in enumerate(todo):
            if not np.isfinite(found.upper[k]) or found.lower[k] >= reach:
                continue
            excess = _sagitta(piece)
            if excess <= sagitta or turn == FINEST - 1:
                done.append(bodies[k])
                chords = chords or excess > 0
            else:
                more += piece.parts()
        todo = more
    return done, chords


def _sagitta(piece: Piece) -> float:
    if isinstance(piece, ArcPiece):
        return float(piece.radius * (1.0 - np.cos(piece.half)))
    if isinstance(piece, FacePiece):
        plane = piece.planes[0]
        return float(piece.radius - np.asarray(plane.normal) @ np.asarray(piece.centre) + plane.offset)
    return 0.0


def _solids(hole: Hole) -> list[Convex]:
    """The hole itself as convex bodies."""
    if isinstance(hole, EndlessCylinderHole):
        return [cylinder(hole.point, hole.direction, hole.radius)]
    if isinstance(hole, BallHole):
        return [ball(hole.centre, hole.radius)]
    if not isinstance(hole, PrismHole):
        return [Convex()]
    (cx, cy), inf = hole.centre, np.inf
    dx, dy, r = hole.half_x - hole.corner, hole.half_y - hole.corner, hole.corner
    made = []
    if dx > 0:
        made.append(box((cx - dx, cy - hole.half_y, -inf), (cx + dx, cy + hole.half_y, hole.roof)))
    if dy > 0:
        made.append(box((cx - hole.half_x, cy - dy, -inf), (cx + hole.half_x, cy + dy, hole.roof)))
    if r > 0:
        for x, y in sorted({(cx + sx * dx, cy + sy * dy) for sx in (1, -1) for sy in (1, -1)}):
            post = cylinder((x, y, 0.0), (0.0, 0.0, 1.0), r)
            made.append(post.with_half_space((0.0, 0.0, hole.roof), (0.0, 0.0, 1.0)))
    return made
