"""Walls of many sizes: each pair of voids is measured once whatever job it stands in, and in as few batches as can be."""

from __future__ import annotations

import pickle
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from math import inf

from headparts.checks.finding import Finding
from headparts.checks.walls import NEAR_A_CUT
from headparts.checks.walls_store import WallStore
from headparts.geometry.distance import PROVEN_GAP, Wall, walls
from headparts.geometry.trimmed import least_distances
from headparts.geometry.void import Void

FAR = NEAR_A_CUT
"""A wall that is proven to be thicker [mm] need not be measured on the way: no check of the table looks as far."""
AT_LEAST = "at least, by the untrimmed cuts"

Content = tuple[bytes, bytes]


class SharedWalls(WallStore):
    """Walls by what the two voids are, so that voids which did not move are measured once for all sizes.

    ``exact`` False: where the voids without their holes are `FAR` apart, their distance stands for the wall, which
    is no thinner, since a hole only takes away from a void. A check that such a wall passes is passed by the true
    one; where one is not passed, or its value matters, the walls are measured with ``exact`` True.
    """

    def __init__(self) -> None:
        super().__init__()
        self.exact = False
        self._measured: dict[Content, Wall] = {}
        self._bounded: dict[Content, Wall] = {}
        self._contents: dict[int, tuple[Void, bytes]] = {}

    def measure(self, pairs: Iterable[tuple[Void, Void]]) -> list[Wall]:
        """The walls of all pairs, in order."""
        wanted = list(pairs)
        keys = [(self.content(first), self.content(second)) for first, second in wanted]
        new = {key: pair for key, pair in zip(keys, wanted, strict=True) if self._wall(key) is None}
        if not self.exact:
            self._bounded.update(zip(new, _bounds(list(new.values())), strict=True))
            new = {key: pair for key, pair in new.items() if self._wall(key) is None}
        self._measured.update(zip(new, walls(list(new.values())), strict=True))
        return [wall for key in keys if (wall := self._wall(key)) is not None]

    def take_over(self, store: WallStore) -> None:
        """What another store has measured."""
        for (first, second), wall in store.known():
            self._measured[self.content(first), self.content(second)] = wall

    @contextmanager
    def exactly(self) -> Iterator[None]:
        """Measure every wall within this block."""
        before, self.exact = self.exact, True
        try:
            yield
        finally:
            self.exact = before

    def knows(self, first: Void, second: Void) -> bool:
        """Whether the pair was measured, in whatever job."""
        return self._wall((self.content(first), self.content(second))) is not None

    def _wall(self, key: Content) -> Wall | None:
        if key in self._measured:
            return self._measured[key]
        bound = None if self.exact else self._bounded.get(key)
        return bound if bound is not None and bound.lower > FAR else None

    def content(self, void: Void) -> bytes:
        """What a void is, wherever it stands."""
        if id(void) not in self._contents:
            self._contents[id(void)] = void, pickle.dumps(void)
        return self._contents[id(void)][1]


def _bounds(pairs: Sequence[tuple[Void, Void]]) -> list[Wall]:
    bare = [(replace(first, holes=()), replace(second, holes=())) for first, second in pairs]
    return [Wall(found.lower, found.lower, inf, None, AT_LEAST, False) for found in least_distances(bare)]


def bound_only(finding: Finding | None) -> bool:
    """Whether the value of a finding may be a bound, not the measured wall."""
    bounds = None if finding is None else finding.bounds
    return bounds is not None and bounds[1] - bounds[0] > PROVEN_GAP


class Postponed(BaseException):  # no Exception: no check may take it for a fault of its own
    """A check asked for walls that are not measured yet."""


class GatheredWalls(WallStore):
    """Stands in for ``shared``: notes which pairs a check wants and sends it away until they are measured."""

    def __init__(self, shared: SharedWalls) -> None:
        super().__init__()
        self._shared = shared
        self.wanted: list[tuple[Void, Void]] = []

    def measure(self, pairs: Iterable[tuple[Void, Void]]) -> list[Wall]:
        """The walls of all pairs if all are known. Raises Postponed otherwise."""
        asked = list(pairs)
        new = [pair for pair in asked if not self._shared.knows(*pair)]
        if new:
            self.wanted += new
            raise Postponed
        return self._shared.measure(asked)
