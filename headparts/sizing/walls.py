"""Walls of many sizes: each pair of voids is measured once whatever job it stands in, and in as few batches as can be."""

from __future__ import annotations

import pickle
from collections.abc import Iterable

from headparts.checks.walls_store import WallStore
from headparts.geometry.distance import Wall, walls
from headparts.geometry.void import Void

Content = tuple[bytes, bytes]


class SharedWalls(WallStore):
    """Walls by what the two voids are, so that voids which did not move are measured once for all sizes."""

    def __init__(self) -> None:
        super().__init__()
        self._by_content: dict[Content, Wall] = {}
        self._contents: dict[int, tuple[Void, bytes]] = {}

    def measure(self, pairs: Iterable[tuple[Void, Void]]) -> list[Wall]:
        """The walls of all pairs, in order."""
        wanted = list(pairs)
        keys = [(self._content(first), self._content(second)) for first, second in wanted]
        new = {key: pair for key, pair in zip(keys, wanted, strict=True) if key not in self._by_content}
        self._by_content.update(zip(new, walls(list(new.values())), strict=True))
        return [self._by_content[key] for key in keys]

    def knows(self, first: Void, second: Void) -> bool:
        """Whether the pair was measured, in whatever job."""
        return (self._content(first), self._content(second)) in self._by_content

    def _content(self, void: Void) -> bytes:
        if id(void) not in self._contents:
            self._contents[id(void)] = void, pickle.dumps(void)
        return self._contents[id(void)][1]


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
