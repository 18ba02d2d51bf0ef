"""In which findings two runs of the checks differ, the worst first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

from headparts.checks.finding import SAME, Finding, Limit

WORSE, BETTER, OTHER = "worse", "better", "other"
_WEIGHT = {"pass": 0, "info": 1, "warn": 2, "fail": 3}


@dataclass(frozen=True)
class FindingChange:
    """One finding before and after; None on the side that does not have it."""

    before: Finding | None
    after: Finding | None

    @property
    def one(self) -> Finding:
        """The finding after, or the one before where it is gone."""
        found = self.after or self.before
        assert found is not None
        return found

    @property
    def kinds(self) -> tuple[str, ...]:
        """``appeared`` or ``gone``, else which of ``verdict``, ``value`` and ``limit`` differ."""
        if self.before is None:
            return ("appeared",)
        if self.after is None:
            return ("gone",)
        differ = {
            "verdict": self.before.verdict != self.after.verdict,
            "value": not _near(self.before.value, self.after.value),
            "limit": self.before.compare != self.after.compare
            or not _limits_near(self.before.limit, self.after.limit),
        }
        return tuple(kind for kind, does in differ.items() if does)

    @property
    def direction(self) -> str:
        """``worse``, ``better`` or ``other``.

        Worse: a verdict further from pass, one that is lost (not run), a new fail or warn, and with the same verdict
        less margin to the limit; what appears outside its limit. What is gone is neither.
        """
        if self.after is None:
            return OTHER
        now = self.after.verdict
        if self.before is None:
            inside = margin(self.after)
            return WORSE if now in ("fail", "warn") or (inside or 0.0) < -SAME else OTHER
        was = self.before.verdict
        if was == now:
            lost = self.lost
            return OTHER if not lost else WORSE if lost > 0.0 else BETTER
        if now == "not_run":
            return WORSE
        if was == "not_run":
            return WORSE if now in ("fail", "warn") else BETTER
        return WORSE if _WEIGHT[now] > _WEIGHT[was] else BETTER

    @property
    def difference(self) -> float | None:
        """Value after less before [unit of the finding]; None unless both have one."""
        if self.before is None or self.after is None:
            return None
        if self.before.value is None or self.after.value is None:
            return None
        return self.after.value - self.before.value

    @property
    def lost(self) -> float | None:
        """Margin to the limit before less after [unit of the finding]; None where one has none."""
        first, second = margin(self.before), margin(self.after)
        return None if first is None or second is None else first - second

    @property
    def fails_anew(self) -> bool:
        """Whether it fails now and did not before."""
        after = self.after is not None and self.after.verdict == "fail"
        return after and (self.before is None or self.before.verdict != "fail")

    def as_json(self) -> dict[str, Any]:
        """Plain data for JSON, never NaN."""
        return {
            "id": self.one.id,
            "subject": self.one.subject,
            "case": self.one.case,
            "quantity": self.one.quantity,
            "unit": self.one.unit,
            "change": list(self.kinds),
            "direction": self.direction,
            "difference": self.difference,
            "before": _short(self.before),
            "after": _short(self.after),
        }


def findings_changed(before: Iterable[Finding], after: Iterable[Finding]) -> tuple[FindingChange, ...]:
    """What differs between two lists of findings, matched by id, subject, case and quantity; the worst first.

    A value differs beyond 1e-9 of its unit. Notes, places and bounds are not compared. Order: verdicts that got
    worse, verdicts that got better, values that got worse, values that got better, the rest; in each by the verdict
    reached (fail, warn, not run, info, pass), then what lies nearest to its limit, else as the checks come.
    """
    first = {each.key: each for each in before}
    second = {each.key: each for each in after}
    pairs = [FindingChange(first.get(key), each) for key, each in second.items()]
    pairs += [FindingChange(each, None) for key, each in first.items() if key not in second]
    changed = [each for each in pairs if each.kinds]
    return tuple(sorted(changed, key=_order))


def margin(finding: Finding | None) -> float | None:
    """How far a value is inside its limit, negative outside [unit of the finding]; None without one of them."""
    if finding is None or finding.value is None or finding.limit is None or finding.compare == "none":
        return None
    value, limit = finding.value, finding.limit
    if isinstance(limit, tuple):
        return min(value - limit[0], limit[1] - value)
    return limit - value if finding.compare == "<=" else value - limit


def share(finding: Finding | None) -> float:
    """Margin over the size of the limit, or over the width of its range; infinite where nothing is judged."""
    inside = margin(finding)
    if inside is None or finding is None or finding.limit is None:
        return inf
    limit = finding.limit
    size = limit[1] - limit[0] if isinstance(limit, tuple) else abs(limit)
    return inside / size if size > 0.0 else inside


def _order(change: FindingChange) -> tuple[int, int, float]:
    verdict = change.after.verdict if change.after is not None else "gone"
    moved = change.kinds in (("value",), ("limit",), ("value", "limit"))
    rank = {WORSE: 2 if moved else 0, BETTER: 3 if moved else 1, OTHER: 4}[change.direction]
    reached = ("fail", "warn", "not_run", "info", "pass", "gone").index(verdict)
    return rank, reached, share(change.after)


def _near(before: float | None, after: float | None) -> bool:
    if before is None or after is None:
        return before is after
    return abs(before - after) <= SAME


def _limits_near(before: Limit, after: Limit) -> bool:
    first, second = _ends(before), _ends(after)
    return len(first) == len(second) and all(_near(a, b) for a, b in zip(first, second, strict=True))


def _ends(limit: Limit) -> Sequence[float | None]:
    return limit if isinstance(limit, tuple) else (limit,)


def _short(finding: Finding | None) -> dict[str, Any] | None:
    if finding is None:
        return None
    limit = list(finding.limit) if isinstance(finding.limit, tuple) else finding.limit
    return {
        "verdict": finding.verdict,
        "value": finding.value,
        "limit": limit,
        "compare": finding.compare,
        "missing": list(finding.missing),
        "note": finding.note,
    }
