"""Numbers, limits and places as text. Rounding never hides on which side of a limit a value lies."""

from __future__ import annotations

import unicodedata

from headparts.checks.finding import Finding, Limit, Point
from headparts.reports.content import is_set_by_job

# Decimals shown: a thousandth of a millimetre is what a good micrometer tells, and so on.
_DECIMALS = {
    "mm": 3,
    "deg": 2,
    "mm2": 2,
    "mm3": 2,
    "cm3": 3,
    "MPa": 1,
    "N": 0,
    "N m": 1,
    "m/s": 1,
    "K": 1,
    "degC": 1,
    "": 3,
}
_MOST = 9
_UNSEEN = ("Cc", "Cf", "Cs", "Zl", "Zp")
_WORDS = {">=": ">=", "<=": "<=", ">": ">"}
UNIT_SIGNS = {"mm2": "mm²", "mm3": "mm³", "cm3": "cm³", "deg": "°", "degC": "°C", "N m": "N·m"}


def number(value: float | None, unit: str = "", *limits: float | None) -> str:
    """A value for reading, with more decimals where rounding would put it onto or across a limit.

    >>> number(1.7), number(0.0324, "mm"), number(9962.66, "N"), number(None)
    ('1.700', '0.0324', '9963', '-')
    >>> number(1.4999, "mm", 1.5), number(1.5, "mm", 1.5), number(-0.0, "mm")
    ('1.4999', '1.500', '0.000')
    """
    if value is None:
        return "-"
    if not unit and value == int(value) and abs(value) < 1e6:
        return str(int(value))
    decimals = _DECIMALS.get(unit, 3)
    if unit in ("mm", "") and 0.0 < abs(value) < 0.1:
        decimals += 1
    text = _fixed(value, decimals)
    for limit in limits:
        if limit is None or abs(value - limit) <= 1e-9:
            continue
        while decimals < _MOST and (float(text) - limit) * (value - limit) <= 0.0:
            decimals += 1
            text = _fixed(value, decimals)
    return text


def _fixed(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    return text[1:] if float(text) == 0.0 and text.startswith("-") else text


def value_of(finding: Finding) -> str:
    """The value of a finding without its unit, told apart from its limit."""
    limit = finding.limit
    ends = limit if isinstance(limit, tuple) else (limit,)
    return number(finding.value, finding.unit, *ends)


def short(value: float) -> str:
    """A limit as a person would write it: at most six digits, no zeros behind.

    >>> short(1.5), short(0.9750000000000001), short(14000.0), short(138.392857)
    ('1.5', '0.975', '14000', '138.393')
    """
    return f"{round(value, 9):.6g}"


def limit_text(limit: Limit, compare: str) -> str:
    """``>= 1.5``, ``0.42 to 0.5`` or nothing."""
    if limit is None or compare == "none":
        return ""
    if isinstance(limit, tuple):
        return f"{short(limit[0])} to {short(limit[1])}"
    return f"{_WORDS.get(compare, compare)} {short(limit)}"


def star_text(finding: Finding) -> str:
    """Why a limit is starred: its default, and the scale or who set it; empty when it is the table's own."""
    default = finding.default_limit
    plain = limit_text(default, finding.compare) if default is not None else ""
    if finding.limit is not None and finding.scale is not None:
        return f"scale {short(finding.scale)}, default {plain}"
    if is_set_by_job(finding):
        return f"set by the job, default {plain}"
    return ""


def point(place: Point) -> str:
    """(x, y, z) to a thousandth of a millimetre."""
    return "(" + ", ".join(_fixed(each, 3) for each in place) + ")"


def place_text(finding: Finding) -> str:
    """Between which two points the value was measured; one point when they are the same."""
    if finding.at is None:
        return ""
    first, second = (point(each) for each in finding.at)
    return f"at {first}" if first == second else f"{first} to {second}"


def bounds_text(finding: Finding) -> str:
    """The two sides between which a distance is proven; empty where there are none."""
    if finding.bounds is None:
        return ""
    low, high = finding.bounds
    if abs(high - low) <= 5e-7:
        return "proven"
    return f"between {_fixed(low, 4)} and {_fixed(high, 4)}"


def words(name: str) -> str:
    """A quantity or subject as words: underscores become blanks."""
    return name.replace("_", " ")


def printable(text: str) -> str:
    """Text without control and direction signs, which could rewrite a terminal or a line; else unchanged."""
    return "".join(
        " " if sign in "\t\n\r" else "?" if unicodedata.category(sign) in _UNSEEN else sign for sign in text
    )


def clean(text: str) -> str:
    """Printable text on one line, blanks united.

    >>> clean("a\\x1b[2Jb \\n c")
    'a?[2Jb c'
    """
    return " ".join(printable(text).split())
