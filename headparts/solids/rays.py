"""Volumes by rays: the second route beside the kernel. Plain numpy; nothing here calls the kernel.

A ray is cut with each body in closed form and the lengths inside are added up over a grid of rays. It shares
no code with the kernel's booleans and cannot lose a tool.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def drilled_from_turned(
    outline: Sequence[tuple[float, float]],
    foot: Sequence[float],
    elevation: float,
    radius: float,
    spared_radius: float = 0.0,
    rings: int = 96,
    spokes: int = 256,
) -> float:
    """Volume [mm3] that a round drill takes from a turned piece, going outward from its axis.

    Parameters
    ----------
    outline : closed (radius, z) outline of the turned piece about the z axis [mm].
    foot : start of the drill's axis, (x, y, z) with x = 0 [mm]; it runs in the x-z plane towards +x.
    elevation : rise of the drill's axis from the plane square to z [rad].
    radius : of the drill [mm].
    spared_radius : an endless cylinder about z that the drill does not touch [mm].
    rings, spokes : rays, Gauss points over the radius squared times equal angles.

    The error is about 1e-5 of the volume with the default number of rays.
    """
    nodes, weights = np.polynomial.legendre.leggauss(rings)
    rho = radius * np.sqrt((nodes + 1.0) / 2.0)
    theta = (np.arange(spokes) + 0.5) * (2.0 * math.pi / spokes)
    across, up = np.outer(rho, np.cos(theta)), np.outer(rho, np.sin(theta))
    c, s = math.cos(elevation), math.sin(elevation)
    start = np.stack([foot[0] - up * s, foot[1] + across, foot[2] + up * c], axis=-1).reshape(-1, 3)
    along = np.array([c, 0.0, s])
    skip = np.zeros(len(start))
    if spared_radius > 0.0:
        skip = _leaves_cylinder(start, along, spared_radius)
    lengths = _length_in_turned(outline, start, along, skip).reshape(rings, spokes)
    return float(math.pi * radius**2 * (weights @ lengths.mean(axis=1)) / 2.0)


def _leaves_cylinder(start: Array, along: Array, radius: float) -> Array:
    """How far along a ray from inside (or before) an endless cylinder about z its last point in it lies, >= 0."""
    a = along[0] ** 2 + along[1] ** 2
    b = start[:, 0] * along[0] + start[:, 1] * along[1]
    c = start[:, 0] ** 2 + start[:, 1] ** 2 - radius**2
    inside = np.maximum(b * b - a * c, 0.0)
    hit = b * b - a * c > 0.0
    return np.where(hit, np.maximum((-b + np.sqrt(inside)) / a, 0.0), 0.0)


def _length_in_turned(
    outline: Sequence[tuple[float, float]], start: Array, along: Array, skip: Array
) -> Array:
    """Length of every ray inside a turned piece, from ``skip`` beyond its start on."""
    crossings = [np.zeros(len(start))]
    for (r0, z0), (r1, z1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        crossings.extend(_crossings(r0, z0, r1, z1, start, along))
    ordered = np.sort(np.stack(crossings), axis=0)
    state = _in_outline(outline, np.hypot(start[:, 0], start[:, 1]), start[:, 2])
    length = np.zeros(len(start))
    last = ordered[0]
    for row in ordered[1:]:
        reached = np.isfinite(row)
        gone = np.where(reached, row, last)
        length += np.where(state & reached, np.maximum(gone - np.maximum(last, skip), 0.0), 0.0)
        state = np.where(reached, ~state, state)
        last = gone
    return length


def _crossings(r0: float, z0: float, r1: float, z1: float, start: Array, along: Array) -> list[Array]:
    """Where rays pass one side of a turned outline; inf where they do not."""
    x, y, z = start[:, 0], start[:, 1], start[:, 2]
    none = np.full(len(start), np.inf)
    if z0 == z1:
        if along[2] == 0.0:
            return []
        t = (z0 - z) / along[2]
        r = np.hypot(x + t * along[0], y + t * along[1])
        low, high = min(r0, r1), max(r0, r1)
        return [np.where((t > 0.0) & (r >= low) & (r < high), t, none)]
    slope = (r1 - r0) / (z1 - z0)
    base = r0 + slope * (z - z0)
    a = along[0] ** 2 + along[1] ** 2 - (slope * along[2]) ** 2
    b = x * along[0] + y * along[1] - base * slope * along[2]
    c = x * x + y * y - base * base
    root = b * b - a * c
    real = root > 0.0
    width = np.sqrt(np.where(real, root, 0.0))
    found = []
    for sign in (-1.0, 1.0):
        with np.errstate(divide="ignore", invalid="ignore"):
            t = (-b + sign * width) / a if abs(a) > 1e-12 else -c / (2.0 * b)
        at_z = z + t * along[2]
        on_side = (at_z >= min(z0, z1)) & (at_z < max(z0, z1)) & (r0 + slope * (at_z - z0) >= 0.0)
        found.append(np.where(real & (t > 0.0) & on_side, t, none))
        if abs(a) <= 1e-12:
            break
    return found


def _in_outline(outline: Sequence[tuple[float, float]], r: Array, z: Array) -> NDArray[np.bool_]:
    """Whether points (r, z) lie inside a closed outline (even-odd rule)."""
    inside = np.zeros(len(r), dtype=bool)
    for (r0, z0), (r1, z1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if z0 == z1:
            continue
        spans = (min(z0, z1) <= z) & (z < max(z0, z1))
        inside ^= spans & (r < r0 + (r1 - r0) * (z - z0) / (z1 - z0))
    return inside
