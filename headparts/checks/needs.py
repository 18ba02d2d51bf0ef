"""What each check needs, as data, so that a check that could not run names every key that it lacks at once."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files
from typing import Any

from headparts.plan import Inputs
from headparts.plan.repair import RepairPlan
from headparts.plan.station import StationPlan


@cache
def needs(check: str) -> tuple[str, ...]:
    """The keys of a check as the table writes them; none for checks that say themselves what they lack."""
    return _table().get(check, ())


@cache
def _table() -> dict[str, tuple[str, ...]]:
    text = files("headparts.checks").joinpath("data/needs.csv").read_text(encoding="utf-8")
    lines = list(csv.DictReader(text.splitlines()))[1:]
    return {line["id"]: tuple(line["keys"].split()) for line in lines}


def absent(inputs: Inputs, check: str, *subject: Any) -> list[str]:
    """Dotted keys that a check needs for its subject (a station or a repair plan, or none) and the job lacks."""
    missing = []
    for key in needs(check):
        full = _full(key, subject)
        if full is None:
            continue
        owner, _, quantity = full.partition(":")
        if inputs.get(owner) in (None, {}):  # no `temps` at all are read as none of them
            missing.append(owner)
        elif quantity:
            of_material = f"materials.{inputs.get(owner)}.{quantity}"
            if inputs.get(of_material) is None:
                missing.append(of_material)
    return missing


def _full(key: str, subject: tuple[Any, ...]) -> str | None:
    """The key from the root of the job; None where it belongs to a subject that this is not."""
    if key[0] not in "@$":
        return key
    for each in subject:
        if key[0] == "@" and isinstance(each, StationPlan):
            return f"stations.{each.name}.{key[1:]}"
        if key[0] == "$" and isinstance(each, RepairPlan):
            return f"repairs.{each.name}.{key[1:]}"
    return None
