"""ISO metric threads M3 to M12: limits of 6g bolts and 6H nuts, stress areas, as data."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from headparts.errors import TableError
from headparts.tables.loader import Table, number_in, read_table


@dataclass(frozen=True)
class MetricThread:
    """One thread: diameters and limits [mm], stress area [mm2]; bolt limits are 6g, nut limits 6H."""

    name: str
    diameter: float
    pitch: float
    bolt_major: tuple[float, float]
    bolt_pitch: tuple[float, float]
    nut_pitch: tuple[float, float]
    nut_minor: tuple[float, float]
    stress_area: float


def _limits(table: Table, row: Mapping[str, str], letters: str) -> tuple[float, float]:
    return number_in(table, row, f"{letters}_min"), number_in(table, row, f"{letters}_max")


def metric_thread(name: str) -> MetricThread:
    """Look a thread up by its name.

    Parameters:
        name [-]: 'M6' for the coarse thread, 'M10x1' for a fine one; 'M6x1' is the coarse M6
    Returns:
        MetricThread [mm]: diameters and limits as (lower, upper)
    Raises:
        TableError: a thread that the table does not hold, naming those there are
    Validity: right-hand threads of medium fit.
    Source: ISO 261, ISO 724, ISO 965-1 (agrees with a public thread module and with memory).

    >>> metric_thread("M6").nut_minor
    (4.9175, 5.1535)
    """
    table = read_table("metric_threads")
    wanted = re.sub(r"\s", "", name).replace("X", "x") if isinstance(name, str) else ""
    for row in table.rows:
        if wanted in (row["thread"], f"M{row['diameter']}x{row['pitch']}"):
            diameter, pitch, area = (
                number_in(table, row, key) for key in ("diameter", "pitch", "stress_area")
            )
            major, bolt, nut, minor = (_limits(table, row, letters) for letters in ("d", "d2", "D2", "D1"))
            return MetricThread(row["thread"], diameter, pitch, major, bolt, nut, minor, area)
    there = ", ".join(row["thread"] for row in table.rows)
    raise TableError(f"thread {name!r} is not in the table; there is {there}")
