"""Tree of nodes -> blocks, by the specs alone. Every fault is noted and the walk goes on."""

from __future__ import annotations

import re
from dataclasses import fields
from itertools import pairwise
from typing import Any

from .blocks_job import Limits
from .fault import shown
from .limit_ids import PAIRED
from .nodes import Mapping, Node, Scalar, Sequence
from .notes import join
from .single_values import SingleValues
from .spec import NAME_HINT, NAME_PATTERN, Spec, block_specs, fork, key_of, mapping, number, span

_LIMIT = number(-1.0e6, 1.0e6)
_LIMIT_RANGE = span(_LIMIT, ordered="loose")
_LIMITS_BY_NAME = mapping(fork(_LIMIT, _LIMIT_RANGE))


class Walker(SingleValues):
    """Reads blocks, lists and maps of the tree; a value that cannot be used is None and a fault."""

    def block(self, kind: type[Any], node: Mapping, path: str, place: tuple[int, int]) -> Any:
        """One block; `place` is where a missing key is reported (the place of the block's own key)."""
        specs = block_specs(kind)
        self.notes.blocks[path] = place
        entries = self.entries(node, path, tuple(specs))
        values: dict[str, Any] = {}
        for attribute in (f.name for f in fields(kind) if key_of(f.name) in specs):
            key = key_of(attribute)
            spec, full = specs[key], join(path, key)
            value = None
            if key in entries:
                value = self.value(spec, entries[key], full)
            elif spec.required:
                about = spec.about or spec.allowed()
                self.notes.fault(*place, full, None, f"required key is missing: {about}")
            values[attribute] = () if value is None and _may_be_empty(spec) else value
        built = kind(**values)
        self.notes.paths[id(built)] = path
        return built

    def _block(self, spec: Spec, node: Node, path: str) -> Any:
        if not isinstance(node, Mapping):
            self.bad(node, path, f"{spec.allowed()} is expected")
            return None
        assert spec.block is not None
        return self.block(spec.block, node, path, self.key_place.get(id(node), (node.line, node.column)))

    def _list(self, spec: Spec, node: Node, path: str) -> tuple[Any, ...] | None:
        assert spec.item is not None
        assert spec.size is not None
        if not isinstance(node, Sequence):
            self.bad(node, path, f"{spec.allowed()} is expected, written [ ... ]")
            return None
        least, most = spec.size
        count = len(node.items)
        fits = least <= count <= most
        if not fits:
            wanted = (
                f"{least}" if least == most else (f"at most {most}" if count > most else f"at least {least}")
            )
            self.bad(node, path, f"{count} in the list; {wanted} expected")
        if count > most and spec.item.kind == "block":
            return ()
        values = [
            self.value(spec.item, item, join(path, self._label(item, i, path)))
            for i, item in enumerate(node.items)
        ]
        if spec.item.kind == "block":
            return tuple(value for value in values if value is not None)
        if not fits or None in values:
            return None
        return tuple(values) if not spec.ordered or self._in_order(spec, path, values) else None

    def _in_order(self, spec: Spec, path: str, values: list[Any]) -> bool:
        for i, (low, high) in enumerate(pairwise(values)):
            if low > high or (spec.ordered == "strict" and low == high):
                what = "must rise" if spec.ordered == "strict" else "must not fall"
                line, column, text = self.notes.places[join(path, str(i + 1))]
                message = f"[{low:g}, {high:g}]: the values {what}, low first"
                self.notes.fault(line, column, path, text, message)
                return False
        return True

    def _label(self, item: Node, index: int, path: str) -> str:
        """Members of a list go by a sound name of their own, else by their index."""
        if isinstance(item, Mapping):
            for key, value in item.entries:
                if (
                    key.text == "name"
                    and isinstance(value, Scalar)
                    and re.fullmatch(NAME_PATTERN, value.text)
                ):
                    return value.text if join(path, value.text) not in self.notes.places else str(index)
        return str(index)

    def _map(self, spec: Spec, node: Node, path: str) -> dict[str, Any] | None:
        assert spec.item is not None
        if not isinstance(node, Mapping):
            self.bad(node, path, f"{spec.allowed()} is expected")
            return None
        entries = self.entries(node, path, spec.keys or None)
        result: dict[str, Any] = {}
        for key in spec.keys or tuple(entries):
            if key not in entries:
                continue
            if not spec.keys and not re.fullmatch(NAME_PATTERN, key):
                line, column = self.key_place[id(entries[key])]
                message = f"{shown(key)!r} is not a name; write {NAME_HINT}"
                self.notes.fault(line, column, join(path, key), None, message)
            value = self.value(spec.item, entries[key], join(path, key))
            if value is not None:
                result[key] = value
        return result

    def _fork(self, spec: Spec, node: Node, path: str) -> Any:
        """The option that goes with the form of what was written."""
        by_kind = {option.kind: option for option in spec.options}
        chosen: Spec | None
        if isinstance(node, Sequence):
            chosen = by_kind.get("list")
        elif isinstance(node, Mapping):
            measured = any(key.text == "v" for key, _ in node.entries)
            blocks = by_kind.get("block") or by_kind.get("map")
            chosen = by_kind.get("number") if measured or blocks is None else blocks
        elif "choice" in by_kind and node.text in by_kind["choice"].choices:
            chosen = by_kind["choice"]
        else:
            chosen = by_kind.get("number")
        if chosen is None:
            self.bad(node, path, f"{spec.allowed()} is expected")
            return None
        value = self.value(chosen, node, path)
        if chosen.kind == "number" and "map" in by_kind and value is not None:
            return dict.fromkeys(by_kind["map"].keys, value)
        return value

    def _limits(self, spec: Spec, node: Node, path: str) -> Limits | None:
        """`scale`, and by check id a number, [low, high] or {name: limit}; the rules judge ids and names."""
        if not isinstance(node, Mapping):
            self.bad(node, path, f"{spec.allowed()} is expected")
            return None
        scale: float | None = None
        by_id: dict[str, Any] = {}
        for key, item in self.entries(node, path, None).items():
            full = join(path, key)
            if key == "scale":
                scale = self.value(number(0.3, 1.5), item, full)
                continue
            kind = _LIMIT_RANGE if isinstance(item, Sequence) else _LIMIT
            if isinstance(item, Mapping) and not any(k.text == "v" for k, _ in item.entries):
                kind = _LIMITS_BY_NAME
            value = self.value(kind, item, full)
            if isinstance(value, tuple) and key in PAIRED:
                value = dict(zip(PAIRED[key], value, strict=True))
                self.notes.places.update({join(full, name): self.notes.places[full] for name in value})
            if value is not None:
                by_id[key] = value
        return Limits(scale, by_id)


def _may_be_empty(spec: Spec) -> bool:
    """A list of blocks that may hold nothing is an empty tuple when it is absent."""
    return (
        spec.kind == "list"
        and spec.item is not None
        and spec.item.kind == "block"
        and (spec.size or (1, 1))[0] == 0
    )
