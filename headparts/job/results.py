"""What a run gives back, and the same as JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from headparts.checks.finding import Finding, counts
from headparts.errors import HeadpartsError, JobFileError
from headparts.plan import Plan
from headparts.plan.derived import Value, derived
from headparts.reports.content import Report

if TYPE_CHECKING:  # bodies are only here when a run built them
    from headparts.job.bodies import Bodies

FORMAT = 1
More = Callable[[Finding], dict[str, object]]


@dataclass(frozen=True)
class RunResult:
    """One run of one job: ``findings`` in the table's order, ``derived`` (subject, quantity, value, unit).

    ``bodies`` holds the solids and their clashes when they were built; ``folder`` and ``written`` say where
    files went. ``failed`` is True when a check fails that the job does not accept, two bodies clash, or a reading of
    the record is outside what is allowed.
    """

    plan: Plan
    findings: list[Finding]
    report: Report
    bodies: Bodies | None = None
    folder: Path | None = None
    written: tuple[str, ...] = field(default=())

    @cached_property
    def derived(self) -> list[Value]:
        """Numbers that the rules compute and nobody judges, worked out when they are asked for."""
        return derived(self.plan)

    @property
    def failed(self) -> bool:
        """Whether something fails that the job does not accept."""
        clash = self.bodies is not None and self.bodies.fails
        record = self.report.record
        return (
            clash
            or (record is not None and bool(record.outside))
            or any(finding.verdict == "fail" for finding in self.findings)
        )


def to_dict(result: RunResult, more: More | None = None) -> dict[str, Any]:
    """The JSON object of a run: the contract of ``check --json`` and of ``findings.json``.

    ``more`` gives keys that each finding gets besides.
    """
    job = result.plan.job.job
    made: dict[str, Any] = {
        "format": FORMAT,
        "job": {
            "id": job.id,
            "title": job.title,
            "rev": job.rev,
            "status": job.status,
            "date": job.date,
            "file": Path(result.plan.job.path).name,
        },
        "findings": [
            finding.as_json() | (more(finding) if more is not None else {}) for finding in result.findings
        ],
        "derived": [
            {"subject": subject, "quantity": quantity, "value": value, "unit": unit}
            for subject, quantity, value, unit in result.derived
        ],
        "counts": counts(result.findings),
        "remarks": list(result.report.remarks),
    }
    if result.report.record is not None:
        made["record"] = result.report.record.as_json()
    if result.bodies is not None:
        made["clashes"] = [
            {
                "subject": clash.subject,
                "volume": clash.volume,
                "expected_volume": clash.expected_volume,
                "verdict": clash.verdict,
                "note": clash.note,
                "case": clash.case,
                "depth": clash.depth,
                "clearance": clash.clearance.upper if clash.clearance else None,
                "clearance_lower": clash.clearance.lower if clash.clearance else None,
                "clearance_at": [list(point) for point in clash.clearance.at]
                if clash.clearance and clash.clearance.at
                else None,
                "method": clash.clearance.method if clash.clearance else "common volume",
            }
            for clash in result.bodies.clashes
        ]
        made["second_route"] = [asdict(row) for row in result.bodies.second_route]
    return made


def to_json(result: RunResult, more: More | None = None) -> str:
    """The object as text; never NaN or infinity."""
    return json.dumps(to_dict(result, more), indent=1, allow_nan=False, ensure_ascii=False)


def faults_to_json(error: JobFileError) -> str:
    """All faults of a job file as the JSON object of ``check --json``."""
    return json.dumps({"format": FORMAT, "faults": [asdict(fault) for fault in error.faults]}, indent=1)


def error_to_json(error: HeadpartsError) -> str:
    """Any other error, in one sentence, as the JSON object of a command that was asked for JSON."""
    return json.dumps({"format": FORMAT, "error": str(error)}, indent=1, ensure_ascii=False)
