"""In which keys two job files differ: added, removed, changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from .blocks_job import Accept, Limits
from .limit_ids import LIMIT_NAMES
from .model import JobFile
from .notes import join
from .spec import key_of

Plain = float | int | bool | str
_NOT_KEYS = ("path", "quantities", "places", "record")


@dataclass(frozen=True)
class ParameterChange:
    """One dotted key of the job file and what each of two jobs writes there; None where one does not write it."""

    key: str
    before: Plain | None
    after: Plain | None

    @property
    def kind(self) -> str:
        """``added``, ``removed`` or ``changed``."""
        if self.before is None:
            return "added"
        return "removed" if self.after is None else "changed"

    @property
    def difference(self) -> float | None:
        """After less before [unit of the key]; None unless both are numbers."""
        if not (_is_number(self.before) and _is_number(self.after)):
            return None
        return round(float(self.after) - float(self.before), 12)  # type: ignore[arg-type]

    def as_json(self) -> dict[str, Any]:
        """Plain data: numbers, words or null."""
        return {
            "key": self.key,
            "change": self.kind,
            "before": self.before,
            "after": self.after,
            "difference": self.difference,
        }


def parameters_changed(before: JobFile, after: JobFile) -> tuple[ParameterChange, ...]:
    """Every key in which two jobs differ, in the order of the job file's blocks.

    Members of a list go by their name where they have one, acceptances by check and subject, others by place;
    numbers as the reader understood them, so that 0.2362 in and 5.99948 are the same. Half-width and instrument of
    a measured number are keys of their own, ``.u`` and ``.by``.
    """
    first, second = written(before), written(after)
    keys = [*second, *(key for key in first if key not in second)]
    order = {key: place for place, key in enumerate(_in_place(first, second))}
    changes = [ParameterChange(key, first.get(key), second.get(key)) for key in keys]
    return tuple(
        sorted(
            (each for each in changes if not _same(each.before, each.after)),
            key=lambda each: order[each.key],
        )
    )


def written(job: JobFile) -> dict[str, Plain]:
    """Every value of a job by its dotted key."""
    made: dict[str, Plain] = {}
    for key, value in _leaves(job, ""):
        made[key] = value
        quantity = job.quantities.get(key)
        if quantity is not None:
            if quantity.u is not None:
                made[join(key, "u")] = quantity.u
            if quantity.by is not None:
                made[join(key, "by")] = quantity.by
    return made


def _leaves(value: Any, path: str) -> Iterator[tuple[str, Plain]]:
    if value is None:
        return
    if isinstance(value, Limits):
        if value.scale is not None:
            yield join(path, "scale"), value.scale
        for check, limit in value.by_id.items():
            yield from _limits(check, limit, join(path, check))
    elif isinstance(value, Accept):
        yield join(path, "reason"), value.reason
    elif is_dataclass(value):
        for field in fields(value):
            if field.name not in _NOT_KEYS:
                yield from _leaves(getattr(value, field.name), join(path, key_of(field.name)))
    elif isinstance(value, Mapping):
        for key, item in value.items():
            yield from _leaves(item, join(path, key))
    elif isinstance(value, tuple):
        for label, item in zip(_labels(value), value, strict=True):
            yield from _leaves(item, join(path, label))
    else:
        yield path, value


def _limits(check: str, limit: Any, path: str) -> Iterator[tuple[str, Plain]]:
    """A plain number and one under the name of the first limit are the same."""
    if isinstance(limit, Mapping):
        first = LIMIT_NAMES[check][0].rstrip("*")
        for name, item in limit.items():
            yield from _leaves(item, path if name == first else join(path, name))
    else:
        yield from _leaves(limit, path)


def _labels(items: tuple[Any, ...]) -> list[str]:
    """Names of list members where every one has a name of its own, else their places."""
    named = [_name(item) for item in items]
    if None in named or len(set(named)) < len(named):
        return [str(place) for place in range(len(items))]
    return [str(name) for name in named]


def _name(item: Any) -> str | None:
    if isinstance(item, Accept):
        return f"{item.id}.{item.subject}"
    return getattr(item, "name", None)


def _in_place(first: Mapping[str, Plain], second: Mapping[str, Plain]) -> list[str]:
    """All keys: those of the second job in its order, each that only the first has after its neighbour there."""
    made = list(second)
    known = set(made)
    last = ""
    for key in first:
        if key not in known:
            made.insert(made.index(last) + 1 if last else 0, key)
            known.add(key)
        last = key
    return made


def _is_number(value: Plain | None) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _same(before: Plain | None, after: Plain | None) -> bool:
    return before == after and isinstance(before, bool) == isinstance(after, bool)
