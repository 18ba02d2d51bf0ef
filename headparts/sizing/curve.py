"""Margins over sizes: which findings depend on the parameter, the curve, dips between sizes, checks that come and go."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from headparts.checks.finding import Finding
from headparts.sizing.judged import RANK, Key, margin
from headparts.sizing.result import Change, CurvePoint
from headparts.sizing.trial import Trial

MOVED = 1e-9
"""A value that differs by less is the same, reached by another path of rounding [unit of the value]."""


def dependent(own: Mapping[Key, Finding], trials: Sequence[Trial]) -> tuple[Key, ...]:
    """The findings whose value, limit, verdict or presence is not the same at all sizes tried."""
    made: dict[Key, None] = {}
    for trial in trials:
        if trial.refused:
            continue
        asked = {key[0] for key in trial.findings}
        for key in {**trial.findings, **{key: None for key in own if key[0] in asked}}:
            if _differs(own.get(key), trial.findings.get(key)):
                made[key] = None
    return tuple(made)


def _differs(before: Finding | None, now: Finding | None) -> bool:
    if before is None or now is None:
        return True
    if before.verdict != now.verdict or before.missing != now.missing or before.limit != now.limit:
        return True
    if before.value is None or now.value is None:
        return before.value is not now.value
    return abs(before.value - now.value) > MOVED


def room(before: Finding | None, now: Finding | None) -> float | None:
    """How far a finding is from being worse than before, as `margin`; None where it cannot become worse.

    For a finding that fails already it is what is left of its own margin.
    """
    if now is None or now.severity not in ("FAIL", "WARN"):
        return None
    had = "pass" if before is None else before.verdict
    here = margin(now)
    if had == "fail":
        was = margin(before)
        return None if here is None or was is None else here - was
    worst = RANK["fail"] if now.severity == "FAIL" else RANK["warn"]
    return here if RANK.get(had, 0) < worst and not now.note.startswith("accepted") else None


def curve(own: Mapping[Key, Finding], trials: Sequence[Trial], keys: Sequence[Key]) -> tuple[CurvePoint, ...]:
    """The least room of the findings ``keys`` at every size that the reader accepts."""
    made = []
    for trial in trials:
        if trial.refused:
            continue
        rooms = [
            (left, key) for key in keys if (left := room(own.get(key), trial.findings.get(key))) is not None
        ]
        if rooms:
            left, key = min(rooms)
            made.append(CurvePoint(trial.value, left, *key))
        else:
            made.append(CurvePoint(trial.value, None))
    return tuple(made)


def dips(own: Mapping[Key, Finding], tried: Sequence[Trial]) -> Iterator[float]:
    """Sizes between two safe ones at which a finding, carried on straight from both sides, is below its limit."""
    for before, left, right, after in zip(tried, tried[1:], tried[2:], tried[3:], strict=False):
        if any(trial.refused for trial in (before, left, right, after)) or left.worse or right.worse:
            continue
        for key in left.findings:
            rooms = [room(own.get(key), trial.findings.get(key)) for trial in (before, left, right, after)]
            first, second, third, fourth = rooms
            if first is None or second is None or third is None or fourth is None:
                continue
            down = (second - first) / (left.value - before.value)
            up = (fourth - third) / (after.value - right.value)
            width = right.value - left.value
            if down * width >= 0.0 or up * width <= 0.0:
                continue
            at = (third - second - up * width) / (down - up)
            if 0.0 < at / width < 1.0 and second + down * at < 0.0:
                yield left.value + at


def changes(own: Mapping[Key, Finding], trials: Sequence[Trial], start: float) -> tuple[Change, ...]:
    """Findings that start or stop running, each at the size nearest to the job's own that was tried."""
    made: dict[Key, Change] = {}
    for trial in sorted(trials, key=lambda each: abs(each.value - start)):
        for key, now in trial.findings.items():
            before = own.get(key)
            if before is None or key in made:
                continue
            if (before.verdict == "not_run") != (now.verdict == "not_run"):
                made[key] = Change(key[0], key[1], key[3], before.verdict, now.verdict, trial.value)
    return tuple(made.values())
