"""ISO 286-1 limits and fits: standard tolerances, deviations of holes and shafts, fits.

Standard tolerances and fundamental deviations are table values; only the rules of the standard that combine
them (the other limit is one tolerance away, Delta for tight holes) are computed. A size on a range end
belongs to the lower range: the ranges read "over 3 up to and including 6".
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from headparts.errors import TableError
from headparts.tables.loader import Range, find_range, group_ranges, read_table

EDITION = "ISO 286-1:2010"
SOURCE = "ISO 286-1:2010 tables, each row compared with public transcriptions"

_ABOVE_ZERO = ("a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h")
_BELOW_ZERO = ("k", "m", "n", "p", "r", "s", "t", "u", "v", "x", "y", "z", "za", "zb", "zc")
_LETTERS = (*_ABOVE_ZERO, "js", "j", *_BELOW_ZERO)
_CLASS = re.compile(r"([A-Za-z]{1,2})(01|0|1[0-8]|[1-9])")
_GRADE = re.compile(r"(?:IT\s*)?(01|0|1[0-8]|[1-9])")


@dataclass(frozen=True)
class ToleranceClass:
    """A class such as H7 or s6: its letters, its grade ('01' to '18') and whether it is a hole."""

    letters: str
    grade: str

    @property
    def is_hole(self) -> bool:
        """True for capital letters."""
        return self.letters.isupper()

    def __str__(self) -> str:
        return f"{self.letters}{self.grade}"


@dataclass(frozen=True)
class Fit:
    """A hole and a shaft of one nominal size; values in mm, deviations signed, interference on the diameter.

    ``least_interference`` = smallest shaft minus largest hole, ``greatest_interference`` = largest shaft
    minus smallest hole; negative = clearance. ``kind`` is "clearance", "transition" or "interference".
    """

    size: float
    hole: str
    shaft: str
    hole_lower: float
    hole_upper: float
    shaft_lower: float
    shaft_upper: float

    @property
    def hole_limits(self) -> tuple[float, float]:
        """Smallest and largest hole [mm]."""
        return _sum(self.size, self.hole_lower), _sum(self.size, self.hole_upper)

    @property
    def shaft_limits(self) -> tuple[float, float]:
        """Smallest and largest shaft [mm]."""
        return _sum(self.size, self.shaft_lower), _sum(self.size, self.shaft_upper)

    @property
    def least_interference(self) -> float:
        """Smallest shaft minus largest hole [mm]."""
        return _sum(self.shaft_lower, -self.hole_upper)

    @property
    def greatest_interference(self) -> float:
        """Largest shaft minus smallest hole [mm]."""
        return _sum(self.shaft_upper, -self.hole_lower)

    @property
    def least_clearance(self) -> float:
        """Smallest hole minus largest shaft [mm]."""
        return -self.greatest_interference

    @property
    def greatest_clearance(self) -> float:
        """Largest hole minus smallest shaft [mm]."""
        return -self.least_interference

    @property
    def kind(self) -> str:
        """What the fit is: never tight, sometimes, or always."""
        if self.greatest_interference <= 0:
            return "clearance"
        return "interference" if self.least_interference >= 0 else "transition"


def _sum(*values: float) -> float:
    """Add lengths as decimals, so that 16.5 and 0.039 make 16.539 and not a neighbour of it."""
    return float(sum((Decimal(repr(float(value))) for value in values), Decimal(0)))


def _mm(micrometres: float) -> float:
    return float(Decimal(repr(float(micrometres))) / 1000) + 0.0  # never minus zero


@cache
def _grades() -> dict[str, tuple[Range, ...]]:
    return group_ranges(read_table("iso286_it"), "grade", "tolerance")


@cache
def _deviations() -> dict[str, tuple[Range, ...]]:
    return group_ranges(read_table("iso286_deviations"), "letter", "value")


def _checked_size(size: float) -> float:
    if isinstance(size, bool) or not isinstance(size, (int, float)) or not math.isfinite(size):
        raise TableError(f"size {size!r} is not a finite number of millimetres")
    top = _grades()["IT7"][-1].to
    if not 0 < size <= top:
        raise TableError(
            f"size {size:g} mm is not in the table; there is over 0 up to and including {top:g} mm"
        )
    return float(size)


def parse_grade(grade: str | int) -> str:
    """Read a grade written as 'IT7', '7' or 7 and return '7' ('01' and '0' are grades too).

    Parameters:
        grade [-]: text or whole number
    Returns:
        [-] the grade without IT
    Raises:
        TableError: anything else, naming the grades there are
    Validity: IT01, IT0, IT1 to IT18.
    Source: ISO 286-1:2010, grades of the table of standard tolerances.

    >>> parse_grade("IT7")
    '7'
    """
    match = None if isinstance(grade, bool) else _GRADE.fullmatch(str(grade).strip())
    if match is None:
        raise TableError(f"grade {grade!r} is not in the table; there is IT01, IT0, IT1 to IT18")
    return match.group(1)


def parse_class(text: str) -> ToleranceClass:
    """Read a tolerance class such as 'H7' or 's6': capitals for holes, small letters for shafts.

    Parameters:
        text [-]: letters of the deviation and grade
    Returns:
        ToleranceClass [-]: letters and grade
    Raises:
        TableError: anything else, naming what there is
    Validity: A to ZC and a to zc with CD, EF, FG, JS, cd, ef, fg, js; whether the tables hold the class at a size
        is said by deviations.
    Source: ISO 286-1:2010, letters of the fundamental deviations.

    >>> parse_class("H7")
    ToleranceClass(letters='H', grade='7')
    """
    match = _CLASS.fullmatch(text.strip()) if isinstance(text, str) else None
    letters = match.group(1) if match else ""
    if match is None or letters.lower() not in _LETTERS or not (letters.isupper() or letters.islower()):
        capitals = ", ".join(letter.upper() for letter in _LETTERS)
        raise TableError(
            f"class {text!r} is not known; write a letter and a grade 01, 0 to 18, as H7 or s6; there is "
            f"{capitals} for holes and the same in small letters for shafts"
        )
    return ToleranceClass(letters, match.group(2))


def parse_fit(text: str) -> tuple[ToleranceClass, ToleranceClass]:
    """Read a fit such as 'H7/s6': hole class, stroke, shaft class.

    Parameters:
        text [-]: hole class, stroke, shaft class
    Returns:
        [-] pair of ToleranceClass (hole, shaft)
    Raises:
        TableError: a text that is not a hole and a shaft, or an unknown class
    Validity: as parse_class.
    Source: ISO 286-1:2010, writing of a fit.

    >>> [str(part) for part in parse_fit("H7/s6")]
    ['H7', 's6']
    """
    parts = text.split("/") if isinstance(text, str) else []
    if len(parts) != 2:
        raise TableError(f"fit {text!r} is not known; write hole/shaft, as H7/s6")
    hole, shaft = parse_class(parts[0]), parse_class(parts[1])
    if not hole.is_hole or shaft.is_hole:
        raise TableError(
            f"fit {text!r}: first the hole in capitals, then the shaft in small letters, as H7/s6"
        )
    return hole, shaft


def it_grade(size: float, grade: str | int) -> float:
    """Standard tolerance of a size.

    Parameters:
        size [mm]: nominal size, over 0 up to 80
        grade [-]: 'IT01', 'IT0', 'IT1' to 'IT18', with or without IT
    Returns:
        [mm] width of the tolerance
    Raises:
        TableError: a size or grade outside the table; IT14 to IT18 at or below 1 mm
    Validity: linear sizes; IT14 to IT18 are not defined up to and including 1 mm.
    Source: ISO 286-1:2010, table of standard tolerance grades (rows compared with public transcriptions).

    >>> it_grade(16.5, "IT7")
    0.018
    >>> it_grade(3.0, 6), it_grade(3.001, 6)
    (0.006, 0.008)
    """
    return _mm(_tolerance(_checked_size(size), parse_grade(grade)))


def _tolerance(size: float, grade: str) -> float:
    found = find_range(_grades()[f"IT{grade}"], size)
    if found is None or (size <= 1 and grade in {"14", "15", "16", "17", "18"}):
        raise TableError(f"IT{grade} is not defined for {size:g} mm; IT14 to IT18 begin over 1 mm")
    return found.value


def _fundamental(letter: str, size: float, shown: str) -> float:
    ranges = _deviations()[letter]
    found = find_range(ranges, size)
    if found is None:
        low, high = ranges[0].over, ranges[-1].to
        raise TableError(
            f"class {shown} is not defined for {size:g} mm; "
            f"there is over {low:g} up to and including {high:g} mm"
        )
    return found.value


def _shaft(size: float, letter: str, grade: str, width: float, shown: str) -> tuple[float, float]:
    if letter == "js":
        return -width / 2, width / 2
    if letter in _ABOVE_ZERO:
        upper = _fundamental(letter, size, shown)
        return upper - width, upper
    if letter == "j":
        lower = _special(f"j{grade}", size, shown, "j5, j6, j7")
    elif letter == "k" and grade not in {"4", "5", "6", "7"}:
        lower = 0.0
    else:
        lower = _fundamental(letter, size, shown)
    return lower, lower + width


def _hole(size: float, letter: str, grade: str, width: float, shown: str) -> tuple[float, float]:
    if letter == "js":
        return -width / 2, width / 2
    if letter in _ABOVE_ZERO:
        lower = -_fundamental(letter, size, shown)
        return lower, lower + width
    number = 0 if grade == "01" else int(grade)
    if letter == "j":
        upper = _special(f"J{grade}", size, shown, "J6, J7, J8")
    elif letter == "k" and number > 8 and size > 3:
        raise TableError(f"class {shown} is not defined for {size:g} mm; K has grades up to 8 over 3 mm")
    elif letter == "n" and number > 8:
        upper = -4.0 if size <= 3 else 0.0
    else:
        upper = -_fundamental(letter, size, shown)
        if 3 <= number <= (8 if letter in {"k", "m", "n"} else 7):
            upper += _fundamental(f"Delta{number}", size, shown)
    return upper - width, upper


def _special(name: str, size: float, shown: str, there: str) -> float:
    if name not in _deviations():
        raise TableError(f"class {shown} is not in the table; there is {there}")
    return _fundamental(name, size, shown)


def deviations(size: float, class_text: str) -> tuple[float, float]:
    """Lower and upper deviation of a hole or shaft from its nominal size.

    Parameters:
        size [mm]: nominal size, over 0 up to 80
        class_text [-]: as 'H7' (hole) or 's6' (shaft)
    Returns:
        [mm] pair (lower, upper), signed
    Raises:
        TableError: a size or class that the tables do not hold, naming what there is
    Validity: grades and letters of the standard; a, b, A, B and holes N above grade 8 begin over 1 mm;
        tolerance classes of letters p to zc need a grade the trade uses, which is not judged here.
    Source: ISO 286-1:2010, tables of fundamental deviations and the rules for holes (rows compared with
        public transcriptions).

    >>> deviations(16.5, "H7"), deviations(16.5, "s6")
    ((0.0, 0.018), (0.028, 0.039))
    """
    wanted = parse_class(class_text)
    nominal = _checked_size(size)
    width = _tolerance(nominal, wanted.grade)
    letter, shown = wanted.letters.lower(), str(wanted)
    above_8 = wanted.is_hole and letter == "n" and wanted.grade in {str(grade) for grade in range(9, 19)}
    if nominal <= 1 and (letter in {"a", "b"} or above_8):
        raise TableError(f"class {shown} is not defined for {nominal:g} mm; it begins over 1 mm")
    lower, upper = (_hole if wanted.is_hole else _shaft)(nominal, letter, wanted.grade, width, shown)
    return _mm(lower), _mm(upper)


def fit(size: float, text: str) -> Fit:
    """Fit of a hole and a shaft of one nominal size.

    Parameters:
        size [mm]: nominal size, over 0 up to 80
        text [-]: as 'H7/s6'
    Returns:
        Fit [mm]: deviations, limits, least and greatest interference
    Raises:
        TableError: a size, class or text that the tables do not hold, naming what there is
    Validity: as deviations.
    Source: ISO 286-1:2010 (rows compared with public transcriptions).

    >>> found = fit(16.5, "H7/s6")
    >>> found.least_interference, found.greatest_interference, found.kind
    (0.01, 0.039, 'interference')
    """
    hole, shaft = parse_fit(text)
    return Fit(size, str(hole), str(shaft), *deviations(size, str(hole)), *deviations(size, str(shaft)))


def describe_fit(size: float, text: str) -> str:
    """Limits of hole and shaft and the play or press between them, as plain lines for a terminal.

    Parameters:
        size [mm]: nominal size, over 0 up to 80
        text [-]: as 'H7/s6'
    Returns:
        str [mm]: several lines, no line end after the last
    Raises:
        TableError: a size, class or text that the tables do not hold, naming what there is
    Validity: as deviations.
    Source: ISO 286-1:2010 (rows compared with public transcriptions).

    >>> print(describe_fit(16.5, "H7/s6").splitlines()[1])
      hole   H7     0.000  +0.018   16.500 to 16.518 mm
    """
    found = fit(size, text)
    title = f"fit {found.size:g} {found.hole}/{found.shaft}: {found.kind} fit"
    lines = [f"{title}, all in mm, interference on the diameter"]
    for word, name, lower, upper, limits in (
        ("hole", found.hole, found.hole_lower, found.hole_upper, found.hole_limits),
        ("shaft", found.shaft, found.shaft_lower, found.shaft_upper, found.shaft_limits),
    ):
        digits = 3 if all(round(value * 1000, 6).is_integer() for value in (lower, upper)) else 4
        low, high = (_signed(value, digits) for value in (lower, upper))
        lines.append(
            f"  {word:<6} {name:<4} {low:>7} {high:>7}   {limits[0]:.{digits}f} to {limits[1]:.{digits}f} mm"
        )
    least, greatest = found.least_interference, found.greatest_interference
    if found.kind == "interference":
        lines.append(f"  interference  least {_length(least)}, greatest {_length(greatest)} mm")
    elif found.kind == "clearance":
        lines.append(f"  clearance  least {_length(-greatest)}, greatest {_length(-least)} mm")
    else:
        lines.append(f"  from clearance {_length(-least)} to interference {_length(greatest)} mm")
    lines.append(f"  source: {SOURCE}")
    return "\n".join(lines)


def _signed(value: float, digits: int) -> str:
    return f"{value:.{digits}f}" if value == 0 else f"{value:+.{digits}f}"


def _length(value: float) -> str:
    value += 0.0
    return f"{value:.3f}" if round(value * 1000, 6).is_integer() else f"{value:.4f}"
