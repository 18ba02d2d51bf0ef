"""The one reader of the CSV tables: unit row, finite numbers, ranges without gaps or overlaps."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

from headparts.errors import TableError

FOLDER = Path(__file__).parent / "data"


@dataclass(frozen=True)
class Table:
    """A table as read: its name, the unit of each column, and its rows (column name -> text)."""

    name: str
    units: Mapping[str, str]
    rows: tuple[Mapping[str, str], ...]


@dataclass(frozen=True)
class Range:
    """One row of a table of ranges: ``value`` holds for sizes over ``over`` up to and including ``to``."""

    over: float
    to: float
    value: float
    row: Mapping[str, str]


def parse_table(name: str, lines: Iterable[str]) -> Table:
    """Read CSV lines: header row, unit row, then data rows of the same width.

    Raises TableError for a missing header or unit row, an unnamed or doubled column, or a row of another
    width.
    """
    rows = [row for row in csv.reader(lines) if row]
    if len(rows) < 3:
        raise TableError(f"table {name}: needs a header row, a unit row and data")
    header, units = rows[0], rows[1]
    if len(set(header)) != len(header) or not all(header):
        raise TableError(f"table {name}: column names must be given, each once")
    for number, row in enumerate(rows, start=1):
        if len(row) != len(header):
            raise TableError(f"table {name}: row {number} has {len(row)} cells, the header has {len(header)}")
    if not all(unit.strip() for unit in units):
        raise TableError(f"table {name}: the unit row must give a unit for every column ('-' for none)")
    data = tuple(dict(zip(header, row, strict=True)) for row in rows[2:])
    return Table(name, dict(zip(header, units, strict=True)), data)


@cache
def read_table(name: str) -> Table:
    """Read ``data/<name>.csv`` (UTF-8) once. Raises TableError when it is missing or faulty."""
    path = FOLDER / f"{name}.csv"
    if not path.is_file():
        there = ", ".join(sorted(item.stem for item in FOLDER.glob("*.csv")))
        raise TableError(f"there is no table {name}; there is {there}")
    with path.open(encoding="utf-8", newline="") as file:
        return parse_table(name, file)


def number_in(table: Table, row: Mapping[str, str], column: str) -> float:
    """Return a cell as a finite number; raises TableError naming table, column and cell."""
    text = row[column]
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise TableError(f"table {table.name}: {column} holds {text!r}, not a finite number")
    return value


def group_ranges(
    table: Table, key: str, value: str, over: str = "over", to: str = "to"
) -> dict[str, tuple[Range, ...]]:
    """Group the rows by ``key`` into ranges sorted by size.

    Raises TableError for a number that is not finite, an empty range, and for a gap or an overlap between the
    ranges of one key.
    """
    groups: dict[str, list[Range]] = {}
    for row in table.rows:
        low, high = number_in(table, row, over), number_in(table, row, to)
        if not low < high:
            raise TableError(f"table {table.name}: {row[key]} has the empty range over {low:g} to {high:g}")
        groups.setdefault(row[key], []).append(Range(low, high, number_in(table, row, value), row))
    for name, ranges in groups.items():
        ranges.sort(key=lambda item: (item.over, item.to))
        for first, second in pairwise(ranges):
            if second.over != first.to:
                fault = "a gap" if second.over > first.to else "an overlap"
                between = f"between {first.to:g} and {second.over:g}"
                raise TableError(f"table {table.name}: {name} has {fault} {between}")
    return {name: tuple(ranges) for name, ranges in groups.items()}


def find_range(ranges: Iterable[Range], size: float) -> Range | None:
    """Return the range that holds a size; a size on a boundary belongs to the lower range; None outside."""
    return next((item for item in ranges if item.over < size <= item.to), None)
