"""A job that tells when one of the numbers in which it differs from another job is read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import is_dataclass
from typing import Any

from .model import JobFile
from .notes import join
from .spec import key_of

Note = Callable[[str], None]


def watched(job: JobFile, other: JobFile, note: Note) -> JobFile:
    """``job`` again; ``note`` is called with its dotted path when something is read that ``other`` has differently.

    What was worked out from the job without a call depends on none of the numbers that differ. The rest of the
    job is shared; blocks on the way to a number that differs are copies, equal to the original in every key.
    """
    copy = _copy(job, other, note, "")
    assert isinstance(copy, JobFile)
    return copy


def _copy(own: Any, other: Any, note: Note, path: str) -> Any:
    if own is other:
        return own
    if isinstance(own, Mapping):
        return {key: _copy(value, other.get(key), note, join(path, key)) for key, value in own.items()}
    if isinstance(own, tuple):
        both = enumerate(zip(own, other, strict=True))
        return tuple(
            _copy(value, after, note, join(path, getattr(value, "name", str(index))))
            for index, (value, after) in both
        )
    if not is_dataclass(own):
        return own
    state, told = {}, {"__dict__"}
    for name, value in vars(own).items():
        after = vars(other)[name]
        if value is after or value == after:
            state[name] = value
        elif _holds_blocks(value) and after is not None:
            state[name] = _copy(value, after, note, join(path, key_of(name)))
        else:
            state[name] = value
            told.add(name)
    made = object.__new__(_telling(type(own), frozenset(told), note, path) if len(told) > 1 else type(own))
    object.__getattribute__(made, "__dict__").update(state)
    return made


def _holds_blocks(value: Any) -> bool:
    if isinstance(value, Mapping):
        return any(_holds_blocks(item) for item in value.values())
    if isinstance(value, tuple):
        return any(_holds_blocks(item) for item in value)
    return is_dataclass(value)


def _telling(kind: type[Any], names: frozenset[str], note: Note, path: str) -> type[Any]:
    """The class of a block with a note on every reading of some attributes, and of all of them at once."""

    def get(self: Any, name: str) -> Any:
        if name in names:
            note(path if name == "__dict__" else join(path, key_of(name)))
        return object.__getattribute__(self, name)

    return type(kind.__name__, (kind,), {"__getattribute__": get, "__module__": kind.__module__})
