"""The largest or smallest value of one number of a job at which no check is worse than at the job's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, takewhile
from math import inf
from pathlib import Path

from headparts.config import JobFile
from headparts.config.spec import Spec
from headparts.config.varied import VariedJob
from headparts.errors import ParameterError
from headparts.sizing.curve import changes, curve, dependent, dips
from headparts.sizing.grid import LEGAL, boundary, inside, runs, scan, snapped
from headparts.sizing.judged import Key
from headparts.sizing.result import Largest, Span, Stop
from headparts.sizing.trial import Trials
from headparts.sizing.walls import bound_only

NOTHING_WAIVED: frozenset[tuple[str, str]] = frozenset()
BACK = 6
"""How many sizes are tried on the side that was not asked for."""
AHEAD = 4
"""How many sizes are measured together on the way to what comes next."""
ROUNDS = 3
"""How often the scan is refined where margins point below their limit."""


def largest(
    job: str | Path | JobFile,
    parameter: str,
    smallest: bool = False,
    together: Sequence[str] = (),
    risk: float | None = None,
) -> Largest:
    """The largest (``smallest``: smallest) value of one dotted ``parameter`` [unit of its key] that is safe.

    Safe: no check is worse than at the job's own value, pass and info before warn before fail; a check that stops
    running is worse, one that fails already may fail on but not by more, so that a FAIL that has nothing to do with
    the parameter does not bind. The keys of ``together`` move along by the same amount. The whole range that the
    reader accepts is scanned first, then every edge found is bisected to 0.001 mm or 0.001 deg. At each size those
    checks are asked that read one of the keys at the job's own value; the size found and the next step beyond it
    are then judged by a whole run. Checks that need the kernel are not asked. The job's file is never written to.

    ``risk`` (above 0, below 1): the probability of each wall of lying below its limit, by the half-widths of the job,
    is at most this, in place of the worst cases W07, W07r and S08 worst_case, with the same random draws at every size;
    where it is more at the job's own value already it grows no further. All other checks hold as ever.

    Raises JobFileError for a bad file; ParameterError for a risk out of range, for a key at which the file gives no
    number, naming the nearest one, and for a JobFile that was changed after it was read.
    """
    varied = _varied(job)
    keys = (parameter, *together)
    for key in keys:
        if keys.count(key) > 1:
            raise ParameterError("parameter", key, "is named twice; each key moves once")
    specs = {key: varied.spec(key) for key in keys}
    own = varied.job.quantities[parameter].value
    step = _step(specs[parameter])
    low, high = -inf, inf
    for key, spec in specs.items():
        shift = own - varied.job.quantities[key].value
        low, high = max(low, _lowest(spec, step) + shift), min(high, _highest(spec, step) + shift)
    low, high = inside(low, high, step)
    trials = Trials(varied, parameter, together, own, step, risk)
    search = _Search(trials, own, *((low, high) if smallest else (high, low)), step)
    return search.result(specs[parameter].unit, smallest, tuple(together))


def _varied(job: str | Path | JobFile) -> VariedJob:
    if not isinstance(job, JobFile):
        return VariedJob(job)
    varied = VariedJob(job.path)
    if varied.job != job:
        raise ParameterError("job", str(job.path), "the file and the job in memory differ; give the file")
    return varied


def _step(spec: Spec) -> float:
    """0.001, or a thousandth of a narrower range, as a power of ten."""
    width = (spec.high or 0.0) - (spec.low or 0.0)
    step = 0.001
    while width < 1000 * step * (1 - 1e-9) and step > 1e-11:
        step /= 10.0
    return round(step, 12)


def _lowest(spec: Spec, step: float) -> float:
    assert spec.low is not None
    return spec.low + (step if spec.low_open else 0.0)


def _highest(spec: Spec, step: float) -> float:
    assert spec.high is not None
    return spec.high - (step if spec.high_open else 0.0)


@dataclass
class _Search:
    """One side of the job's own value up to ``end``: scan, refine, bisect; the other one to ``other`` for the curve."""

    trials: Trials
    own: float
    end: float
    other: float
    step: float

    def result(self, unit: str, smallest: bool, together: tuple[str, ...]) -> Largest:
        """Everything that is reported."""
        values = self._scanned(self._planned())
        spans, (value, stop) = self._spans(values)
        if not self._confirmed(value, stop):
            self.trials.ask_everything()
            values = self._scanned(values)
            spans, (value, stop) = self._spans(values)
        following = self._next(values, stop) if stop.kind == "check" else None
        asked = self.trials.done
        self._look_back()
        keys = dependent(self.trials.own_findings, self.trials.done)
        self._settle(keys)
        moved = self.trials.values(value)
        starts = self.trials.values(self.own)
        passed = [each for each in values if abs(each - self.own) <= abs(value - self.own)]
        gaps = [abs(b - a) for a, b in pairwise([*passed, value])]
        return Largest(
            self.trials.parameter,
            unit,
            self.step,
            self.own,
            value,
            smallest,
            value != self.own,
            stop,
            following,
            tuple((key, starts[key], moved[key]) for key in together),
            Span(*sorted((self.own, self._legal_end))),
            tuple(Span(*sorted(span)) for span in spans[1:]),
            curve(self.trials.own_findings, self.trials.done, keys),
            changes(self.trials.own_findings, asked, self.own),
            tuple(
                f"{each.id} {each.subject} {each.quantity}"
                for each in self.trials.own_findings.values()
                if each.verdict == "fail"
            ),
            tuple(dict.fromkeys(key[0] for key in keys)),
            round(max(gaps, default=0.0), 12),
            len(asked),
            self.trials.likeliest(value),
        )

    def _planned(self) -> list[float]:
        """The sizes to scan: the job's own, then all that the reader accepts and the edges of what it does not."""
        offered = [self.own, *scan(self.own, self.end, self._near, self.step, LEGAL)]
        legal = runs(offered, self._refused)
        planned = {self.own}
        self._legal_end = self.own
        for index, (first, last) in enumerate(legal):
            start, stop = offered[first], offered[last]
            if last + 1 < len(offered):
                stop, beyond = boundary(stop, offered[last + 1], self.step, self._refused)
                planned.add(beyond)
            if index == 0:
                self._legal_end = stop
            else:
                start, before = boundary(start, offered[first - 1], self.step, self._refused)
                planned |= {before, start}
            near, count = (self._near, 20) if index == 0 else (abs(stop - start), 6)
            planned |= {stop, *scan(start, stop, near, self.step, count)} if stop != start else {stop}
        return sorted(planned, reverse=self.end < self.own)

    @property
    def _near(self) -> float:
        return max(abs(self.own) / 2.0, 5000.0 * self.step)

    def _refused(self, value: float) -> bool:
        return value != self.own and bool(self.trials.refusal(value))

    def _confirmed(self, value: float, stop: Stop) -> bool:
        """Whether a whole run finds nothing worse at a size, and something worse one step beyond where a check stops."""
        if self.trials.in_full(value):
            return False
        beyond = snapped(value + (self.step if self.end > self.own else -self.step), self.step)
        return stop.kind != "check" or bool(self.trials.in_full(beyond))

    def _scanned(self, values: list[float]) -> list[float]:
        """Every size tried, and sizes between them where the margins on both sides point below a limit."""
        for _ in range(ROUNDS):
            self.trials.look_at(values)
            tried = [self.trials.seen(value) for value in values]
            more = {snapped(value, self.step) for value in dips(self.trials.own_findings, tried)} - set(
                values
            )
            if not more:
                break
            values = sorted({*values, *more}, reverse=self.end < self.own)
        return values

    def _edge(self, good: float, bad: float, waived: frozenset[tuple[str, str]]) -> tuple[float, float]:
        """The last good and the first bad size between two of them, one step apart.

        Only what is worse at the bad end is asked on the way; the good end is then tried with everything.
        """
        while True:
            blamed = self.trials.seen(bad).blamed(waived)
            last, first = boundary(good, bad, self.step, lambda v: self.trials.turns_bad(v, blamed, waived))  # noqa: B023
            self.trials.measure((last, first))
            if last == good or not self.trials.at(last).bad(waived):
                return last, first
            bad = last

    def _spans(self, values: list[float]) -> tuple[list[tuple[float, float]], tuple[float, Stop]]:
        """The safe ranges from the job's own value on, and the end of the first with what stops it."""

        def is_bad(value: float) -> bool:
            return value != self.own and self.trials.seen(value).bad(NOTHING_WAIVED)

        spans: list[tuple[float, float]] = []
        stop = (values[-1], self._end_stop(values[-1]))
        for index, (first, last) in enumerate(runs(values, is_bad)):
            start, good = values[first], values[last]
            if index > 0:
                start, _ = self._edge(start, values[first - 1], NOTHING_WAIVED)
            if last + 1 < len(values):
                good, bad = self._edge(good, values[last + 1], NOTHING_WAIVED)
                if index == 0:
                    stop = (good, self._stop(good, bad, NOTHING_WAIVED))
            spans.append((start, good))
        return spans, stop

    def _next(self, values: list[float], first: Stop) -> Stop:
        """What would stop it if the check that binds were waived."""
        waived = frozenset({(first.id, first.subject)})

        def is_bad(value: float) -> bool:
            if value == self.own:
                return False
            return self.trials.seen(value).bad(waived) or self.trials.at(value).bad(waived)

        for index, value in enumerate(values):
            if index % AHEAD == 0:
                self.trials.measure(
                    each for each in values[index : index + AHEAD] if not self.trials.partly_bad(each, waived)
                )
            if is_bad(value):
                good, bad = self._edge(values[index - 1], value, waived)
                return self._stop(good, bad, waived)
        return self._end_stop(values[-1])

    def _look_back(self) -> None:
        """Try a few sizes on the side that was not asked for, as far as the reader accepts them without a gap."""
        offered = scan(self.own, self.other, self._near, self.step, BACK)[1 : BACK + 1]
        self.trials.look_at(takewhile(lambda value: not self._refused(value), offered))

    def _settle(self, keys: Sequence[Key]) -> None:
        """Measure the walls of every size at which a bound would be the least margin."""
        for point in curve(self.trials.own_findings, self.trials.done, keys):
            if point.margin is not None and bound_only(
                self.trials.seen(point.value).findings.get(
                    (point.id, point.subject, point.case, point.quantity)
                )
            ):
                self.trials.exactly(point.value)

    def _stop(self, good: float, bad: float, waived: frozenset[tuple[str, str]]) -> Stop:
        beyond = self.trials.at(bad)
        if beyond.refused:
            return Stop("reader", good, reason=beyond.refused)
        first, *others = beyond.blamed(waived)
        here, there = self.trials.at(good).findings.get(first.key), first.finding
        if bound_only(here) and self.trials.exactly(good):
            here = self.trials.at(good).findings.get(first.key)
        here, there = self.trials.told(good, here), self.trials.told(bad, there)
        shown = there if there is not None and there.verdict != "not_run" else here
        return Stop(
            "check",
            good,
            *first.key,
            value=None if here is None else here.value,
            beyond=None if there is None else there.value,
            limit=None if shown is None else shown.limit,
            compare="none" if shown is None else shown.compare,
            unit="" if shown is None else shown.unit,
            reason=first.reason,
            also=tuple(dict.fromkeys(_named(each.key) for each in others)),
        )

    def _end_stop(self, value: float) -> Stop:
        """The scan ended with a safe size: the end of what the key may be."""
        return Stop("range", value, reason=f"the end of what the reader accepts, {value:.6g}")


def _named(key: Key) -> str:
    return f"{key[0]} {key[1]} {key[3]}"
