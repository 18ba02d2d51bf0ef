"""The nearest value, in whole steps from the job's own, with which one finding passes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import ceil, floor, isfinite

from headparts.checks.finding import SAME, Finding, Limit
from headparts.sizing.remedy import Change
from headparts.sizing.remedy_table import Row

DIGITS = 12
FIRST = 8
"""Steps of the first probe."""
FLAT = 1e-12
SMALL_SIDE = 0.2
"""A shift whose one part is less than this share of the other is made along the other alone."""


@dataclass(frozen=True)
class Moves:
    """Numbers of a job moved together by whole steps: ``at(n)`` are their values n steps from the job's own.

    A single number, and the first of several, is put on whole multiples of the step. ``most`` : steps that stay within
    the row's bounds and reach.
    """

    row: Row
    own: Mapping[str, float]
    toward: Mapping[str, float] = field(default_factory=dict)
    """Of a shift: how far each coordinate goes a step, as a share of it."""

    @property
    def most(self) -> int:
        """Steps at most; 0 where not one is within the bounds."""
        count = floor(self.row.reach / self.row.step + 1e-6)
        first = next(iter(self.own))
        while count > 0 and not self._within(self.at(count)[first]):
            count -= 1
        return count

    def _within(self, value: float) -> bool:
        low, high = self.row.low, self.row.high
        return (low is None or value >= low - SAME) and (high is None or value <= high + SAME)

    def at(self, count: int) -> dict[str, float]:
        """The values so many steps from the job's own."""
        step = self.row.step
        if self.toward:
            return {
                key: round(own + round(count * self.toward[key]) * step, DIGITS)
                for key, own in self.own.items()
            }
        first = next(iter(self.own))
        own = self.own[first]
        base = floor(own / step + 1e-6) if self.row.sign > 0 else ceil(own / step - 1e-6)
        value = round((base + self.row.sign * count) * step, DIGITS)
        return {
            key: value if key == first else round(start + value - own, DIGITS)
            for key, start in self.own.items()
        }

    def changes(self, count: int) -> tuple[tuple[Change, ...], tuple[Change, ...]]:
        """What differs so many steps from the job's own, and the same numbers one step nearer."""
        there, nearer = self.at(count), self.at(count - 1)
        moved = [key for key, value in there.items() if value != self.own[key]]
        return (
            tuple(Change(key, self.own[key], there[key]) for key in moved),
            tuple(Change(key, self.own[key], nearer[key]) for key in moved),
        )


def direction(slopes: Mapping[str, float]) -> dict[str, float]:
    """Shares by which coordinates move a step so that a finding gains most; {} where none matters."""
    greatest = max(map(abs, slopes.values()), default=0.0)
    if greatest <= FLAT:
        return {}
    shares = {key: slope / greatest for key, slope in slopes.items()}
    return {key: 0.0 if abs(share) < SMALL_SIDE else share for key, share in shares.items()}


def slack(finding: Finding | None, side: int) -> float | None:
    """How far a finding keeps its limit, negative beyond it [its unit]; of a range the end ``side`` (0 or 1)."""
    if finding is None or finding.value is None:
        return None
    end = _end(finding.limit, side)
    if end is None:
        return None
    above = side == 0 if finding.compare == "in" else finding.compare != "<="
    found = finding.value - end if above else end - finding.value
    return found if isfinite(found) else None


def violated(finding: Finding) -> int:
    """Which end of a range a finding is beyond: 0 the lower, 1 the upper."""
    limit, value = finding.limit, finding.value
    return int(isinstance(limit, tuple) and value is not None and value > limit[1])


def _end(limit: Limit, side: int) -> float | None:
    return limit[side] if isinstance(limit, tuple) else limit


Ask = Callable[[int], Finding | None]


def nearest(ask: Ask, own: Finding, most: int) -> int | None:
    """The least number of steps, ``most`` at most, with which the finding passes while one fewer does not; or None.

    ``ask``: the finding so many steps from the job's own, None where the reader refuses. The finding is taken to gain
    steadily; the first two probes decide whether it gains at all.
    """
    return _Search(ask, violated(own), slack(own, violated(own)), most).found()


class _Search:
    def __init__(self, ask: Ask, side: int, own: float | None, most: int) -> None:
        self._ask, self._side, self._most = ask, side, most
        self._slack: dict[int, float | None] = {0: own}
        self._passes: dict[int, bool] = {0: False}
        self._refused = most + 1

    def found(self) -> int | None:
        good = self._bracket()
        if good is None:
            return None
        bad = max(count for count, passes in self._passes.items() if not passes and count < good)
        turn = 0
        while good - bad > 1:
            guess = self._guess(bad, good) if turn % 4 < 3 else None
            middle = (bad + good) // 2 if guess is None else guess
            turn += 1
            if self._try(middle):
                good = middle
            else:
                bad = middle
        return good

    def _try(self, count: int) -> bool:
        if count not in self._passes:
            finding = self._ask(count)
            if finding is None:
                self._refused = min(self._refused, count)
            self._slack[count] = slack(finding, self._side)
            self._passes[count] = finding is not None and finding.verdict == "pass"
        return self._passes[count]

    def _bracket(self) -> int | None:
        """A number of steps that passes."""
        count, before = min(FIRST, self._most), 0
        while 0 < count < self._refused:
            if self._try(count):
                return count
            if count >= self._refused:
                count = (before + self._refused) // 2
                if count <= before:
                    return None
                continue
            here, was = self._slack[count], self._slack[before]
            if here is not None and was is not None and here <= was + FLAT:
                return None
            further = 2 * count
            if here is not None and was is not None:
                further = count + max(1, ceil(-here * (count - before) / (here - was)))
            before = count
            count = min(max(further, count + 1), self._most, self._refused - 1)
            if count == before:
                return None
        return None

    def _guess(self, bad: int, good: int) -> int | None:
        """Where a straight line through two values reaches the limit; next to the end that it points at."""
        below, above = self._slack[bad], self._slack[good]
        if below is None or above is None or below >= 0.0 or above <= below:
            return None
        guess = bad + ceil(-below * (good - bad) / (above - below) - 1e-9)
        return min(max(guess, bad + 1), good - 1)
