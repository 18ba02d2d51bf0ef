"""The materials of a job beside what the table of materials has: columns and cells for page and text alike."""

from __future__ import annotations

from collections.abc import Iterable

from headparts.reports.content import MaterialRow

COLUMNS = ("Material", "Quantity", "In this job", "Unit", "In the table", "")
NOTE = (
    "A job states the values it is judged by; the table is there to compare. Published: seen in public material. "
    "Memory: not verified. Castings vary: ask for the alloy or have it measured."
)


def table_rows(rows: Iterable[MaterialRow]) -> list[list[str]]:
    """One row of cells a value."""
    return [
        [
            row.material,
            row.quantity,
            _span(row.values),
            row.unit,
            _known(row),
            "" if row.agrees else "the job's own",
        ]
        for row in rows
    ]


def _span(values: tuple[float, ...]) -> str:
    low, high = min(values), max(values)
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _known(row: MaterialRow) -> str:
    return f"{_span(row.table)} ({', '.join(row.statuses)})" if row.table else "not there"
