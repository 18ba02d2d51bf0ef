"""Trying sizes: each value of the parameter is read and planned once; only what depends on it is asked again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.pairs import planned_pairs
from headparts.checks.run import run_checks
from headparts.checks.sleeve_walls import planned_sleeve_pairs
from headparts.config.varied import VariedJob
from headparts.errors import JobFileError
from headparts.plan import plan_job
from headparts.sizing.judged import Key, Worse, by_key, worse
from headparts.sizing.probable import BELOW, THROUGH, Probabilities
from headparts.sizing.questions import (
    Dependence,
    Question,
    answered,
    context_of,
    dependence,
    measure_together,
    together,
)
from headparts.sizing.result import Likeliest
from headparts.sizing.walls import SharedWalls, bound_only

DIGITS = 12
SAFE = ("pass", "info", "not_run")
LEFT_OUT = ("W08", "W10")
"""Checks whose values are not worked out at every size; only whether they pass is."""


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
        """What is worse, without the checks waived and what is worse only because of them."""
        left = [each for each in self.worse if (each.key[0], each.key[1]) not in waived]
        return left if any(not each.follows for each in left) else []


class Trials:
    """All sizes tried so far. ``risk``: the probability that takes the place of worst cases, None for these."""

    def __init__(
        self,
        varied: VariedJob,
        parameter: str,
        along: Sequence[str],
        own: float,
        step: float,
        risk: float | None = None,
    ) -> None:
        self.parameter, self.own = parameter, own
        self._varied = varied
        self._starts = {key: varied.job.quantities[key].value for key in (parameter, *along)}
        self._walls = SharedWalls()
        self.rule = None if risk is None else Probabilities(risk, self._walls)
        self._legal: dict[float, str] = {}
        self._known: dict[float, Trial] = {}
        self._partly: dict[float, Trial] = {}
        self._contexts: dict[float, Context] = {}
        self._exactly: set[float] = set()
        self.own_findings: Mapping[Key, Finding] = {}
        self._ask_all(step)
        if any(bound_only(each) and each.verdict not in SAFE for each in self.own_findings.values()):
            with self._walls.exactly():
                self._ask_all(step)
            self._exactly.add(own)

    def _ask_all(self, step: float) -> None:
        """Everything at the job's own size, and what of it depends on the parameter."""
        job = self._varied.job
        moved = self._varied.unjudged(self.values(self.own + step))
        self._depends: Dependence = dependence(job, moved, self._walls, self.rule)
        self._quick = tuple(each for each in self._depends.moved if each.check.needs == "numbers")
        answers = together(context_of(job, self._walls, self.rule), self._depends.answers)
        self.own_findings = by_key(answers)
        self._known[self.own] = Trial(self.own, "", self.own_findings)

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
                self._contexts[value] = self._planned(value)
                self._legal[value] = ""
            except JobFileError as error:
                fault = error.faults[0]
                self._legal[value] = f"{fault.key}: {fault.message}"
        return self._legal[value]

    def at(self, value: float) -> Trial:
        """This size with everything that depends on it, tried at most once."""
        if value not in self._known:
            refused = self.refusal(value)
            self._known[value] = Trial(value, refused) if refused else self._tried(value, self._depends.moved)
            self._contexts.pop(value, None)
            if any(bound_only(each.finding) for each in self._known[value].worse):
                self.exactly(value)
        return self._known[value]

    def exactly(self, value: float) -> bool:
        """Measure every wall at a size that was tried in full; False where that was done before."""
        if value in self._exactly or value not in self._known or self._known[value].refused:
            return False
        self._exactly.add(value)
        with self._walls.exactly():
            self._known[value] = self._tried(value, self._depends.moved)
        if value == self.own:
            self.own_findings = self._known[value].findings
        self._contexts.pop(value, None)
        return True

    def look_at(self, values: Iterable[float]) -> None:
        """Try many sizes together.

        Where a check that takes no time is worse already, no other is asked; the walls of all other sizes are
        measured in one batch.
        """
        full = []
        for value in values:
            if value in self._known or value in self._partly:
                continue
            if not self.refusal(value):
                quick = self._tried(value, self._quick)
                if quick.worse:
                    self._partly[value] = quick
                    continue
            full.append(value)
        self.measure(full)
        for value in full:
            self.at(value)

    def measure(self, values: Iterable[float]) -> None:
        """Measure in one batch the walls that the sizes will be asked for."""
        new = [value for value in values if value not in self._known and not self.refusal(value)]
        measure_together((self._context(value) for value in new), self._depends.moved, self._walls)

    def seen(self, value: float) -> Trial:
        """What is known of this size so far; tried as in `at` when nothing is."""
        return self._partly[value] if value in self._partly and value not in self._known else self.at(value)

    def partly_bad(self, value: float, waived: frozenset[tuple[str, str]]) -> bool:
        """Whether what was asked of a size so far is enough to call it no candidate."""
        known = self._known.get(value) or self._partly.get(value)
        return known is not None and known.bad(waived)

    def turns_bad(self, value: float, blamed: Sequence[Worse], waived: frozenset[tuple[str, str]]) -> bool:
        """Whether the reader refuses a size or what is blamed elsewhere is worse there, too; quicker than `at`."""
        if value in self._known:
            return self._known[value].bad(waived)
        if self.refusal(value):
            return True
        if not blamed:
            return False
        if any(each.reason.startswith("stops") for each in blamed):
            return self.at(value).bad(waived)
        named = {(each.key[0], each.key[1]) for each in blamed if not each.follows}
        found = {
            key: finding
            for key, finding in self._tried_alone(value, named).items()
            if (key[0], key[1]) in named
        }
        own = {key: finding for key, finding in self.own_findings.items() if (key[0], key[1]) in named}
        return bool(worse(own, found))

    def in_full(self, value: float) -> list[Worse]:
        """What is worse at a size by a run of every check there is, nothing taken over from another size."""
        found = worse(self.own_findings, by_key(self._whole_run(value)))
        if any(bound_only(each.finding) for each in found):
            with self._walls.exactly():
                found = worse(self.own_findings, by_key(self._whole_run(value)))
        return found

    def _whole_run(self, value: float) -> list[Finding]:
        context = self._planned(value)
        if self.rule is None:
            return run_checks(context)
        return together(context, self._answers(context, self._depends.answers))

    def told(self, value: float, finding: Finding | None) -> Finding | None:
        """A finding of a size with the value that is left out on the way (`Context.brief`)."""
        if finding is None or finding.id not in LEFT_OUT:
            return finding
        plan = plan_job(self._varied.changed(self.values(value)))
        with self._walls.exactly():
            context = Context(plan)
            vars(context)["walls"] = self._walls
            return by_key(run_checks(context, [finding.id])).get(finding.key, finding)

    def likeliest(self, value: float) -> Likeliest | None:
        """The wall that is the likeliest to lie below its limit at a size, when probabilities are asked for."""
        if self.rule is None:
            return None
        found = self.at(value).findings
        rows = [
            each
            for each in found.values()
            if each.quantity == BELOW and each.value is not None and each.verdict != "info"
        ]
        rule = self.rule.most, self.rule.samples, self.rule.seed
        lacking = tuple(
            each.subject for each in found.values() if each.quantity == BELOW and each.verdict == "not_run"
        )
        if not rows:
            return Likeliest(*rule, not_run=lacking)
        top = max(rows, key=lambda each: each.value or 0.0)
        through = found.get((top.id, top.subject, top.case, THROUGH))
        return Likeliest(*rule, top.subject, top.value or 0.0, (through and through.value) or 0.0, lacking)

    def ask_everything(self) -> None:
        """From now on every check is asked at every size; what was tried is forgotten."""
        self._depends = Dependence(self._depends.answers, tuple(self._depends.answers))
        self._known = {self.own: self._known[self.own]}
        self._partly = {}

    @property
    def done(self) -> list[Trial]:
        """Every size tried, in rising order."""
        every = {**self._partly, **self._known}
        return [every[value] for value in sorted(every)]

    def _planned(self, value: float) -> Context:
        return context_of(self._varied.changed(self.values(value)), self._walls, self.rule)

    def _context(self, value: float) -> Context:
        if value not in self._contexts:
            self._contexts[value] = self._planned(value)
        return self._contexts[value]

    def _answers(self, context: Context, asked: Iterable[Question]) -> dict[Question, list[Finding]]:
        answers = dict(self._depends.answers)
        for question in asked:
            answers[question] = answered(context, question, answers[question])
        return answers

    def _tried(self, value: float, asked: tuple[Question, ...]) -> Trial:
        context = self._context(value)
        found = by_key(together(context, self._answers(context, asked)))
        left_out = {
            finding.key
            for question in self._depends.moved
            if question not in asked
            for finding in self._depends.answers[question]
        }
        found = {key: finding for key, finding in found.items() if key not in left_out}
        own = {key: finding for key, finding in self.own_findings.items() if key not in left_out}
        return Trial(value, "", found, tuple(worse(own, found)))

    def _tried_alone(self, value: float, named: set[tuple[str, str]]) -> dict[Key, Finding]:
        """Every finding at a size, right for the checks and subjects named; of the walls only those are measured."""
        ids, subjects = {id_ for id_, _ in named}, {subject for _, subject in named}
        asked = self._depends.with_repairs(each for each in self._depends.moved if each.check.id in ids)
        context = self._planned(value)
        if not context.plan.repairs and all("~" in subject for subject in subjects):
            for name, planned in (("pairs", planned_pairs), ("sleeve_pairs", planned_sleeve_pairs)):
                kept = [pair for pair in planned(context) if pair.subject in subjects]
                context.memory[f"planned_{name}"] = kept
        with self._walls.exactly():
            return by_key(together(context, self._answers(context, asked)))
