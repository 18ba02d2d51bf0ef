"""Which metal a wall is: what lies on the straight line between its two points, and the metal that is really there."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import TYPE_CHECKING

from headparts.checks.context import Context
from headparts.checks.finding import SAME
from headparts.checks.pairs import Pair, worst_limits
from headparts.geometry.axis import Vec
from headparts.geometry.convex import Convex
from headparts.geometry.distance import Wall
from headparts.geometry.void import Void
from headparts.plan import MissingInput
from headparts.plan.standing import FINISHED, casting, standing_voids

if TYPE_CHECKING:  # loaded when a wall's metal is looked at
    from headparts.geometry.metal import Line

NEAR = 2.0
"""The metal beside a line is searched for a wall below this many times its limit; thicker ones decide nothing."""
Points = tuple[Vec, Vec] | None


def metal_of(
    context: Context, pair: Pair, all_pairs: Sequence[Pair], step: str = FINISHED
) -> tuple[str, Points]:
    """What a person must know of a wall whose two points are not joined by metal, "" where they are; its place.

    The place is another one than measured where the wall is as thick elsewhere and metal there. Its value stays as
    it is: it is the distance of the two voids. ``all_pairs`` are those of the same step of the work, looked at in
    one go. The walls of each void to what lies between are judged in rows of their own.
    """
    wall = pair.wall
    if context.brief or wall is None or wall.at is None or pair.voids is None or wall.value == inf:
        return "", None if wall is None else wall.at
    if wall.value <= SAME:
        return _overlap_note(context, pair, step), wall.at
    line = _lines(context, all_pairs, step)[pair.check, pair.subject]
    if line.in_metal:
        return "", wall.at
    from headparts.geometry.metal_search import slid

    elsewhere = slid(*pair.voids, wall.at, _others(context, line, step))
    if elsewhere is not None:
        return "", elsewhere
    return _line_note(context, pair, line, wall, step), wall.at


def _line_note(context: Context, pair: Pair, line: Line, wall: Wall, step: str) -> str:
    """A wall whose line is not all metal: the wall within the casting, and what the line runs through."""
    if "outside" not in line.through:
        return _crossing_text(context, pair, line, wall, step)
    inside = _inside(context, pair)
    if inside is None or inside.at is None or inside.value - wall.value <= 1e-6:
        return _crossing_text(context, pair, line, wall, step)
    text = (
        f"the nearest points are joined outside the casting: within it the wall is {_size(inside)} ({step})"
    )
    from headparts.geometry.metal import lines

    (again,) = lines([inside.at], [line.ends], _standing(context, step))
    return text if again.in_metal else f"{text}; {_crossing_text(context, pair, again, inside, step)}"


def _overlap_note(context: Context, pair: Pair, step: str) -> str:
    """Two voids that meet outside the casting alone do not meet in it."""
    inside = _inside(context, pair)
    if inside is None or inside.value <= SAME:
        return ""
    return f"they meet outside the casting alone: within it the wall is {_size(inside)} ({step})"


def _crossing_text(context: Context, pair: Pair, line: Line, wall: Wall, step: str) -> str:
    unknown = {block.name for block in context.plan.voids.cavity_blocks if block.kind == "unknown"}
    names = ", ".join(f"{name} (unknown)" if name in unknown else name for name in line.through)
    text = f"the straight line runs through {names}: {line.metal:.3f} of it is metal"
    span = line.thinnest
    if span is not None:
        text += f", thinnest {span.length:.3f} from {span.between[0]} to {span.between[1]}"
    text += f" ({step})"
    if not _near_its_limit(context, pair):
        plain = all(_is_open(name) for name in line.through)
        return f"{text}; beside it, through metal, it is no thinner" if plain else text
    assert pair.voids is not None
    assert wall.at is not None
    from headparts.geometry.metal_search import straight_metal

    beside = straight_metal(*pair.voids, _others(context, line, step), wall.at)
    if beside is None:
        return f"{text}; no straight line through metal alone was found"
    return f"{text}; straight through metal alone {beside.length:.3f} at most"


def _is_open(name: str) -> bool:
    """Whether what is named here is the open: outside the casting or in its chamber, judged by no cavity's row."""
    return name in ("outside", "chamber") or name.startswith("clearing_")


def _others(context: Context, line: Line, step: str) -> list[Void]:
    """What may lie on the way between the two voids of a line; first what is known to."""
    voids = [
        void for void in _standing(context, step) if void.kind == "outside" or void.name not in line.ends
    ]
    return sorted(voids, key=lambda void: void.name not in line.through)


def _standing(context: Context, step: str) -> tuple[Void, ...]:
    return context.remember(f"standing {step}", lambda: standing_voids(context.plan, step))  # type: ignore[no-any-return]


def _near_its_limit(context: Context, pair: Pair) -> bool:
    """Whether it matters how much metal there really is: the wall is thin, or its worst case below its limit."""
    assert pair.wall is not None
    limit = pair.limit.value
    if not isinstance(limit, float | int):
        return False
    worst = worst_limits(context, pair.limit, "W07", 0.6, True).value
    short = isinstance(worst, float | int) and pair.wall.value - sum(pair.terms) < worst - SAME
    return short or pair.wall.value < NEAR * limit


def _size(wall: Wall) -> str:
    return f"{wall.value:.3f}" if wall.proven else f"{wall.lower:.3f} to {wall.upper:.3f}, unproven"


def _lines(context: Context, all_pairs: Sequence[Pair], step: str) -> dict[tuple[str, str], Line]:
    """The lines of all measured pairs of one step of the work, by check and subject."""

    def made() -> dict[tuple[str, str], Line]:
        apart = [
            pair
            for pair in all_pairs
            if pair.voids is not None
            and pair.wall is not None
            and pair.wall.at is not None
            and pair.wall.value > SAME
        ]
        points = [pair.wall.at for pair in apart if pair.wall is not None and pair.wall.at is not None]
        ends = [(pair.voids[0].name, pair.voids[1].name) for pair in apart if pair.voids is not None]
        from headparts.geometry.metal import lines

        found = lines(points, ends, _standing(context, step))
        return {(pair.check, pair.subject): line for pair, line in zip(apart, found, strict=True)}

    return context.remember(f"metal {step}", made)  # type: ignore[no-any-return]


def _inside(context: Context, pair: Pair) -> Wall | None:
    """The pair's wall within the casting; None where that is not known or one void lies wholly outside."""
    pieces = _casting(context)
    if not pieces or pair.voids is None:
        return None
    first, second = pair.voids
    if second.kind == "outside" and second.name == "outside":
        return None
    from headparts.geometry.metal_search import wall_within

    return wall_within(first, second, pieces)


def _casting(context: Context) -> tuple[Convex, ...]:
    try:
        return casting(context.plan)
    except MissingInput:
        return ()
