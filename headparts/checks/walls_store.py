"""Distances between voids, measured in batches and each once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from headparts.geometry.distance import Wall, walls
from headparts.geometry.void import Void


class WallStore:
    """A memory of walls by the identity of the two voids."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, int], Wall] = {}
        self._kept: list[Void] = []

    def measure(self, pairs: Iterable[tuple[Void, Void]]) -> list[Wall]:
        """The walls of all pairs, in order; what was measured before is not measured again."""
        wanted = list(pairs)
        new = [pair for pair in wanted if (id(pair[0]), id(pair[1])) not in self._known]
        for (first, second), wall in zip(new, walls(new), strict=True):
            self._kept += [first, second]
            self._known[(id(first), id(second))] = wall
        return [self._known[(id(first), id(second))] for first, second in wanted]

    def known(self) -> Iterator[tuple[tuple[Void, Void], Wall]]:
        """What was measured, pair by pair."""
        for first, second in zip(self._kept[::2], self._kept[1::2], strict=True):
            yield (first, second), self._known[id(first), id(second)]

    def one(self, first: Void, second: Void) -> Wall:
        """The wall of one pair."""
        return self.measure([(first, second)])[0]
