"""Least distance of voids that holes have trimmed: branch and bound over convex pieces.

The relaxed problem (holes left out) is solved first; where its witnesses lie outside the holes it is the
answer. Else upper bounds are sought with half-spaces tangent to the holes, which lie wholly outside them
("climbs"), and the outside of a violated hole is covered by convex pieces (`holes.py`), small ones round the
places found, whose least distance is a sure lower bound. Pieces are split until the bounds meet. All open
pieces and climbs of all pairs are solved in one batch a round.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Array
from headparts.geometry.convex import Convex, Plane
from headparts.geometry.emptiness import beyond_reach, proven_empty
from headparts.geometry.holes import Hole, Piece, Touch
from headparts.geometry.pairs import FEASIBLE, Distances, distances
from headparts.geometry.slide import slid
from headparts.geometry.stack import Stack
from headparts.geometry.void import Void

GAP = 5e-7
"""Bounds nearer than this (mm) count as met."""
INSIDE = 1e-9
"""A witness at most this deep (mm) in a hole counts as outside it."""
ROUNDS = 60
BUDGET = 6000
CLIMBS = 3
ALONE = 1
SPREAD = 4
"""A piece is split into at least this many at a time."""
STARTS = 4
"""Climbs a pair begins in one round."""
STANDS = 1e-10
"""A climb that gains less than this (mm) is over."""
PLACES = 6
SAME = 1e-4
"""A place this near (mm) to a better one is not kept besides."""
RINGS = 14
"""Rings of pieces round a place on the wall of one hole."""
PER_ROUND = 60
"""The more nodes are open, the fewer rings round a place where several holes meet."""
EDGE = 1e-4

Planes = tuple[list[Touch], list[Touch]]
Witness = tuple[Array, Array]


@dataclass(frozen=True)
class Node:
    """One convex sub-problem: a core pair and the pieces chosen for the holes of each side."""

    pair: int
    cores: tuple[Convex, Convex]
    pieces: tuple[dict[int, Piece], dict[int, Piece]]
    floor: float

    @property
    def whole(self) -> bool:
        return not (self.pieces[0] or self.pieces[1])

    def planes(self, side: int) -> list[Plane]:
        return [plane for piece in self.pieces[side].values() for plane in piece.planes]


@dataclass(frozen=True)
class Climb:
    """One try for an upper bound: a core pair cut by tangent half-spaces of the ``used`` holes."""

    node: Node
    cut: Planes
    used: tuple[frozenset[int], frozenset[int]]
    value: float
    left: int

    def planes(self, side: int) -> Sequence[Plane]:
        return self.cut[side]


Depths = dict[tuple[int, int], float]
Task = tuple[Node, float, tuple[int, int] | None]


@dataclass
class Found:
    """Bounds of one pair of voids: ``upper`` with witnesses, proven ``lower`` (mm).

    ``places``: least distances found, nearest first, with their witnesses and on how many holes' walls they lie.
    """

    upper: float = np.inf
    lower: float = np.inf
    at: Witness | None = None
    cores: tuple[Convex, Convex] | None = None
    nodes: int = 0
    trimmed: bool = False
    places: list[tuple[float, Witness, int]] = field(default_factory=list)

    def offer(self, value: float, witness: Witness, cores: tuple[Convex, Convex], depths: Depths) -> None:
        """A witness pair in both voids, ``depths`` in their holes; its place is kept if it is a new one."""
        if value < self.upper:
            self.upper, self.at, self.cores = value, witness, cores
        if not depths or (len(self.places) == PLACES and value >= self.places[-1][0]):
            return
        if any(v <= value and np.abs(w[0] - witness[0]).max() < SAME for v, w, _ in self.places):
            return
        edges = sum(abs(depth) < EDGE for depth in depths.values())
        self.places.append((value, witness, edges))
        self.places.sort(key=lambda place: place[0])
        del self.places[PLACES:]

    def closed(self, floor: float, budget: int) -> bool:
        return floor >= self.upper - GAP or self.upper <= INSIDE or self.nodes > budget


def least_distances(pairs: Sequence[tuple[Void, Void]], budget: int = BUDGET) -> list[Found]:
    """Bounds of the least distance of every pair; a distance of 0 stops as soon as it is found."""
    for a, b in pairs:
        if any(core.bound is None for core in a.cores) and any(core.bound is None for core in b.cores):
            raise GeometryError(f"no wall between {a.name} and {b.name}: both are endless")
    search = _Search(pairs, budget)
    search.run()
    for item in search.found:
        item.lower = min(item.lower, item.upper)
    return search.found


class _Search:
    """All pairs at once; every method works on the open pieces of all of them."""

    def __init__(self, pairs: Sequence[tuple[Void, Void]], budget: int) -> None:
        self.holes = [(a.holes, b.holes) for a, b in pairs]
        self.found = [Found() for _ in pairs]
        self.budget = budget
        self.nodes = [
            Node(k, (core_a, core_b), ({}, {}), 0.0)
            for k, (a, b) in enumerate(pairs)
            for core_a in a.cores
            for core_b in b.cores
        ]

    def run(self) -> None:
        todo, climbs = self.solve(self.nodes, [], True)
        for _ in range(ALONE):
            if not climbs:
                break
            _, climbs = self.solve([], climbs, False)
        nodes = self.split(todo)
        for _ in range(ROUNDS):
            if not nodes:
                break
            todo, climbs = self.solve(_reachable(nodes), climbs, False)
            nodes = self.split(todo)
        for node in nodes:
            self.found[node.pair].lower = min(self.found[node.pair].lower, node.floor)

    def solve(self, nodes: list[Node], climbs: list[Climb], polish: bool) -> tuple[list[Task], list[Climb]]:
        """Distances of all nodes and climbs: what is still open, and the climbs of the next round."""
        every: list[Node | Climb] = [*climbs, *nodes]
        owner = [*(climb.node for climb in climbs), *nodes]
        result = distances(
            [node.cores[0] for node in owner],
            [node.cores[1] for node in owner],
            np.array([self.found[node.pair].upper for node in owner]),
            ([item.planes(0) for item in every], [item.planes(1) for item in every]),
            polish,
        )
        depths = self.depths(owner, (result.a, result.b))
        ended = self.slide(climbs, result)
        further: list[Climb] = []
        for k, climb in enumerate(climbs):
            if k not in ended and np.isfinite(result.upper[k]):
                further += self.climbed(climb, float(result.upper[k]), (result.a[k], result.b[k]), depths[k])
        todo: list[Task] = []
        inner: dict[int, list[tuple[float, int]]] = {}
        for k, node in enumerate(nodes, start=len(climbs)):
            item = self.found[node.pair]
            item.nodes += 1
            floor = max(float(result.lower[k]), node.floor)
            if floor == np.inf:
                continue
            if not np.isfinite(result.upper[k]):
                todo.append((node, floor, None))
                continue
            worst = max(depths[k], key=depths[k].__getitem__, default=None)
            if worst is None or depths[k][worst] <= INSIDE:
                item.offer(float(result.upper[k]), (result.a[k], result.b[k]), node.cores, depths[k])
                item.lower = min(item.lower, floor)
                continue
            item.trimmed = True
            todo.append((node, floor, worst))
            inner.setdefault(node.pair, []).append((floor, k))
        open_tasks = [task for task in todo if not self.settled(*task[:2])]
        for pair, options in inner.items():
            for floor, k in sorted(options)[:STARTS]:
                if not self.found[pair].closed(floor, self.budget):
                    empty = Climb(owner[k], ([], []), (frozenset(), frozenset()), np.inf, CLIMBS)
                    further += self.begun(empty, (result.a[k], result.b[k]), depths[k])
        open_tasks = _not_empty(open_tasks)
        live = {task[0].pair for task in open_tasks}
        return open_tasks, [climb for climb in further if not nodes or climb.node.pair in live]

    def slide(self, climbs: list[Climb], result: Distances) -> set[int]:
        """Offers the nearest places along the edges that the climbs have reached; which are over by that."""
        use = [k for k in range(len(climbs)) if np.isfinite(result.upper[k])]
        ended: set[int] = set()
        if not use:
            return ended
        nodes = [climbs[k].node for k in use]
        bodies = Stack.of([node.cores[side] for side in (0, 1) for node in nodes])
        walls = [climbs[k].cut[side] for side in (0, 1) for k in use]
        points, found = slid(bodies, walls, np.concatenate([result.a[use], result.b[use]]))
        inside = (bodies.violation(points) <= FEASIBLE).reshape(2, -1).all(axis=0)
        witness = (points[: len(use)], points[len(use) :])
        depths = self.depths(nodes, witness)
        for k in np.flatnonzero(found & inside):
            if max(depths[k].values(), default=0.0) <= INSIDE:
                a, b = witness[0][k], witness[1][k]
                value = float(np.linalg.norm(b - a))
                self.found[nodes[k].pair].offer(value, (a, b), nodes[k].cores, depths[k])
                if value <= result.upper[use[k]] + INSIDE:
                    ended.add(use[k])
        return ended

    def depths(self, nodes: Sequence[Node], witness: Witness) -> list[Depths]:
        """How deep each node's witnesses lie in the holes of its pair, by side and number of the hole."""
        found: list[Depths] = [{} for _ in nodes]
        users: dict[int, tuple[Hole, list[tuple[int, int, int]]]] = {}
        for k, node in enumerate(nodes):
            for side in (0, 1):
                for number, hole in enumerate(self.holes[node.pair][side]):
                    users.setdefault(id(hole), (hole, []))[1].append((k, side, number))
        for hole, places in users.values():
            points = np.array([witness[side][k] for k, side, _ in places])
            for (k, side, number), depth in zip(places, hole.depth(points).tolist(), strict=True):
                found[k][side, number] = depth
        return found

    def climbed(self, climb: Climb, value: float, witness: Witness, depths: Depths) -> list[Climb]:
        """Offers what a climb has reached; its next steps."""
        if max(depths.values(), default=0.0) <= INSIDE:
            self.found[climb.node.pair].offer(value, witness, climb.node.cores, depths)
        if climb.left == 0 or abs(climb.value - value) < STANDS:
            return []
        return self.begun(Climb(climb.node, climb.cut, climb.used, value, climb.left - 1), witness, depths)

    def begun(self, climb: Climb, witness: Witness, depths: Depths) -> list[Climb]:
        """Each violated or already used hole replaced by a tangent half-space, one climb a way out."""
        holes = self.holes[climb.node.pair]
        first, second = (
            climb.used[side] | {k for (s, k), depth in depths.items() if s == side and depth > INSIDE}
            for side in (0, 1)
        )
        choices: list[Planes] = [([], [])]
        for side, used in ((0, first), (1, second)):
            for k in used:
                ways = list(holes[side][k].tangents(witness[side]))
                bound = climb.node.cores[side].bound
                if (
                    climb.value == np.inf and climb.node.whole and bound is not None
                ):  # the witness may be a poor place to begin
                    ways += [way for way in holes[side][k].tangents(bound[0]) if way not in ways]
                choices = [_added(choice, side, plane) for choice in choices for plane in ways]
        return [Climb(climb.node, choice, (first, second), climb.value, climb.left) for choice in choices[:8]]

    def split(self, todo: list[Task]) -> list[Node]:
        """The children of all open nodes; what cannot be split any more is settled."""
        children: list[Node] = []
        todo = [task for task in todo if not self.settled(*task[:2])]
        few = max(1, min(RINGS, PER_ROUND // max(len(todo), 1)))
        for node, floor, worst in todo:
            item = self.found[node.pair]
            made = self.parts(node, worst, floor, few)
            if not made or item.nodes + len(made) > self.budget:
                item.lower = min(item.lower, floor)
                continue
            children += made
        return children

    def settled(self, node: Node, floor: float) -> bool:
        """Whether a node needs no more work; its bound then counts for its pair."""
        item = self.found[node.pair]
        closed = item.closed(floor, self.budget)
        if closed:
            item.lower = min(item.lower, floor)
        return closed

    def parts(self, node: Node, worst: tuple[int, int] | None, floor: float, few: int) -> list[Node]:
        """One node split at the hole in which its witness lies, in ``few`` rings where several holes meet."""
        if worst is None:  # no witness: the piece is empty or hard; try every hole in turn
            options = [(side, k) for side in (0, 1) for k in range(len(self.holes[node.pair][side]))]
            unused = [(side, k) for side, k in options if k not in node.pieces[side]]
            divisible = [
                (side, k) for side, k in options if k in node.pieces[side] and node.pieces[side][k].parts()
            ]
            if not unused and not divisible:
                return []
            worst = (unused or divisible)[0]
        side, k = worst
        places = [
            (witness[side], RINGS if edges < 2 else few) for _, witness, edges in self.found[node.pair].places
        ]
        made = []
        for part in _parts(self.holes[node.pair][side][k], node.pieces[side].get(k), places):
            chosen = ({**node.pieces[0]}, {**node.pieces[1]})
            chosen[side][k] = part
            made.append(Node(node.pair, node.cores, chosen, floor))
        return made


def _parts(hole: Hole, held: Piece | None, places: Sequence[tuple[Array, int]]) -> list[Piece]:
    """The pieces of a hole, or of the piece ``held``: fine ones round a place, else about ``SPREAD``."""
    made: list[Piece] = []
    fine = False
    for piece in hole.pieces() if held is None else (held,):
        near = next((found for found in (piece.around(*place) for place in places) if found), ())
        made += near or piece.parts() or ((piece,) if held is None else ())
        fine = fine or bool(near)
    while not fine and len(made) < SPREAD and any(piece.parts() for piece in made):
        made = [smaller for piece in made for smaller in (piece.parts() or (piece,))]
    return made


def _reachable(nodes: list[Node]) -> list[Node]:
    empty = np.zeros(len(nodes), dtype=bool)
    for side in (0, 1):
        empty |= beyond_reach([n.cores[side] for n in nodes], [n.planes(side) for n in nodes])
    return [node for node, gone in zip(nodes, empty, strict=True) if not gone]


def _not_empty(todo: list[Task]) -> list[Task]:
    """Drops the pieces without a witness that are proven empty."""
    doubt = [k for k, task in enumerate(todo) if task[2] is None]
    if not doubt:
        return todo
    empty = proven_empty(
        [todo[k][0].cores[side] for side in (0, 1) for k in doubt],
        [todo[k][0].planes(side) for side in (0, 1) for k in doubt],
    )
    either = empty[: len(doubt)] | empty[len(doubt) :]
    gone = {k for k, is_empty in zip(doubt, either, strict=True) if is_empty}
    return [task for k, task in enumerate(todo) if k not in gone]


def _added(choice: Planes, side: int, plane: Touch) -> Planes:
    first, second = choice
    return ([*first, plane], second) if side == 0 else (first, [*second, plane])
