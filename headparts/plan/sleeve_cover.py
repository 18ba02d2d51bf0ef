"""How a repair sleeve covers the opening that it was put in for: along the port, beside the opening, uncovered area."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from headparts.geometry.axis import common_perpendicular
from headparts.geometry.void import Void
from headparts.plan.needs import MissingInput
from headparts.plan.repair import RepairPlan

if TYPE_CHECKING:  # loaded when an opening is measured
    from headparts.geometry.opening import Cover, Opening


def cause_of(repair: RepairPlan, nearer: float = 0.0) -> Void:
    """The cavity that the port broke into, moved nearer to the sleeve's bore by ``nearer`` [mm]."""
    cavity = repair.voids.cavity(repair.inputs.one("cause.cavity"))
    first, second = repair.bore_void.cores[0].axis, cavity.cores[0].axis
    if nearer == 0.0 or first is None or second is None:
        return cavity
    gap, _, foot_a, foot_b = common_perpendicular(first, second)
    if gap < 1e-9:
        return cavity
    step = np.asarray(first.at(foot_a)) - np.asarray(second.at(foot_b))
    return cavity.moved(nearer * step / np.linalg.norm(step))


def worst_shift(repair: RepairPlan) -> float:
    """How much nearer the cause may lie than drawn [mm]: its half-width and the drill's start. MissingInput without."""
    cause = repair.inputs.one("cause.cavity")
    repair.voids.cavity(cause)  # MissingInput where the job has none of that name
    block = next(block for block in repair.voids.cavity_blocks if block.name == cause)
    u = repair.voids.cavity_u(block)
    if u is None:
        raise MissingInput(f"head.cavities.{cause}.u")
    return u + float(repair.voids.inputs.one("process.drill_start_u"))


def opening_of(repair: RepairPlan, nearer: float = 0.0) -> Opening | None:
    """The opening of the sleeve's bore into the cause, or None; its places count from the bore's foot."""
    from headparts.geometry.opening import opening

    return opening(repair.bore_void, cause_of(repair, nearer), with_volume=False)


def sleeve_cover(repair: RepairPlan, nearer: float = 0.0) -> Cover | None:
    """How the sleeve, with its inner end and flush with the face, covers that opening; None without one."""
    from headparts.geometry.opening import cover_of

    port = repair.station.port
    return cover_of(repair.bore_void, cause_of(repair, nearer), repair.begins, port.length - port.start)


def uncovered_area(repair: RepairPlan, worst: bool = False) -> float:
    """Area of the opening that the sleeve leaves bare [mm2]; ``worst``: with the cause nearer by `worst_shift`."""
    found = sleeve_cover(repair, worst_shift(repair) if worst else 0.0)
    return 0.0 if found is None else found.uncovered
