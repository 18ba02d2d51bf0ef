"""Tree of nodes -> blocks, by the specs alone. Every fault is noted and the walk goes on."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field, fields
from decimal import Decimal
from typing import Any

from .blocks_job import Limits
from .fault import Fault, nearest, shown
from .model import Quantity
from .nodes import Mapping, Node, Scalar, Sequence
from .scalars import NotANumber, parse_number
from .spec import NAME_HINT, NAME_PATTERN, Spec, block_specs, half_width, key_of, mapping, number, span

_LIMIT = number(-1.0e6, 1.0e6)
EMPTY_WORDS = ("", "~", "null", "Null", "NULL")


@dataclass
class Notes:
    """What a walk collects: faults, the place of every written key's value, and every number as a quantity."""

    file: str
    faults: list[Fault] = field(default_factory=list)
    places: dict[str, tuple[int, int, str | None]] = field(default_factory=dict)
    blocks: dict[str, tuple[int, int]] = field(default_factory=dict)
    quantities: dict[str, Quantity] = field(default_factory=dict)

    def fault(
        self, line: int, column: int, key: str, value: str | None, message: str, near: str | None = None
    ) -> None:
        """Note a fault at a place."""
        shown_value = shown(value) if value is not None else None
        self.faults.append(Fault(self.file, line, column, shown(key, 200), shown_value, message, near))

    def at(self, key: str, message: str, near: str | None = None) -> None:
        """Note a fault at the value of a written key."""
        line, column, value = self.places.get(key, (1, 1, None))
        self.fault(line, column, key, value, message, near)


def join(path: str, key: str) -> str:
    """A dotted path one step longer."""
    return f"{path}.{key}" if path else key


class Walker:
    """Reads values of the tree; a value that cannot be used is None and a fault."""

    def __init__(self, notes: Notes) -> None:
        self.notes = notes
        self._key_place: dict[int, tuple[int, int]] = {}  # by id of the value's node; the tree stays alive

    def value(self, spec: Spec, node: Node, path: str) -> Any:
        """Whatever `spec` says, or None after a fault."""
        text = node.text if isinstance(node, Scalar) else None
        self.notes.places[path] = (node.line, node.column, text)
        if isinstance(node, Scalar) and node.plain and node.text in EMPTY_WORDS:
            self._bad(node, path, f"empty; write {spec.allowed()}, or leave the key away")
            return None
        return getattr(self, "_" + spec.kind)(spec, node, path)

    def _bad(self, node: Node, path: str, message: str, near: str | None = None) -> None:
        text = node.text if isinstance(node, Scalar) else None
        self.notes.fault(node.line, node.column, path, text, message, near)

    def _need_text(self, spec: Spec, node: Node, path: str) -> str | None:
        if isinstance(node, Scalar):
            return node.text
        what = "a block" if isinstance(node, Mapping) else "a list"
        self._bad(node, path, f"{what} is written where {spec.allowed()} is expected")
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
        except NotANumber as error:
            self._bad(node, path, str(error))
            return None
        if not _inside(exact, spec):
            self._bad(node, path, f"{shown(text)} is out of range; allowed is {spec.allowed()}")
            return None
        return float(exact)

    def _quantity(self, spec: Spec, node: Mapping, path: str) -> float | None:
        entries = self._entries(node, path, ("v", "u", "by"))
        if "v" not in entries:
            self.notes.fault(
                node.line, node.column, join(path, "v"), None, "a measured quantity needs v: {v: value, u: half-width, by: instrument}"
            )
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
        except NotANumber as error:
            self._bad(node, path, str(error))
            return None
        if not re.fullmatch(r"[0-9]+", text) or not _inside(exact, spec):
            only = f"{spec.low:g}" if spec.low is not None and spec.low == spec.high else spec.allowed()
            self._bad(node, path, f"{shown(text)} is not allowed; write {only}")
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
        self._bad(node, path, f"{shown(text)!r} is not true or false" + (f"; write {hint}" if hint else ""))
        return None

    def _text(self, spec: Spec, node: Node, path: str) -> str | None:
        text = self._need_text(spec, node, path)
        if text is None:
            return None
        if not text.strip() and not spec.empty_text:
            self._bad(node, path, "empty text; write something or leave the key away")
            return None
        bad = next((c for c in text if not c.isprintable() and c != "\n"), None)
        if bad is not None:
            self._bad(node, path, f"character U+{ord(bad):04X} is not allowed in text")
            return None
        return text

    def _choice(self, spec: Spec, node: Node, path: str) -> str | None:
        text = self._need_text(spec, node, path)
        if text is None or text in spec.choices:
            return text
        self._bad(node, path, f"{shown(text)!r} is not known; allowed: {', '.join(spec.choices)}", nearest(text, spec.choices))
        return None

    def _pattern(self, spec: Spec, node: Node, path: str) -> str | None:
        text = self._need_text(spec, node, path)
        if text is None or re.fullmatch(spec.pattern, text):
            return text
        self._bad(node, path, f"{shown(text)!r} is not allowed; write {spec.hint}")
        return None

    def _name(self, spec: Spec, node: Node, path: str) -> str | None:
        text = self._need_text(spec, node, path)
        if text is None or re.fullmatch(NAME_PATTERN, text):
            return text
        self._bad(node, path, f"{shown(text)!r} is not a name; write {NAME_HINT}")
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
            self._bad(node, path, f"{shown(text)!r} is not a calendar date; write {spec.allowed()}")
            return None
        return text

    def _list(self, spec: Spec, node: Node, path: str) -> tuple[Any, ...] | None:
        assert spec.item is not None and spec.size is not None
        if not isinstance(node, Sequence):
            self._bad(node, path, f"{spec.allowed()} is expected, written [ , ]")
            return None
        least, most = spec.size
        count = len(node.items)
        if not least <= count <= most:
            wanted = f"{least}" if least == most else (f"at most {most}" if count > most else f"at least {least}")
            self._bad(node, path, f"{count} in the list; {wanted} allowed")
            if count > most:
                return None
        values = [self.value(spec.item, item, join(path, self._label(item, i))) for i, item in enumerate(node.items)]
        if None in values or not least <= count <= most:
            return tuple(v for v in values if v is not None) if spec.item.kind == "block" else None
        if spec.ordered:
            self._order(spec, node, path, values)
        return tuple(values)

    def _order(self, spec: Spec, node: Sequence, path: str, values: list[Any]) -> None:
        for i, (low, high) in enumerate(zip(values, values[1:], strict=False)):
            if low > high or (spec.ordered == "strict" and low == high):
                what = "must rise" if spec.ordered == "strict" else "must not fall"
                line, column, text = self.notes.places[join(path, str(i + 1))]
                self.notes.fault(line, column, path, text, f"[{low:g}, {high:g}]: the values {what}, low first")
                return

    @staticmethod
    def _label(item: Node, index: int) -> str:
        """Members of a list go by their name where they have a sound one, else by their index."""
        if isinstance(item, Mapping):
            for key, value in item.entries:
                if key.text == "name" and isinstance(value, Scalar) and re.fullmatch(NAME_PATTERN, value.text):
                    return value.text
        return str(index)

    def _block(self, spec: Spec, node: Node, path: str) -> Any:
        if not isinstance(node, Mapping):
            self._bad(node, path, f"{spec.allowed()} is expected")
            return None
        assert spec.block is not None
        return self.block(spec.block, node, path, (node.line, node.column))

    def block(self, kind: type[Any], node: Mapping, path: str, place: tuple[int, int]) -> Any:
        """One block; `place` is where a missing key is reported (the line of the block's own key)."""
        specs = block_specs(kind)
        self.notes.blocks[path] = place
        entries = self._entries(node, path, tuple(specs))
        values: dict[str, Any] = {}
        for f in fields(kind):
            key = key_of(f.name)
            if key not in specs:
                continue
            values[f.name] = None
            if key in entries:
                values[f.name] = self._member(specs[key], key, entries[key], path)
            elif specs[key].required:
                self.notes.fault(*place, join(path, key), None, f"required key is missing: {specs[key].about or specs[key].allowed()}")
            if values[f.name] is None and specs[key].kind == "list" and specs[key].item.kind == "block" and specs[key].size[0] == 0:
                values[f.name] = ()
        return kind(**values)

    def _member(self, spec: Spec, key: str, node: Node, path: str) -> Any:
        full = join(path, key)
        if spec.kind == "block" and isinstance(node, Mapping):
            self.notes.places[full] = (node.line, node.column, None)
            assert spec.block is not None
            return self.block(spec.block, node, full, self._key_place.get(id(node), (node.line, node.column)))
        return self.value(spec, node, full)

    def _entries(self, node: Mapping, path: str, known: tuple[str, ...] | None) -> dict[str, Node]:
        """Keys and values of a block; duplicates and (unless `known` is None) unknown keys are faults."""
        entries: dict[str, Node] = {}
        first: dict[str, int] = {}
        for key, value in node.entries:
            name = key.text
            if name in first:
                self.notes.fault(key.line, key.column, join(path, name), None, f"key is written twice, first in line {first[name]}")
                continue
            first[name] = key.line
            if known is not None and name not in known:
                self._unknown(key, path, known)
                continue
            self._key_place[id(value)] = (key.line, key.column)
            entries[name] = value
        return entries

    def _unknown(self, key: Scalar, path: str, known: tuple[str, ...]) -> None:
        near = nearest(key.text, known)
        message = "unknown key"
        if key.text == "<<":
            message = "merge keys (<<) are not allowed; write the keys out"
        elif near is None:
            message += "; allowed here: " + ", ".join(known)
        self.notes.fault(key.line, key.column, join(path, key.text), None, message, near)

    def _map(self, spec: Spec, node: Node, path: str) -> dict[str, Any] | None:
        assert spec.item is not None
        if not isinstance(node, Mapping):
            self._bad(node, path, f"{spec.allowed()} is expected")
            return None
        entries = self._entries(node, path, spec.keys or None)
        result: dict[str, Any] = {}
        for key in spec.keys or tuple(entries):
            if key in entries:
                if not spec.keys and not re.fullmatch(NAME_PATTERN, key):
                    line, column = self._key_place[id(entries[key])]
                    self.notes.fault(line, column, join(path, key), None, f"{shown(key)!r} is not a name; write {NAME_HINT}")
                value = self._member(spec.item, key, entries[key], path)
                if value is not None:
                    result[key] = value
        return result

    def _limits(self, spec: Spec, node: Node, path: str) -> Limits | None:
        """`scale`, and by check id a number, [low, high] or {name: number}; the ids are judged later."""
        if not isinstance(node, Mapping):
            self._bad(node, path, f"{spec.allowed()} is expected")
            return None
        scale: float | None = None
        by_id: dict[str, Any] = {}
        for key, value in self._entries(node, path, None).items():
            full = join(path, key)
            if key == "scale":
                scale = self.value(number(0.3, 1.5), value, full)
            elif isinstance(value, Sequence):
                by_id[key] = self.value(span(_LIMIT, ordered="loose"), value, full)
            elif isinstance(value, Mapping) and not any(k.text == "v" for k, _ in value.entries):
                by_id[key] = self.value(mapping(_LIMIT), value, full)
            else:
                by_id[key] = self.value(_LIMIT, value, full)
        return Limits(scale, {key: value for key, value in by_id.items() if value is not None})

    def _fork(self, spec: Spec, node: Node, path: str) -> Any:
        by_kind = {option.kind: option for option in spec.options}
        chosen: Spec | None = None
        if isinstance(node, Sequence):
            chosen = by_kind.get("list")
        elif isinstance(node, Mapping):
            if "number" in by_kind and any(key.text == "v" for key, _ in node.entries):
                chosen = by_kind["number"]
            else:
                chosen = by_kind.get("block") or by_kind.get("map") or by_kind.get("number")
        elif "choice" in by_kind and (node.text in by_kind["choice"].choices or "number" not in by_kind):
            chosen = by_kind["choice"] if node.text in by_kind["choice"].choices else None
        else:
            chosen = by_kind.get("number")
        if chosen is None:
            self._bad(node, path, f"{spec.allowed()} is expected")
            return None
        if chosen.kind == "block" and isinstance(node, Mapping):
            assert chosen.block is not None
            return self.block(chosen.block, node, path, self._key_place.get(id(node), (node.line, node.column)))
        value = getattr(self, "_" + chosen.kind)(chosen, node, path)
        if chosen.kind == "number" and "map" in by_kind and value is not None:
            return dict.fromkeys(by_kind["map"].keys, value)
        return value


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
