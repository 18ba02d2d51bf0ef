"""What the checks are asked, one subject at a time, and which of it depends on the numbers that move."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.registry import REGISTRY, Check, answer, ask, registered, subjects
from headparts.checks.repairs import THROUGH_THE_REPAIR
from headparts.checks.run import judged
from headparts.checks.table import ids
from headparts.config import JobFile
from headparts.config.watched import watched
from headparts.errors import HeadpartsError
from headparts.plan import plan_job
from headparts.sizing.walls import GatheredWalls, Postponed, SharedWalls

if TYPE_CHECKING:  # probabilities are loaded by those who ask for them
    from headparts.sizing.probable import Probabilities


@dataclass(frozen=True)
class Question:
    """One registered check about one of its subjects; ``subject`` is None where the job has none for it."""

    index: int
    subject: str | None

    @property
    def check(self) -> Check:
        """The check that is asked."""
        return REGISTRY[self.index]


RULE = "rule of probabilities"
Answers = Mapping[Question, list[Finding]]


def questions(context: Context) -> list[Question]:
    """Everything that a run asks, in the registry's order."""
    made = []
    for index, check in enumerate(registered()):
        made += [Question(index, name) for name, _ in subjects(context, check.per) or ((None, ()),)]
    return made


def context_of(job: JobFile, walls: Any, rule: Probabilities | None = None) -> Context:
    """A job under judgement, planned anew, without what changes no verdict.

    ``rule`` puts probabilities in place of worst cases.
    """
    context = Context(plan_job(job), brief=True)
    vars(context)["walls"] = walls
    if rule is not None:
        context.memory[RULE] = rule
    return context


def answered(context: Context, question: Question, before: Iterable[Finding] = ()) -> list[Finding]:
    """The findings of one question. Where it cannot be worked out at all, those of ``before`` have stopped."""
    check = question.check
    try:
        if question.subject is None:
            return list(ask(context, check))
        arguments = dict(subjects(context, check.per))[question.subject]
        found = answer(context, check, question.subject, arguments)
        rule = context.memory.get(RULE)
        return found if rule is None else rule.instead(context, check.id, question.subject, found)
    except (HeadpartsError, ArithmeticError, ValueError) as error:
        stopped = [_stopped(finding, str(error)) for finding in before]
        if not stopped:
            raise
        return stopped


def measure_together(contexts: Iterable[Context], asked: Iterable[Question], walls: SharedWalls) -> None:
    """Measure in one batch the walls that the questions will ask for."""
    wanted = [question for question in asked if question.check.needs == "voids"]
    gathered = GatheredWalls(walls)
    for context in contexts:
        vars(context)["walls"] = gathered
        for question in wanted:
            with suppress(Postponed, HeadpartsError, ArithmeticError, ValueError):
                answered(context, question)
        vars(context)["walls"] = walls
    walls.measure(gathered.wanted)


def _stopped(finding: Finding, why: str) -> Finding:
    return Finding(finding.id, finding.subject, finding.quantity, finding.case, unit=finding.unit, note=why)


def together(context: Context, answers: Answers) -> list[Finding]:
    """The findings of all questions as a run gives them, with repairs and acceptances applied."""
    found: dict[str, list[Finding]] = {id_: [] for id_ in ids()}
    for question, findings in answers.items():
        found[question.check.id] += findings
    return judged(context, found)


@dataclass(frozen=True)
class Dependence:
    """Every answer at the job's own numbers, and the questions in whose answers a number that moves was read.

    An answer in which it was not read is the same at every size: it was worked out from other numbers alone.
    """

    answers: Answers
    moved: tuple[Question, ...]

    def with_repairs(self, asked: Iterable[Question]) -> tuple[Question, ...]:
        """The questions, and with walls that are judged through a repair those about the sleeve."""
        wanted = set(asked)
        if any(question.check.id in THROUGH_THE_REPAIR for question in wanted):
            wanted |= {question for question in self.moved if question.check.id.startswith("S")}
        return tuple(question for question in self.moved if question in wanted)


def dependence(
    job: JobFile, other: JobFile, walls: SharedWalls, rule: Probabilities | None = None
) -> Dependence:
    """Ask everything about ``job``, each question with a plan of its own, and note which reads what moves.

    ``other`` is the job with the numbers changed that move; only where they stand matters, not their values.
    """
    read: list[bool] = []
    telling = watched(job, other, lambda _: read.append(True))
    answers: dict[Question, list[Finding]] = {}
    moved = []
    plain = context_of(job, walls, rule)
    every = questions(plain)
    measure_together([plain], every, walls)
    for question in every:
        read.clear()
        answers[question] = answered(context_of(telling, walls, rule), question)
        if read:
            moved.append(question)
    return Dependence(answers, tuple(moved))
