"""Planned against made: the rows of a record and what they changed, for terminal, page, Markdown and JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from headparts.checks.changes import FindingChange
from headparts.reports.content import VERDICT_WORDS
from headparts.reports.numbers import clean, value_of, words

if TYPE_CHECKING:
    from headparts.reports.terminal import Terminal

WITHIN, OUTSIDE, OPEN, NOTED = "within", "outside", "not measured", "recorded"
COLUMNS = ("Step", "Reading", "Planned", "Allowed", "Made", "Deviation", "Verdict", "What it changes")
CHANGE_COLUMNS = ("Check", "Planned", "Value", "As made", "Value")
_PAINT = {WITHIN: "pass", OUTSIDE: "fail", OPEN: "not_run", NOTED: "info"}


@dataclass(frozen=True)
class RecordRow:
    """One reading: ``raw`` as written, ``made`` at 20 degC, ``deviation`` the one farthest from the planned size.

    ``low``, ``high``: what is allowed; ``strict``: the upper one itself is not. ``verdict``: within, outside, recorded
    (nothing to judge by) or not measured. Lengths in mm, forces in N; ``key`` is the dotted key in the record.
    """

    key: str
    step: str
    subject: str
    reading: str
    unit: str
    planned: tuple[float | None, ...] = ()
    low: float | None = None
    high: float | None = None
    strict: bool = False
    raw: tuple[float | None, ...] = ()
    made: tuple[float | None, ...] = ()
    deviation: float | None = None
    verdict: str = OPEN
    u: float | None = None
    by: str | None = None
    words: str | None = None
    changes: str = ""
    note: str = ""


@dataclass(frozen=True)
class RecordTable:
    """A record beside the plan.

    ``changes``: findings whose verdict is another one with the readings than by the plan. ``spacer``: which
    thicknesses keep the rules with what was measured, in words.
    """

    file: str
    sha256: str
    date: str | None
    measured_by: str | None
    rows: tuple[RecordRow, ...]
    changes: tuple[FindingChange, ...] = ()
    spacer: str = ""
    spacer_window: dict[str, Any] | None = None
    remarks: tuple[str, ...] = ()

    @property
    def outside(self) -> tuple[RecordRow, ...]:
        """The readings outside what is allowed."""
        return tuple(row for row in self.rows if row.verdict == OUTSIDE)

    def as_json(self) -> dict[str, Any]:
        """Plain data; numbers or null."""
        made = {
            "file": self.file,
            "sha256": self.sha256,
            "date": self.date,
            "measured_by": self.measured_by,
            "readings": [asdict(row) for row in self.rows],
            "changed": [change.as_json() for change in self.changes],
            "spacer_window": self.spacer_window,
            "remarks": list(self.remarks),
        }
        made["counts"] = {
            verdict: sum(row.verdict == verdict for row in self.rows)
            for verdict in (OUTSIDE, OPEN, NOTED, WITHIN)
        }
        return made


def digits(unit: str) -> int:
    """Decimals of a reading: a tenth of a micrometre, whole newtons."""
    return 0 if unit == "N" else 4


def shown(value: float | None, unit: str, places: int | None = None) -> str:
    """A reading with at most ``places`` decimals (those of its unit), at least three for a length."""
    if value is None:
        return "~"
    if unit == "N":
        return f"{value:.0f}"
    text = f"{value:.{digits(unit) if places is None else places}f}"
    text = text[:-1] if text.endswith("0") else text
    return text[1:] if float(text) == 0.0 and text.startswith("-") else text


def allowed_text(low: float | None, high: float | None, unit: str, strict: bool = False) -> str:
    """``16.500 to 16.518``, ``at most 0.020``, ``none`` where no size is, or nothing where there is no limit."""
    if low is None and high is None:
        return ""
    if low is not None and high is not None and low > high + 1e-9:
        return "none"
    if high is None:
        return f"at least {shown(low, unit)}"
    if strict:
        return f"below {shown(high, unit)}"
    if low is None or (low == 0.0 and high < 1.0):
        return f"at most {shown(high, unit)}"
    return f"{shown(low, unit)} to {shown(high, unit)}"


def values_text(values: Sequence[float | None], unit: str) -> str:
    """One value, or least to greatest of several, with how many are still open."""
    known = [value for value in values if value is not None]
    if not known:
        return ""
    text = shown(min(known), unit)
    if max(known) - min(known) > 1e-9:
        text += f" to {shown(max(known), unit)}"
    return text if len(known) == len(values) else f"{text} ({len(known)} of {len(values)})"


def cells(row: RecordRow) -> tuple[str, ...]:
    """The cells of a row under ``COLUMNS``."""
    planned = ", ".join(shown(value, row.unit) for value in row.planned if value is not None)
    made = row.words or ""
    if row.made:
        made = ", ".join(shown(value, row.unit) for value in row.made) if row.reading == "opening" else ""
        made = (
            f"{row.words}: {made}"
            if row.reading == "opening" and row.words
            else values_text(row.made, row.unit)
        )
        if _moved(row):
            made += f" (read {values_text(row.raw, row.unit)})"
    deviation = "" if row.deviation is None else f"{row.deviation:+.{digits(row.unit)}f}"
    said = "; ".join(text for text in (row.changes, row.note) if text)
    return (
        words(row.step),
        f"{row.subject} {words(row.reading)}",
        planned,
        allowed_text(row.low, row.high, row.unit, row.strict),
        made,
        deviation,
        row.verdict,
        said,
    )


def _moved(row: RecordRow) -> bool:
    return any(
        a is not None and b is not None and abs(a - b) > 1e-9 for a, b in zip(row.raw, row.made, strict=True)
    )


def change_cells(change: FindingChange) -> tuple[str, ...]:
    """The cells of a finding of another verdict under ``CHANGE_COLUMNS``."""
    one = change.one
    case = "" if one.case == "nominal" else f" [{one.case}]"
    sides = [
        ("-", "-") if each is None else (VERDICT_WORDS[each.verdict], value_of(each))
        for each in (change.before, change.after)
    ]
    return (f"{one.id} {one.subject} {one.quantity}{case}", *sides[0], *sides[1])


def left_open(table: RecordTable) -> list[str]:
    """One line a step that was begun, with the readings still to make; the steps that were not begun in one line."""
    left = [row for row in table.rows if row.verdict == OPEN]
    begun = {row.step for row in table.rows if row.verdict != OPEN}
    lines = [
        f"{words(step)}: "
        + ", ".join(f"{row.subject} {words(row.reading)}" for row in left if row.step == step)
        for step in dict.fromkeys(row.step for row in left if row.step in begun)
    ]
    later = list(dict.fromkeys(words(row.step) for row in left if row.step not in begun))
    return [*lines, f"nothing of {', '.join(later)}"] if later else lines


def print_record(table: RecordTable, terminal: Terminal) -> None:
    """What was measured, outside first, then what is left to measure, the spacer, and the verdicts that changed."""
    by = f", {clean(table.measured_by)}" if table.measured_by else ""
    terminal.line(
        f"Record {clean(table.file)}{f' of {table.date}' if table.date else ''}{by}: planned against made"
    )
    for verdict in (OUTSIDE, WITHIN, NOTED):
        for row in table.rows:
            if row.verdict == verdict:
                _print_row(row, terminal)
    for text in left_open(table):
        for line in textwrap.wrap(f"NOT MEASURED {text}", terminal.width, subsequent_indent="      "):
            terminal.line(line)
    for text in (table.spacer, *table.remarks):
        for line in textwrap.wrap(clean(text), terminal.width) if text else ():
            terminal.line(line)
    for change in table.changes:
        name, before, old, after, new = change_cells(change)
        terminal.line(f"CHANGED {name}: {before} {old} -> {after} {new}")
    terminal.line()


def _print_row(row: RecordRow, terminal: Terminal) -> None:
    step, name, planned, allowed, made, deviation, verdict, said = cells(row)
    parts = [f"planned {planned}" if planned else "", f"allowed {allowed}" if allowed else "", f"made {made}"]
    parts.append(f"off by {deviation}" if deviation else "")
    body = ", ".join(part for part in parts if part)
    lines = textwrap.wrap(clean(f"{step}: {name}: {body}"), terminal.width - 9)
    terminal.line(f"{terminal.paint(f'{verdict.upper():8}', _PAINT[verdict])} {lines[0]}")
    for line in lines[1:]:
        terminal.line(f"         {line}")
    for line in textwrap.wrap(clean(said), terminal.width - 9):
        terminal.line(f"         {line}")
