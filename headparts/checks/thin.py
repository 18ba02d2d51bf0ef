"""W10: how much of a cut's surface is nearer to a cavity than the pair's limit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from headparts.checks.context import Context
from headparts.checks.finding import SAME, Finding
from headparts.checks.pairs import Pair, pairs
from headparts.checks.registry import check
from headparts.geometry.holes import Hole, endless_cylinder_hole
from headparts.geometry.void import Void
from headparts.plan import MissingInput

if TYPE_CHECKING:  # loaded when an area is asked for
    from headparts.geometry.thin_area import ThinArea


@check("W10", per="job", needs="voids")
def thin_area(context: Context) -> Iterator[Finding]:
    """Area of a cut nearer to a cavity than the pair's limit; one pass for the head when no wall is below it.

    A wall that could not be measured may be thin: its pair is not run, and the head does not pass.
    Between two cuts the area is on the first in alphabetical order. Only the nominal place counts.
    """
    mine = pairs(context)
    strictest: dict[str, Pair] = {}
    for pair in sorted((pair for pair in mine if below(pair)), key=limit_of):
        strictest[pair.subject] = pair  # a pocket and the other station's port are judged by W05 and by W11
    thin = [pair for pair in mine if strictest.get(pair.subject) is pair]
    for pair in thin:
        assert pair.wall is not None
        if pair.voids is None:
            yield from context.not_run("W10", pair.subject, note="not built for a head given as a solid")
            continue
        if context.brief:
            yield context.judge("W10", pair.subject, "thin_area", None, verdict="info")
            continue
        found = area_of(context, pair)
        yield context.judge(
            "W10",
            pair.subject,
            "thin_area",
            found.value,
            terms={"measured_value": found.value},
            at=pair.wall.at,
            method="exact stretches along the cut's lines",
            advice="a small thin spot is stiffer than a long thin strip: shift the cut or take a smaller one",
            note=f"nearer than {limit_of(pair):g}, within {max(found.error, 0.01):.2f} mm2; "
            "what lies inside the cavity counts too",
        )
    unseen = {
        pair.subject: pair for pair in mine if pair.missing is not None and pair.subject not in strictest
    }
    for subject, pair in unseen.items():
        yield from context.not_run("W10", subject, pair.missing)
    if thin or unseen:
        return
    if mine:
        yield context.judge(
            "W10", "head", "thin_area", 0.0, method="no wall below its limit", terms={"measured_value": 0.0}
        )
    else:
        yield from context.not_run("W10", "head", MissingInput("stations"))


def limit_of(pair: Pair) -> float:
    """The pair's least wall [mm]."""
    limit = pair.limit.value
    return float(limit) if isinstance(limit, float | int) else 0.0


def below(pair: Pair) -> bool:
    """Whether the pair was measured and is thinner than its limit."""
    return pair.wall is not None and pair.wall.value < limit_of(pair) - SAME


def area_of(context: Context, pair: Pair) -> ThinArea:
    """The thin area of a measured pair [mm2]."""
    from headparts.geometry.thin_area import thin_area as area_nearer_than

    assert pair.voids is not None
    cut, other = pair.voids
    if pair.cavity is None and other.kind != "outside" and other.name < cut.name:
        cut, other = other, cut
    ends, holes = _flat_ends(context, cut)
    return area_nearer_than(cut, other, limit_of(pair), ends, holes)


def _flat_ends(context: Context, cut: Void) -> tuple[tuple[float, ...], tuple[Hole, ...]]:
    """Flat ends that a cut leaves in the metal: the shoulder above a body bore, the floor of a pocket.

    The shank's bore goes through both. Other ends lie in another cut or in the open.
    """
    core = cut.cores[0]
    role, _, name = cut.name.rpartition("_")
    if role not in ("body_bore", "pocket") or core.axis is None:
        return (), ()
    shank = context.plan.stations[name].inputs.get("bushing.shank.dia")
    holes = (
        () if shank is None else (endless_cylinder_hole(core.axis.point, core.axis.direction, shank / 2.0),)
    )
    return ((core.axis.length,) if role == "body_bore" else (0.0,)), holes
