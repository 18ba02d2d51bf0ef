"""What a person should know beside the cover of an opening (S05): bare area, the sides, and what was measured."""

from __future__ import annotations

from headparts.plan import MissingInput
from headparts.plan.repair import RepairPlan
from headparts.plan.sleeve_cover import sleeve_cover, worst_shift
from headparts.plan.true_place import gap_by_width, true_place

BARE = 1e-6
"""A bare area below this is none [mm2]."""
ALIKE = 0.05
"""Axis gaps by length and by width of an opening that differ by less agree [mm] (what a rule in a port can tell)."""


def cover_note(repair: RepairPlan, nearer: float) -> str:
    """How much of the opening is bare, and how it is covered beside the opening itself and round the port."""
    found = sleeve_cover(repair, nearer)
    assert found is not None
    if found.uncovered > BARE:
        return f"{found.uncovered:.3f} of the {found.area:.3f} mm2 of the opening are not covered"
    return (
        f"all {found.area:.3f} mm2 of the opening are covered, beside it by {found.least:.3f} at least, and round the "
        "port on every side: the sleeve is a whole tube"
    )


def measured_note(repair: RepairPlan) -> str:
    """What the measured opening says of the place of the cavity; "" where none was measured."""
    opening = repair.inputs.get("cause.measured_opening")
    if opening is None or (opening.along_port is None and opening.around is None):
        return ""
    parts = []
    gap = None
    if opening.along_port is not None:
        try:
            place = true_place(repair)
        except MissingInput as unexplained:
            parts.append(f"the measured opening of {opening.along_port:g} is not explained: {unexplained}")
        else:
            gap = place.gap
            parts.append(_shift_text(repair, opening.along_port, place.nearer))
            if opening.around is not None:
                parts.append(f"it would be {place.around:.3f} wide there, {opening.around:g} was measured")
    if opening.around is not None:
        try:
            by_width = gap_by_width(repair)
        except MissingInput as unexplained:
            parts.append(f"the measured width of {opening.around:g} is not explained: {unexplained}")
        else:
            parts.append(f"by its width alone the axes are {by_width:.3f} apart")
            if gap is not None and abs(by_width - gap) > ALIKE:
                parts.append(f"by its length {gap:.3f}: measure again before trusting either")
    return "; ".join(parts)


def _shift_text(repair: RepairPlan, along: float, nearer: float) -> str:
    side = "nearer" if nearer >= 0.0 else "farther"
    text = f"the measured opening of {along:g} puts the cavity {abs(nearer):.3f} {side} than drawn"
    try:
        taken = worst_shift(repair)
    except MissingInput:
        return text
    if abs(nearer) <= taken:
        return f"{text}, within the {taken:.3f} of the worst case"
    return f"{text}, beyond the {taken:.3f} of the worst case: correct the cavity in the job"
