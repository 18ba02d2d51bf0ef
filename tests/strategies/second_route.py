"""Least distance of two trimmed cuts or cavities by general minimisation, from the numbers of a job alone.

A body is a list of smooth regions, each a set of functions that are >= 0 inside it; their union is the body.
Nothing of the package's geometry is used: points and azimuths are turned into functions here.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product
from math import cos, radians, sin, sqrt

import numpy as np
from scipy.optimize import minimize
from scipy.spatial import cKDTree

from strategies.heads import Job, Part

Test = Callable[[np.ndarray], np.ndarray]
"""Function of points (n, 3), >= 0 inside: values (n,)."""


@dataclass(frozen=True)
class Region:
    """A smooth region, with a box (2, 3) and a line (point, direction, radius, length) that hold it."""

    inside: tuple[Test, ...]
    line: tuple[np.ndarray, np.ndarray, float, float]

    def holds(self, points: np.ndarray, tolerance: float = 0.0) -> np.ndarray:
        return np.min([test(points) for test in self.inside], axis=0) >= -tolerance

    def sample(self, rng: np.random.Generator, count: int) -> np.ndarray:
        """Points of the region, half of them on the skin of the round hole that holds it."""
        point, d, radius, length = self.line
        first = np.cross(d, [0.3, -0.5, 0.8])
        first /= np.linalg.norm(first)
        second = np.cross(d, first)
        angle = rng.uniform(0, 2 * np.pi, count)
        r = radius * np.where(rng.random(count) < 0.5, 1.0, np.sqrt(rng.random(count)))
        along = length * np.where(rng.random(count) < 0.1, rng.integers(0, 2, count), rng.random(count))
        made = point + along[:, None] * d
        made = made + (r * np.cos(angle))[:, None] * first + (r * np.sin(angle))[:, None] * second
        return made[self.holds(made, 1e-9)]


def direction(tilt: float, azim: float) -> np.ndarray:
    t, a = radians(tilt), radians(azim)
    return np.array([sin(t) * cos(a), sin(t) * sin(a), cos(t)])


def _round(point: np.ndarray, d: np.ndarray, radius: float, start: float, end: float) -> list[Test]:
    """A round hole between two stations of its axis."""

    def along(x: np.ndarray) -> np.ndarray:
        return (x - point) @ d

    def radial(x: np.ndarray) -> np.ndarray:
        offset = x - point
        return (radius**2 - (np.sum(offset**2, axis=-1) - (offset @ d) ** 2)) / (2 * radius)

    return [radial, lambda x: along(x) - start, lambda x: end - along(x)]


def _beyond_round(point: np.ndarray, d: np.ndarray, radius: float) -> Test:
    def test(x: np.ndarray) -> np.ndarray:
        offset = x - point
        return (np.sum(offset**2, axis=-1) - (offset @ d) ** 2 - radius**2) / (2 * radius)

    return test


def outside_chamber(job: Job) -> list[list[Test]]:
    """The ways to be outside the chamber: above its roof, or beyond one of its walls."""
    block = job["head"].get("chamber")
    if block is None:
        return [[]]
    depth = block["depth"]
    above: list[list[Test]] = [[lambda x: x[..., 2] - depth]]
    up = np.array([0.0, 0.0, 1.0])
    if block["type"] == "disc":
        return [*above, [_beyond_round(np.zeros(3), up, block["dia"] / 2)]]
    if block["type"] == "dome":
        radius = (block["base_radius"] ** 2 + depth**2) / (2 * depth)
        centre = np.array([0.0, 0.0, depth - radius])
        return [[lambda x: (np.sum((x - centre) ** 2, axis=-1) - radius**2) / (2 * radius)]]
    hx, hy, r = block["length"] / 2, block["width"] / 2, block["corner"]
    made = above
    for k, half in ((0, hx), (1, hy)):
        for sign in (1.0, -1.0):
            made.append([lambda x, k=k, half=half, sign=sign: sign * x[..., k] - half])
    if r > 0:
        for sx, sy in product((1.0, -1.0), repeat=2):
            corner = np.array([sx * (hx - r), sy * (hy - r), 0.0])
            made.append([lambda x, c=corner, s=sx: s * (x[..., 0] - c[0]), lambda x, c=corner, s=sy: s * (x[..., 1] - c[1]),
                         _beyond_round(corner, up, r)])  # fmt: skip
    return made


def _trimmed(job: Job, own: list[Test], line: tuple[np.ndarray, np.ndarray, float, float]) -> list[Region]:
    own = [*own, lambda x: x[..., 2]]
    return [Region((*own, *way), line) for way in outside_chamber(job)]


def cavity(job: Job, name: str) -> list[Region]:
    """A cavity as a round hole with flat ends (no drilled hole below a thread)."""
    block = next(item for item in job["head"]["cavities"] if item["name"] == name)
    p, d = np.array(block["axis"]["p"]), direction(block["axis"]["tilt"], block["axis"]["azim"])
    radius, length = block["dia"] / 2, block["len"]
    return _trimmed(job, _round(p, d, radius, 0.0, length), (p, d, radius, length))


def cut(job: Job, role: str, station: str) -> list[Region]:
    """body_bore, shank_bore or port of a station as the job's rules describe it (port from a point on the axis)."""
    block = job["stations"][station]
    p, d = np.array(block["axis"]["p"]), direction(block["axis"]["tilt"], block["axis"]["azim"])
    body, length = block["bushing"]["body"]["dia"], block["bushing"]["body"]["len"]
    top = job["head"]["outline"]["z"][1]
    if role == "body_bore":
        low = -p[2] / d[2] - 2 * body
        return _trimmed(job, _round(p, d, body / 2, low, length), (p + low * d, d, body / 2, length - low))
    if role == "shank_bore":
        radius = block["bushing"]["shank"]["dia"] / 2
        high = (top - p[2]) / d[2] + 4 * radius
        own = [*_round(p, d, radius, length, high), lambda x: top - x[..., 2]]
        return _trimmed(job, own, (p + length * d, d, radius, high - length))
    port = block["port"]
    foot = p + port["p"]["on_axis_s"] * d
    along = direction(90.0 - port["elev"], port["azim"])
    own = [*_round(foot, along, port["dia"] / 2, 0.0, port["face"]["along"]), _beyond_round(p, d, body / 2)]
    return _trimmed(job, own, (foot, along, port["dia"] / 2, port["face"]["along"]))


def regions_of(job: Job, part: Part) -> list[Region]:
    """A cut, (role, station), or a cavity, by its name."""
    return cavity(job, part) if isinstance(part, str) else cut(job, *part)


def least_distance(
    a: Sequence[Region], b: Sequence[Region], rng: np.random.Generator, starts: int = 6, count: int = 6000
) -> float:
    """The least distance of two unions of regions: the nearest samples of each two regions, then SLSQP from them."""
    clouds = [[region.sample(rng, count) for region in body] for body in (a, b)]
    tried = []
    for (i, first), (j, second) in product(enumerate(clouds[0]), enumerate(clouds[1])):
        if len(first) == 0 or len(second) == 0:
            continue
        gap, where = cKDTree(second).query(first)
        order = np.argsort(gap)
        chosen: list[int] = []
        for k in order:  # the nearest, and the nearest that lie elsewhere
            if all(np.linalg.norm(first[k] - first[m]) > 0.05 * np.ptp(first, axis=0).max() for m in chosen):
                chosen.append(int(k))
            if len(chosen) == starts:
                break
        tried += [(gap[k], a[i], b[j], np.concatenate([first[k], second[where[k]]])) for k in chosen]
    tried.sort(key=lambda item: item[0])
    best = np.inf
    for _, one, other, x0 in tried[: 3 * starts]:
        best = min(best, _polished(one, other, x0))
    return best


def _polished(one: Region, other: Region, x0: np.ndarray) -> float:
    tests = [(test, 0) for test in one.inside] + [(test, 3) for test in other.inside]

    def constraints(x: np.ndarray) -> np.ndarray:
        return np.array([float(test(x[k : k + 3])) for test, k in tests])

    def slopes(x: np.ndarray) -> np.ndarray:
        rows = np.zeros((len(tests), 6))
        for row, (test, k) in zip(
            rows, tests, strict=True
        ):  # quadratic at most: central differences are exact
            for axis in range(3):
                step = np.zeros(3)
                step[axis] = 1e-2
                row[k + axis] = (test(x[k : k + 3] + step) - test(x[k : k + 3] - step)) / 2e-2
        return rows

    done = minimize(
        lambda x: float(np.sum((x[:3] - x[3:]) ** 2)),
        x0,
        jac=lambda x: 2 * np.concatenate([x[:3] - x[3:], x[3:] - x[:3]]),
        constraints={"type": "ineq", "fun": constraints, "jac": slopes},
        method="SLSQP",
        options={"maxiter": 200, "ftol": 1e-13},
    )
    if constraints(done.x).min() < -1e-8:
        return np.inf
    return sqrt(max(0.0, done.fun))
