"""The table of checks as data, and the limits as one job uses them."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from headparts.checks.finding import Limit


@dataclass(frozen=True)
class Row:
    """One judged or reported quantity of a check; ``name`` is its name in the job file's ``limits``."""

    id: str
    quantity: str
    name: str
    compare: str
    limit: Limit
    unit: str
    severity: str
    scaled: bool
    source: str
    what: str


@dataclass(frozen=True)
class UsedLimit:
    """A limit as used: the number, the one in the table, the scale, and whether the job set it by id."""

    value: Limit
    default: Limit
    scale: float | None
    given: bool


@cache
def rows() -> tuple[Row, ...]:
    """Every row of the table, in the table's order."""
    text = files("headparts.checks").joinpath("data/checks.csv").read_text(encoding="utf-8")
    made = []
    for line in list(csv.DictReader(text.splitlines()))[1:]:
        low, high = line["limit"], line["high"]
        limit: Limit = None if not low else float(low) if not high else (float(low), float(high))
        made.append(
            Row(
                line["id"],
                line["quantity"],
                line["name"],
                line["compare"],
                limit,
                line["unit"],
                line["severity"],
                line["scaled"] == "1",
                line["source"],
                line["what"],
            )
        )
    return tuple(made)


@cache
def ids() -> tuple[str, ...]:
    """Every check id once, in the table's order."""
    return tuple(dict.fromkeys(row.id for row in rows()))


@cache
def row(check: str, quantity: str = "", name: str = "") -> Row:
    """The row of a check with this quantity (any if empty) and limit name; KeyError when there is none."""
    for each in rows():
        if each.id == check and each.name == name and quantity in ("", each.quantity):
            return each
    for each in rows():
        if each.id == check and not name and each.quantity == quantity:
            return each
    raise KeyError(f"no row {check} {quantity} {name}")


@cache
def quantities(check: str) -> tuple[str, ...]:
    """The quantities of a check, each once."""
    return tuple(dict.fromkeys(each.quantity for each in rows() if each.id == check))


_PAIRED = {"B10": ("", "clearance_max"), "S03": ("", "gap_max")}


def _plain(value: object) -> Limit:
    if value is None:
        return None
    if isinstance(value, tuple | list):
        return float(value[0]), float(value[1])
    return float(str(value))


class Limits:
    """The limits of one job: the table's, scaled where the job asks for it, replaced where it says so."""

    def __init__(self, scale: float | None = None, by_id: Mapping[str, object] | None = None) -> None:
        self.scale = scale
        self.by_id = by_id or {}

    def given(self, check: str, name: str = "") -> Limit:
        """What the job sets for this limit by id; None where it sets nothing.

        A plain number or range is the row's first limit; two numbers for a check whose first two limits are a
        least and a greatest value set both.
        """
        value = self.by_id.get(check)
        if isinstance(value, Mapping):
            return _plain(value.get(name or quantities(check)[0]))
        pair = _PAIRED.get(check)
        if pair is not None and isinstance(value, tuple | list):
            return float(value[pair.index(name)]) if name in pair else None
        return None if name else _plain(value)

    def use(self, check: str, quantity: str = "", name: str = "") -> UsedLimit:
        """The limit that judges this row."""
        entry = row(check, quantity, name)
        given = self.given(check, entry.name)
        scale = self.scale if entry.scaled else None
        if given is not None:
            return UsedLimit(given, entry.limit, None, True)
        return UsedLimit(self.scaled(entry.limit, scale), entry.limit, scale, False)

    @staticmethod
    def scaled(limit: Limit, scale: float | None) -> Limit:
        """``limit`` times ``scale``, a range at both ends."""
        if limit is None or scale is None:
            return limit
        return (limit[0] * scale, limit[1] * scale) if isinstance(limit, tuple) else limit * scale
