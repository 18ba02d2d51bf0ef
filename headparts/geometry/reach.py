"""Where straight lines run nearer to convex bodies than a limit: one stretch a line and body, mm along the line.

The distance from a point to a convex body is a convex function along a line, so the part of the line nearer
than the limit is one stretch. Where each of its ends is nearest to one round side or one plane of the body they
are known in closed form; else they are found as cone programs: least distance first, then the least and the
greatest parameter at which a point of the body is within the limit. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.chords import chord
from headparts.geometry.conic import Problems, solve
from headparts.geometry.convex import Convex
from headparts.geometry.stack import Stack

GAP = 1e-10
SOUND = 1e-7
"""An answer that breaks its constraints by more than this (scaled lengths) is tried again from elsewhere."""
NUDGE = 0.07
SETTLED = 1e-12
"""A nearest point may stick out of the body by this much (mm): rounding."""


def near_stretches(
    bodies: Sequence[Convex], points: Array, direction: Array, spans: tuple[Array, Array], limit: float
) -> tuple[Array, Array]:
    """Stretches of N lines nearer than ``limit`` to each of B bodies; two arrays (B, N), inf and -inf: none.

    ``points`` (N, 3), ``direction`` (3,) unit vector; ``spans``: the finite stretch (N,), (N,) of each line
    that is searched (empty: low > high). Points inside a body are nearer than any limit.
    """
    count, lines = len(bodies), len(points)
    low, high = np.full((count, lines), np.inf), np.full((count, lines), -np.inf)
    live = np.flatnonzero(spans[1] > spans[0])
    if count == 0 or len(live) == 0:
        return low, high
    known = np.zeros((count, lines), dtype=bool)
    for k, item in enumerate(bodies):
        known[k], low[k], high[k] = _one_side(item, points, direction, spans, limit)
    body, line = (part[~known[:, live].ravel()] for part in _grid(np.arange(count), live))
    if len(body) == 0:
        return low, high
    half = (spans[1][line] - spans[0][line]) / 2
    middle = (spans[1][line] + spans[0][line]) / 2
    origin = points[line] + middle[:, None] * direction
    scale = half + limit
    stack = _picked(Stack.of(bodies), body).shifted(origin, scale)
    reach = limit / scale
    start = np.zeros((len(line), 5))
    start[:, 4] = 1.0
    nearest = _solved(_problem(stack, direction, half / scale, None, 0.0), [start, start + NUDGE])
    near = nearest[:, 4] < reach
    if not np.any(near):
        return low, high
    part = _picked(stack, np.flatnonzero(near))
    for sign, found in ((1.0, low), (-1.0, high)):
        problem = _problem(part, direction, (half / scale)[near], reach[near], sign)
        first = nearest[near, :4]
        starts = [np.zeros_like(first), first, first + NUDGE, first * (1.0 - NUDGE), first - NUDGE]
        ends = _solved(problem, starts)[:, 0]
        found[body[near], line[near]] = ends * scale[near] + middle[near]
    return low, high


def _grid(first: np.ndarray, second: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    return np.repeat(first, len(second)), np.tile(second, len(first))


def _one_side(
    body: Convex, points: Array, direction: Array, spans: tuple[Array, Array], limit: float
) -> tuple[np.ndarray, Array, Array]:
    """Which stretches are settled by one side of a body alone at each end, and those stretches.

    A stretch lies in what the body's sides, each moved out by the limit, leave of the line. Where the nearest
    point of the side that an end violates most is a point of the body, the end is within the limit.
    """
    count = len(points)
    none = np.full(count, np.inf), np.full(count, -np.inf)
    if any(side.kind == "cone" for side in body.rounds):
        return (np.zeros(count, dtype=bool), *none)
    grown = Convex(
        tuple(replace(plane, offset=plane.offset + limit) for plane in body.planes),
        tuple(replace(side, size=side.size + limit) for side in body.rounds),
    )
    low, high = chord(grown, points, direction)
    low, high = np.maximum(low, spans[0]), np.minimum(high, spans[1])
    near = low < high
    known = ~near
    if np.any(near):
        settled = np.ones(int(near.sum()), dtype=bool)
        for at in (low[near], high[near]):
            settled &= body.contains(_on_worst_side(body, points[near] + at[:, None] * direction), SETTLED)
        known[near] = settled
    taken = near & known
    return known, np.where(taken, low, np.inf), np.where(taken, high, -np.inf)


def _on_worst_side(body: Convex, points: Array) -> Array:
    """Each of the points (N, 3) moved onto the plane or round side that it violates most; inside, itself."""
    worst, found = np.zeros(len(points)), points.copy()
    for plane in body.planes:
        normal = np.asarray(plane.normal)
        over = points @ normal - plane.offset
        more = over > worst
        worst[more], found[more] = over[more], (points - over[:, None] * normal)[more]
    for side in body.rounds:
        across = points - np.asarray(side.point)
        if side.kind == "cylinder":
            d = np.asarray(side.direction)
            across = across - (across @ d)[:, None] * d
        size = np.linalg.norm(across, axis=1)
        over = size - side.size
        more = over > worst
        moved = points - (over / np.maximum(size, 1e-300))[:, None] * across
        worst[more], found[more] = over[more], moved[more]
    return found


def _solved(problems: Problems, starts: Sequence[Array]) -> Array:
    """Answers of all programs, each from the first start that leads to a sound one, else from the best."""
    best = solve(problems, starts[0], GAP).x
    lack = _lack(problems, best)
    for start in starts[1:]:
        again = np.flatnonzero(lack > SOUND)
        if len(again) == 0:
            break
        part = problems.take(again)
        found = solve(part, start[again], GAP).x
        worse = _lack(part, found)
        better = worse < lack[again]
        best[again[better]], lack[again[better]] = found[better], worse[better]
    return best


def _lack(problems: Problems, x: Array) -> Array:
    """By how much the answers break their constraints, scaled lengths."""
    linear = np.einsum("nlk,nk->nl", problems.linear, x) - problems.linear_h
    cone = problems.cone_h - np.einsum("nqik,nk->nqi", problems.cone, x)
    short = np.linalg.norm(cone[..., 1:], axis=-1) - cone[..., 0]
    return np.asarray(np.maximum(linear.max(axis=1, initial=0.0), short.max(axis=1, initial=0.0)))


def _picked(stack: Stack, index: np.ndarray) -> Stack:
    return Stack(
        stack.linear[index], stack.linear_h[index], stack.cone[index], stack.cone_h[index], stack.bound[index]
    )


def _problem(stack: Stack, direction: Array, half: Array, reach: Array | None, sign: float) -> Problems:
    """Unknowns: parameter t, point q of the body and, without a ``reach``, their distance r (to be least).

    |t direction - q| <= r or ``reach``; -half <= t <= half; with a ``reach`` sign * t is to be least.
    """
    count, planes, rounds = len(half), stack.linear.shape[1], stack.cone.shape[1]
    size = 5 if reach is None else 4
    linear = np.zeros((count, planes + 2, size))
    linear[:, :planes, 1:4] = stack.linear
    linear[:, planes, 0], linear[:, planes + 1, 0] = 1.0, -1.0
    cone = np.zeros((count, rounds + 1, 4, size))
    cone[:, :rounds, :, 1:4] = stack.cone
    cone[:, -1, 1:, 0], cone[:, -1, 1:, 1:4] = direction, -np.eye(3)
    last = np.zeros((count, 1, 4))
    cost = np.zeros((count, size))
    if reach is None:
        cone[:, -1, 0, 4] = -1.0
        cost[:, 4] = 1.0
    else:
        last[:, 0, 0] = reach
        cost[:, 0] = sign
    return Problems(
        cost,
        linear,
        np.concatenate([stack.linear_h, half[:, None], half[:, None]], axis=1),
        cone,
        np.concatenate([stack.cone_h, last], axis=1),
    )


def covered(low: Array, high: Array, pieces: Sequence[tuple[Array, Array]]) -> Array:
    """Length of each of N lines covered by the union of stretches (B, N) within disjoint ``pieces`` (mm)."""
    total = np.zeros(low.shape[1])
    for start, end in pieces:
        inside = end > start
        t0 = np.where(inside, np.maximum(low, start), np.inf)
        t1 = np.where(inside, np.minimum(high, end), -np.inf)
        empty = t1 <= t0
        t0, t1 = np.where(empty, np.inf, t0), np.where(empty, -np.inf, t1)
        order = np.argsort(t0, axis=0)
        t0, t1 = np.take_along_axis(t0, order, axis=0), np.take_along_axis(t1, order, axis=0)
        done = np.full(low.shape[1], -np.inf)
        for k in range(len(t0)):
            begin = np.maximum(t0[k], done)
            more = t1[k] > begin
            total += np.where(more, np.where(more, t1[k], 0.0) - np.where(more, begin, 0.0), 0.0)
            done = np.maximum(done, t1[k])
    return total
