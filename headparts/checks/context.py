"""What every check function works with: the plan, the limits, and the judge."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from headparts.checks.finding import Basis, Finding, Limit, Point, Value, holds
from headparts.checks.table import Limits, UsedLimit, quantities, row
from headparts.checks.walls_store import WallStore
from headparts.config import JobFile
from headparts.plan import Inputs, MissingInput, Plan


@dataclass(frozen=True)
class Context:
    """One job under judgement.

    ``brief`` leaves out what takes long and changes no pass, warn or fail: what metal a wall is, what is said beside
    the cover of an opening (S05) and of a casting that yields (F02, F05), how deep a
    face lies in the roof (B17), the sizes of an opening (W08) and of a thin area (W10), whose rows then have no value.
    """

    plan: Plan
    brief: bool = False

    @property
    def job(self) -> JobFile:
        """The job file."""
        return self.plan.job

    @cached_property
    def inputs(self) -> Inputs:
        """The job file by dotted keys."""
        return Inputs(self.job)

    @cached_property
    def limits(self) -> Limits:
        """Limits as this job uses them."""
        given = self.job.limits
        return Limits() if given is None else Limits(given.scale, given.by_id)

    @cached_property
    def memory(self) -> dict[str, Any]:
        """What one check has worked out and others ask for again."""
        return {}

    def remember(self, name: str, make: Callable[[], Any]) -> Any:
        """The value kept under ``name``, made at the first call."""
        if name not in self.memory:
            self.memory[name] = make()
        return self.memory[name]

    @cached_property
    def walls(self) -> WallStore:
        """Distances between voids, each measured once."""
        return WallStore()

    def judge(
        self,
        check: str,
        subject: str,
        quantity: str,
        value: float | None,
        *,
        name: str = "",
        case: str = "nominal",
        limit: UsedLimit | None = None,
        verdict: str = "",
        at: tuple[Point, Point] | None = None,
        bounds: tuple[float, float] | None = None,
        method: str = "closed form",
        advice: str = "",
        note: str = "",
        terms: Mapping[str, Value] | None = None,
        formula: str = "",
        variant: str = "",
        solids: tuple[str, ...] = (),
    ) -> Finding:
        """A finding with its verdict. ``limit`` replaces the table's; ``verdict`` overrules the comparison.

        ``terms`` : numbers of its formula that stand in no job file, by symbol. ``formula`` replaces the one of the
        table of formulas, ``variant`` picks one of several there; ``solids`` names the two of a distance.

        A FAIL row passes or fails, a WARN row passes or warns, an INFO row passes inside its limit and is
        info outside it; a row without a limit is info.
        """
        entry = row(check, quantity, name)
        used = limit or self.limits.use(check, quantity, name)
        value = None if value is None else float(value)
        keeps = value is None or holds(value, entry.compare, used.value)
        judged = verdict or _verdict(entry.severity, keeps, used.value is not None)
        return Finding(
            check,
            subject,
            quantity,
            case,
            value,
            entry.unit,
            used.value,
            entry.compare if used.value is not None else "none",
            used.default,
            used.scale,
            entry.severity,
            judged,
            at,
            method,
            bounds,
            entry.source,
            (),
            "" if judged == "pass" else advice,
            note,
            Basis(self.job, terms or {}, formula, variant, solids),
        )

    def not_run(
        self,
        check: str,
        subject: str,
        gap: MissingInput | None = None,
        note: str = "",
        case: str = "",
        only: str = "",
    ) -> list[Finding]:
        """The rows of a check that could not run, one a quantity, naming what is missing."""
        made = []
        for quantity in (only,) if only else quantities(check):
            entry = row(check, quantity)
            made.append(
                Finding(
                    check,
                    subject,
                    quantity,
                    case or "nominal",
                    unit=entry.unit,
                    compare="none",
                    severity=entry.severity,
                    verdict="not_run",
                    source=entry.source,
                    missing=gap.keys if gap else (),
                    note=note or (gap.note if gap else ""),
                )
            )
        return made

    def none_here(self, check: str, note: str = "none in this job", subject: str = "job") -> list[Finding]:
        """One row for what the job does not contain at all."""
        return self.not_run(check, subject, note=note, only=quantities(check)[0])

    def computed(self, check: str, value: Limit, quantity: str = "", name: str = "") -> UsedLimit:
        """A limit that a rule works out for this row, unless the job gives one by id."""
        given = self.limits.given(check, row(check, quantity, name).name)
        if given is not None:
            return UsedLimit(given, value, None, True)
        return UsedLimit(value, value, None, False)


def _verdict(severity: str, keeps: bool, limited: bool) -> str:
    if not limited:
        return "info"
    if keeps:
        return "pass"
    return {"FAIL": "fail", "WARN": "warn", "INFO": "info"}[severity]
