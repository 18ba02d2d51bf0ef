"""The measured loop: a form to fill in, the readings put to use, and planned against made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from headparts.checks.changes import FindingChange, findings_changed
from headparts.checks.context import Context
from headparts.checks.finding import SAME, Finding
from headparts.checks.run import run_checks
from headparts.checks.spacer_window import SpacerWindow, spacer_window
from headparts.config import JobFile
from headparts.config.overlaid import Overlay
from headparts.config.record import Reading, read_record
from headparts.config.record_items import NO_OPENING, SIX, Asked, asked
from headparts.errors import HeadpartsError, ParameterError
from headparts.job.record_changes import what_it_changes
from headparts.job.record_expected import Expected, expected
from headparts.job.record_use import Made, lay_over, usual_u
from headparts.job.results import RunResult
from headparts.plan import Plan
from headparts.reports.record import NOTED, OUTSIDE, WITHIN, RecordRow, RecordTable
from headparts.tables.instruments import instruments
from headparts.tables.shop_tolerances import shop_tolerance


@dataclass(frozen=True)
class Recorded:
    """A job with its record: as planned and as made, and the rows of planned against made."""

    made: Made
    rows: tuple[RecordRow, ...]
    window: SpacerWindow | None

    @property
    def planned(self) -> Plan:
        """The plan of the job file as it stands."""
        return self.made.planned

    @property
    def plan(self) -> Plan:
        """The plan of the job as made."""
        return self.made.plan


def recorded(job: str | Path | JobFile, record: str | Path) -> Recorded:
    """Read a job with its record and lay the readings over it.

    Raises JobFileError for a fault in either file, ParameterError for a job that was changed in memory.
    """
    overlay = Overlay(job.path if isinstance(job, JobFile) else job)
    if isinstance(job, JobFile) and job != overlay.job:
        raise ParameterError(
            "record", record, "goes with a job as its file has it; this one was changed in memory"
        )
    made = lay_over(overlay, read_record(record, overlay.job))
    rows = [row for each in asked(overlay.job) for row in rows_of(each, made)]
    return Recorded(made, tuple(rows), _window(made.plan))


def beside_plan(result: RunResult, found: Recorded, only: Sequence[str] = ()) -> RunResult:
    """The result of the job as made, with the record's table and what changed against the plan."""
    planned = run_checks(Context(found.planned), only)
    own = {each.id for each in result.findings} & {"Q05", "Q06"}  # run where files are written, once
    made = [each for each in result.findings if each.id not in own]
    record, window = found.made.record, found.window
    table = RecordTable(
        file=record.path.name,
        sha256=record.sha256,
        date=record.date,
        measured_by=record.measured_by,
        rows=found.rows,
        changes=tuple(changes([each for each in planned if each.id not in own], made)),
        spacer="" if window is None else str(window),
        spacer_window=None if window is None else {**asdict(window), "is_empty": window.is_empty},
        remarks=found.made.remarks,
    )
    findings = _said(result.findings, found)
    report = replace(result.report, findings=tuple(findings), record=table)
    if table.outside:
        names = ", ".join(row.key for row in table.outside)
        report = replace(
            report, remarks=(f"Outside what is allowed by the record: {names}.", *report.remarks)
        )
    return replace(result, findings=findings, report=report)


def _said(findings: Sequence[Finding], found: Recorded) -> list[Finding]:
    """M07 says why it did not run where a step of the record has no temperature."""
    silent = "a step of the record has diameters but no temperature"
    open_ones = any("no temperature given" in remark for remark in found.made.remarks)
    return [
        replace(each, note=silent) if open_ones and each.id == "M07" and each.verdict == "not_run" else each
        for each in findings
    ]


def changes(planned: Sequence[Finding], made: Sequence[Finding]) -> list[FindingChange]:
    """Findings whose verdict is another one, that appear or are gone; the worst first."""
    return [
        each for each in findings_changed(planned, made) if {"verdict", "appeared", "gone"} & set(each.kinds)
    ]


def _window(plan: Plan) -> SpacerWindow | None:
    if plan.inputs.get("rocker.spacer") is None:
        return None
    try:
        return spacer_window(Context(plan))
    except HeadpartsError:
        return None


# ---- rows -----------------------------------------------------------------------------------
def rows_of(each: Asked, made: Made) -> list[RecordRow]:
    """One reading beside its plan, and what follows from six readings of a bore: roundness and taper."""
    reading = made.record.readings.get(each.key, Reading())
    plan = expected(each, made.planned, made.plan)
    at20 = made.at20.get(each.key, ())
    unit = "N" if each.item.key == "press_force" else "" if each.item.words else "mm"
    row = RecordRow(
        key=each.key,
        step=each.item.step,
        subject=each.subject,
        reading=each.item.key,
        unit=unit,
        planned=plan.planned,
        low=plan.low,
        high=plan.high,
        strict=plan.strict,
        raw=reading.values,
        made=at20,
        u=usual_u(reading),
        by=reading.by,
        words=reading.words,
        note=plan.note,
    )
    if not reading.begun:
        return [row]
    known = [value for value in at20 if value is not None]
    size = plan.size
    row = replace(
        row,
        deviation=None if size is None or not known else max((value - size for value in known), key=abs),
        verdict=_verdict(each, reading, known, plan),
        changes=what_it_changes(each, made) if reading.complete else "",
        note="; ".join(text for text in (plan.note, _how(each, reading)) if text),
    )
    return [row, *_forms(each, row, known)]


def _verdict(each: Asked, reading: Reading, known: Sequence[float], plan: Expected) -> str:
    if each.item.key == "opening":
        if reading.words == NO_OPENING:
            return WITHIN if not plan.planned else NOTED
        return NOTED if plan.planned else OUTSIDE
    if plan.empty:
        return OUTSIDE
    if (plan.low is None and plan.high is None) or not known:
        return NOTED
    low_kept = plan.low is None or min(known) >= plan.low - SAME
    high_kept = plan.high is None or max(known) <= plan.high + SAME
    if plan.strict and plan.high is not None and max(known) >= plan.high - SAME:
        high_kept = False
    return WITHIN if low_kept and high_kept else OUTSIDE


def _how(each: Asked, reading: Reading) -> str:
    """What a person should know of how it was measured."""
    if not reading.numbers or each.item.spec.unit != "mm" or usual_u(reading) is not None:
        return ""
    if reading.by is None:
        return "u not given"
    if reading.by in instruments():
        return ""
    return f"u not given, and no usual half-width is known for {reading.by}"


def _forms(each: Asked, row: RecordRow, known: Sequence[float]) -> list[RecordRow]:
    """Roundness and taper of a bore, from all six readings."""
    if each.item.step != "bores" or each.item.shape != SIX or len(known) != 6:
        return []
    pairs = [(known[i], known[i + 1]) for i in (0, 2, 4)]
    means = [(a + b) / 2.0 for a, b in pairs]
    found = {
        "roundness": max(abs(a - b) for a, b in pairs) / 2.0,
        "taper": max(means) - min(means),
    }
    made = []
    for name, value in found.items():
        rule = shop_tolerance("bores", f"{each.item.key}.{name}")
        assert rule.high is not None
        verdict = WITHIN if value <= rule.high + SAME else OUTSIDE
        made.append(
            RecordRow(
                key=f"{each.key}.{name}",
                step="bores",
                subject=each.subject,
                reading=f"{each.item.key} {name}",
                unit="mm",
                low=0.0,
                high=rule.high,
                raw=(value,),
                made=(value,),
                verdict=verdict,
                changes="" if verdict == WITHIN else "the fit leaks or scores here: bore again",
            )
        )
    return made
