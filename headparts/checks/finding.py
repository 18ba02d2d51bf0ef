"""One judged number: what was found, where, against which limit, and how it was judged."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:  # loaded when somebody asks how a value came about
    from headparts.checks.explained import Term
    from headparts.config import JobFile

Point = tuple[float, float, float]
Limit = float | tuple[float, float] | None
Value = float | Point
"""A number of a formula, or a place or direction in the head's frame."""

VERDICTS = ("fail", "warn", "not_run", "info", "pass")
SAME = 1e-9
"""A value equal to its limit within this much passes [unit of the value]."""


@dataclass(frozen=True)
class Basis:
    """What a check hands over with a finding: the job, numbers that stand in no job file, a formula of its own.

    ``handed``: by symbol. ``formula`` replaces the table's; ``variant`` picks one of the table's. ``solids``: names of
    the two solids of a distance.
    """

    job: JobFile
    handed: Mapping[str, Value] = field(default_factory=dict)
    formula: str = ""
    variant: str = ""
    solids: tuple[str, ...] = ()


@dataclass(frozen=True)
class Finding:
    """One row of a check's result.

    ``id``, ``subject``, ``case`` and ``quantity`` name it uniquely. ``value`` is None where the
    check did not run or has nothing to measure. Lengths are in mm, angles in deg, stresses in MPa,
    forces in N, temperatures in degC. ``bounds`` holds (lower, upper) where the value is a distance;
    ``at`` the two points in the head's frame between which it was measured. ``basis`` is what `formula` and `terms`
    are worked out from.
    """

    id: str
    subject: str
    quantity: str
    case: str = "nominal"
    value: float | None = None
    unit: str = ""
    limit: Limit = None
    compare: str = "none"
    default_limit: Limit = None
    scale: float | None = None
    severity: str = ""
    verdict: str = "not_run"
    at: tuple[Point, Point] | None = None
    method: str = ""
    bounds: tuple[float, float] | None = None
    source: str = ""
    missing: tuple[str, ...] = ()
    advice: str = ""
    note: str = ""
    basis: Basis | None = field(default=None, repr=False, compare=False)

    @property
    def formula(self) -> str:
        """How the value is worked out, as arithmetic; "" where it has none."""
        from headparts.checks.explained import worked

        found = worked(self)
        return "" if found is None else found.formula

    @property
    def terms(self) -> tuple[Term, ...]:
        """The numbers of the formula, each with unit, meaning and place in the job file; worked out when asked for."""
        from headparts.checks.explained import worked

        found = worked(self)
        return () if found is None else found.terms

    @property
    def key(self) -> tuple[str, str, str, str]:
        """(id, subject, case, quantity): unique in a run."""
        return self.id, self.subject, self.case, self.quantity

    def as_json(self) -> dict[str, Any]:
        """The finding as plain data for JSON: numbers or null, never NaN."""

        def plain(value: Any) -> Any:
            return list(value) if isinstance(value, tuple) else value

        return {
            "id": self.id,
            "subject": self.subject,
            "quantity": self.quantity,
            "case": self.case,
            "value": self.value,
            "unit": self.unit,
            "limit": plain(self.limit),
            "compare": self.compare,
            "default_limit": plain(self.default_limit),
            "scale": self.scale,
            "severity": self.severity,
            "verdict": self.verdict,
            "at": [list(point) for point in self.at] if self.at else None,
            "method": self.method,
            "bounds": plain(self.bounds),
            "source": self.source,
            "missing": list(self.missing),
            "advice": self.advice,
            "note": self.note,
        }


def holds(value: float, compare: str, limit: Limit) -> bool:
    """Whether ``value`` keeps ``limit``; equal within 1e-9 keeps it, but for a strict ``>``.

    >>> holds(1.5 - 1e-10, ">=", 1.5), holds(0.0, ">", 0.0), holds(0.4, "in", (0.42, 0.5))
    (True, False, False)
    """
    if compare == "none" or limit is None:
        return True
    if isinstance(limit, tuple):
        return limit[0] - SAME <= value <= limit[1] + SAME
    if compare == ">=":
        return value >= limit - SAME
    if compare == "<=":
        return value <= limit + SAME
    if compare == ">":
        return value > limit + SAME
    raise ValueError(f"unknown comparison {compare!r}")


def counts(findings: Iterable[Finding]) -> dict[str, int]:
    """How many findings have each verdict."""
    found = [finding.verdict for finding in findings]
    return {verdict: found.count(verdict) for verdict in VERDICTS}
