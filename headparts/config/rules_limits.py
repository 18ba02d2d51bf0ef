"""Rules of `limits:` and `accept:`: the ids and names that exist, and the form each limit takes."""

from __future__ import annotations

import re

from .fault import nearest
from .judge import Judge
from .limit_ids import LIMIT_NAMES, is_range


def judge_limits(judge: Judge) -> None:
    """Unknown ids, a form that the check does not have, unknown names; and ids of `accept`."""
    limits = judge.job.limits
    for key, value in (limits.by_id if limits is not None else {}).items():
        path = f"limits.{key}"
        if key not in LIMIT_NAMES:
            _unknown(judge, path, key)
            continue
        names = [name.rstrip("*") for name in LIMIT_NAMES[key]]
        if not names:
            judge.fault(path, f"{key} has no limit that could be set")
        elif isinstance(value, dict):
            for name, inner in value.items():
                _named(judge, f"{path}.{name}", key, name, inner, names)
        elif isinstance(value, tuple) and not is_range(key):
            judge.fault(path, f"{key} takes one number, not [low, high]")
        elif not isinstance(value, tuple) and is_range(key):
            judge.fault(path, f"{key} takes a range [low, high], not one number")
    for item in judge.job.accept:
        path = f"{judge.path_of(item)}.id"
        if item.id is not None and item.id not in LIMIT_NAMES:
            _unknown(judge, path, item.id)


def _unknown(judge: Judge, path: str, key: str) -> None:
    short = re.fullmatch(r"([A-Za-z])([0-9])(r?)", key)
    full = f"{short.group(1).upper()}0{short.group(2)}{short.group(3)}" if short else ""
    near = full if full in LIMIT_NAMES else nearest(key, LIMIT_NAMES)
    families = ", ".join(sorted({check[0] for check in LIMIT_NAMES}))
    allowed = "" if near else f"; ids are a letter of {families} and a number, as W01"
    judge.fault(path, f"{key!r} is not the id of a check{allowed}", near)


def _named(judge: Judge, path: str, key: str, name: str, value: object, names: list[str]) -> None:
    if name not in names:
        near = nearest(name, names)
        judge.fault(path, f"{key} has no limit {name!r}; it has {', '.join(names)}", near)
    elif isinstance(value, tuple) != is_range(key, name):
        wanted = "a range [low, high]" if is_range(key, name) else "one number"
        judge.fault(path, f"{key} {name} takes {wanted}")
