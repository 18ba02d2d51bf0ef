"""What each check needs, as data, so that a check that could not run names every key that it lacks at once.

A key stands as in the job file, with these signs: ``@`` for the station's block, ``*`` for the block of every station,
``%`` the same where there are two, ``$`` for the repair's, ``&`` for the block of the repair's station; ``A:k`` key k of
the material that A names; ``tip_?`` either of tip_s and tip_z; ``A>B`` B where A is given, ``A|B`` B where A is not. Keys
of an id with a quantity or case, ``B14/contact_share``, are needed by that alone.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import Any

from headparts.plan import Inputs, Plan
from headparts.plan.repair import RepairPlan
from headparts.plan.station import StationPlan

SIGNS = "@*%$&"


@cache
def needs(check: str) -> tuple[str, ...]:
    """The keys of a check as the table writes them; none for checks that say themselves what they lack."""
    return _table().get(check, ())


@cache
def _table() -> dict[str, tuple[str, ...]]:
    text = files("headparts.checks").joinpath("data/needs.csv").read_text(encoding="utf-8")
    lines = list(csv.DictReader(text.splitlines()))[1:]
    return {line["id"]: tuple(line["keys"].split()) for line in lines}


def absent(plan: Plan, check: str, *subject: Any) -> list[str]:
    """Dotted keys that a check needs for its subject (a station or a repair plan, or none) and the job lacks."""
    missing = []
    for need in needs(check):
        sign = next((each for each in ">|" if each in need), ">")
        other, _, key = need.rpartition(sign)
        for prefix, station in _owners(plan, key, subject):
            if other and (plan.inputs.get(_at(prefix, other)) is None) == (sign == ">"):
                continue
            lacking = _lacking(plan.inputs, _at(prefix, key), station)
            if lacking is not None:
                missing.append(lacking)
    return missing


def _owners(plan: Plan, key: str, subject: tuple[Any, ...]) -> Iterator[tuple[str, StationPlan | None]]:
    """The blocks that a key is meant in: dotted path, and the station; none where it belongs to another subject."""
    if key[0] not in SIGNS:
        yield "", None
    elif key[0] == "*" or (key[0] == "%" and len(plan.stations) == 2):
        for name, station in plan.stations.items():
            yield f"stations.{name}.", station
    for each in subject:
        if key[0] == "@" and isinstance(each, StationPlan):
            yield f"stations.{each.name}.", each
        if key[0] == "$" and isinstance(each, RepairPlan):
            yield f"repairs.{each.name}.", None
        if key[0] == "&" and isinstance(each, RepairPlan) and each.inputs.get("in_port") in plan.stations:
            yield f"stations.{each.station.name}.", each.station


def _at(prefix: str, key: str) -> str:
    return prefix + key[1:] if key[0] in SIGNS else key


def _lacking(inputs: Inputs, full: str, station: StationPlan | None) -> str | None:
    """The key to name for what is not there; None where nothing lacks."""
    owner, _, quantity = full.partition(":")
    if owner.endswith("_?"):
        stem = owner[:-1]
        if inputs.get(f"{stem}s") is not None or inputs.get(f"{stem}z") is not None:
            return None
        along = station is None or station.inputs.get("axis") is None or station.tilted
        return f"{stem}s" if along else f"{stem}z"
    if inputs.get(owner) in (None, {}):  # no `temps` at all are read as none of them
        return owner
    of_material = f"materials.{inputs.get(owner)}.{quantity}"
    return of_material if quantity and inputs.get(of_material) is None else None
