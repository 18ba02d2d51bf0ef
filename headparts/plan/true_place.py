"""Where the cavity behind a breakthrough really is, from the opening that was measured in the port."""

from __future__ import annotations

from headparts.errors import GeometryError
from headparts.geometry.axis import common_perpendicular
from headparts.geometry.opening import opening
from headparts.geometry.opening_solve import axis_gap_of_opening
from headparts.geometry.void import Void
from headparts.plan.needs import MissingInput
from headparts.plan.repair import RepairPlan

SAME_LENGTH = 1e-5
"""The opening of the bore as it is, ends and chamber included, must come out as measured within this [mm]."""


def axis_gaps(repair: RepairPlan) -> tuple[float, float]:
    """Distance of the port's axis from the cause's [mm]: as measured through the opening, and as drawn.

    The opening was measured in the port at its present diameter (``port.dia`` of the station). Raises
    MissingInput without a measured length along the port, and where no distance explains it: no gap gives
    that length, or the opening would run into the port's inner end, its face or the chamber.
    """
    along, cause = repair.inputs("cause.measured_opening.along_port", "cause.cavity")
    station = repair.station
    port = repair.voids.cut("port", station.name).void
    cavity = repair.voids.cavity(cause)
    first, second = port.cores[0], cavity.cores[0]
    key = repair.inputs.path("cause.measured_opening.along_port")
    if first.axis is None or second.axis is None or first.radius is None or second.radius is None:
        raise MissingInput(key, note="the cause is not a round hole")
    drawn, angle, foot_a, foot_b = common_perpendicular(first.axis, second.axis)
    try:
        gap = axis_gap_of_opening(along, first.radius, second.radius, min(angle, 180.0 - angle))
    except GeometryError as error:
        raise MissingInput(key, note=str(error)) from error
    if drawn < 1e-9:
        raise MissingInput(key, note="the axes cross: no side to shift the cavity to")
    share = (drawn - gap) / drawn
    step = [share * (a - b) for a, b in zip(first.axis.at(foot_a), second.axis.at(foot_b), strict=True)]
    if not _explained(port, cavity.moved(step), along):
        raise MissingInput(key, note="the opening would run into an end of the port")
    return gap, drawn


def _explained(port: Void, cavity: Void, along: float) -> bool:
    found = opening(port, cavity, with_volume=False)
    return found is not None and abs(found.along - along) <= SAME_LENGTH
