"""The table of checks on a terminal and as a page."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from itertools import groupby

from headparts.checks.listing import FAMILIES, Listed
from headparts.reports.numbers import limit_text, words
from headparts.reports.terminal import Terminal

INTRO = """# The checks

Made from the table that the program judges by (`headparts limits --markdown`); do not edit.

Limits are defaults. A job overrides one by its id, `limits: {W01: 1.8}`, a further limit of a check by its name,
`limits: {W04: {oil_return: 0.9}}`; the report stars it. `limits.scale` multiplies those marked "scaled".
FAIL: no metal is cut until it is mended or accepted with a reason. WARN: printed on the drawing. INFO: told outside
its limit. A value equal to its limit within 1e-9 keeps it.
A pair is `a~b`; a station is `intake` or `exhaust`; a cut is one of the bores, ports and pockets made in the head.
"""


def limit_of(listed: Listed) -> str:
    """The limit in words: operator and number, and the rule of a job where there is one; ``none``."""
    row = listed.row
    text = limit_text(row.limit, row.compare)
    if not text and not listed.rule:
        return "none"
    if not text:
        return f"{row.compare} {listed.rule}"
    unit = f" {row.unit}" if row.unit else ""
    return f"{text}{unit}; {listed.rule}" if listed.rule else f"{text}{unit}"


def print_listing(table: Sequence[Listed], terminal: Terminal) -> None:
    """Two or more lines a row: id, severity, subject, quantity and limit; then what it is and its source."""
    for listed in table:
        row = listed.row
        name = f" [{row.name}]" if row.name and row.name != row.quantity else ""
        scaled = " (scaled)" if row.scaled else ""
        head = f"{row.id:5}{row.severity:5}{listed.subject} {row.quantity}{name}: {limit_of(listed)}{scaled}"
        for line in textwrap.wrap(head, terminal.width, subsequent_indent=" " * 10):
            terminal.line(line)
        for line in textwrap.wrap(f"{row.what}; source: {row.source}", terminal.width - 10):
            terminal.line(f"{'':10}{line}")


def markdown_listing(table: Sequence[Listed]) -> str:
    """A page with one table a family, the same for the same table of checks."""
    made = [INTRO]
    for family, members in groupby(table, key=lambda each: each.family):
        made.append(f"\n## {family}: {FAMILIES[family]}\n")
        made.append("| id | subject | quantity | what | limit | scaled | severity | source |")
        made.append("|---|---|---|---|---|---|---|---|")
        made += [_line(each) for each in members]
    return "\n".join(made) + "\n"


def _line(listed: Listed) -> str:
    row = listed.row
    name = f" (`{row.name}`)" if row.name and row.name != row.quantity else ""
    cells = (
        row.id,
        words(listed.subject) if "~" not in listed.subject else f"`{listed.subject}`",
        f"`{row.quantity}`{name}",
        row.what,
        limit_of(listed),
        "yes" if row.scaled else "",
        row.severity,
        row.source,
    )
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"
