"""Rules of one station: how its axis is given, s or z, sizes that exclude each other, derived values."""

from __future__ import annotations

from itertools import pairwise
from math import cos, radians, sin, tan

from .blocks_head import Vector3
from .blocks_station import AxisSpec, Station
from .judge import Judge, direction, dot, start


def judge_station(judge: Judge, name: str, station: Station) -> None:
    """Every rule of one station; each is judged only where all it needs is given."""
    path = f"stations.{name}"
    for axis, axis_path in ((station.axis, "axis"), (station.old.axis if station.old else None, "old.axis")):
        if axis is not None:
            _axis_form(judge, axis, f"{path}.{axis_path}")
    old_axis = station.old.axis if station.old is not None and station.old.axis is not None else station.axis
    _s_or_z(judge, f"{path}.bushing.shank", "top", station.axis)
    _s_or_z(judge, f"{path}.spring", "seat", station.axis)
    _s_or_z(judge, f"{path}.old", "tip", old_axis)
    if station.old is not None and not (
        judge.written(f"{path}.old.tip_z") or judge.written(f"{path}.old.tip_s")
    ):
        key = "tip_s" if _leans(old_axis) else "tip_z"
        judge.missing(
            f"{path}.old", key, "required key is missing: where the old stem tip stood (tip_z or tip_s)"
        )
    _bushing_sizes(judge, path)
    _heights(judge, path, station)
    _undercut_and_leads(judge, path, station)
    _spring(judge, path, station)
    judge.compared(f"{path}.bushing.seat.inner", seat_inner(judge, path), "outer - 2 width cos(angle)")
    judge.compared(
        f"{path}.valve.tip_rise", tip_rise(judge, name, station)[0], "the new and the old stem tip"
    )


def _axis_form(judge: Judge, axis: AxisSpec, path: str) -> None:
    by_point = [key for key in ("p", "tilt", "azim") if judge.written(f"{path}.{key}")]
    by_points = judge.written(f"{path}.points")
    if by_points and by_point:
        judge.fault(
            f"{path}.points",
            f"points and {', '.join(by_point)} are two ways to give one axis; write one of them",
        )
    elif not by_points and "p" not in by_point:
        judge.missing(path, "p", "required key is missing: p with tilt and azim, or points")
    if "p" in by_point and not by_points:
        if "tilt" not in by_point:
            judge.missing(path, "tilt", "required key is missing: tilt from +Z")
        elif "azim" not in by_point and axis.tilt not in (None, 0.0):
            judge.missing(path, "azim", "required key is missing: azimuth of a leaning axis")
    if axis.points is not None:
        vector = direction(axis)
        if vector is None or sum((b - a) ** 2 for a, b in zip(*axis.points, strict=True)) < 0.001**2:
            judge.fault(f"{path}.points", "the two points are the same; they must lie apart along the axis")
        elif vector[2] < cos(radians(45.0)) - 1e-12:
            message = "the axis through the points (gas side first) leans more than 45 deg from +Z"
            judge.fault(f"{path}.points", f"{message}; allowed is 0 to 45")


def _leans(axis: AxisSpec | None) -> bool:
    """Whether an axis is known not to be upright."""
    vector = direction(axis)
    if vector is None:
        return axis is not None and axis.tilt not in (None, 0.0)
    return abs(vector[0]) > 1e-12 or abs(vector[1]) > 1e-12


def _s_or_z(judge: Judge, block: str, stem: str, axis: AxisSpec | None) -> None:
    z, s = f"{block}.{stem}_z", f"{block}.{stem}_s"
    if judge.written(z) and judge.written(s):
        later = max(z, s, key=lambda path: judge.notes.places[path][:2])
        judge.fault(later, f"{stem}_z and {stem}_s give the same height twice; write one of them")
    elif judge.written(z) and _leans(axis):
        judge.fault(z, f"{stem}_z is for an upright axis (tilt 0) only; this one leans: write {stem}_s")


def seat_inner(judge: Judge, path: str) -> float | None:
    """Inner diameter of the seat, outer - 2 width cos(angle) [mm]."""
    seat = judge.get(f"{path}.bushing.seat")
    if seat is None or seat.outer is None or seat.width is None or seat.angle is None:
        return None
    return float(seat.outer - 2.0 * seat.width * cos(radians(seat.angle)))


def _seat_inner_edge(judge: Judge, path: str) -> float | None:
    seat = judge.get(f"{path}.bushing.seat")
    if seat is None or seat.s_outer is None or seat.width is None or seat.angle is None:
        return None
    return float(seat.s_outer + seat.width * sin(radians(seat.angle)))


def _bushing_sizes(judge: Judge, path: str) -> None:
    b, v = f"{path}.bushing", f"{path}.valve"
    judge.below(f"{b}.bowl.throat", f"{b}.seat.outer", what="the seat's outer diameter seat.outer")
    judge.below(f"{b}.seat.outer", f"{v}.head", equal=True, what="the valve head valve.head")
    judge.below(f"{b}.guide.bore", f"{b}.shank.dia", what="the shank's diameter shank.dia")
    judge.below(f"{b}.shank.dia", f"{b}.body.dia", what="the body's diameter body.dia")
    if judge.num(f"{b}.shank.dia") is None:
        judge.below(f"{b}.guide.bore", f"{b}.body.dia", what="the body's diameter body.dia")
    judge.below(f"{b}.bowl.throat", f"{b}.body.dia", what="the body's diameter body.dia")
    judge.below(f"{b}.seat.outer", f"{b}.body.dia", what="the body's diameter body.dia")
    judge.below(f"{v}.stem", f"{b}.guide.bore", what="the guide's bore guide.bore")
    judge.below(f"{v}.stem", f"{v}.head", what="the valve's head")
    judge.below(f"{v}.lift_tdc", f"{v}.lift", equal=True, what="the greatest lift")
    judge.below(f"{b}.guide.pre_bore", f"{b}.guide.bore", equal=True, what="the finished bore guide.bore")
    judge.below(f"{b}.bowl.boss_dia", f"{b}.bowl.throat", what="the throat")
    judge.below(f"{b}.guide.bore", f"{b}.bowl.boss_dia", what="the guide boss bowl.boss_dia")
    judge.below(f"{b}.seat.top_cut", f"{b}.seat.angle", what="the seat's angle")
    judge.below(f"{b}.seat.angle", f"{b}.seat.throat_cut", what="the cut below it, throat_cut")
    judge.below(f"{path}.old.shank_bore", f"{path}.old.body_bore", what="the old body bore")
    inner, guide = seat_inner(judge, path), judge.num(f"{b}.guide.bore")
    if inner is not None and inner <= (guide or 0.0):
        than = f"the guide's bore guide.bore = {guide:g}" if guide is not None else "0"
        judge.fault(f"{b}.seat.width", f"leaves a seat of inner diameter {inner:.4g}; it must exceed {than}")


def _heights(judge: Judge, path: str, station: Station) -> None:
    """s_in < roof_s <= body.len < top_s, neighbours that are given."""
    b = f"{path}.bushing"
    chain: list[tuple[str, float, str]] = []
    inner = _seat_inner_edge(judge, path)
    if inner is not None:
        chain.append((f"{b}.seat.s_outer", inner, "the seat's inner edge s_outer + width sin(angle)"))
    for key in ("bowl.roof_s", "body.len"):
        value = judge.num(f"{b}.{key}")
        if value is not None:
            chain.append((f"{b}.{key}", value, key))
    top, top_path = _along(judge, f"{b}.shank", "top", station.axis)
    if top is not None:
        chain.append((top_path, top, "the shank's top along the axis"))
    for (low_path, low, low_what), (high_path, high, high_what) in pairwise(chain):
        if low < high or (low == high and low_path.endswith("roof_s") and high_path.endswith("body.len")):
            continue
        if high_path == top_path or low_path.endswith("s_outer"):
            judge.fault(high_path, f"{high_what} = {high:.4g} must lie above {low_what} = {low:.4g}")
        else:
            judge.fault(low_path, f"{low_what} = {low:.4g} must be at most {high_what} = {high:.4g}")


def _along(judge: Judge, block: str, stem: str, axis: AxisSpec | None) -> tuple[float | None, str]:
    """A height as station length s: as written, or from z where the axis stands upright."""
    s = judge.num(f"{block}.{stem}_s")
    if s is not None:
        return s, f"{block}.{stem}_s"
    z, foot, vector = judge.num(f"{block}.{stem}_z"), start(axis), direction(axis)
    if z is None or foot is None or vector is None or _leans(axis):
        return None, f"{block}.{stem}_z"
    return z - foot[2], f"{block}.{stem}_z"


def _undercut_and_leads(judge: Judge, path: str, station: Station) -> None:
    b = f"{path}.bushing"
    body, shank = judge.num(f"{b}.body.dia"), judge.num(f"{b}.shank.dia")
    length, depth, width = (judge.num(f"{b}.body.{key}") for key in ("len", "undercut.d", "undercut.w"))
    if body is not None and shank is not None and body > shank:
        shoulder = (body - shank) / 2.0
        if depth is not None and depth >= shoulder:
            judge.fault(
                f"{b}.body.undercut.d",
                f"{depth:g} must be below the shoulder (body.dia - shank.dia)/2 = {shoulder:.4g}",
            )
        _lead(judge, f"{b}.body.lead", shoulder, "the shoulder (body.dia - shank.dia)/2")
    lead = judge.num(f"{b}.body.lead.len")
    if length is not None and width is not None and width + (lead or 0.0) >= length:
        also = f" and the lead of {lead:g}" if lead else ""
        judge.fault(f"{b}.body.undercut.w", f"{width:g}{also} must be shorter than body.len = {length:g}")
    elif length is not None and lead is not None and lead >= length:
        judge.fault(f"{b}.body.lead.len", f"{lead:g} must be shorter than body.len = {length:g}")
    bore = judge.num(f"{b}.guide.bore")
    if shank is not None and bore is not None and shank > bore:
        _lead(judge, f"{b}.shank.lead", (shank - bore) / 2.0, "the guide's wall (shank.dia - guide.bore)/2")
    top, _ = _along(judge, f"{b}.shank", "top", station.axis)
    shank_lead = judge.num(f"{b}.shank.lead.len")
    if top is None or length is None or shank_lead is None:
        return
    if 0.0 < top - length <= shank_lead:
        message = f"{shank_lead:g} must be shorter than the shank, {top - length:.4g}"
        judge.fault(f"{b}.shank.lead.len", message)


def _lead(judge: Judge, path: str, room: float, what: str) -> None:
    length, angle = judge.num(f"{path}.len"), judge.num(f"{path}.angle")
    if length is not None and angle is not None and length * tan(radians(angle)) >= room:
        drop = length * tan(radians(angle))
        judge.fault(
            f"{path}.len",
            f"a lead of {length:g} at {angle:g} deg takes {drop:.4g}; it must be below {what} = {room:.4g}",
        )


def new_tip(judge: Judge, path: str) -> float | None:
    """Station length of the new stem tip: s_outer + width sin(angle)/2 + gauge_to_tip [mm]."""
    seat, gauge = judge.get(f"{path}.bushing.seat"), judge.num(f"{path}.valve.gauge_to_tip")
    if gauge is None or seat is None or None in (seat.s_outer, seat.width, seat.angle):
        return None
    return float(seat.s_outer + seat.width * sin(radians(seat.angle)) / 2.0 + gauge)


def tip_rise(judge: Judge, name: str, station: Station) -> tuple[float | None, float | None]:
    """Rise of the stem tip along the new axis and in z [mm]; None where it cannot be computed."""
    new = new_tip(judge, f"stations.{name}")
    old = station.old
    if new is None or old is None:
        return None, None
    if station.axis is None:
        rise = new - old.tip_s if old.tip_s is not None else None
        return rise, rise
    foot, vector = start(station.axis), direction(station.axis)
    old_foot, old_vector = start(old.axis), direction(old.axis)
    if foot is None or vector is None or old_foot is None or old_vector is None:
        return None, None
    along = old.tip_s
    if along is None and old.tip_z is not None:
        along = (old.tip_z - (judge.num("datums.faced_off") or 0.0) - old_foot[2]) / old_vector[2]
    if along is None:
        return None, None
    gap: Vector3 = tuple(  # type: ignore[assignment]
        foot[i] + vector[i] * new - old_foot[i] - old_vector[i] * along for i in range(3)
    )
    return dot(gap, vector), gap[2]


def _spring(judge: Judge, path: str, station: Station) -> None:
    spring = f"{path}.spring"
    tip, retainer, shim = (
        new_tip(judge, path),
        judge.num(f"{spring}.retainer_below_tip"),
        judge.num(f"{spring}.shim"),
    )
    seat, _ = _along(judge, spring, "seat", station.axis)
    solid = judge.num(f"{spring}.solid")
    if solid is not None:
        judge.below(f"{spring}.solid", f"{spring}.free", what="the free length")
    if tip is None or retainer is None or seat is None or solid is None:
        return
    installed = tip - retainer - seat - (shim or 0.0)
    if solid >= installed:
        judge.fault(
            f"{spring}.solid", f"solid length {solid:g} must be below the installed length {installed:.4g}"
        )
