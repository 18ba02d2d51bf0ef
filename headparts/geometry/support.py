"""Sure upper bounds of how far a convex body reaches in many directions at once, in closed form.

For a body C cut by half-spaces p.x <= c, weak duality gives for any multipliers z >= 0
max n.x over the body <= max (n - z p).x over C + z c (S. Boyd and L. Vandenberghe, Convex Optimization, 2004,
section 5.1). Multipliers are tried one plane at a time, so the bound is exact on the free surface, on the edge of one
plane and on one plane's flat; elsewhere it is an over-estimate. Lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.convex import Convex

SQUARE = 1e-14
"""A direction whose component is below this counts as having none."""


def support_bound(body: Convex, directions: Array, growth: Array | None = None) -> Array:
    """At least the largest direction.x over ``body``, for directions (N, 3); shape (N,), inf where unknown.

    ``growth`` (N,): a round cylinder is wider by this radius.
    """
    best = _core(body, directions, growth)
    for plane in body.planes[0 if body.shape == "half_space" else ends_of(body) :]:
        p = np.asarray(plane.normal)
        for multiplier in _multipliers(body, directions, p):
            rest = directions - multiplier[:, None] * p
            best = np.minimum(best, _core(body, rest, growth) + multiplier * plane.offset)
    return np.asarray(best)


def _length(vectors: Array) -> Array:
    return np.asarray(np.sqrt(np.einsum("nk,nk->n", vectors, vectors)))


def slimmed(body: Convex, spots: Array, near: float) -> Convex:
    """The body without the half-spaces that are further than ``near`` [mm] from all ``spots`` (N, 3): it holds more,
    so its support is a sure bound, and takes less time."""
    first = ends_of(body)
    kept = [p for p in body.planes[first:] if np.min(p.offset - spots @ np.asarray(p.normal)) <= near]
    return replace(body, planes=(*body.planes[:first], *kept))


def ends_of(body: Convex) -> int:
    """How many of the first planes belong to the body's own shape rather than trim it."""
    if body.shape == "cylinder":
        return 2 if body.axis is not None and math.isfinite(body.axis.length) else 0
    return {"frustum": 2, "box": len(body.planes), "half_space": 1}.get(body.shape, 0)


def _multipliers(body: Convex, directions: Array, normal: Array) -> list[Array]:
    """Multipliers of one plane: what makes the rest square to the body's axis, and what takes the normal's part."""
    made = [np.maximum(directions @ normal, 0.0)]
    if body.axis is not None:
        d = np.asarray(body.axis.direction)
        share = float(normal @ d)
        if abs(share) > 1e-9:
            made.append(np.maximum(directions @ d / share, 0.0))
    return made


def _core(body: Convex, n: Array, growth: Array | None) -> Array:
    """Support of the body without the half-spaces that trim it."""
    if body.shape == "cylinder" and body.axis is not None and body.radius is not None:
        radius = body.radius + (0.0 if growth is None else growth)
        p, d, length = np.asarray(body.axis.point), np.asarray(body.axis.direction), body.axis.length
        along = n @ d
        across = _length(n - along[:, None] * d)
        if math.isfinite(length):
            reach = np.maximum(along, 0.0) * length
        else:
            reach = np.where(np.abs(along) <= SQUARE, 0.0, np.inf)
        return np.asarray(n @ p + reach + radius * across)
    if body.shape == "ball" and body.rounds:
        return np.asarray(n @ np.asarray(body.rounds[0].point) + body.rounds[0].size * _length(n))
    if body.shape == "frustum" and body.rounds:
        return _frustum(body, n)
    if body.shape == "box":
        return _box(body, n)
    return np.where(_length(n) <= SQUARE, 0.0, np.inf)


def _frustum(body: Convex, n: Array) -> Array:
    cone = body.rounds[0]
    apex, d = np.asarray(cone.point), np.asarray(cone.direction)
    along = n @ d
    across = _length(n - along[:, None] * d)
    heights = [
        abs(plane.offset - float(np.asarray(plane.normal) @ apex)) for plane in body.planes[:2]
    ]  # the two ends lie square to the cone's axis
    reaches = [n @ apex + height * along + cone.size * height * across for height in heights]
    return np.asarray(np.maximum(*reaches))


def _box(body: Convex, n: Array) -> Array:
    total = np.zeros(len(n))
    for k in range(3):
        for sign in (1.0, -1.0):
            ends = [p.offset for p in body.planes if p.normal[k] == sign]
            part = np.maximum(sign * n[:, k], 0.0)
            if ends:
                total += part * min(ends)
            else:
                total += np.where(part <= SQUARE, 0.0, np.inf)
    return total
