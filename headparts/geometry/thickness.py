"""How thick a solid is, everywhere: rays from its faces inward, then exact distances of the faces they join.

The thickness at a point of a face is the length of the ray that runs from it into the metal, square to the face,
to where it first comes out. Rays only sample: they miss the least value by a little. So for every two faces that
a ray joins, the exact distance of the two counts too, where the straight line between its two points runs in
metal. Faces that share an edge or a corner are left out: there the thickness runs down to 0 at any acute edge;
they are told apart as ``edges``. A face that faces itself is seen only by rays, refined step by step.

What it cannot do: prove. A thin place that no ray found is not seen; there is no lower bound. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Vector = tuple[float, float, float]

UNPROVEN = (
    "unproven: rays sample the faces; a thinner place that no ray found is not seen, there is no lower bound"
)


@dataclass(frozen=True)
class Thin:
    """One thin place: the metal between two faces.

    value [mm] between the two points ``at``; ``faces``: numbers of the two (the same twice: it faces itself);
    ``how``: "face pair" (exact distance of the two faces) or "ray" (the shortest one found, not below the least);
    ``seen``: the shortest ray that joined the two before anything was refined [mm].
    """

    value: float
    at: tuple[Vector, Vector]
    faces: tuple[int, int]
    how: str
    seen: float


@dataclass(frozen=True)
class Thickness:
    """The thickness field of one solid, n points.

    points (n, 3) on the faces; normals (n, 3) out of the metal; values (n,) thickness, nan where the ray has no
    sound exit (``lost`` of them); faces, exits (n,) numbers of the faces where the ray begins and ends (-1:
    none); adjacent (n,): the two share an edge or a corner, so the value does not count; shares (n,) area that
    a point stands for [mm2].
    pairs : thin places, least first, one a pair of faces. edges : the same for adjacent faces, not counted.
    untried : pairs of faces that rays joined whose exact distance was not asked for, being too many.
    """

    kind: str
    volume: float
    box: tuple[Vector, Vector]
    face_count: int
    points: Floats
    normals: Floats
    values: Floats
    faces: Ints
    exits: Ints
    adjacent: Flags
    shares: Floats
    pairs: tuple[Thin, ...]
    edges: tuple[Thin, ...]
    untried: int = 0
    remark: str = ""

    @property
    def least(self) -> Thin | None:
        """The thinnest place found; None when no ray found any."""
        return self.pairs[0] if self.pairs else None

    @property
    def counted(self) -> Flags:
        """(n,) points whose value counts."""
        found: Flags = np.isfinite(self.values) & ~self.adjacent
        return found

    @property
    def lost(self) -> int:
        """Rays without a sound exit."""
        return int(np.count_nonzero(~np.isfinite(self.values)))

    def below(self, limit: float) -> tuple[Thin, ...]:
        """Thin places below a limit [mm], least first."""
        return tuple(thin for thin in self.pairs if thin.value < limit)

    def area_below(self, limit: float) -> float:
        """Area of the faces whose thickness is below a limit [mm2], as sampled; both sides of a wall count."""
        thin = self.counted & (np.nan_to_num(self.values, nan=np.inf) < limit)
        return float(self.shares[thin].sum())


def best_by_pair(values: Floats, faces: Ints, exits: Ints, chosen: Flags) -> dict[tuple[int, int], int]:
    """For every pair of faces (lower number first) the chosen sample with the least value, least first."""
    found: dict[tuple[int, int], int] = {}
    for k in np.flatnonzero(chosen)[np.argsort(values[chosen], kind="stable")]:
        a, b = int(faces[k]), int(exits[k])
        found.setdefault((min(a, b), max(a, b)), int(k))
    return found


def by_ray(value: float, start: Floats, along: Floats, faces: tuple[int, int], seen: float) -> Thin:
    """A thin place as a ray saw it: ``start`` and unit ``along`` (3,)."""
    end = start + value * along
    return Thin(value, (vector(start), vector(end)), faces, "ray", seen)


def thin_pairs(
    rays: Iterable[tuple[Thin, int]],
    below: float,
    most: int,
    apart: Callable[[int, int], float],
    measure: Callable[[Thin, int], Thin],
) -> tuple[list[Thin], int]:
    """Every pair of faces as its ray saw it, or measured where it may be nearer than ``below`` or hold the least.

    ``rays``: each with the number of its place; ``apart`` (mm): a sure lower bound of two faces' distance;
    ``measure``: face against face, asked at most ``most`` times. Gives the pairs and how many were left unmeasured.
    """
    pairs: list[Thin] = []
    tried = untried = 0
    for ray, place in rays:
        a, b = ray.faces
        worth = max(below, min((thin.value for thin in pairs), default=math.inf))
        if a != b and apart(a, b) > worth:
            pairs.append(ray)
        elif tried == most:
            untried += 1
            pairs.append(ray)
        else:
            tried += 1
            pairs.append(measure(ray, place))
    return pairs, untried


def vector(row: Floats) -> Vector:
    """Three plain floats."""
    return float(row[0]), float(row[1]), float(row[2])
