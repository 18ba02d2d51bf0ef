"""What else lies between the two points of a wall: a wall across a third void is not all metal."""

from __future__ import annotations

from headparts.checks.context import Context
from headparts.checks.pairs import Pair, cuts_of
from headparts.geometry.crossed import crossed
from headparts.geometry.void import Void
from headparts.plan import MissingInput


def crossing_note(context: Context, pair: Pair) -> str:
    """Names the cavities and cuts that the straight line of a measured wall runs through; "" where none.

    The wall's value stays as it is: it is the distance of the two voids. The walls of each of them to what lies
    between are judged in rows of their own.
    """
    if pair.wall is None or pair.wall.at is None or pair.wall.value <= 0 or pair.voids is None:
        return ""
    mine = {pair.voids[0].name, pair.voids[1].name}
    others = [void for void in _every_void(context) if void.name not in mine]
    names = crossed(*pair.wall.at, others)
    return f"the straight line runs through {', '.join(names)}: less metal than that" if names else ""


def _every_void(context: Context) -> tuple[Void, ...]:
    return context.remember("every_void", lambda: tuple(_made(context)))  # type: ignore[no-any-return]


def _made(context: Context) -> list[Void]:
    voids = context.plan.voids
    made = [voids.cavity(block.name) for block in voids.cavity_blocks if block.kind != "unknown"]
    for role, station in cuts_of(context):
        try:
            made.append(voids.cut(role, station.name).void)
        except MissingInput:
            continue
    return made
