"""Trying sizes: each value of the parameter is read, planned and checked once, walls that did not move never again."""

from __future__ import annotations

import pickle
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.run import run_checks
from headparts.checks.walls_store import WallStore
from headparts.config.varied import VariedJob
from headparts.errors import HeadpartsError, JobFileError
from headparts.geometry.distance import Wall, walls
from headparts.geometry.void import Void
from headparts.plan import plan_job
from headparts.sizing.judged import Key, Worse, by_key, worse

DIGITS = 12


class SharedWalls(WallStore):
    """Walls by what the two voids are, so that voids which did not move are measured once for all sizes."""

    def __init__(self) -> None:
        super().__init__()
        self._by_content: dict[tuple[bytes, bytes], Wall] = {}

    def measure(self, pairs: Iterable[tuple[Void, Void]]) -> list[Wall]:
        """The walls of all pairs, in order."""
        wanted = list(pairs)
        keys = [(pickle.dumps(first), pickle.dumps(second)) for first, second in wanted]
        new = {key: pair for key, pair in zip(keys, wanted, strict=True) if key not in self._by_content}
        self._by_content.update(zip(new, walls(list(new.values())), strict=True))
        return [self._by_content[key] for key in keys]


@dataclass(frozen=True)
class Trial:
    """One size tried. ``refused`` is what the reader says of it, else ``findings`` and what is worse in them."""

    value: float
    refused: str = ""
    findings: Mapping[Key, Finding] = field(default_factory=dict)
    worse: tuple[Worse, ...] = ()

    def bad(self, waived: frozenset[tuple[str, str]]) -> bool:
        """Whether this size is no candidate when the checks waived, (id, subject), are left out."""
        return bool(self.refused) or bool(self.blamed(waived))

    def blamed(self, waived: frozenset[tuple[str, str]]) -> list[Worse]:
        """What is worse, without the checks waived."""
        return [each for each in self.worse if (each.key[0], each.key[1]) not in waived]


class Trials:
    """All sizes tried so far. ``only`` are the checks that are asked; none stands for all of them."""

    def __init__(self, varied: VariedJob, parameter: str, together: Sequence[str], own: float) -> None:
        self.parameter, self.own = parameter, own
        self._varied = varied
        self._starts = {key: varied.job.quantities[key].value for key in (parameter, *together)}
        self._walls = SharedWalls()
        self._legal: dict[float, str] = {}
        self._known: dict[float, Trial] = {}
        self._partly: dict[float, Trial] = {}
        self.only: tuple[str, ...] = ()
        self.own_findings = by_key(self._checked(own))
        self._known[own] = Trial(own, "", self.own_findings)

    def values(self, value: float) -> dict[str, float]:
        """All keys that move, at one size of the parameter."""
        shift = value - self.own
        return {
            key: value if key == self.parameter else round(start + shift, DIGITS)
            for key, start in self._starts.items()
        }

    def refusal(self, value: float) -> str:
        """Why the reader would refuse this size; empty when it would not."""
        if value not in self._legal:
            try:
                self._varied.changed(self.values(value))
                self._legal[value] = ""
            except JobFileError as error:
                fault = error.faults[0]
                self._legal[value] = f"{fault.key}: {fault.message}"
        return self._legal[value]

    def at(self, value: float) -> Trial:
        """This size, tried at most once."""
        if value not in self._known:
            refused = self.refusal(value)
            self._known[value] = Trial(value, refused) if refused else self._tried(value, self.only)
        return self._known[value]

    def looked_at(self, value: float, hints: Sequence[str]) -> Trial:
        """This size, by the checks of ``hints`` alone where one of them is worse already, else tried as in `at`."""
        if value not in self._known and value not in self._partly and hints and not self.refusal(value):
            trial = self._tried(value, tuple(hints))
            if trial.worse:
                self._partly[value] = trial
        return self.seen(value)

    def seen(self, value: float) -> Trial:
        """What is known of this size so far; tried as in `at` when nothing is."""
        return self._partly[value] if value in self._partly and value not in self._known else self.at(value)

    def turns_bad(self, value: float, ids: Sequence[str], waived: frozenset[tuple[str, str]]) -> bool:
        """Whether the reader refuses a size or one of these checks alone is worse there; quicker than `at`."""
        if value in self._known:
            return self._known[value].bad(waived)
        if self.refusal(value):
            return True
        return bool(ids) and self._tried(value, tuple(ids)).bad(waived)

    def again_in_full(self, value: float) -> tuple[str, ...]:
        """Try a size with every check; the ids of checks not asked so far that are worse there."""
        if self.at(value).refused or not self.only:
            return ()
        trial = self._tried(value, ())
        self._known[value] = trial
        return tuple(dict.fromkeys(each.key[0] for each in trial.worse if each.key[0] not in self.only))

    def ask_only(self, ids: Iterable[str]) -> None:
        """From now on only these checks; what was tried with fewer is forgotten."""
        self.only = tuple(dict.fromkeys((*self.only, *ids)))

    def forget(self) -> None:
        """Try every size but the job's own anew."""
        self._known = {self.own: self._known[self.own]}
        self._partly = {}

    @property
    def done(self) -> list[Trial]:
        """Every size tried, in rising order."""
        every = {**self._partly, **self._known}
        return [every[value] for value in sorted(every)]

    def _tried(self, value: float, only: tuple[str, ...]) -> Trial:
        found = by_key(self._checked(value, only))
        asked = {key: each for key, each in self.own_findings.items() if not only or each.id in only}
        return Trial(value, "", found, tuple(worse(asked, found)))

    def _checked(self, value: float, only: tuple[str, ...] = ()) -> list[Finding]:
        context = Context(plan_job(self._varied.changed(self.values(value))))
        vars(context)["walls"] = self._walls
        try:
            return run_checks(context, only)
        except (HeadpartsError, ArithmeticError, ValueError) as error:
            if value == self.own:
                raise
            return [_stopped(finding, str(error)) for finding in self.own_findings.values()]


def _stopped(finding: Finding, why: str) -> Finding:
    return Finding(finding.id, finding.subject, finding.quantity, finding.case, unit=finding.unit, note=why)
