"""What a shop allows and how it measures, by step of the route and reading."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from headparts.errors import TableError
from headparts.tables.loader import number_in, read_table


@dataclass(frozen=True)
class ShopTolerance:
    """One row of the table.

    ``basis`` says how ``low`` and ``high`` are meant: ``about`` the planned size, ``factor`` of it, ``most`` and
    ``below`` for the reading itself, ``hole`` and ``class`` by a tolerance class, ``band`` by the job's own, ``window``
    by the measured partner, ``check`` by the limit of a check (named in ``limit_of``), ``parallel``; ``none``: recorded
    only. ``slip``: further than this from its plan a reading can only be a mistake [mm]; None: no such bound.
    """

    basis: str
    low: float | None
    high: float | None
    limit_of: str
    instrument: str
    slip: float | None
    note: str
    source: str


@cache
def _rows() -> dict[tuple[str, str], ShopTolerance]:
    table = read_table("shop_tolerances")
    found: dict[tuple[str, str], ShopTolerance] = {}
    for row in table.rows:
        named = next((row[key] for key in ("low", "high") if row[key][:1].isalpha()), "")
        ends = [
            None if row[key] == "-" or row[key] == named else number_in(table, row, key)
            for key in ("low", "high", "slip")
        ]
        key = (row["step"], row["reading"])
        if key in found:
            raise TableError(f"table {table.name}: {row['step']} {row['reading']} is there twice")
        instrument = "" if row["instrument"] == "-" else row["instrument"]
        found[key] = ShopTolerance(
            row["basis"], ends[0], ends[1], named, instrument, ends[2], row["note"], row["source"]
        )
    return found


def shop_tolerance(step: str, reading: str) -> ShopTolerance:
    """Return what is allowed for a reading of a step of the route.

    Parameters:
        step [-]: bores, bushings, ...
        reading [-]: body_bore, step_depth, ...
    Returns:
        ShopTolerance [mm]: how it is judged, its usual instrument, its source
    Raises:
        TableError: a faulty table, or a reading that it does not have
    Validity: small heads; the job's own tolerances come first where it has some.
    Source: common practice, no source, where the row names none.

    >>> shop_tolerance("bores", "step_depth").high
    0.02
    """
    try:
        return _rows()[step, reading]
    except KeyError:
        raise TableError(f"no shop tolerance for {reading!r} in step {step!r}") from None
