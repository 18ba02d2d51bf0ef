"""The casting's outside as one cut sees it: outline, fin gaps, and the sides that do not count for it."""

from __future__ import annotations

from headparts.errors import GeometryError
from headparts.geometry.axis import Axis
from headparts.geometry.outside import leaving_side, outside_void
from headparts.geometry.void import Void
from headparts.plan.needs import MissingInput
from headparts.plan.plan import Plan
from headparts.plan.station import StationPlan


def outside_of(plan: Plan, role: str, station: StationPlan) -> Void:
    """What counts as outside for one cut (W05).

    The side through which a port's prolonged axis leaves, outline and core, is left out for that port; the
    top is left out for shank and pocket. Raises MissingInput without
    an outline, and for a port that starts outside it.
    """
    outline = plan.inputs.one("head.outline")
    spans = (outline.x, outline.y, outline.z)
    lower, upper = [span[0] for span in spans], [span[1] for span in spans]
    skip: tuple[str, ...] = ()
    if role in ("port", "sleeve_bore"):
        axis = Axis(station.port.foot, station.port.direction)
        try:
            side = leaving_side(axis, lower, upper)
        except GeometryError as error:
            raise MissingInput(note=f"port_{station.name}: {error}") from error
        skip = () if side is None else (side,)
    elif role in ("shank_bore", "pocket"):
        skip = ("top",)
    core, fins = plan.inputs.get("head.core"), plan.inputs.get("head.fins")
    if core is None or fins is None:
        return outside_void(lower, upper, skip=skip)
    return outside_void(lower, upper, core.x, core.y, (fins.z, fins.pitch, fins.thick), skip=skip)
