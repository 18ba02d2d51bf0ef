"""Where the cavity behind a breakthrough really is, from the opening that was measured in the port."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from headparts.errors import GeometryError
from headparts.geometry.axis import Axis, common_perpendicular
from headparts.geometry.void import Void
from headparts.plan.needs import MissingInput
from headparts.plan.repair import RepairPlan

if TYPE_CHECKING:  # loaded when an opening is solved for
    from headparts.geometry.opening import Opening

SAME_LENGTH = 1e-5
"""The opening of the bore as it is, ends and chamber included, must come out as measured within this [mm]."""


@dataclass(frozen=True)
class TruePlace:
    """The cause of a breakthrough as its measured opening places it [mm].

    drawn, gap : distance of its axis from the port's, as drawn and as the opening's length along the port tells.
    around : the opening's width, a chord across the port, with the cavity there.
    """

    drawn: float
    gap: float
    around: float

    @property
    def nearer(self) -> float:
        """How much nearer to the port the cause is than drawn [mm]; negative: farther."""
        return self.drawn - self.gap


def true_place(repair: RepairPlan) -> TruePlace:
    """Where the cause really is by ``measured_opening.along_port``.

    The opening was measured in the port at its present diameter (``port.dia`` of the station). Raises
    MissingInput without a measured length along the port, and where no distance explains it: no gap gives
    that length, or the opening would run into the port's inner end, its face or the chamber.
    """
    key = repair.inputs.path("cause.measured_opening.along_port")
    along = repair.inputs.one("cause.measured_opening.along_port")
    port, cavity, _, _ = _both(repair, key)
    return placed_by(port, cavity, along, key)[0]


def placed_by(
    port: Void, cavity: Void, along: float, key: str
) -> tuple[TruePlace, tuple[float, float, float]]:
    """Where a round cavity really is by the length ``along`` [mm] of its opening into a port, and its shift [mm].

    The shift is along the common perpendicular of the two axes. Raises MissingInput, naming ``key``, where no
    distance explains the opening.
    """
    from headparts.geometry.opening_solve import axis_gap_of_opening

    (first, big), (second, small) = _round(port, key), _round(cavity, key)
    drawn, angle, foot_a, foot_b = common_perpendicular(first, second)
    try:
        gap = axis_gap_of_opening(along, big, small, min(angle, 180.0 - angle))
    except GeometryError as error:
        raise MissingInput(key, note=str(error)) from error
    if drawn < 1e-9:
        raise MissingInput(key, note="the axes cross: no side to shift the cavity to")
    share = (drawn - gap) / drawn
    step = [share * (a - b) for a, b in zip(first.at(foot_a), second.at(foot_b), strict=True)]
    found = _explained(port, cavity.moved(step), along)
    if found is None:
        raise MissingInput(key, note="the opening would run into an end of the port")
    return TruePlace(drawn, gap, found.around), (step[0], step[1], step[2])


def gap_by_width(repair: RepairPlan) -> float:
    """Distance of the two axes [mm] by ``measured_opening.around`` alone, the second equation for the same gap.

    Raises MissingInput without that width, and where no distance gives it.
    """
    from headparts.geometry.opening_solve import axis_gap_of_width

    key = repair.inputs.path("cause.measured_opening.around")
    around = repair.inputs.one("cause.measured_opening.around")
    _, _, (first, big), (second, small) = _both(repair, key)
    _, angle, _, _ = common_perpendicular(first, second)
    try:
        return axis_gap_of_width(around, big, small, min(angle, 180.0 - angle))
    except GeometryError as error:
        raise MissingInput(key, note=str(error)) from error


def _both(repair: RepairPlan, key: str) -> tuple[Void, Void, tuple[Axis, float], tuple[Axis, float]]:
    """Port and cause, and the axis and radius of each; MissingInput where the cause is not round."""
    cause = repair.inputs.one("cause.cavity")
    port = repair.voids.cut("port", repair.station.name).void
    cavity = repair.voids.cavity(cause)
    return port, cavity, _round(port, key), _round(cavity, key)


def _round(void: Void, key: str) -> tuple[Axis, float]:
    core = void.cores[0]
    if core.axis is None or core.radius is None:
        raise MissingInput(key, note="the cause is not a round hole")
    return core.axis, core.radius


def _explained(port: Void, cavity: Void, along: float) -> Opening | None:
    from headparts.geometry.opening import opening

    found = opening(port, cavity, with_volume=False)
    return found if found is not None and abs(found.along - along) <= SAME_LENGTH else None
