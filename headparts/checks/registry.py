"""Check functions register here; one run asks each of them about each of its subjects."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.needs import absent
from headparts.checks.table import quantities
from headparts.errors import GeometryError, ParameterError, TableError
from headparts.plan import MissingInput

Function = Callable[..., Iterable[Finding]]


@dataclass(frozen=True)
class Check:
    """One registered function: its id, what it is asked about, and what it needs to load."""

    id: str
    per: str
    function: Function
    needs: str
    case: str = ""


REGISTRY: list[Check] = []

FAMILIES = (
    ("walls", "W"), ("sleeve_walls", "S"), ("breakthrough", "W"), ("bushings", "B"), ("fits", "F"), ("machining", "M"),
    ("ports", "P"), ("record", "HQ"), ("sleeves", "S"), ("thin", "W"), ("valve_train", "KLR"), ("valves", "V"),
)  # fmt: skip
"""The modules of the checks and the first letters of their ids, in the order in which they are asked."""


def registered(wanted: Collection[str] | None = None) -> list[Check]:
    """The checks of these ids, all by default, in the order of `FAMILIES`; loads the families that hold them."""
    first = None if wanted is None else {id_[0] for id_ in wanted}
    for name, letters in FAMILIES:
        if first is None or first & set(letters):
            import_module(f"headparts.checks.{name}")
    order = {f"headparts.checks.{name}": place for place, (name, _) in enumerate(FAMILIES)}
    REGISTRY.sort(key=lambda entry: order.get(entry.function.__module__, len(order)))
    return [entry for entry in REGISTRY if wanted is None or entry.id in wanted]


def check(check_id: str, per: str, needs: str = "numbers", case: str = "") -> Callable[[Function], Function]:
    """Register a check function.

    ``per`` names its subjects: station, bushing, port, repair, cavity, or the name of a single subject.
    ``needs`` is numbers, voids or solids. A function asked per station gets (context, station plan), per
    repair (context, repair plan), per cavity (context, cavity block), else (context).
    """

    def register(function: Function) -> Function:
        REGISTRY.append(Check(check_id, per, function, needs, case))
        return function

    return register


def subjects(context: Context, per: str) -> list[tuple[str, tuple[Any, ...]]]:
    """The subjects of a kind: name and the arguments of the check function after the context."""
    plan = context.plan
    if per in ("station", "bushing", "port"):
        prefix = "" if per == "station" else f"{per}_"
        return [(prefix + name, (station,)) for name, station in plan.stations.items()]
    if per == "repair":
        return [(name, (repair,)) for name, repair in plan.repairs.items()]
    if per == "cavity":
        return [(block.name, (block,)) for block in plan.voids.cavity_blocks]
    return [(per, ())]


NOTHING = {
    "station": "stations",
    "bushing": "stations",
    "port": "stations",
    "cavity": "head.cavities",
}


def ask(context: Context, entry: Check) -> Iterator[Finding]:
    """All findings of one check, its not_run rows included."""
    asked = subjects(context, entry.per)
    if not asked:
        if entry.per == "repair":
            yield from context.none_here(entry.id)
        else:
            yield from context.not_run(entry.id, "job", MissingInput(NOTHING[entry.per]), case=entry.case)
    for subject, arguments in asked:
        yield from answer(context, entry, subject, arguments)


def answer(context: Context, entry: Check, subject: str, arguments: tuple[Any, ...]) -> list[Finding]:
    """The findings of one check about one of its `subjects`, its not_run rows included."""
    try:
        return list(entry.function(context, *arguments))
    except MissingInput as gap:
        made: list[Finding] = []
        for quantity in quantities(entry.id):
            keys = [
                *absent(context.plan, entry.id, *arguments),
                *absent(context.plan, f"{entry.id}/{quantity}", *arguments),
            ]
            every = MissingInput(*gap.keys, *keys, note=gap.note)
            made += context.not_run(entry.id, subject, every, case=entry.case, only=quantity)
        return made
    except (ParameterError, GeometryError, TableError) as error:
        return context.not_run(entry.id, subject, note=str(error), case=entry.case)
