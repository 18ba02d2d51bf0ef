"""Text of one value -> number, exactly, or a reason with a hint why not. Nothing is guessed.

A number is accepted only if YAML would read the same text as the same number; everything else that looks like
one is refused with the way to write it. Lengths may carry a unit and are converted by decimal arithmetic.
"""

from __future__ import annotations

import re
from decimal import Decimal

from .fault import shown

# exact by definition: the inch is 25.4 mm (international yard and pound agreement of 1959)
UNITS = {
    "mm": Decimal(1),
    "um": Decimal("0.001"),
    "\u00b5m": Decimal("0.001"),
    "\u03bcm": Decimal("0.001"),
    "in": Decimal("25.4"),
    "thou": Decimal("0.0254"),
}
UNIT_NAMES = "mm, um, in, thou"

_NUMBER = re.compile(r"[-+]?(?:0|[1-9][0-9]*)(?:\.[0-9]*(?:[eE][-+][0-9]+)?)?|\.[0-9]+(?:[eE][-+][0-9]+)?")
_BARE_EXPONENT = re.compile(r"([-+]?)([0-9]*)(?:\.([0-9]*))?[eE]([-+]?)([0-9]+)")
_WITH_UNIT = re.compile(r"([-+]?[0-9.][0-9.,_eE+\-]*?)[ ]*([^\W\d_][^\d\s]*|[\"'\u2033\u2032%\u00b0].*)")
_SWITCHES = {
    "yes": True,
    "no": False,
    "on": True,
    "off": False,
    "true": True,
    "false": False,
    "y": True,
    "n": False,
}


class NotANumberError(Exception):
    """The text is no number here; the message says why and what to write."""


def parse_number(text: str, plain: bool, length: bool) -> Decimal:
    """The exact value of a written number, in mm when it has a unit. Raises NotANumberError."""
    if len(text) > 60:
        raise NotANumberError(f"a number of {len(text)} characters; at most 60")
    if plain and _NUMBER.fullmatch(text):
        return _exact(text)
    unit = _WITH_UNIT.fullmatch(text)
    if unit and length and unit.group(2) in UNITS:
        if not _NUMBER.fullmatch(unit.group(1)):
            raise NotANumberError(_reason(unit.group(1)) or f"{shown(unit.group(1))} is not a number")
        return _exact(unit.group(1)) * UNITS[unit.group(2)]
    if not plain and _NUMBER.fullmatch(text):
        also = f", or add a unit inside them ({UNIT_NAMES})" if length else ""
        raise NotANumberError(f"the number {shown(text)} in quotes is text; take the quotes away{also}")
    reason = _reason(text)
    if reason:
        raise NotANumberError(reason)
    if unit:
        if length:
            raise NotANumberError(f"unit {shown(unit.group(2))} is not known; allowed are {UNIT_NAMES}")
        raise NotANumberError(f"{shown(text)!r} is not a plain number; write one without a unit")
    raise NotANumberError(f"{shown(text)!r} is not a number")


def _exact(text: str) -> Decimal:
    exponent = re.search(r"[eE]([-+][0-9]+)$", text)
    if exponent and abs(int(exponent.group(1)[:12])) > 400:
        raise NotANumberError(f"{shown(text)} is not a finite number in reach")
    return Decimal(text)


def _reason(text: str) -> str | None:
    """Why a text that looks like a number to a person is none, and what to write; None when it does not."""
    bare = text.strip()
    if bare in ("", "~") or bare.lower() == "null":
        return "empty; write a number or leave the key away"
    if bare.lower() in _SWITCHES:
        return f"YAML reads {bare} as {_SWITCHES[bare.lower()]}, not as a number; write a number"
    if re.fullmatch(r"[-+]?\.?(inf|nan|infinity)", bare, re.IGNORECASE):
        return f"{bare} is not a finite number"
    if any(c.isspace() and c != " " for c in text):
        return "a tab, no-break or other strange space in a number"
    if "\u2212" in text or "\u2013" in text:
        return "a typographic minus sign; write a plain hyphen -"
    if re.fullmatch(r"[-+]?[0-9.]+,[0-9,.]*", bare):
        clear = bare.count(",") == 1 and "." not in bare and not re.search(r",[0-9]{3}$", bare)
        write = (
            f"write {bare.replace(',', '.')}" if clear else "write a decimal point, no thousands separators"
        )
        return f"a comma in {bare}; {write}"
    if "_" in bare and re.fullmatch(r"[-+]?[0-9_.eE+\-]+", bare):
        return f"underscores in {bare}; YAML drops them: write {bare.replace('_', '')}"
    if re.fullmatch(r"[-+]?[0-9]+(:[0-9]+)+(\.[0-9]*)?", bare):
        return f"YAML reads {bare} as a number to base 60{_sexagesimal(bare)}; write a plain decimal number"
    if re.fullmatch(r"[-+]?0[xX][0-9a-fA-F]+", bare):
        return f"{bare} is hexadecimal; write {int(bare, 16)}"
    if re.fullmatch(r"[-+]?0[bB][01]+", bare):
        return f"{bare} is binary; write {int(bare, 2)}"
    if re.fullmatch(r"[-+]?0[oO][0-7]+", bare):
        return f"{bare} is octal; write a plain decimal number"
    return _reason_zeros_and_exponents(bare)


def _reason_zeros_and_exponents(bare: str) -> str | None:
    sign = bare[0] if bare[:1] in ("+", "-") else ""
    digits = bare[len(sign) :]
    if re.fullmatch(r"0[0-9]+", digits):
        plain = sign + (digits.lstrip("0") or "0")
        octal = f"YAML reads {bare} as octal {sign}{int(digits, 8)}" if set(digits) <= set("01234567") else ""
        return f"{octal or 'a leading zero in ' + bare}; write {plain}"
    exponent = _BARE_EXPONENT.fullmatch(bare)
    if exponent and (exponent.group(2) or exponent.group(3)):
        whole, part = (exponent.group(2).lstrip("0") or "0"), exponent.group(3) or "0"
        plain = f"{exponent.group(1)}{whole}.{part}e{exponent.group(4) or '+'}{exponent.group(5)}"
        return f"YAML reads {bare} as text; write {plain}"
    if re.fullmatch(r"0[0-9]+\.[0-9]*", digits):
        short = digits.lstrip("0")
        return f"a leading zero in {bare}; write {sign}{short if short[0] != '.' else '0' + short}"
    if re.fullmatch(r"\.[0-9]+", digits):
        return f"YAML reads {bare} as text; write {sign}0{digits}"
    if re.fullmatch(r"[0-9]+/[0-9]+", digits):
        return f"fractions are not computed; write {bare} as a decimal number"
    return None


def _sexagesimal(bare: str) -> str:
    try:
        total = Decimal(0)
        for part in bare.lstrip("+-").split(":"):
            total = total * 60 + Decimal(part)
        return f" ({'-' if bare.startswith('-') else ''}{total.normalize():f})"
    except (ArithmeticError, ValueError):
        return ""
