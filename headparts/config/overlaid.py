"""A job file with measured values laid over it in memory, read and judged as if they had been written so.

The file itself stays as it is. Keys that it lacks are added; a number that is worked out anew keeps its half-width
and instrument, a measured one has its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as MappingType
from dataclasses import dataclass, replace
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from ..errors import JobFileError
from .fault import Fault
from .model import JobFile
from .nodes import Mapping, Node, Scalar, Sequence, TextError
from .notes import Notes
from .reader import _job_of, _sorted, _tree
from .rules import judge_job
from .varied import _own_name, _written
from .walk import Walker


@dataclass(frozen=True)
class Laid:
    """A value to lay over a job: a number, a nested list of numbers, or words.

    ``key``: where it comes from. ``measured``: ``u`` and ``by`` are all that is known of how; what was written with
    the number before does not hold for it.
    """

    value: Any
    u: float | None = None
    by: str | None = None
    key: str = ""
    measured: bool = False


class Overlay:
    """A job file that values can be laid over.

    ``job``: as it stands, judged but for what only a job as built must state. Raises JobFileError for a bad file.
    """

    def __init__(self, path: str | PathLike[str]) -> None:
        self._name = fspath(path)
        notes = Notes(self._name)
        try:
            root = _tree(self._name, notes)
        except TextError as fault:
            notes.fault(fault.line, fault.column, "", fault.value, fault.message)
            root = None
        if root is None:
            raise JobFileError(_sorted(notes.faults))
        self._root = root
        self.job, faults = self._walk(root, notes, as_built=False)
        if faults:
            raise JobFileError(_sorted(faults))

    def laid(
        self, values: MappingType[str, Laid], without: Iterable[str] = (), *, as_built: bool = True
    ) -> tuple[JobFile, list[Fault]]:
        """The job with ``values`` at their dotted keys and some keys taken out, and the faults it then has.

        A fault at a laid value has its key; it says nothing of a place, which is the caller's to know. ``as_built``:
        judge too what a job as built must state.
        """
        root: Node = self._root
        for key in without:
            root = _removed(root, key.split("."))
        for key, value in values.items():
            root = _with(root, key.split("."), value)
        assert isinstance(root, Mapping)
        return self._walk(root, Notes(self._name), as_built=as_built)

    def _walk(self, root: Mapping, notes: Notes, *, as_built: bool) -> tuple[JobFile, list[Fault]]:
        job = _job_of(Walker(notes), root, Path(self._name))
        judge_job(job, notes, as_built=as_built)
        return job, notes.faults


def _node(value: Any) -> Node:
    if isinstance(value, str):
        return Scalar(0, 0, value, False)
    if isinstance(value, (tuple, list)):
        return Sequence(0, 0, tuple(_node(each) for each in value))
    return Scalar(0, 0, _written(float(value)), True)


def _quantity(laid: Laid, before: Node | None) -> Node:
    """What is written at a key: plain, or {v, u, by} where the half-width or the instrument is known."""
    node = _node(laid.value)
    parts: dict[str, Node] = {}
    if not laid.measured:
        if isinstance(before, Mapping) and isinstance(node, Scalar):
            parts = {key.text: value for key, value in before.entries}
    else:
        parts = {"u": _node(laid.u)} if laid.u is not None else {}
        parts |= {"by": _node(laid.by)} if laid.by is not None else {}
    if not parts or not isinstance(node, Scalar):
        return node
    return _block({"v": node, **{key: value for key, value in parts.items() if key != "v"}})


def _block(entries: MappingType[str, Node]) -> Mapping:
    return Mapping(0, 0, tuple((Scalar(0, 0, key, True), value) for key, value in entries.items()))


def _with(node: Node | None, parts: list[str], laid: Laid) -> Node:
    if not parts:
        return _quantity(laid, node)
    if isinstance(node, Sequence):
        names = [_own_name(item) for item in node.items]
        for count in range(len(parts), 0, -1):
            name = ".".join(parts[:count])
            if name in names:
                return _replaced(
                    node, names.index(name), _with(node.items[names.index(name)], parts[count:], laid)
                )
        return _replaced(node, int(parts[0]), _with(node.items[int(parts[0])], parts[1:], laid))
    block = node if isinstance(node, Mapping) else Mapping(0, 0, ())
    entries = list(block.entries)
    for count in range(len(parts), 0, -1):
        for index, (key, value) in enumerate(entries):
            if key.text == ".".join(parts[:count]):
                entries[index] = (key, _with(value, parts[count:], laid))
                return replace(block, entries=tuple(entries))
    entries.append((Scalar(block.line, block.column, parts[0], True), _with(None, parts[1:], laid)))
    return replace(block, entries=tuple(entries))


def _replaced(node: Sequence, index: int, item: Node) -> Sequence:
    items = list(node.items)
    items[index] = item
    return replace(node, items=tuple(items))


def _removed(node: Node, parts: list[str]) -> Node:
    if isinstance(node, Sequence):
        names = [_own_name(item) for item in node.items]
        for count in range(len(parts) - 1, 0, -1):
            name = ".".join(parts[:count])
            if name in names:
                return _replaced(
                    node, names.index(name), _removed(node.items[names.index(name)], parts[count:])
                )
    if not isinstance(node, Mapping):
        return node
    entries = []
    for key, value in node.entries:
        if key.text != parts[0]:
            entries.append((key, value))
        elif len(parts) > 1:
            entries.append((key, _removed(value, parts[1:])))
    return replace(node, entries=tuple(entries))
