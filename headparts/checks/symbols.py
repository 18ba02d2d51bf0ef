"""The formulas of the checks and the symbols in them, as data."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from headparts.checks.formula import names


@dataclass(frozen=True)
class Symbol:
    """One way to come to a symbol's number; a symbol with several is worked out by the first that the job allows.

    ``key``: a dotted key of the job file, where @ stands for the station's block, $ for the repair's, A:k for key k of
    the material that A names, ~A for the half-width written with A, and {station}, {case}, {cavity}, {n} for names and
    places in a list; ``handed`` for a number that the check hands over; !name for a rule of `explained`. ``formula``:
    what it is worked out from. ``default``: what is taken where the key is absent.
    """

    symbol: str
    unit: str
    key: str
    formula: str
    only_if: str
    default: float | None
    name: str


@dataclass(frozen=True)
class Formula:
    """How one quantity of a check is worked out: steps before it, the quantity, its limit where a rule makes it.

    ``how`` says in words what arithmetic cannot: how a number was measured.
    """

    id: str
    quantity: str
    variant: str
    formula: str
    limit: str
    how: str


def steps_of(text: str) -> tuple[tuple[str, str], ...]:
    """Symbols and their formulas, in order; the result's own symbol is "".

    >>> steps_of("hub = 1.8*body; 2*hub")
    (('hub', '1.8*body'), ('', '2*hub'))
    """
    made = []
    for part in text.split(";"):
        left, sign, right = part.partition(" = ")
        made.append((left.strip(), right.strip()) if sign else ("", part.strip()))
    return tuple(made)


def _lines(name: str) -> list[dict[str, str]]:
    text = files("headparts.checks").joinpath(f"data/{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))[1:]


@cache
def symbols() -> dict[str, tuple[Symbol, ...]]:
    """Every symbol with the ways to come to its number, in the table's order."""
    made: dict[str, tuple[Symbol, ...]] = {}
    for line in _lines("symbols"):
        name = line["symbol"]
        first = made[name][0] if name in made else None
        default = float(line["default"]) if line["default"] else None
        unit, what = (first.unit, first.name) if first else (line["unit"], line["name"])
        entry = Symbol(
            name, unit, line["key"], line["formula"], line["only if"], default, line["name"] or what
        )
        made[name] = (*made.get(name, ()), entry)
    return made


@cache
def formulas() -> tuple[Formula, ...]:
    """Every formula of the checks, in the table's order."""
    return tuple(
        Formula(line["id"], line["quantity"], line["variant"], line["formula"], line["limit"], line["how"])
        for line in _lines("formulas")
    )


@cache
def formula_of(check: str, quantity: str, *variants: str) -> Formula | None:
    """The formula of a quantity: of the first variant that has one of its own, else the plain one; None without."""
    mine = [each for each in formulas() if each.id == check and each.quantity == quantity]
    for variant in (*filter(None, variants), ""):
        for each in mine:
            if each.variant == variant:
                return each
    return None


def base_of(symbol: str) -> tuple[str, str, int | None]:
    """The symbol of the table, with the station and the number in a list that were written behind it.

    >>> base_of("head_exhaust"), base_of("pivot_len_2")
    (('head', 'exhaust', None), ('pivot_len', '', 2))
    """
    if symbol in symbols():
        return symbol, "", None
    for station in ("intake", "exhaust"):
        if symbol.endswith(f"_{station}"):
            return symbol[: -len(station) - 1], station, None
    head, _, tail = symbol.rpartition("_")
    return (head, "", int(tail)) if tail.isdecimal() else (symbol, "", None)


def page() -> list[tuple[str, str, str]]:
    """Every symbol that a formula uses with its unit and meaning, in alphabetical order."""
    used: set[str] = set()
    waiting = [
        name for each in formulas() for text in (each.formula, each.limit) if text for name in _in(text)
    ]
    while waiting:
        name = base_of(waiting.pop())[0]
        if name in used:
            continue
        used.add(name)
        for way in symbols().get(name, ()):
            waiting += _in(way.formula) if way.formula else []
    return [
        (name, symbols()[name][0].unit, symbols()[name][0].name) for name in sorted(used) if name in symbols()
    ]


def _in(text: str) -> list[str]:
    return [name for _, part in steps_of(text) for name in names(part)]
