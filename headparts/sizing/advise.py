"""Advice with numbers: for every finding that fails or warns, what number of the job would mend it, and at what cost.

Each number that the table of remedies offers is tried by itself: the one check is asked again with it, nothing else,
until the nearest value that a shop can set is found with which the finding passes. A full check of the job with that
value then says what else would become worse; a remedy that does not hold in it is dropped. The worst findings come
first; how much is tried in one run is counted, not timed, so that the same job gets the same advice everywhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.pairs import planned_pairs
from headparts.checks.repairs import THROUGH_THE_REPAIR, repaired_pairs
from headparts.checks.run import select
from headparts.checks.sleeve_walls import planned_sleeve_pairs
from headparts.config import JobFile
from headparts.config.varied import VariedJob, with_numbers
from headparts.errors import HeadpartsError, JobFileError
from headparts.plan import plan_job
from headparts.sizing.judged import RANK, Key, by_key, margin, worse
from headparts.sizing.questions import Question, answered, measure_together, questions, together
from headparts.sizing.remedy import Advised, Cost, Remedy
from headparts.sizing.remedy_search import Moves, direction, nearest, slack, violated
from headparts.sizing.remedy_table import Place, Row, keys_of, known, places, readers, rows_for
from headparts.sizing.walls import SharedWalls, bound_only

TELL = 2
"""Remedies told of one finding, one where each has its cost."""
COSTED = 4
"""Remedies of one finding whose cost is worked out."""
BUDGET = 1200
ASKED = {"numbers": 1, "voids": 3, "solids": 3}
WHOLE = {True: 8, False: 40}
"""What is tried in one run: a check of numbers asked again counts 1, of walls 3; a full check 8 where what it moves
is read by no wall, else 40. One is about 3 ms of one core."""
ONE_STATION, ALONE = ("station", "bushing", "port"), "BKMP"
"""What a check is asked about, and families whose checks read no number of the other station."""
MANY = "too many findings for one run"
SLOW = "sizes are not tried against a head or a chamber that is given as a solid"
PROBE = 0.05
"""How far a valve is moved to see which way a finding gains [mm]."""


class Spent(Exception):
    """What is tried in one run is used up."""


def advised(context: Context, findings: Sequence[Finding]) -> list[Finding]:
    """The findings with advice in numbers where there is any; those that pass are as they were."""
    told = {each.finding.key: each.text for each in advice(context, findings)}
    return [
        replace(finding, advice=told[finding.key]) if finding.key in told else finding for finding in findings
    ]


def advice(context: Context, findings: Sequence[Finding], budget: int = BUDGET) -> list[Advised]:
    """Every finding that fails or warns, is not accepted and can be mended by a number, the worst first.

    ``findings``: what the context's job was found to be, all or some checks. ``budget``: how much is tried.
    """
    wanted = sorted(_to_mend(context, findings), key=_weight)
    if not wanted:
        return []
    try:
        trial = _Trial(context, findings, budget)
    except HeadpartsError:  # the job was made or changed in memory: there is no file to vary
        return []
    made = []
    for finding in wanted:
        try:
            made.append(trial.advised(finding))
        except Spent:
            made.append(Advised(finding, left_out=MANY))
    return made


def _to_mend(context: Context, findings: Sequence[Finding]) -> Iterator[Finding]:
    accepted = {(each.id, each.subject) for each in context.job.accept or ()}
    bad = [each for each in findings if each.verdict in ("fail", "warn") and each.id in known()]
    repaired = repaired_pairs(context) if bad else {}
    for finding in bad:
        if (finding.id, finding.subject) in accepted or finding.subject in repaired:
            continue
        if finding.value is not None and slack(finding, violated(finding)) is not None:
            yield finding


def _weight(finding: Finding) -> tuple[int, float]:
    left = margin(finding)
    return -RANK[finding.verdict], 0.0 if left is None else left


class _Trial:
    """One job with some of its numbers changed, asked again and again."""

    def __init__(self, context: Context, findings: Sequence[Finding], budget: int) -> None:
        self._context, self._own = context, list(findings)
        self._job = context.job
        self._varied = VariedJob(self._job.path, self._job)
        self._slow = context.plan.given is not None or self._job.get("head.chamber.type") == "mesh"
        self._as_written = self._varied.stands_for(self._job)
        self._walls = SharedWalls()
        self._walls.take_over(context.walls)
        self._questions = questions(context)
        self._left = budget
        self._ran: dict[tuple[tuple[str, float], ...], dict[Key, Finding] | None] = {}

    def advised(self, finding: Finding) -> Advised:
        """One finding with its remedies. Raises Spent."""
        free: list[Remedy] = []
        costly: list[Remedy] = []
        asked, slow = False, ""
        for row, place in self._offers(finding):
            if self._slow and self._at_walls(finding, row):
                slow = SLOW
                continue
            for moves, patterns in self._moves(row, place, finding):
                asked = True
                remedy = self._remedy(finding, moves, patterns, place)
                if remedy is not None:
                    (costly if remedy.costs else free).append(remedy)
            if len(free) == TELL or len(free) + len(costly) == COSTED:
                break
        told = free[:TELL] or sorted(costly, key=lambda each: each.harm)[:1]
        return Advised(finding, tuple(told), asked, slow)

    def _at_walls(self, finding: Finding, row: Row) -> bool:
        """Whether a row asks for walls again: of the finding itself, or of what else reads what it moves."""
        return (
            finding.id[0] in "WS"
            or finding.id == "P03"
            or _of_walls(select(readers(row.keys.replace("|", " ").split())))
        )

    def _offers(self, finding: Finding) -> Iterator[tuple[Row, Place]]:
        here = places(self._context, finding)
        for row in rows_for(finding):
            for place in here:
                if row.part in ("", place.part):
                    yield row, place

    def _moves(self, row: Row, place: Place, finding: Finding) -> Iterator[tuple[Moves, tuple[str, ...]]]:
        quantities = self._job.quantities
        if row.kind == "shift":
            moves = self._shift(row, place, finding)
            if moves is not None:
                yield moves, (row.keys,)
            return
        keys = keys_of(row, place, quantities)
        if keys:
            yield Moves(row, {key: quantities[key].value for key in keys.values()}), tuple(keys)

    def _shift(self, row: Row, place: Place, finding: Finding) -> Moves | None:
        """A valve moved in x and y, the way the finding gains most."""
        block = f"stations.{place.station}.axis"
        pairs = [(f"{block}.p.{i}",) for i in (0, 1)]
        if f"{block}.points.0.0" in self._job.quantities:
            pairs = [(f"{block}.points.0.{i}", f"{block}.points.1.{i}") for i in (0, 1)]  # type: ignore[misc]
        own = {key: q.value for pair in pairs for key in pair if (q := self._job.quantities.get(key))}
        start = slack(finding, violated(finding))
        if not own or start is None:
            return None
        slopes: dict[str, float] = {}
        for pair in pairs:
            moved = self._asked(finding, {key: own[key] + PROBE for key in pair})
            here = slack(moved, violated(finding))
            if here is None:
                return None
            slopes |= dict.fromkeys(pair, here - start)
        toward = direction(slopes)
        return Moves(row, own, toward) if toward else None

    def _remedy(
        self, finding: Finding, moves: Moves, patterns: tuple[str, ...], place: Place
    ) -> Remedy | None:
        count = nearest(lambda steps: self._asked(finding, moves.at(steps)), finding, moves.most)
        if count is None:
            return None
        now = self._whole(moves.at(count), patterns)
        if now is None or finding.key not in now or now[finding.key].verdict != "pass":
            return None
        return Remedy(
            finding.key,
            _words(moves, count, place),
            *moves.changes(count),
            self._costs(now, finding.key),
            moves.row.also,
        )

    def _costs(self, now: Mapping[Key, Finding], mended: Key) -> tuple[Cost, ...]:
        asked = {key[0] for key in now}
        own = {each.key: each for each in self._own if each.id in asked}
        made = []
        for each in worse(own, now):
            before = own.get(each.key)
            deeper = before is not None and before.verdict == "fail"
            if each.key != mended:
                made.append(Cost.of(each, deeper))
        return tuple(made)

    # ---- asking -------------------------------------------------------------------------------
    def _changed(self, values: Mapping[str, float]) -> JobFile | None:
        """The job with other numbers; None where the reader would refuse it.

        Of a job over which a record was laid the reader judges the numbers that stand in the file.
        """
        try:
            read = self._varied.changed(
                {key: value for key, value in values.items() if self._varied.writes(key)}
            )
        except JobFileError:
            return None
        return read if self._as_written else with_numbers(self._job, values)

    def _asked(self, finding: Finding, values: Mapping[str, float]) -> Finding | None:
        """One finding with other numbers, nothing else asked; None where there is no such job or finding."""
        job = self._changed(values)
        asked = self._asked_of(finding)
        self._spend(sum(ASKED[question.check.needs] for question in asked))
        if job is None:
            return None
        context = self._new(job)
        self._narrow(context, finding)
        with self._walls.exactly():
            for question in asked:
                for found in answered(context, question, [finding]):
                    if found.key == finding.key:
                        return None if found.verdict == "not_run" else found
        return None

    def _asked_of(self, finding: Finding) -> list[Question]:
        mine = [each for each in self._questions if each.check.id == finding.id]
        names = finding.subject.split("~")
        exact = [each for each in mine if each.subject == finding.subject]
        part = [each for each in mine if each.subject in names or f"sleeve_bore_{each.subject}" in names]
        return exact or part or mine

    @staticmethod
    def _narrow(context: Context, finding: Finding) -> None:
        """Of the walls only those of the finding's subject are planned and measured."""
        if "~" not in finding.subject or finding.id[0] not in "WS":
            return
        for name, planned in (("pairs", planned_pairs), ("sleeve_pairs", planned_sleeve_pairs)):
            context.memory[f"planned_{name}"] = [
                pair for pair in planned(context) if pair.subject == finding.subject
            ]

    def _whole(self, values: Mapping[str, float], patterns: tuple[str, ...]) -> dict[Key, Finding] | None:
        """Every finding that can read one of the numbers, by a full check of the changed job."""
        key = tuple(sorted(values.items()))
        if key not in self._ran:
            ids = select(readers(patterns))
            self._spend(WHOLE[not _of_walls(ids)])
            self._run_own(ids)
            job = self._changed(values)
            self._ran[key] = None if job is None else by_key(self._run(job, ids, tuple(values)))
        return self._ran[key]

    def _run(self, job: JobFile, ids: Sequence[str], moved: Sequence[str] = ()) -> list[Finding]:
        """The findings of some checks with other numbers ``moved``.

        Walls that are far from every limit are bounded, not measured, unless one of them is told.
        """
        found = self._answered(job, ids, moved)
        if any(each.verdict in ("fail", "warn") and bound_only(each) for each in found):
            with self._walls.exactly():
                return self._answered(job, ids, moved)
        return found

    def _answered(self, job: JobFile, ids: Sequence[str], moved: Sequence[str]) -> list[Finding]:
        """As a run of the checks; of one station's own checks none where only the other's numbers moved."""
        context = self._new(job)
        wanted = set(ids)
        if context.plan.repairs and wanted & set(THROUGH_THE_REPAIR):
            wanted |= {question.check.id for question in self._questions if question.check.id[0] == "S"}
        measure_together(
            [context], [each for each in self._questions if each.check.id in wanted], self._walls
        )
        stations = {key.split(".")[1] if key.startswith("stations.") else "" for key in moved}
        own = by_key(self._own)
        answers: dict[Question, list[Finding]] = {}
        for question in self._questions:
            check = question.check
            if check.id not in wanted:
                continue
            apart = check.per in ONE_STATION and check.id[0] in ALONE and stations and "" not in stations
            if apart and question.subject and question.subject.split("_")[-1] not in stations:
                answers[question] = [
                    each for key, each in own.items() if key[:2] == (check.id, question.subject)
                ]
            else:
                answers[question] = answered(
                    context, question, [each for each in self._own if each.id == check.id]
                )
        found = together(context, answers)
        return [each for each in found if each.id in wanted]

    def _run_own(self, ids: Sequence[str]) -> None:
        """The job's own findings of checks that this run was not asked for."""
        have = {each.id for each in self._own}
        lacking = [id_ for id_ in ids if id_ not in have]
        if lacking:
            self._own += self._run(self._job, lacking)

    def _new(self, job: JobFile) -> Context:
        context = Context(plan_job(job), brief=True)
        vars(context)["walls"] = self._walls
        return context

    def _spend(self, units: int) -> None:
        if self._left < units:
            raise Spent
        self._left -= units


def _of_walls(ids: Sequence[str]) -> bool:
    return any(id_.startswith(("W", "S08")) for id_ in ids)


def _words(moves: Moves, count: int, place: Place) -> str:
    values = moves.at(count)
    first = next(iter(values))
    by = f"{_number(abs(values[first] - moves.own[first]))}"
    if moves.toward:
        steps = {key[-1]: values[key] - moves.own[key] for key in values}
        named = [
            f"{'xy'[int(axis)]} {'+' if step > 0 else '-'}{_number(abs(step))}"
            for axis, step in steps.items()
        ]
        by = ", ".join(text for text, step in zip(named, steps.values(), strict=True) if abs(step) > 1e-9)
    return moves.row.words.format(
        by=by, to=_number(values[first]), station=place.station, cavity=place.cavity
    )


def _number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
