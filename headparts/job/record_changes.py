"""What one reading changes, in one sentence for the bench."""

from __future__ import annotations

from collections.abc import Callable

from headparts.config.record_items import NO_OPENING, Asked
from headparts.errors import HeadpartsError
from headparts.job.record_expected import step_depth
from headparts.job.record_use import Made, usual_u
from headparts.plan.sizes import body_fit, measured_ends, shank_fit

NONE_LEFT = "no outside diameter suits this bore: rebore"


def what_it_changes(each: Asked, made: Made) -> str:
    """The sentence, empty where a reading is only written down."""
    tell = _TELL.get(each.item.key)
    if tell is None:
        return ""
    try:
        return tell(each, made)
    except HeadpartsError:
        return ""


def _bore(each: Asked, made: Made) -> str:
    station = made.plan.stations[each.subject]
    if each.item.key == "shank_bore":
        return _turn_shank(each, made)
    if measured_ends(station, "body") is not None or station.job.get("fits.body") is None:
        return ""
    fit = body_fit(station)
    if fit.lower > fit.upper + 1e-9:
        return NONE_LEFT
    return f"turn the body to {fit.lower:.4f} to {fit.upper:.4f}, aim at {fit.turned:.4f}"


def _turn_shank(each: Asked, made: Made) -> str:
    station = made.plan.stations[each.subject]
    if measured_ends(station, "shank") is not None or station.job.get("fits.shank") is None:
        return ""
    fit = shank_fit(station)
    if fit.lower > fit.upper + 1e-9:
        return NONE_LEFT
    return f"turn the shank to {fit.lower:.4f} to {fit.upper:.4f}"


def _outside(each: Asked, made: Made) -> str:
    which = each.item.key.removesuffix("_od")
    ends = measured_ends(made.plan.stations[each.subject], which)
    if ends is None:
        return f"the {which} bore is not measured: no interference known"
    planned = (body_fit if which == "body" else shank_fit)(made.planned.stations[each.subject])
    text = f"interference {ends[0]:.4f} to {ends[1]:.4f} (planned {planned.loose:.4f} to {planned.tight:.4f})"
    readings = (made.record.readings.get(f"{step}.{each.subject}.{which}_{part}") for step, part in _PAIR)
    known = [None if reading is None else usual_u(reading) for reading in readings]
    if None in known or made.plan.inputs.get(f"fits.{which}.measure_u") is not None:
        return text
    within = sum(u or 0.0 for u in known)
    return f"{text}, known within {within:.4f} by the instruments (fits.{which}.measure_u takes it off)"


_PAIR = (("bores", "bore"), ("bushings", "od"))
"""Where the two readings of a pair stand in a record."""


def _step(each: Asked, made: Made) -> str:
    value = made.at20[each.key][0]
    assert value is not None
    off = value - step_depth(made.planned.stations[each.subject])
    return "" if abs(off) < 5e-5 else f"shoulder, seat and tip {off:+.4f} along the valve"


def _guide(each: Asked, made: Made) -> str:
    values = [value for value in made.at20[each.key] if value is not None]
    stem = float(made.plan.stations[each.subject].inputs.one("valve.stem"))
    if each.item.step == "bushings":
        return ""
    return f"stem clearance {min(values) - stem:.4f} to {max(values) - stem:.4f}"


def _tip(each: Asked, made: Made) -> str:
    station, before = made.plan.stations[each.subject], made.planned.stations[each.subject]
    return f"tip rise {station.tip_rise_z:.4f} (planned {before.tip_rise_z:.4f})"


def _opening(each: Asked, made: Made) -> str:
    name = made.record.readings[each.key].words
    if name in (None, NO_OPENING) or name not in made.moved:
        return ""
    gap, nearer = made.moved[name]
    side = "nearer" if nearer >= 0.0 else "farther"
    return f"{name} {abs(nearer):.4f} {side} than drawn: axes {gap:.4f} apart; every wall is judged there"


_TELL: dict[str, Callable[[Asked, Made], str]] = {
    "body_bore": _bore,
    "shank_bore": _bore,
    "body_od": _outside,
    "shank_od": _outside,
    "step_depth": _step,
    "guide_bore": _guide,
    "tip_z": _tip,
    "tip_s": _tip,
    "opening": _opening,
}
