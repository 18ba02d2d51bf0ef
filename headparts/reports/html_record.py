"""Planned against made on the page: what was read step by step, what is left, and the verdicts that changed."""

from __future__ import annotations

from headparts.reports.content import Report
from headparts.reports.markup import Html, grouped_table, join, table, tag
from headparts.reports.numbers import words
from headparts.reports.record import NOTED, OPEN, OUTSIDE, WITHIN, RecordRow, cells, change_cells, left_open

_PAINT = {WITHIN: "pass", OUTSIDE: "fail", OPEN: "not_run", NOTED: "info"}


def record(report: Report) -> Html:
    """The section of the record; nothing without one."""
    found = report.record
    if found is None:
        return Html("")
    made = [row for row in found.rows if row.verdict != OPEN]
    steps = dict.fromkeys(row.step for row in made)
    groups = [(words(step), [_cells(row) for row in made if row.step == step]) for step in steps]
    by = ", ".join(each for each in (found.file, found.date, found.measured_by) if each)
    columns = ("#Reading", ">Planned", ">Allowed", ">Made", ">Deviation", "Verdict")
    pieces = [tag("h2", "Planned against made", id="record"), tag("p", by, class_="small soft")]
    pieces.append(grouped_table(columns, groups) if groups else tag("p", "Nothing has been measured yet."))
    pieces += [tag("p", text) for text in (found.spacer, *found.remarks) if text]
    if found.changes:
        pieces.append(tag("h3", "Verdicts that the readings change"))
        pieces.append(
            table(("#Check", "Planned", ">Value", "As made", ">Value"), map(change_cells, found.changes))
        )
    left = left_open(found)
    if left:
        pieces.append(tag("h3", "Not measured yet"))
        pieces.append(tag("ul", *(tag("li", text) for text in left), class_="small"))
    return join(pieces, "\n")


def _cells(row: RecordRow) -> tuple[object, ...]:
    _, name, planned, allowed, made, deviation, verdict, said = cells(row)
    reading = join((name, tag("span", said, class_="note") if said else ""))
    painted = tag("span", verdict, class_=f"verdict {_PAINT[row.verdict]}")
    return reading, planned, allowed, made, deviation, painted
