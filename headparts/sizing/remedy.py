"""What would mend one finding: which numbers of the job, to what, and what that costs elsewhere."""

from __future__ import annotations

from dataclasses import dataclass

from headparts.checks.finding import Finding
from headparts.sizing.judged import Key, Worse

MOST_NAMED = 4
"""Checks named in one sentence at most; how many more there are is told."""


@dataclass(frozen=True)
class Change:
    """One number of the job and what it would be [unit of its key]."""

    key: str
    own: float
    value: float


@dataclass(frozen=True)
class Cost:
    """One finding that a remedy makes worse: what names it, and what becomes of it.

    ``verdict``: "fail", "warn", "not_run" where it would stop running; "deeper" where it fails already and would fail
    by more.
    """

    key: Key
    verdict: str

    @classmethod
    def of(cls, worse: Worse, deeper: bool) -> Cost:
        """The cost of what `judged.worse` found."""
        if worse.finding is None:
            return cls(worse.key, "not_run")
        return cls(worse.key, "deeper" if deeper else worse.finding.verdict)


@dataclass(frozen=True)
class Remedy:
    """The nearest value of some numbers of a job, moved together, with which one finding passes.

    ``finding``: what is mended. ``changes``: the numbers, each as a shop can set it. ``words``: what is done, with its
    numbers. ``less``: the same keys one smallest step nearer to the job's own values; the finding does not pass there.
    ``costs``: every finding that a full check of the changed job shows to be worse than at the job's own numbers.
    ``also``: what a person should know beside it.
    """

    finding: Key
    words: str
    changes: tuple[Change, ...]
    less: tuple[Change, ...]
    costs: tuple[Cost, ...] = ()
    also: str = ""

    @property
    def values(self) -> dict[str, float]:
        """The changed numbers by their dotted keys."""
        return {change.key: change.value for change in self.changes}

    @property
    def harm(self) -> tuple[bool, int]:
        """How bad its costs are: whether anything fails or is not judged any more, and how many checks are worse."""
        return any(cost.verdict != "warn" for cost in self.costs), len({cost.key[0] for cost in self.costs})

    @property
    def text(self) -> str:
        """What is done, with the keys, and what it costs."""
        where = keys_text([change.key for change in self.changes])
        cost = cost_text(self.costs)
        return f"{self.words} ({where}{cost and f'; {cost}'})"


def keys_text(keys: list[str]) -> str:
    """The keys, coordinates of one point as the point."""
    return ", ".join(dict.fromkeys(_point_of(key) for key in keys))


def _point_of(key: str) -> str:
    parts = key.split(".")
    while parts[-1].isdecimal():
        parts.pop()
    return ".".join(parts)


_WORDS = {"fail": "fails", "warn": "warns", "not_run": "stops running", "deeper": "fails by more"}


def cost_text(costs: tuple[Cost, ...]) -> str:
    """What becomes worse, check by check, the worst first; "" for nothing."""
    if not costs:
        return ""
    told: dict[str, str] = {}
    for verdict in ("fail", "deeper", "not_run", "warn"):
        for cost in costs:
            if cost.verdict == verdict:
                told.setdefault(cost.key[0], verdict)
    shown = list(told.items())[:MOST_NAMED]
    groups: dict[str, list[str]] = {}
    for check, verdict in shown:
        groups.setdefault(verdict, []).append(check)
    parts = [_group(checks, verdict) for verdict, checks in groups.items()]
    more = len(told) - len(shown)
    rest = f" and {more} more {'check is' if more == 1 else 'checks are'} worse" if more else ""
    return f"then {', '.join(parts)}{rest}"


def _group(checks: list[str], verdict: str) -> str:
    word = _WORDS[verdict]
    if len(checks) > 1:
        word = word.replace("fails", "fail").replace("warns", "warn").replace("stops", "stop")
    names = " and ".join(filter(None, (", ".join(checks[:-1]), checks[-1])))
    return f"{names} {word}"


@dataclass(frozen=True)
class Advised:
    """A finding with advice in numbers: ``remedies`` found for it, the ones that cost nothing first.

    ``asked``: numbers were looked for. ``left_out``: why they were not, where the table has some.
    """

    finding: Finding
    remedies: tuple[Remedy, ...] = ()
    asked: bool = False
    left_out: str = ""

    @property
    def text(self) -> str:
        """The advice."""
        general = self.finding.advice
        if self.remedies:
            beside = dict.fromkeys(each.also for each in self.remedies if each.also)
            told = "; ".join([", or ".join(each.text for each in self.remedies), *beside])
            if all(each.costs for each in self.remedies) and general:
                return f"{general}; by a number only at a price: {told}"
            return told
        if self.left_out:
            why = f"without numbers, {self.left_out}"
            return f"{general} ({why})" if general else why
        if self.asked:
            none = "no single number alone mends this"
            return f"{none}: {general}" if general else none
        return general
