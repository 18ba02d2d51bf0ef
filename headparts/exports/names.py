"""File names that are safe on every system a job may be carried to."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from headparts.errors import OutputError

LONGEST_NAME = 120
_FORBIDDEN = re.compile(r'[<>:"/\\|?*\x00-\x1f\x7f-\x9f\u2028\u2029]')
# Device names that one system still reserves, with any ending.
_DEVICES = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))}


def check_name(name: str) -> str:
    """Return ``name`` when it is a plain file name, else raise.

    Refused: an empty name, path parts, a leading dash, dot or blank, a trailing dot or blank, control
    characters, characters that some system forbids, reserved device names, names over 120 characters,
    text that is not in composed Unicode form.

    Raises:
        OutputError: names the file name and what is wrong with it.
    """
    reason = _fault(name)
    if reason:
        raise OutputError(f"file name {name!r}: {reason}")
    return name


def _fault(name: str) -> str | None:
    if not name:
        return "is empty"
    if len(name) > LONGEST_NAME:
        return f"is longer than {LONGEST_NAME} characters"
    if _FORBIDDEN.search(name) or any(unicodedata.category(sign) in ("Cc", "Cf", "Cs") for sign in name):
        return "holds a path part, a control character or a character that file systems forbid"
    if name[0] in "-. ":
        return "begins with a dash, a dot or a blank"
    if name[-1] in ". ":
        return "ends with a dot or a blank"
    if name.split(".")[0].strip().casefold() in _DEVICES:
        return "is a reserved device name"
    if unicodedata.normalize("NFC", name) != name:
        return "is not in composed Unicode form"
    return None


def folded(name: str) -> str:
    """The form in which two names count as the same file on systems that ignore case."""
    return unicodedata.normalize("NFC", name).casefold()


def collision(name: str, others: Iterable[str]) -> str | None:
    """The one of ``others`` that is the same file as ``name`` where case is ignored, or None."""
    wanted = folded(name)
    return next((other for other in others if folded(other) == wanted), None)
