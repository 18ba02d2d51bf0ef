"""The casting's outside as regions: beyond the outline's sides and top, and in the gaps between the fins."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from headparts.geometry.convex import Convex, box
from headparts.geometry.void import Void
from headparts.plan.plan import Plan
from headparts.plan.station import StationPlan

Span = tuple[float, float]


@dataclass(frozen=True)
class Side:
    """One side of the head: axis 0 (x) or 1 (y), and whether it is the far (+) one."""

    axis: int
    far: bool


SIDES = tuple(Side(axis, far) for axis in (0, 1) for far in (False, True))


def fin_gaps(z: Span, pitch: float, thick: float) -> list[Span]:
    """Heights of the gaps between fins [mm]: the first fin's lower face is at z[0], a gap follows each fin.

    >>> fin_gaps((6.0, 12.0), 4.0, 1.5)
    [(7.5, 10.0), (11.5, 12.0)]
    """
    gaps = []
    base = z[0]
    while base + thick < z[1] - 1e-9:
        gaps.append((base + thick, min(base + pitch, z[1])))
        base += pitch
    return gaps


def _beyond(side: Side, span: Span, z: Span) -> Convex:
    lower, upper = [-inf, -inf, z[0]], [inf, inf, z[1]]
    if side.far:
        lower[side.axis] = span[1]
    else:
        upper[side.axis] = span[0]
    return box(lower, upper)


def leaving_side(plan: Plan, station: StationPlan) -> Side:
    """The side of the outline through which the port's prolonged axis leaves."""
    outline = plan.inputs.one("head.outline")
    port = station.port
    nearest: tuple[float, Side] | None = None
    for side in SIDES:
        plane = (outline.x, outline.y)[side.axis][1 if side.far else 0]
        speed = port.direction[side.axis]
        if (speed > 1e-12) == side.far and abs(speed) > 1e-12:
            reach = (plane - port.foot[side.axis]) / speed
            if nearest is None or reach < nearest[0]:
                nearest = (reach, side)
    assert nearest is not None
    return nearest[1]


def outside_of(plan: Plan, role: str, station: StationPlan) -> Void:
    """What counts as outside for one cut (W05).

    The side through which a port leaves is left out for the port, the top for shank and pocket.
    """
    outline = plan.inputs.one("head.outline")
    left_out = leaving_side(plan, station) if role in ("port", "sleeve_bore") else None
    regions: list[Convex] = []
    core, fins = plan.inputs.get("head.core"), plan.inputs.get("head.fins")
    for side in SIDES:
        if side == left_out:
            continue
        regions.append(_beyond(side, (outline.x, outline.y)[side.axis], (-inf, inf)))
        if core is not None and fins is not None:
            span = (core.x, core.y)[side.axis]
            regions += [_beyond(side, span, gap) for gap in fin_gaps(fins.z, fins.pitch, fins.thick)]
    if role not in ("shank_bore", "pocket"):
        regions.append(box((-inf, -inf, outline.z[1]), (inf, inf, inf)))
    return Void("outside", "outside", tuple(regions))
