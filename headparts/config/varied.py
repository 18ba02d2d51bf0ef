"""One job file with some of its numbers changed in memory, read and judged as if they had been written so.

The file is parsed once and stays as it is. A variant goes through the reader's own walk wherever a number was
changed, and through all of its rules, so that an impossible value is refused in the same words; blocks in which
nothing was changed are taken over as they were read.
"""

from __future__ import annotations

from collections.abc import Mapping as MappingType
from dataclasses import fields, replace
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from ..errors import JobFileError, ParameterError
from .blocks_job import Limits
from .fault import nearest
from .model import JobFile
from .nodes import Mapping, Node, Scalar, Sequence
from .notes import Notes
from .reader import _job_of, _sorted, _tree, read_job
from .rules import judge_job
from .spec import Spec, block, block_specs, key_of, number
from .walk import Walker

Steps = tuple[int, ...]


class VariedJob:
    """A job file whose numbers can be changed one by one or together.

    ``job`` is the file as it stands; one that was read before may be handed over. Raises JobFileError for a bad file.
    """

    def __init__(self, path: str | PathLike[str], job: JobFile | None = None) -> None:
        self.job = read_job(path) if job is None else job
        self._name = fspath(path)
        root = _tree(self._name, Notes(self._name))
        assert root is not None
        self._root = root
        self._notes = Notes(self._name)
        self._walked = _Remembering(self._notes)
        self._read = _job_of(
            self._walked, root, Path(self._name)
        )  # kept alive: its blocks are known by identity

    def stands_for(self, job: JobFile) -> bool:
        """Whether a job in memory is what the file says, number for number."""
        return self._read == job

    def writes(self, key: str) -> bool:
        """Whether the file gives a number at a dotted key."""
        return key in self._read.quantities

    def spec(self, key: str) -> Spec:
        """What the number at a dotted key may be (``low``, ``high``, ``unit``).

        Raises ParameterError naming the nearest key when the job file writes no number there.
        """
        if key not in self.job.quantities:
            named = self._by_name(key)
            if named != key:
                where = "is" if named in self.job.quantities else "would be"
                raise ParameterError(
                    "parameter", key, f"members of this list go by their names: it {where} {named}"
                )
            near = nearest(key, self.job.quantities) or _same_end(key, self.job.quantities)
            block_of = "a block or a word, not a number" if self.job.get(key) is not None else "not a number"
            hint = f"; did you mean {near}?" if near else ""
            raise ParameterError("parameter", key, f"{block_of} that this job file gives{hint}")
        return _place(self._root, key)[1]

    def _by_name(self, key: str) -> str:
        """The key with the name of every list member that has one in place of its number."""
        made: list[str] = []
        for part in key.split("."):
            members = self.job.get(".".join(made)) if made and part.isdecimal() else None
            named = isinstance(members, tuple) and int(part) < len(members)
            made.append(getattr(members[int(part)], "name", part) if named else part)  # type: ignore[index]
        return ".".join(made)

    def changed(self, values: MappingType[str, float]) -> JobFile:
        """The job with other numbers at some dotted keys.

        Raises JobFileError with every fault when the reader would refuse such a file.
        """
        job, notes = self._walk(values)
        judge_job(job, notes)
        if notes.faults:
            raise JobFileError(_sorted(notes.faults))
        return job

    def unjudged(self, values: MappingType[str, float]) -> JobFile:
        """As `changed`, whatever the reader would say: a number that it would refuse is None."""
        return self._walk(values)[0]

    def _walk(self, values: MappingType[str, float]) -> tuple[JobFile, Notes]:
        root: Node = self._root
        for key, value in values.items():
            root = _with_text(root, _place(self._root, key)[0], _written(value))
        assert isinstance(root, Mapping)
        notes = self._notes.copied()
        return _job_of(_Again(notes, self._walked), root, Path(self._name)), notes


def with_numbers(job: JobFile, values: MappingType[str, float]) -> JobFile:
    """A job in memory with other numbers at some dotted keys, unjudged; `VariedJob` is for one that stands in a file.

    Raises ParameterError for a key at which the job holds no number.
    """
    quantities = dict(job.quantities)
    changed: Any = job
    for key, value in values.items():
        if key not in quantities:
            raise ParameterError("key", key, "the job gives no number there")
        quantities[key] = replace(quantities[key], value=value)
        changed = _with_number(changed, key.split("."), value)
    return replace(changed, quantities=quantities)  # type: ignore[no-any-return]


def _with_number(node: Any, parts: list[str], value: float) -> Any:
    """A block, map or list with another number at what is left of a key."""
    if not parts:  # one number may stand for several stations
        return dict.fromkeys(node, value) if isinstance(node, MappingType) else value
    if isinstance(node, MappingType):
        name = _longest_of(node, parts)
        return {**node, name: _with_number(node[name], parts[name.count(".") + 1 :], value)}
    if isinstance(node, tuple):
        names = [getattr(item, "name", str(index)) for index, item in enumerate(node)]
        name = _longest_of(names, parts)
        index = names.index(name)
        changed = _with_number(node[index], parts[name.count(".") + 1 :], value)
        return (*node[:index], changed, *node[index + 1 :])
    if isinstance(node, Limits) and parts[0] != "scale":
        return replace(node, by_id=_with_number(node.by_id, parts, value))
    name = next(field.name for field in fields(node) if key_of(field.name) == parts[0])
    return replace(node, **{name: _with_number(getattr(node, name), parts[1:], value)})


def _longest_of(names: MappingType[str, Any] | list[str], parts: list[str]) -> str:
    found = (".".join(parts[:count]) for count in range(len(parts), 0, -1))
    return next(name for name in found if name in names)


class _Remembering(Walker):
    """A walk that keeps what it made of every node, and the names of list members."""

    def __init__(self, notes: Notes) -> None:
        super().__init__(notes)
        self.made: dict[int, Any] = {}
        self.labels: dict[tuple[str, int], str] = {}

    def value(self, spec: Spec, node: Node, path: str) -> Any:
        self.made[id(node)] = made = super().value(spec, node, path)
        return made

    def _label(self, item: Node, index: int, path: str) -> str:
        self.labels[path, index] = label = super()._label(item, index, path)
        return label


class _Again(Walker):
    """A walk over a tree of which some nodes were walked before; ``notes`` are a copy of that walk's."""

    def __init__(self, notes: Notes, before: _Remembering) -> None:
        super().__init__(notes)
        self._before = before
        self.key_place = dict(before.key_place)

    def value(self, spec: Spec, node: Node, path: str) -> Any:
        if id(node) in self._before.made:
            return self._before.made[id(node)]
        return super().value(spec, node, path)

    def _label(self, item: Node, index: int, path: str) -> str:
        return self._before.labels[path, index]


def _written(value: float) -> str:
    """The number as a job file writes it: plain decimals, no exponent."""
    text = f"{value:.12f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _same_end(key: str, known: MappingType[str, object]) -> str | None:
    """A known key with the same last word, most parts in common."""
    parts = key.split(".")
    same = [name for name in known if name.split(".")[-1] == parts[-1]]
    return max(same, key=lambda name: len(set(name.split(".")) & set(parts)), default=None)


def _place(root: Mapping, key: str) -> tuple[Steps, Spec]:
    """Where a number stands in the tree, and its spec; the key is one of the job's quantities."""
    node: Node = root
    spec, steps, parts = block(JobFile), [], key.split(".")
    while parts or isinstance(node, Mapping):
        count, index, child = _child(node, parts)
        spec = _spec_of_child(_chosen(spec, node), ".".join(parts[:count]))
        steps.append(index)
        node, parts = child, parts[count:]
    return tuple(steps), _chosen(spec, node)


def _child(node: Node, parts: list[str]) -> tuple[int, int, Node]:
    """How many parts of the key it takes, its index, and the child; the longest name that fits is taken."""
    if isinstance(node, Mapping):
        names = [key.text for key, _ in node.entries]
        children = [value for _, value in node.entries]
        if not parts:  # a measured quantity
            return 0, names.index("v"), children[names.index("v")]
    else:
        assert isinstance(node, Sequence)
        names, children = [_own_name(item) for item in node.items], list(node.items)
    for count in range(len(parts), 0, -1):
        name = ".".join(parts[:count])
        if name in names:
            return count, names.index(name), children[names.index(name)]
    return 1, int(parts[0]), children[int(parts[0])]


def _own_name(item: Node) -> str:
    entries = item.entries if isinstance(item, Mapping) else ()
    return next(
        (value.text for key, value in entries if key.text == "name" and isinstance(value, Scalar)), ""
    )


def _chosen(spec: Spec, node: Node) -> Spec:
    """The option of a fork that goes with the form of what was written."""
    if spec.kind != "fork":
        return spec
    measured = isinstance(node, Mapping) and any(key.text == "v" for key, _ in node.entries)
    if isinstance(node, Sequence):
        kinds: tuple[str, ...] = ("list",)
    elif isinstance(node, Mapping) and not measured:
        kinds = ("block", "map")
    else:
        kinds = ("number",)
    return next(option for option in spec.options if option.kind in kinds)


def _spec_of_child(spec: Spec, name: str) -> Spec:
    if spec.kind == "block":
        return block_specs(spec.block)[name]
    if spec.kind == "limits":
        return number(0.3, 1.5) if name == "scale" else number(-1.0e6, 1.0e6)
    if spec.kind in ("list", "map"):
        assert spec.item is not None
        return spec.item
    return spec  # the v of a measured quantity, or a limit's own names


def _with_text(node: Node, steps: Steps, text: str) -> Node:
    if not steps:
        assert isinstance(node, Scalar)
        return replace(node, text=text, plain=True)
    first, rest = steps[0], steps[1:]
    if isinstance(node, Mapping):
        entries = list(node.entries)
        key, value = entries[first]
        entries[first] = (key, _with_text(value, rest, text))
        return replace(node, entries=tuple(entries))
    assert isinstance(node, Sequence)
    items = list(node.items)
    items[first] = _with_text(items[first], rest, text)
    return replace(node, items=tuple(items))
