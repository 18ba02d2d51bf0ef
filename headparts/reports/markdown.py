"""The report as Markdown: the same facts as the page, for a repository or a mail."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from urllib.parse import quote

from headparts.checks.finding import Finding
from headparts.reports.content import (
    COMPETENT,
    VERDICT_WORDS,
    Report,
    counts,
    is_starred,
)
from headparts.reports.explain import worked_steps
from headparts.reports.materials import COLUMNS as MATERIAL_COLUMNS
from headparts.reports.materials import NOTE as MATERIAL_NOTE
from headparts.reports.materials import table_rows as material_cells
from headparts.reports.numbers import (
    bounds_text,
    clean,
    limit_text,
    number,
    place_text,
    star_text,
    value_of,
    words,
)
from headparts.reports.record import CHANGE_COLUMNS, change_cells
from headparts.reports.record import COLUMNS as RECORD_COLUMNS
from headparts.reports.record import cells as record_cells
from headparts.reports.risk import COLUMNS, summary, table_rows
from headparts.tables.hazards import LOCAL_CODES

_SIGNS = re.compile(r"([\\`*_{}\[\]<>|#~])")


def safe(value: object) -> str:
    """Text that Markdown shows as it is.

    >>> safe("a_b <x> | *")
    'a\\\\_b \\\\<x\\\\> \\\\| \\\\*'
    """
    return _SIGNS.sub(r"\\\1", clean(str(value)))


def to_markdown(report: Report) -> str:
    """The whole report as Markdown with tables. The same report gives the same text."""
    job = report.job
    lines = [f"# {safe(job.title or job.id)}", ""]
    said = [f"Job {job.id}", f"revision {job.rev}" if job.rev else "", words(job.status), job.date, job.file]
    lines += [", ".join(safe(each) for each in said if each), ""]
    if report.stamp:
        lines += [f"**{safe(report.stamp)}**", ""]
    if report.findings:
        found = counts(report.findings)
        lines += _table([VERDICT_WORDS[each] for each in found], [[str(count) for count in found.values()]])
    lines += [f"- {safe(each)}" for each in (*report.remarks, COMPETENT)] + [""]
    for clash in report.unmeant:
        text = (
            f"Clash: {clash.first} and {clash.second} share {number(clash.volume, 'mm3')} mm3. {clash.note}"
        )
        lines += [f"**{safe(text)}**", ""]
    lines += _record(report)
    lines += _findings(report.findings)
    lines += _models(report)
    if report.risk is not None:
        lines += ["## Risk", ""]
        walls = table_rows(report.risk)
        lines += _table(COLUMNS, walls) if walls else []
        for paragraph in summary(report.risk):
            lines += [safe(paragraph), ""]
    if report.derived:
        lines += ["## Computed, not judged", ""]
        rows = [[d.subject, words(d.quantity), number(d.value, d.unit), d.unit] for d in report.derived]
        lines += _table(["Subject", "Quantity", "Value", "Unit"], rows)
    if report.materials:
        lines += ["## Materials", ""]
        lines += _table(MATERIAL_COLUMNS, material_cells(report.materials))
        lines += [safe(MATERIAL_NOTE), ""]
    if report.files:
        lines += ["## Files", ""]
        linked = [
            [
                f"[{safe(each.file)}]({quote(each.file)})",
                safe(each.format),
                safe(each.part or ""),
                safe(each.note or ""),
            ]
            for each in report.files
        ]
        lines += _table(["File", "Format", "Shows", "Note"], linked, escaped=True)
    lines += ["## Cautions", ""]
    for caution in report.cautions:
        lines += [f"**{safe(caution.title)}.** {safe(caution.full)}", ""]
    lines += [safe(LOCAL_CODES), "", f"{safe(report.tool)}. Lengths in mm, interference on the diameter."]
    return "\n".join(lines) + "\n"


def _findings(findings: Sequence[Finding]) -> list[str]:
    titles = {
        "fail": "Failures",
        "warn": "Warnings",
        "not_run": "What could not be judged",
        "info": "For information",
        "pass": "What passes",
    }
    lines: list[str] = []
    for verdict, title in titles.items():
        found = [each for each in findings if each.verdict == verdict]
        if not found:
            continue
        lines += [f"## {title} ({len(found)})", ""]
        if verdict == "not_run":
            rows = [
                [
                    f.id,
                    f.subject,
                    _quantity(f),
                    _said("missing " + ", ".join(f.missing) if f.missing else "", f.note),
                ]
                for f in found
            ]
            lines += _table(["Check", "Subject", "Quantity", "Why"], rows)
        else:
            rows = [_row(each) for each in found]
            lines += _table(["Check", "Subject", "Quantity", "Value", "Limit", "How"], rows)
            if verdict in ("fail", "warn"):
                lines += _worked(found)
    if any(is_starred(each) for each in findings):
        lines += ["A star marks a limit that is not the table's own; the default stands beside it.", ""]
    return lines


def _worked(findings: Sequence[Finding]) -> list[str]:
    """Formulas and numbers of some findings as a list; nothing where none has a formula."""
    lines = []
    for finding in findings:
        steps = worked_steps(finding)
        if steps:
            case = f" {words(finding.case)}" if finding.case != "nominal" else ""
            lines.append(f"- {safe(f'{finding.id} {finding.subject}{case}')}")
            lines += [f"  - {safe(step)}" for step in steps]
    return ["How they are worked out:", "", *lines, ""] if lines else []


def _row(finding: Finding) -> list[str]:
    star = "*" if is_starred(finding) else ""
    unit = f" {finding.unit}" if finding.unit and finding.value is not None else ""
    how = _said(
        star_text(finding),
        finding.method,
        bounds_text(finding),
        place_text(finding),
        finding.source if finding.limit is not None else "",
        finding.note,
        f"advice: {finding.advice}" if finding.advice and finding.verdict in ("fail", "warn") else "",
    )
    limit = limit_text(finding.limit, finding.compare)
    return [finding.id, finding.subject, _quantity(finding), value_of(finding) + unit, f"{limit}{star}", how]


def _quantity(finding: Finding) -> str:
    return words(finding.quantity) + (f" [{words(finding.case)}]" if finding.case != "nominal" else "")


def _said(*texts: str) -> str:
    return "; ".join(each for each in texts if each)


def _models(report: Report) -> list[str]:
    lines: list[str] = []
    if report.parts:
        lines += ["## Parts", ""]
        rows = [
            [
                part.name,
                part.material or "not given",
                str(part.quantity),
                number(part.volume, "mm3"),
                "-" if part.mass is None else f"{part.mass:.2f}",
                part.note,
            ]
            for part in report.parts
        ]
        lines += _table(["Part", "Material", "Number", "Volume mm3", "Mass g", "Note"], rows)
    if report.proof:
        proof = report.proof
        again = (
            "" if proof.reread_volume is None else f"; read again {number(proof.reread_volume, 'mm3')} mm3"
        )
        lines += [
            safe(
                f"The cut head: {proof.tries} attempt(s), {'valid' if proof.valid else 'NOT VALID'}, "
                f"{number(proof.volume, 'mm3')} mm3; by {proof.second_method} "
                f"{number(proof.second_volume, 'mm3')} mm3{again}. {proof.note}"
            ),
            "",
        ]
    if report.clash_pairs is not None:
        lines += [f"{report.clash_pairs} pairs of bodies were compared; {len(report.clashes)} overlap.", ""]
    if report.clashes:
        rows = [
            [
                each.first,
                each.second,
                "CLASH" if each.kind == "clash" else "press, meant",
                number(each.volume, "mm3"),
                "-" if each.expected is None else number(each.expected, "mm3"),
                "-" if each.depth is None else number(each.depth, "mm"),
                each.note,
            ]
            for each in report.clashes
        ]
        lines += _table(["Body", "Body", "Kind", "Overlap mm3", "By formula mm3", "Depth mm", "Note"], rows)
    if report.clearances:
        near = [
            [
                each.first,
                each.second,
                number(each.upper, "mm"),
                number(each.lower, "mm") + ("" if each.proven else " (unproven)"),
                "; ".join(part for part in (each.case, each.method) if part),
            ]
            for each in report.clearances
        ]
        lines += _table(["Body", "Body", "Clearance mm", "At least mm", "How"], near)
    return lines


def _record(report: Report) -> list[str]:
    found = report.record
    if found is None:
        return []
    lines = ["## Planned against made", ""]
    lines += _table(RECORD_COLUMNS, [record_cells(row) for row in found.rows])
    for text in (found.spacer, *found.remarks):
        lines += [safe(text), ""] if text else []
    if found.changes:
        lines += ["### Verdicts that the readings change", ""]
        lines += _table(CHANGE_COLUMNS, [change_cells(change) for change in found.changes])
    return lines


def _table(columns: Sequence[str], rows: Iterable[Sequence[str]], escaped: bool = False) -> list[str]:
    lines = ["| " + " | ".join(columns) + " |", "|" + "---|" * len(columns)]
    lines += ["| " + " | ".join(cell if escaped else safe(cell) for cell in row) + " |" for row in rows]
    return [*lines, ""]
