"""What the plan says of each reading of a record: the planned size and what is allowed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from headparts.checks.context import Context
from headparts.checks.fits import OPEN_HUB, pressure_at
from headparts.config.record_items import Asked
from headparts.errors import HeadpartsError
from headparts.geometry.opening import opening
from headparts.mechanics.press_fit import press_force
from headparts.mechanics.selective_fit import od_window
from headparts.plan import MissingInput, Plan
from headparts.plan.derived import installed
from headparts.plan.repair import RepairPlan
from headparts.plan.sizes import (
    body_fit,
    interference_of,
    local_window,
    readings_of,
    shank_fit,
    wanted_interference,
)
from headparts.plan.station import StationPlan
from headparts.tables.iso286 import deviations
from headparts.tables.shop_tolerances import ShopTolerance, shop_tolerance


@dataclass(frozen=True)
class Expected:
    """Planned value and the limits of a reading [mm, degC, N]; None where there is none.

    ``strict``: the upper limit itself is outside. ``empty``: no size suits (the window of a fit is empty).
    """

    planned: tuple[float, ...] = ()
    low: float | None = None
    high: float | None = None
    strict: bool = False
    empty: bool = False
    note: str = ""

    @property
    def size(self) -> float | None:
        """The one planned number."""
        return self.planned[0] if len(self.planned) == 1 else None


def expected(each: Asked, plan: Plan, made: Plan) -> Expected:
    """What is planned for one reading, and allowed with what has been measured so far (``made``).

    What the plan lacks leaves the planned value out and is named in the note.
    """
    rule = shop_tolerance(each.item.step, each.item.key)
    try:
        planned, missing = _planned(each, plan), ""
    except HeadpartsError as gap:
        planned, missing = (), f"no planned value: {gap}"
    try:
        found = _allowed(each, rule, planned, plan, made)
    except HeadpartsError as gap:
        found = Expected(note=f"no limits: {gap}")
    return replace(found, planned=planned, note="; ".join(text for text in (missing, found.note) if text))


def _planned(each: Asked, plan: Plan) -> tuple[float, ...]:
    step, key = each.item.step, each.item.key
    if each.subject in plan.stations:
        table: Mapping[tuple[str, str], Callable[[], tuple[float, ...]]] = _of_station(
            plan, plan.stations[each.subject]
        )
    elif each.subject in plan.repairs:
        table = _of_repair(plan.repairs[each.subject])
    else:
        table = _of_rocker(plan)
    make = table.get((step, key))
    return () if make is None else make()


def _of_station(plan: Plan, station: StationPlan) -> dict[tuple[str, str], Callable[[], tuple[float, ...]]]:
    inputs = station.inputs

    def one(key: str) -> Callable[[], tuple[float, ...]]:
        return lambda: (float(inputs.one(key)),)

    def guide() -> tuple[float, ...]:
        before = inputs.get("bushing.guide.ream_after_press")
        return (float(inputs.one("bushing.guide.pre_bore" if before else "bushing.guide.bore")),)

    def tip_z() -> tuple[float, ...]:
        return (float(station.point(station.tip_s)[2]),)

    def body_len() -> tuple[float, ...]:
        length, above = inputs("bushing.body.len", "bushing.body.face_above_roof")
        return (float(length - above),)

    return {
        ("bores", "body_bore"): one("bushing.body.dia"),
        ("bores", "shank_bore"): one("bushing.shank.dia"),
        ("bores", "step_depth"): lambda: (step_depth(station),),
        ("bushings", "body_od"): lambda: (body_fit(station).turned,),
        ("bushings", "shank_od"): lambda: (shank_fit(station).turned,),
        ("bushings", "body_len"): body_len,
        ("bushings", "guide_bore"): guide,
        ("bushings", "stem"): one("valve.stem"),
        ("pressed", "press_force"): lambda: (_force(Context(plan), station),),
        ("pressed", "guide_bore"): one("bushing.guide.bore"),
        ("ports", "dia"): one("port.dia"),
        ("ports", "opening"): lambda: _opening(plan, station),
        ("seats", "guide_bore"): one("bushing.guide.bore"),
        ("seats", "width"): one("bushing.seat.width"),
        ("seats", "tip_z"): tip_z,
        ("seats", "tip_s"): lambda: (station.tip_s,),
        ("seats", "installed"): lambda: (installed(station),),
        ("train", "lash"): lambda: (float(plan.inputs.one(f"rocker.lash_cold.{station.name}")),),
    }


def step_depth(station: StationPlan) -> float:
    """Joint face to step along the valve axis as planned [mm]."""
    return float(station.inputs.one("bushing.body.len")) - station.joint_face_s


def _force(context: Context, station: StationPlan) -> float:
    """Force at the end of the stroke, for the middle of the interference and of the friction [N]."""
    interference, _ = interference_of(station, "body")
    diameter, length = station.inputs("bushing.body.dia", "bushing.body.len")
    low, high = context.inputs("fits.friction.low", "fits.friction.high")
    pressure = pressure_at(context, station, interference, OPEN_HUB * diameter)
    return float(press_force(pressure, diameter, length, (low + high) / 2.0))


def repair_of(plan: Plan, station: str) -> RepairPlan | None:
    """The repair of a station's port that names what the port broke into."""
    return next(
        (r for r in plan.repairs.values() if r.inputs.get("in_port") == station and r.cause is not None), None
    )


def _opening(plan: Plan, station: StationPlan) -> tuple[float, ...]:
    """Length and width of the opening that a repair is for, as drawn; nothing where no opening is expected."""
    repair = repair_of(plan, station.name)
    if repair is None or repair.cause is None:
        return ()
    port = plan.voids.cut("port", station.name).void
    found = opening(port, plan.voids.cavity(repair.cause), with_volume=False)
    return () if found is None else (found.along, found.around)


def _of_repair(repair: RepairPlan) -> dict[tuple[str, str], Callable[[], tuple[float, ...]]]:
    def one(key: str) -> Callable[[], tuple[float, ...]]:
        return lambda: (float(repair.inputs.one(key)),)

    return {
        ("sleeve", "bore"): one("bore.dia"),
        ("sleeve", "od"): one("sleeve.od"),
        ("sleeve", "id"): one("sleeve.id"),
        ("sleeve", "length"): lambda: (float(repair.saddle.length_max),),
    }


def _of_rocker(plan: Plan) -> dict[tuple[str, str], Callable[[], tuple[float, ...]]]:
    def pushrod() -> tuple[float, ...]:
        length, change = plan.inputs("rocker.pushrod.length", "rocker.pushrod.change")
        return (float(length + change),)

    def cover() -> tuple[float, ...]:
        return (float(plan.inputs.one("rocker.cover_clearance")) - greatest_rise(plan),)

    return {
        ("train", "spacer_thick"): lambda: (float(plan.inputs.one("rocker.spacer.thick")),),
        ("train", "pushrod_length"): pushrod,
        ("train", "cover_left"): cover,
    }


def greatest_rise(plan: Plan) -> float:
    """The greater rise of the stem tips [mm], as R06 takes it."""
    if not plan.stations:
        raise MissingInput("stations")
    return max(station.tip_rise_z for station in plan.stations.values())


def _allowed(
    each: Asked, rule: ShopTolerance, planned: tuple[float, ...], plan: Plan, made: Plan
) -> Expected:
    size = planned[0] if len(planned) == 1 else None
    if rule.basis == "window":
        return _window(each, plan, made)
    if rule.basis == "check":
        limit = Context(plan).limits.use(rule.limit_of, "").value
        assert isinstance(limit, float)
        return Expected(high=limit) if rule.limit_of == "B13" else Expected(low=limit)
    if rule.basis in ("most", "below"):
        return Expected(low=rule.low, high=rule.high, strict=rule.basis == "below")
    if rule.basis == "parallel":
        return Expected(
            low=rule.low, high=float(plan.inputs.get("rocker.spacer.parallel") or rule.high or 0.0)
        )
    if rule.basis == "none" or size is None:
        return Expected()
    if rule.basis == "factor":
        assert rule.low is not None and rule.high is not None  # noqa: PT018
        return Expected(low=rule.low * size, high=rule.high * size)
    low, high = _deviations(each, rule, size, plan)
    return Expected(low=size + low, high=size + high)


def _deviations(each: Asked, rule: ShopTolerance, size: float, plan: Plan) -> tuple[float, float]:
    """Allowed deviations from the planned size [mm]."""
    if rule.basis == "hole":
        fit = f"fits.{each.item.key.removesuffix('_bore')}"
        given = plan.inputs.get(f"{fit}.bore_tol")
        if given is not None:
            return 0.0, float(given)
        classes = plan.inputs.get(f"{fit}.class") if plan.inputs.get(f"{fit}.mode") == "limits" else None
        low, high = deviations(size, rule.limit_of if classes is None else classes.split("/")[0])
        return float(low), float(high)
    if rule.basis == "class":
        key = "bore.tol" if each.subject in plan.repairs else "bushing.guide.tol"
        owner = plan.repairs[each.subject].inputs if each.subject in plan.repairs else None
        tol = (owner or plan.stations[each.subject].inputs).one(key)
        low, high = deviations(size, tol)
        return float(low), float(high)
    if rule.basis == "band":
        low, high = plan.repairs[each.subject].inputs.one(f"sleeve.{each.item.key}_tol")
        return float(low), float(high)
    assert rule.low is not None and rule.high is not None  # noqa: PT018
    return rule.low, rule.high


def _window(each: Asked, plan: Plan, made: Plan) -> Expected:
    """Diameter to turn: to the measured bore where it has been measured, else about the planned size."""
    station, which = made.stations[each.subject], each.item.key.removesuffix("_od")
    if station.inputs.get(f"measured.{which}_bore") is None:
        fit = (body_fit if which == "body" else shank_fit)(plan.stations[each.subject])
        return Expected(low=fit.lower, high=fit.upper, note="from the planned bore: it has not been measured")
    interference, band = wanted_interference(station, which)
    least, greatest = local_window(station) if which == "body" else (interference - band, interference + band)
    window = od_window(readings_of(station, f"{which}_bore"), least, greatest)
    note = "no diameter suits the bore: rebore" if window.is_empty else "to the measured bore"
    return Expected(low=window.lower, high=window.upper, empty=window.is_empty, note=note)
