"""Least distance of voids that holes have trimmed: branch and bound over convex pieces.

The relaxed problem (holes left out) is solved first; where its witnesses lie outside the holes it is the
answer. Else the outside of a violated hole is covered by convex pieces (`holes.py`), whose least distance is
a sure lower bound, and pieces are halved until the bounds meet. Upper bounds come from half-spaces tangent
to the hole, which lie wholly outside it. All open pieces of all pairs are solved in one batch a round.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Array
from headparts.geometry.convex import Convex, Plane
from headparts.geometry.emptiness import beyond_reach, proven_empty
from headparts.geometry.holes import Hole, Piece
from headparts.geometry.pairs import distances
from headparts.geometry.void import Void

GAP = 5e-7
"""Bounds nearer than this (mm) count as met."""
INSIDE = 1e-9
"""A witness at most this deep (mm) in a hole counts as outside it."""
ROUNDS = 60
BUDGET = 6000
CLIMBS = 3
SPREAD = 8
"""A piece is split into at least this many at a time."""


@dataclass(frozen=True)
class Node:
    """One convex sub-problem: a core pair and the pieces chosen for the holes of each side."""

    pair: int
    cores: tuple[Convex, Convex]
    pieces: tuple[dict[int, Piece], dict[int, Piece]]
    floor: float

    def planes(self, side: int) -> list[Plane]:
        return [plane for piece in self.pieces[side].values() for plane in piece.planes]


Task = tuple[Node, float, tuple[int, int] | None]


@dataclass
class Found:
    """Bounds of one pair of voids: ``upper`` with witnesses, proven ``lower`` (mm)."""

    upper: float = np.inf
    lower: float = np.inf
    at: tuple[Array, Array] | None = None
    cores: tuple[Convex, Convex] | None = None
    nodes: int = 0
    trimmed: bool = False

    def offer(self, value: float, a: Array, b: Array, cores: tuple[Convex, Convex]) -> None:
        if value < self.upper:
            self.upper, self.at, self.cores = value, (a, b), cores


def least_distances(pairs: Sequence[tuple[Void, Void]], budget: int = BUDGET) -> list[Found]:
    """Bounds of the least distance of every pair; a distance of 0 stops as soon as it is found."""
    for a, b in pairs:
        if any(core.bound is None for core in a.cores) and any(core.bound is None for core in b.cores):
            raise GeometryError(f"no wall between {a.name} and {b.name}: both are endless")
    found = [Found() for _ in pairs]
    nodes = [
        Node(k, (core_a, core_b), ({}, {}), 0.0)
        for k, (a, b) in enumerate(pairs)
        for core_a in a.cores
        for core_b in b.cores
    ]
    for k in range(ROUNDS):
        if not nodes:
            break
        nodes = _round(pairs, found, nodes, budget, CLIMBS if k < 3 else 1, k == 0)
    for node in nodes:
        found[node.pair].lower = min(found[node.pair].lower, node.floor)
    for item in found:
        item.lower = min(item.lower, item.upper)
    return found


def _round(
    pairs: Sequence[tuple[Void, Void]],
    found: list[Found],
    nodes: list[Node],
    budget: int,
    climbs: int,
    polish: bool,
) -> list[Node]:
    nodes = _reachable(nodes)
    reach = np.array([found[node.pair].upper for node in nodes])
    result = distances(
        [n.cores[0] for n in nodes],
        [n.cores[1] for n in nodes],
        reach,
        ([n.planes(0) for n in nodes], [n.planes(1) for n in nodes]),
        polish,
    )
    lower = np.maximum(result.lower, [node.floor for node in nodes])
    todo: list[Task] = []
    inner: dict[int, list[tuple[float, int]]] = {}
    for k, node in enumerate(nodes):
        item = found[node.pair]
        item.nodes += 1
        holes = (pairs[node.pair][0].holes, pairs[node.pair][1].holes)
        if not np.isfinite(result.upper[k]):
            todo.append((node, float(lower[k]), None))
            continue
        worst = _worst(holes, (result.a[k], result.b[k]))
        if worst is None:
            item.offer(float(result.upper[k]), result.a[k], result.b[k], node.cores)
            item.lower = min(item.lower, float(lower[k]))
            continue
        item.trimmed = True
        todo.append((node, float(lower[k]), worst))
        inner.setdefault(node.pair, []).append((float(lower[k]), k))
    todo = _not_empty(todo)
    starts = [k for options in inner.values() for _, k in sorted(options)[:4]]
    _climb(pairs, found, climbs, [(nodes[k], result.a[k], result.b[k]) for k in starts])
    children: list[Node] = []
    for node, floor, worst in todo:
        item = found[node.pair]
        if floor >= item.upper - GAP or item.upper <= INSIDE or item.nodes > budget:
            item.lower = min(item.lower, floor)
            continue
        split = _split(node, worst, (pairs[node.pair][0].holes, pairs[node.pair][1].holes), floor)
        if not split:
            item.lower = min(item.lower, floor)
        children += split
    return children


def _reachable(nodes: list[Node]) -> list[Node]:
    empty = np.zeros(len(nodes), dtype=bool)
    for side in (0, 1):
        empty |= beyond_reach([n.cores[side] for n in nodes], [n.planes(side) for n in nodes])
    return [node for node, gone in zip(nodes, empty, strict=True) if not gone]


def _not_empty(todo: list[Task]) -> list[Task]:
    """Drops the pieces without a witness that are proven empty."""
    doubt = [k for k, task in enumerate(todo) if task[2] is None]
    gone: set[int] = set()
    for side in (0, 1):
        empty = proven_empty(
            [todo[k][0].cores[side] for k in doubt], [todo[k][0].planes(side) for k in doubt]
        )
        gone |= {k for k, is_empty in zip(doubt, empty, strict=True) if is_empty}
    return [task for k, task in enumerate(todo) if k not in gone]


def _worst(
    holes: tuple[Sequence[Hole], Sequence[Hole]], witness: tuple[Array, Array]
) -> tuple[int, int] | None:
    deepest, where = INSIDE, None
    for side in (0, 1):
        for k, hole in enumerate(holes[side]):
            depth = float(hole.depth(witness[side]))
            if depth > deepest:
                deepest, where = depth, (side, k)
    return where


def _split(
    node: Node, worst: tuple[int, int] | None, holes: tuple[Sequence[Hole], Sequence[Hole]], floor: float
) -> list[Node]:
    if worst is None:  # no witness: the piece is empty or hard; try every hole in turn
        options = [(side, k) for side in (0, 1) for k in range(len(holes[side]))]
        unused = [(side, k) for side, k in options if k not in node.pieces[side]]
        divisible = [
            (side, k) for side, k in options if k in node.pieces[side] and node.pieces[side][k].parts()
        ]
        if not unused and not divisible:
            return []
        worst = (unused or divisible)[0]
    side, k = worst
    held = node.pieces[side].get(k)
    parts = _finer(holes[side][k].pieces() if held is None else held.parts())
    made = []
    for part in parts:
        chosen = ({**node.pieces[0]}, {**node.pieces[1]})
        chosen[side][k] = part
        made.append(Node(node.pair, node.cores, chosen, floor))
    return made


def _finer(parts: Sequence[Piece]) -> list[Piece]:
    """The pieces split further, until there are about ``SPREAD``: one batch of many costs little more."""
    made = list(parts)
    while len(made) < SPREAD and any(piece.parts() for piece in made):
        made = [smaller for piece in made for smaller in (piece.parts() or (piece,))]
    return made


def _climb(
    pairs: Sequence[tuple[Void, Void]],
    found: list[Found],
    steps: int,
    starts: list[tuple[Node, Array, Array]],
) -> None:
    """Upper bounds: replace each violated hole by a tangent half-space, solve, move the tangent, repeat."""
    live: list[tuple[Node, tuple[Array, Array], tuple[set[int], set[int]]]] = [
        (node, (a, b), (set(), set())) for node, a, b in starts
    ]
    for _ in range(steps):
        tasks: list[tuple[Node, tuple[list[Plane], list[Plane]], tuple[set[int], set[int]]]] = []
        for node, witness, used in live:
            holes = (pairs[node.pair][0].holes, pairs[node.pair][1].holes)
            for side in (0, 1):
                for k, hole in enumerate(holes[side]):
                    if hole.depth(witness[side]) > INSIDE:
                        used[side].add(k)
            choices: list[tuple[list[Plane], list[Plane]]] = [([], [])]
            for side in (0, 1):
                for k in used[side]:
                    ways = holes[side][k].tangents(witness[side])
                    choices = [_added(choice, side, plane) for choice in choices for plane in ways]
            tasks += [(node, choice, (set(used[0]), set(used[1]))) for choice in choices[:8]]
        if not tasks:
            return
        result = distances(
            [t[0].cores[0] for t in tasks],
            [t[0].cores[1] for t in tasks],
            np.array([found[t[0].pair].upper for t in tasks]),
            ([t[1][0] for t in tasks], [t[1][1] for t in tasks]),
            polish=False,
        )
        live = []
        for k, (node, _, used) in enumerate(tasks):
            if not np.isfinite(result.upper[k]):
                continue
            witness = (result.a[k], result.b[k])
            holes = (pairs[node.pair][0].holes, pairs[node.pair][1].holes)
            if _worst(holes, witness) is None:
                found[node.pair].offer(float(result.upper[k]), *witness, node.cores)
            live.append((node, witness, used))


def _added(
    choice: tuple[list[Plane], list[Plane]], side: int, plane: Plane
) -> tuple[list[Plane], list[Plane]]:
    first, second = choice
    return ([*first, plane], second) if side == 0 else (first, [*second, plane])
