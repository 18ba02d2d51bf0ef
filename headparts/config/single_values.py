"""Single values of the tree: numbers and measured quantities, words, names, dates. A fault gives None."""

from __future__ import annotations

import datetime
import re
from decimal import Decimal
from typing import Any

from .fault import nearest, shown
from .model import Quantity
from .nodes import Mapping, Node, Scalar
from .notes import Notes, join
from .scalars import NotANumberError, parse_number
from .spec import NAME_HINT, NAME_PATTERN, Spec, half_width, number

EMPTY_WORDS = ("", "~", "null", "Null", "NULL")


class SingleValues:
    """Readers of single values, one for each kind of spec."""

    def __init__(self, notes: Notes) -> None:
        self.notes = notes
        self.key_place: dict[int, tuple[int, int]] = {}  # by id of the value's node; the tree stays alive

    def value(self, spec: Spec, node: Node, path: str) -> Any:
        """Whatever `spec` says, or None after a fault."""
        text = node.text if isinstance(node, Scalar) else None
        self.notes.places[path] = (node.line, node.column, text)
        if isinstance(node, Scalar) and node.refused:
            return None
        if isinstance(node, Scalar) and node.plain and node.text in EMPTY_WORDS and not spec.empty_text:
            self.bad(node, path, f"empty; write {spec.allowed()}, or leave the key away")
            return None
        return getattr(self, "_" + spec.kind)(spec, node, path)

    def bad(self, node: Node, path: str, message: str, near: str | None = None) -> None:
        text = node.text if isinstance(node, Scalar) else None
        self.notes.fault(node.line, node.column, path, text, message, near)

    def _need_text(self, spec: Spec, node: Node, path: str) -> str | None:
        if isinstance(node, Scalar):
            return None if node.refused else node.text
        what = "a block" if isinstance(node, Mapping) else "a list"
        self.bad(node, path, f"{what} is written where {spec.allowed()} is expected")
        return None

    def _number(self, spec: Spec, node: Node, path: str) -> float | None:
        if isinstance(node, Mapping):
            return self._quantity(spec, node, path)
        value = self._plain_number(spec, node, path)
        if value is not None:
            self.notes.quantities[path] = Quantity(value, None, None, node.line, node.column)
        return value

    def _plain_number(self, spec: Spec, node: Node, path: str) -> float | None:
        text = self._need_text(spec, node, path)
        if text is None:
            return None
        assert isinstance(node, Scalar)
        try:
            exact = parse_number(text, node.plain, spec.unit == "mm")
        except NotANumberError as error:
            self.bad(node, path, str(error))
            return None
        if not _inside(exact, spec):
            self.bad(node, path, f"{shown(text)} is out of range; allowed is {spec.allowed()}")
            return None
        return float(exact)

    def _quantity(self, spec: Spec, node: Mapping, path: str) -> float | None:
        entries = self.entries(node, path, ("v", "u", "by"))
        if "v" not in entries:
            message = "a measured quantity needs v: {v: value, u: half-width, by: instrument}"
            self.notes.fault(node.line, node.column, join(path, "v"), None, message)
            return None
        before = len(self.notes.faults)
        value = self._plain_or_nested(spec, entries["v"], join(path, "v"))
        spec_u = half_width() if spec.unit == "mm" else number(0.0, 10.0)
        u = self._plain_or_nested(spec_u, entries["u"], join(path, "u")) if "u" in entries else None
        by = self.value(Spec("text"), entries["by"], join(path, "by")) if "by" in entries else None
        if value is None or len(self.notes.faults) > before:
            return value
        v_node = entries["v"]
        self.notes.places[path] = self.notes.places[join(path, "v")]
        self.notes.quantities[path] = Quantity(value, u, by, v_node.line, v_node.column)
        return value

    def _plain_or_nested(self, spec: Spec, node: Node, path: str) -> float | None:
        self.notes.places[path] = (node.line, node.column, node.text if isinstance(node, Scalar) else None)
        return self._plain_number(spec, node, path)

    def _integer(self, spec: Spec, node: Node, path: str) -> int | None:
        text = self._need_text(spec, node, path)
        if text is None:
            return None
        assert isinstance(node, Scalar)
        try:
            exact = parse_number(text, node.plain, False)
        except NotANumberError as error:
            self.bad(node, path, str(error))
            return None
        if not re.fullmatch(r"[0-9]+", text) or not _inside(exact, spec):
            only = f"{spec.low:g}" if spec.low is not None and spec.low == spec.high else spec.allowed()
            self.bad(node, path, f"{shown(text)} is not allowed; write {only}")
            return None
        return int(exact)

    def _bool(self, spec: Spec, node: Node, path: str) -> bool | None:
        text = self._need_text(spec, node, path)
        if text is None:
            return None
        if isinstance(node, Scalar) and node.plain and text in ("true", "false"):
            return text == "true"
        words = {"yes": "true", "on": "true", "true": "true", "1": "true", "no": "false", "off": "false"}
        words |= {"false": "false", "0": "false"}
        hint = words.get(text.strip().lower())
        self.bad(node, path, f"{shown(text)!r} is not true or false" + (f"; write {hint}" if hint else ""))
        return None

    def _text(self, spec: Spec, node: Node, path: str) -> str | None:
        text = self._need_text(spec, node, path)
        if text is None:
            return None
        if not text.strip() and not spec.empty_text:
            self.bad(node, path, "empty text; write something or leave the key away")
            return None
        bad = next((c for c in text if not c.isprintable() and c != "\n" and not _is_wide_space(c)), None)
        if bad is not None:
            self.bad(node, path, f"character U+{ord(bad):04X} is not allowed in text")
            return None
        return text

    def _choice(self, spec: Spec, node: Node, path: str) -> str | None:
        text = self._need_text(spec, node, path)
        if text is None or text in spec.choices:
            return text
        allowed = ", ".join(spec.choices)
        self.bad(node, path, f"{shown(text)!r} is not known; allowed: {allowed}", nearest(text, spec.choices))
        return None

    def _pattern(self, spec: Spec, node: Node, path: str) -> str | None:
        text = self._need_text(spec, node, path)
        if text is None or re.fullmatch(spec.pattern, text):
            return text
        self.bad(node, path, f"{shown(text)!r} is not allowed; write {spec.hint}")
        return None

    def _name(self, spec: Spec, node: Node, path: str) -> str | None:
        text = self._need_text(spec, node, path)
        if text is None or re.fullmatch(NAME_PATTERN, text):
            return text
        self.bad(node, path, f"{shown(text)!r} is not a name; write {NAME_HINT}")
        return None

    def _date(self, spec: Spec, node: Node, path: str) -> str | None:
        text = self._need_text(spec, node, path)
        if text is None:
            return None
        try:
            if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
                raise ValueError
            datetime.date.fromisoformat(text)
        except ValueError:
            self.bad(node, path, f"{shown(text)!r} is not a calendar date written YYYY-MM-DD")
            return None
        return text

    def entries(self, node: Mapping, path: str, known: tuple[str, ...] | None) -> dict[str, Node]:
        """Keys and values of a block; duplicate keys and (unless `known` is None) unknown keys are faults."""
        entries: dict[str, Node] = {}
        first: dict[str, int] = {}
        for key, value in node.entries:
            name, full = key.text, join(path, key.text)
            if name in first:
                message = f"the key is written twice, first in line {first[name]}"
                self.notes.fault(key.line, key.column, full, None, message)
                continue
            first[name] = key.line
            if known is not None and name not in known:
                near = nearest(name, known)
                message = "unknown key" if near else f"unknown key; allowed here: {', '.join(known)}"
                if name == "<<":
                    message, near = "merge keys (<<) are not allowed; write the keys out", None
                self.notes.fault(key.line, key.column, full, None, message, near)
                continue
            self.key_place[id(value)] = (key.line, key.column)
            entries[name] = value
        return entries


def _is_wide_space(character: str) -> bool:
    """A no-break or typographic space, harmless inside text; not a control character or a line separator."""
    return character.isspace() and character >= "\u00a0" and character not in "\u2028\u2029"


def _inside(exact: Decimal, spec: Spec) -> bool:
    if exact != 0 and float(exact) == 0.0:
        return False
    if spec.low is not None:
        low = Decimal(repr(spec.low))
        if exact < low or (spec.low_open and exact == low):
            return False
    if spec.high is not None:
        high = Decimal(repr(spec.high))
        if exact > high or (spec.high_open and exact == high):
            return False
    return True
