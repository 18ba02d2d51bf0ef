"""General tolerances of ISO 2768-1: linear sizes, outer radii and chamfers, angles.

ISO 2768-2 (letters H, K, L) is withdrawn; ISO 22081:2021 stands in its place (public catalogue record of both) and
gives rules only, no values (from memory): a drawing that calls it must state its values. ISO 2768-1 remained in force
(from memory). A size below 0.5 mm, such as a 0.35 mm wall, is not covered: its tolerance must
stand beside the size.
"""

from __future__ import annotations

import math
import re

from headparts.errors import TableError
from headparts.tables.loader import Range, find_range, group_ranges, read_table

EDITION = "ISO 2768-1:1989"
LOWEST = 0.5
"""[mm] the tables begin at this size, itself included."""
_NOTE = re.compile(r"(?:ISO\s*2768\s*-?\s*)?([fmcv])\s*([HKL])?")


def parse_general_class(text: str) -> tuple[str, str | None]:
    """Read a general tolerance such as 'ISO 2768-mK' or 'm': letter of part 1 and, if given, of part 2.

    Parameters:
        text [-]: f, m, c or v, with H, K or L behind it or not, with the name of the standard or not
    Returns:
        [-] pair (letter of part 1, letter of part 2 or None)
    Raises:
        TableError: anything else, naming the letters there are
    Validity: part 2 is withdrawn: its letter is read from old drawings, no table here holds its values.
    Source: ISO 2768-1:1989 and ISO 2768-2:1989 (from memory).

    >>> parse_general_class("ISO 2768-mK"), parse_general_class("f")
    (('m', 'K'), ('f', None))
    """
    match = _NOTE.fullmatch(text.strip()) if isinstance(text, str) else None
    if match is None:
        raise TableError(
            f"general tolerance {text!r} is not known; there is f, m, c, v, as ISO 2768-m or ISO 2768-mK"
        )
    return match.group(1), match.group(2)


def _look_up(table: str, size: float, letter: str, what: str) -> float:
    groups = group_ranges(read_table(table), "class", "tolerance")
    if letter not in groups:
        raise TableError(f"class {letter!r} is not in {EDITION}; there is {', '.join(groups)}")
    ranges = groups[letter]
    lowest, highest = ranges[0].over, ranges[-1].to
    number = isinstance(size, (int, float)) and not isinstance(size, bool) and math.isfinite(size)
    found: Range | None = None
    if number:
        found = ranges[0] if size == lowest == LOWEST else find_range(ranges, size)
    if found is None:
        raise TableError(
            f"{what} {size!r} mm has no general tolerance in class {letter}; "
            f"there is {lowest:g} to {highest:g} mm"
        )
    return found.value


def linear_tolerance(size: float, letter: str) -> float:
    """General tolerance of a linear size.

    Parameters:
        size [mm]: nominal size, 0.5 up to 1000 (class v from over 3)
        letter [-]: f, m, c or v
    Returns:
        [mm] plus or minus this
    Raises:
        TableError: a size or class outside the table
    Validity: sizes without a tolerance of their own; a size on a range end belongs to the lower range.
    Source: ISO 2768-1:1989, table 1 (agrees in three public transcriptions).

    >>> linear_tolerance(17.0, "m"), linear_tolerance(30.0, "m"), linear_tolerance(30.1, "m")
    (0.2, 0.2, 0.3)
    """
    return _look_up("iso2768_linear", size, letter, "size")


def radius_tolerance(size: float, letter: str) -> float:
    """General tolerance of an outer radius or a chamfer's height.

    Parameters:
        size [mm]: nominal radius or height, 0.5 and more
        letter [-]: f, m, c or v
    Returns:
        [mm] plus or minus this
    Raises:
        TableError: a size or class outside the table
    Validity: broken edges without a tolerance of their own.
    Source: ISO 2768-1:1989, table 2 (seen in one public transcription).

    >>> radius_tolerance(0.5, "m"), radius_tolerance(2.0, "c")
    (0.2, 0.4)
    """
    return _look_up("iso2768_radius", size, letter, "radius or chamfer")


def angle_tolerance(leg: float, letter: str) -> float:
    """General tolerance of an angle.

    Parameters:
        leg [mm]: length of the shorter leg of the angle, over 0 up to 400
        letter [-]: f, m, c or v
    Returns:
        [deg] plus or minus this
    Raises:
        TableError: a leg or class outside the table
    Validity: angles without a tolerance of their own.
    Source: ISO 2768-1:1989, table 3 (from memory).

    >>> angle_tolerance(1.5, "m"), angle_tolerance(20.0, "m")
    (1.0, 0.5)
    """
    return _look_up("iso2768_angle", leg, letter, "shorter leg") / 60
