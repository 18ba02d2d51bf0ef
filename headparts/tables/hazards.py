"""Cautions: by hazard of a material and by step of the work, short for a drawing, full for a report."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from headparts.errors import TableError
from headparts.tables.loader import read_table

LOCAL_CODES = (
    "Local law, the rules of the workplace and the data sheets of makers come before anything written here."
)
NOT_A_TEST = "A calculation never replaces a leak test, a measurement or the judgement of a competent person."


@dataclass(frozen=True)
class Caution:
    """One caution: ``short`` is one line for a drawing, ``full`` a paragraph for a report."""

    key: str
    title: str
    short: str
    full: str


@cache
def _cautions() -> dict[str, tuple[str, Caution]]:
    rows = read_table("cautions").rows
    return {
        row["key"]: (row["kind"], Caution(row["key"], row["title"], row["short"], row["full"]))
        for row in rows
    }


def caution_keys() -> tuple[str, ...]:
    """Keys of all cautions, hazards of materials first, then the steps in the order of the work.

    Parameters: none
    Returns:
        [-] tuple of keys
    Raises:
        TableError: a faulty table
    Validity: reminders, not instructions; local law and data sheets come first.
    Source: common practice, no source.

    >>> caution_keys()[:2]
    ('beryllium', 'pressing')
    """
    return tuple(_cautions())


def caution(key: str) -> Caution:
    """Return the caution for a hazard of a material ("beryllium") or a step of the work ("pressing").

    Parameters:
        key [-]: one of caution_keys()
    Returns:
        Caution [-]: title, short and full text
    Raises:
        TableError: a key that is not there, naming those that are
    Validity: reminders, not instructions; local law and data sheets come first.
    Source: common practice, no source.

    >>> caution("beryllium").title
    'Beryllium in the copper alloy'
    """
    if key not in _cautions():
        raise TableError(f"there is no caution {key!r}; there is {', '.join(_cautions())}")
    return _cautions()[key][1]


def step_cautions() -> tuple[Caution, ...]:
    """Cautions of the steps of the work, in the order of the work.

    Parameters: none
    Returns:
        [-] tuple of Caution
    Raises:
        TableError: a faulty table
    Validity: reminders, not instructions; local law and data sheets come first.
    Source: common practice, no source.

    >>> step_cautions()[0].key
    'pressing'
    """
    return tuple(item for kind, item in _cautions().values() if kind == "step")
