"""Frozen blocks that load fast.

`dataclasses.dataclass(frozen=True)` writes and compiles six methods a class; with some fifty blocks that is most of
the time it takes to import this room. Here the fields are a dataclass's own (`fields`, `replace`, `is_dataclass`
work), the methods are shared by all blocks.
"""

from __future__ import annotations

from dataclasses import MISSING, Field, FrozenInstanceError, dataclass
from typing import Any, ClassVar, TypeVar, dataclass_transform

T = TypeVar("T")


@dataclass_transform(frozen_default=True, kw_only_default=True)
def frozen_block(cls: type[T]) -> type[T]:
    """Class decorator: a frozen, keyword-only dataclass on top of :class:`Block`."""
    return dataclass(init=False, repr=False, eq=False, kw_only=True)(cls)


class Block:
    """What all blocks share: keyword arguments only, no change afterwards, equality by value."""

    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]

    def __init__(self, **values: Any) -> None:
        state = self.__dict__
        for name, field in self.__dataclass_fields__.items():
            if name in values:
                state[name] = values.pop(name)
            elif field.default is not MISSING:
                state[name] = field.default
            else:
                raise TypeError(f"{type(self).__name__} needs {name}")
        if values:
            raise TypeError(f"{type(self).__name__} has no {', '.join(values)}")
        self._complete()

    def _complete(self) -> None:
        """For blocks in which one key stands for another; called once, before the block is used."""

    def __setattr__(self, name: str, value: Any) -> None:
        raise FrozenInstanceError(f"cannot assign to field {name!r}")

    def __delattr__(self, name: str) -> None:
        raise FrozenInstanceError(f"cannot delete field {name!r}")

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return self.__dict__ == other.__dict__

    def __hash__(self) -> int:
        return hash(tuple(self.__dict__.values()))

    def __repr__(self) -> str:
        given = ", ".join(f"{name}={value!r}" for name, value in self.__dict__.items() if value is not None)
        return f"{type(self).__name__}({given})"
