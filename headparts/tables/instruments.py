"""Half-widths of uncertainty of workshop instruments (common practice, no source)."""

from __future__ import annotations

from headparts.errors import TableError
from headparts.tables.loader import number_in, read_table


def instruments() -> tuple[str, ...]:
    """Names of all instruments in the table.

    Parameters: none
    Returns:
        [-] tuple of names, in table order
    Raises:
        TableError: a faulty table
    Validity: workshop instruments of a small shop.
    Source: common practice, no source.

    >>> "micrometer" in instruments()
    True
    """
    return tuple(row["instrument"] for row in read_table("instruments").rows)


def half_width(instrument: str) -> tuple[float, str]:
    """Usual half-width of uncertainty of an instrument in trained hands.

    Parameters:
        instrument [-]: a name of instruments()
    Returns:
        [mm, deg or cm3] pair (half-width, its unit)
    Raises:
        TableError: an instrument that the table does not hold, naming those there are
    Validity: a planning figure at 20 degC, not a calibration.
    Source: common practice, no source.

    >>> half_width("3-point bore gauge")
    (0.004, 'mm')
    """
    table = read_table("instruments")
    for row in table.rows:
        if row["instrument"] == instrument:
            return number_in(table, row, "half_width"), row["unit"]
    raise TableError(f"instrument {instrument!r} is not in the table; there is {', '.join(instruments())}")
