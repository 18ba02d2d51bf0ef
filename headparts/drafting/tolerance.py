"""How a size is written: value, class, limits; rules after ISO 129-1 and ISO 286 (from memory)."""

from __future__ import annotations

import math
from dataclasses import dataclass

from headparts.errors import ParameterError

PLACES = 3


@dataclass(frozen=True)
class Tolerance:
    """Permissible deviation of one size, beside its number on the sheet.

    fit: class text such as "H7", "" for none. upper, lower: deviations in the size's unit (mm or deg), both or
    neither. bracketed: an auxiliary size, written in round brackets. note: a short text after the size.
    places: decimals of the number and its limits, None to write only the decimals it has (three at most).
    Raises ParameterError for a lower deviation above the upper one, or only one of the two.
    """

    fit: str = ""
    upper: float | None = None
    lower: float | None = None
    bracketed: bool = False
    note: str = ""
    places: int | None = None

    def __post_init__(self) -> None:
        if (self.upper is None) != (self.lower is None):
            raise ParameterError("tolerance", (self.lower, self.upper), "give both deviations or neither")
        if self.upper is not None and self.lower is not None:
            if not (math.isfinite(self.upper) and math.isfinite(self.lower)):
                raise ParameterError("tolerance", (self.lower, self.upper), "the deviations must be finite")
            if self.lower > self.upper:
                raise ParameterError("tolerance", (self.lower, self.upper), "the lower deviation comes first")

    @property
    def symmetric(self) -> bool:
        """True when written as plus-minus."""
        return (
            self.upper is not None
            and self.lower is not None
            and self.upper > 0.0
            and math.isclose(self.upper, -self.lower, abs_tol=1e-9)
        )


@dataclass(frozen=True)
class Label:
    """The written size: ``main`` text, a stacked pair (may be empty) and what follows it."""

    main: str
    upper: str = ""
    lower: str = ""
    after: str = ""

    @property
    def plain(self) -> str:
        """One line of text, for tables and messages."""
        stack = f" {self.upper}/{self.lower}" if self.upper else ""
        return f"{self.main}{stack}{self.after}"


def number(value: float, places: int | None = None) -> str:
    """A number as drawings write it: at most three decimals, no trailing zeros unless ``places`` asks for them."""
    if places is not None:
        return f"{value:.{places}f}"
    text = f"{value:.{PLACES}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def deviation(value: float) -> str:
    """A deviation with its sign; zero has none."""
    text = number(value)
    return text if value < 0.0 or text == "0" else f"+{text}"


def label(value: float, tolerance: Tolerance | None, prefix: str = "", unit: str = "") -> Label:
    """The text of a size of ``value`` (mm, or deg with unit "°")."""
    t = tolerance or Tolerance()
    # angles to 0.01 degree at most, which moves 20 mm of leg by 0.003 mm
    main = f"{prefix}{number(round(value, 2) if unit else value, t.places)}{unit}"
    if t.fit:
        main = f"{main} {t.fit}"
    after = f" {t.note}" if t.note else ""
    if t.bracketed:
        return Label(f"({main}){after}")
    if t.upper is None or t.lower is None:
        return Label(f"{main}{after}")
    if t.symmetric:
        return Label(f"{main} ±{number(t.upper)}{unit}{after}")
    return Label(
        main,
        f"{deviation(t.upper)}{unit if t.upper else ''}",
        f"{deviation(t.lower)}{unit if t.lower else ''}",
        after,
    )
