"""The table of checks for reading: every judged quantity with its subject, its limit and what may replace it."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from headparts.checks.run import select
from headparts.checks.table import Row, rows
from headparts.errors import ParameterError

FAMILIES = {
    "W": "walls",
    "V": "valves",
    "B": "bushings",
    "F": "fits",
    "P": "ports",
    "S": "sleeves",
    "R": "rocker gear",
    "K": "springs and retainers",
    "M": "machining",
    "Q": "the record",
    "L": "lash",
    "H": "hazards",
}
"""What the checks of each letter are about, in the table's order."""


@dataclass(frozen=True)
class Listed:
    """One row of the table with its subject and, where a job works its limit out or may set it, the rule."""

    row: Row
    subject: str
    rule: str

    @property
    def family(self) -> str:
        """The first letter of the id."""
        return self.row.id[0]

    def as_json(self) -> dict[str, Any]:
        """Plain data for JSON."""
        limit = self.row.limit
        return {
            "id": self.row.id,
            "subject": self.subject,
            "quantity": self.row.quantity,
            "name": self.row.name,
            "what": self.row.what,
            "compare": self.row.compare,
            "limit": list(limit) if isinstance(limit, tuple) else limit,
            "rule": self.rule,
            "unit": self.row.unit,
            "severity": self.row.severity,
            "scaled": self.row.scaled,
            "source": self.row.source,
        }


def listing(only: Iterable[str] = ()) -> tuple[Listed, ...]:
    """Every row of the table, or those of some checks (an id, or a letter for a family), in its order.

    Raises ParameterError for a check that there is not.
    """
    asked = [each for each in only if each]
    try:
        wanted = select(asked)
    except ValueError as error:
        raise ParameterError("check", ",".join(asked), str(error)) from None
    return tuple(
        Listed(each, _subject(each), _rules().get((each.id, each.quantity, each.name), ""))
        for each in rows()
        if each.id in wanted
    )


def _subject(entry: Row) -> str:
    return _subjects().get(f"{entry.id}/{entry.name}") or _subjects()[entry.id]


@cache
def _subjects() -> dict[str, str]:
    return {id_: line["subject"] for line in _lines("subjects.csv") for id_ in line["ids"].split()}


@cache
def _rules() -> dict[tuple[str, str, str], str]:
    return {(line["id"], line["quantity"], line["name"]): line["rule"] for line in _lines("limit_rules.csv")}


def _lines(name: str) -> list[dict[str, str]]:
    text = files("headparts.checks").joinpath(f"data/{name}").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))[1:]
