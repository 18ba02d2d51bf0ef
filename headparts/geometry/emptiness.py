"""Proof that a convex piece holds no point, so that it may be dropped from a search.

Two tests, both one-sided: a half-space that the core's round cylinder (or bounding ball) does not reach, in
closed form; and the multipliers of "least common slack", a cone program that always has a solution.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.conic import Problems, solve
from headparts.geometry.convex import Convex, Plane
from headparts.geometry.stack import Stack

MARGIN = 1e-12
"""A piece must miss by more than this (mm) to be called empty in closed form."""


def beyond_reach(bodies: Sequence[Convex], cuts: Sequence[Sequence[Plane]]) -> np.ndarray:
    """Whether one of the half-spaces ``cuts[k]`` lies wholly beyond ``bodies[k]``; shape (N,), bool."""
    owner = [k for k, planes in enumerate(cuts) for _ in planes]
    empty = np.zeros(len(bodies), dtype=bool)
    if not owner:
        return empty
    normal = np.array([plane.normal for planes in cuts for plane in planes])
    offset = np.array([plane.offset for planes in cuts for plane in planes])
    form = np.array([_form(body) for body in bodies])[owner]
    point, direction, length, radius = form[:, :3], form[:, 3:6], form[:, 6], form[:, 7]
    along = -np.einsum("nk,nk->n", normal, direction)
    with np.errstate(invalid="ignore"):
        reach = np.where(along > 0, along * length, 0.0)
    across = np.linalg.norm(-normal - along[:, None] * direction, axis=1)
    far = -np.einsum("nk,nk->n", normal, point) + reach + radius * across
    np.logical_or.at(empty, owner, far < -offset - MARGIN)
    return empty


def _form(body: Convex) -> tuple[float, ...]:
    axis, radius = body.axis, body.radius
    if body.shape == "cylinder" and axis is not None and radius is not None and np.isfinite(axis.length):
        return (*axis.point, *axis.direction, axis.length, radius)
    if body.bound is not None:
        return (*body.bound[0], 0.0, 0.0, 0.0, 0.0, body.bound[1])
    return (0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, np.inf)


def proven_empty(bodies: Sequence[Convex], cuts: Sequence[Sequence[Plane]]) -> np.ndarray:
    """Whether each body, cut by its half-spaces, is proven empty by multipliers; shape (N,), bool.

    Least t with s(x) + t e in the cones for some x: t > 0 means empty, and any multipliers z in the cones
    with e.z = 1 give t >= -z.h - |G'z| |x|. Endless bodies are never called empty.
    """
    result = np.zeros(len(bodies), dtype=bool)
    index = [k for k, body in enumerate(bodies) if body.bound is not None]
    if not index:
        return result
    stack = Stack.of([bodies[k] for k in index], [cuts[k] for k in index])
    stack = stack.shifted(stack.bound[:, :3], stack.bound[:, 3])
    count, nl, nq = len(index), stack.linear.shape[1], stack.cone.shape[1]
    linear = np.concatenate([stack.linear, -np.ones((count, nl, 1))], axis=2)
    extra = np.zeros((count, nq, 4, 1))
    extra[:, :, 0] = -1.0
    cone = np.concatenate([stack.cone, extra], axis=3)
    cost = np.zeros((count, 4))
    cost[:, 3] = 1.0
    start = np.zeros((count, 4))
    start[:, 3] = 3.0
    answer = solve(Problems(cost, linear, stack.linear_h, cone, stack.cone_h), start, 1e-9)
    zl, zq = answer.linear, answer.cone
    total = np.maximum(zl.sum(axis=1) + zq[..., 0].sum(axis=1), 1e-300)
    value = -(np.einsum("nl,nl->n", zl, stack.linear_h) + np.einsum("nqi,nqi->n", zq, stack.cone_h))
    rest: Array = np.einsum("nlk,nl->nk", stack.linear, zl) + np.einsum("nqik,nqi->nk", stack.cone, zq)
    result[index] = (value - np.linalg.norm(rest, axis=1)) / total > 1e-13
    return result
