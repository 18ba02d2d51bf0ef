"""F: the press fits: grip cold and hot, stress in the bridge, force, assembly, the diameter to turn."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headparts.checks.bushings import subject
from headparts.checks.context import Context
from headparts.checks.finding import Finding, Value, holds
from headparts.checks.registry import check
from headparts.checks.table import UsedLimit
from headparts.mechanics.drilling import drill_torque, torque_on_bushing
from headparts.mechanics.guide import clearance_after_press, stem_clearance
from headparts.mechanics.press_fit import (
    bore_closure,
    bush_hoop,
    contact_pressure,
    holding_torque,
    hub_tresca,
    press_force,
    roughness_loss,
)
from headparts.mechanics.relaxation import Yielded, yielded_fit
from headparts.mechanics.selective_fit import od_window
from headparts.mechanics.thermal import (
    interference_at,
    least_assembly_slip,
    least_interference_at,
    yield_at,
)
from headparts.plan import MissingInput
from headparts.plan.sizes import interference_of, local_window, readings_of
from headparts.plan.station import StationPlan

OPEN_HUB = 1.8
"""Hub diameter over fit diameter where no second bore limits it (definition of the check table)."""
GUIDE_HUB = 2.2
"""The same for the shank (definition of the check table)."""
BRIDGE_FACTOR = 1.12
"""What a plane finite-element model of the bridge with both bushings may give above the formula
while the fits do not slip; without friction it gives about twice the formula (`headparts bridge`)."""
SLIPPING_FITS = (
    "a quick rule for fits that hold without slipping; where they slip, a web between two presses carries up to "
    "two or three times as much: look at it with `headparts bridge`"
)
THICKEST_HUB = 2.7
"""Hub diameter over fit diameter up to which yielding is followed (the formulas end at 2.718)."""
COLD_SOAK = -20.0
"""Temperature of head and bushing in the cold soak [degC]."""
COLD = 20.0


def head_material(context: Context, *keys: str) -> list[float]:
    """Numbers of the head's material."""
    name = context.inputs.one("head.material")
    return [float(value) for value in context.inputs.under(f"materials.{name}")(*keys)]


def bush_material(context: Context, station: StationPlan, *keys: str) -> list[float]:
    """Numbers of the bushing's material."""
    name = station.inputs.one("bushing.material")
    return [float(value) for value in context.inputs.under(f"materials.{name}")(*keys)]


def bands(context: Context, station: StationPlan) -> tuple[tuple[float, float], tuple[float, float]]:
    """Bands of expansion of the head and of the bushing [1/K]."""
    head, bush = context.inputs.one("head.material"), station.inputs.one("bushing.material")
    head_band, bush_band = context.inputs(f"materials.{head}.cte_band", f"materials.{bush}.cte_band")
    return (head_band[0], head_band[1]), (bush_band[0], bush_band[1])


def loose_end(context: Context, station: StationPlan) -> tuple[float, str]:
    """F01: interference at the loose end after roughness and measuring [mm], and a note."""
    interference, band = interference_of(station, "body")
    rz_bore, rz_bush = context.inputs("fits.body.rz_bore", "fits.body.rz_bush")
    given = context.inputs.get("fits.body.measure_u")
    note = "" if given is not None else "fits.body.measure_u not given: taken as 0"
    loss = float(roughness_loss(rz_bore, rz_bush))
    return interference - band - loss - float(given or 0.0), note


def bridge_hub(context: Context, station: StationPlan) -> float:
    """Hub diameter of F03 to F05 [mm]: d + 2 webs, 1.8 d when there is no second bushing."""
    diameter = float(station.inputs.one("bushing.body.dia"))
    if context.plan.other(station.name) is None:
        return OPEN_HUB * diameter
    web = web_of(context)["web"]
    assert isinstance(web, float)
    if web <= 0.0:
        raise MissingInput(note="the two body bores break into each other: no ring is left to hold the fit")
    return diameter + 2.0 * web


def web_of(context: Context) -> dict[str, Value]:
    """The wall between the two body bores, for the formulas of F03 to F05; empty where there is one bore only."""
    if len(context.plan.stations) < 2:
        return {}
    first, second = (context.plan.voids.cut("body_bore", name).void for name in context.plan.stations)
    return {"web": context.walls.one(first, second).value}


def pressure_at(context: Context, station: StationPlan, interference: float, hub: float) -> float:
    """Contact pressure of the body fit [MPa]; 0 where nothing grips."""
    if interference <= 0.0:
        return 0.0
    diameter, throat = station.inputs("bushing.body.dia", "bushing.bowl.throat")
    eh, nh = head_material(context, "E", "nu")
    eb, nb = bush_material(context, station, "E", "nu")
    return float(contact_pressure(interference, diameter, throat, hub, eh, nh, eb, nb))


def relaxed(context: Context, station: StationPlan, interference: float) -> Yielded | None:
    """The body fit once the hot running casting has yielded, from its ``interference`` at 20 degC [mm].

    The thin web counts as if it were all round, so the loss is an upper estimate. None where the job lacks what it
    takes, or the ring is thicker than the elastic-plastic formula covers.
    """
    running = (context.job.temps or {}).get("running")
    bush = None if running is None else getattr(running, f"{station.name}_bush")
    if running is None or bush is None:
        return None
    try:
        diameter, throat = station.inputs("bushing.body.dia", "bushing.bowl.throat")
        eh, nh, ah, yield20, yield200 = head_material(context, "E", "nu", "cte", "yield20", "yield200")
        eb, nb, ab = bush_material(context, station, "E", "nu", "cte")
        hub = bridge_hub(context, station)
    except MissingInput:
        return None
    if not diameter < hub < THICKEST_HUB * diameter:
        return None
    hot = float(interference_at(interference, diameter, ah, running.head, ab, bush))
    strength = float(yield_at(running.head, yield20, yield200))
    return yielded_fit(hot, diameter, throat, hub, eh, nh, eb, nb, strength)


@check("F01", per="bushing")
def loose(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Interference at the loose end, cold."""
    value, note = loose_end(context, station)
    yield context.judge(
        "F01",
        subject(station),
        "loose_end",
        value,
        note=note,
        advice="more interference, a finer band, or finer turning",
    )


@check("F02", per="bushing")
def grip(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Interference left at temperature, least over the corners of both expansion bands."""
    cases = context.job.temps
    start, note = loose_end(context, station)
    diameter = float(station.inputs.one("bushing.body.dia"))
    head_band, bush_band = bands(context, station)
    after = None if context.brief else relaxed(context, station, start)
    lost = 0.0 if after is None else float(after.lost)

    def told(value: float) -> str:
        if lost <= 0.0:
            return note
        text = f"once the casting has yielded running, at most {lost:.4f} mm less at this end: {value - lost:.4f} mm left"
        return f"{note}; {text}" if note else text

    if not cases:
        yield from context.not_run("F02", subject(station), MissingInput("temps"))
    for case, temperatures in _cases(context, station, cases):
        if temperatures is None:
            gap = MissingInput(f"temps.{case}.{station.name}_bush")
            yield from context.not_run("F02", subject(station), gap, case=case)
            continue
        head, bush = temperatures
        value = float(least_interference_at(start, diameter, head_band, head, bush_band, bush))
        yield context.judge(
            "F02",
            subject(station),
            "grip",
            value,
            case=case,
            note=told(value),
            method="four corners of both bands",
            advice="more cold interference, or a material that grows like the head",
        )
    if context.inputs.get("fits.assembly.head_T") is None:
        gap = MissingInput("fits.assembly.head_T")
        yield from context.not_run("F02", subject(station), gap, case="second_heating")
        return
    hot = float(context.inputs.one("fits.assembly.head_T"))
    value = float(least_interference_at(start, diameter, head_band, hot, bush_band, hot))
    yield context.judge(
        "F02",
        subject(station),
        "grip",
        value,
        case="second_heating",
        note=told(value),
        method="four corners of both bands",
        advice="heat less for the second bushing",
    )


def _cases(
    context: Context, station: StationPlan, cases: Any
) -> Iterator[tuple[str, tuple[float, float] | None]]:
    for case, block in cases.items():
        bush = getattr(block, f"{station.name}_bush")
        yield case, None if bush is None else (float(block.head), float(bush))


def _tresca(context: Context, station: StationPlan, head: float, bush: float) -> float:
    interference, band = interference_of(station, "body")
    diameter = float(station.inputs.one("bushing.body.dia"))
    tight = interference + band
    if head != COLD or bush != COLD:
        (ah,) = head_material(context, "cte")
        (ab,) = bush_material(context, station, "cte")
        tight = float(interference_at(tight, diameter, ah, head, ab, bush))
    hub = bridge_hub(context, station)
    pressure = pressure_at(context, station, tight, hub)
    return float(hub_tresca(pressure, diameter, hub))


@check("F03", per="bushing", needs="voids", case="cold_soak")
def cold_soak(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Hub stress with head and bushing in the frost, tight end."""
    (yield20,) = head_material(context, "yield20")
    yield context.judge(
        "F03",
        subject(station),
        "hub_tresca",
        _tresca(context, station, COLD_SOAK, COLD_SOAK),
        case="cold_soak",
        limit=context.computed("F03", yield20),
        terms=web_of(context),
        advice="less interference, or more web",
    )


@check("F04", per="bushing", needs="voids")
def hub_cold(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Hub stress cold at the tight end."""
    (yield20,) = head_material(context, "yield20")
    yield context.judge(
        "F04",
        subject(station),
        "hub_tresca",
        _tresca(context, station, COLD, COLD),
        limit=context.computed("F04", yield20 / BRIDGE_FACTOR),
        terms=web_of(context),
        advice="less interference, or more web",
        note=SLIPPING_FITS if len(context.plan.stations) == 2 else "",
    )


@check("F05", per="bushing", needs="voids", case="running")
def hub_running(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Hub stress running, against the yield of the hot casting."""
    running = (context.job.temps or {}).get("running")
    if running is None:
        raise MissingInput("temps.running")
    bush = getattr(running, f"{station.name}_bush")
    if bush is None:
        raise MissingInput(f"temps.running.{station.name}_bush")
    yield20, yield200 = head_material(context, "yield20", "yield200")
    limit = context.computed("F05", float(yield_at(running.head, yield20, yield200)))
    value = _tresca(context, station, float(running.head), float(bush))
    over = not holds(value, "<=", limit.value)
    note = "the casting yields when hot and the fit relaxes: measure the grip again after the first heat"
    interference, band = interference_of(station, "body")
    after = relaxed(context, station, interference + band) if over and not context.brief else None
    if after is not None and after.lost > 0.0:
        note += (
            f"; by an elastic-plastic ring as thin as the web all round, at most {after.lost:.4f} mm of this end's "
            f"interference is lost for good: {after.kept:.4f} mm left running, "
            f"{interference + band - after.lost:.4f} mm cold"
        )
    yield context.judge(
        "F05",
        subject(station),
        "hub_tresca",
        value,
        case="running",
        limit=limit,
        terms=web_of(context),
        note=note if over else "",
        advice="less interference with a material that grows like the head",
    )


@check("F06", per="bushing")
def bush_stress(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Hoop stress of the bushing over its yield, tight end."""
    interference, band = interference_of(station, "body")
    diameter, throat = station.inputs("bushing.body.dia", "bushing.bowl.throat")
    (strength,) = bush_material(context, station, "yield20")
    pressure = pressure_at(context, station, interference + band, OPEN_HUB * diameter)
    yield context.judge(
        "F06",
        subject(station),
        "bush_hoop_over_yield",
        abs(float(bush_hoop(pressure, diameter, throat))) / strength,
        advice="less interference, a smaller throat, or a stronger material",
    )


@check("F07", per="bushing")
def force(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Force to press in at the tight end with the higher friction."""
    interference, band = interference_of(station, "body")
    diameter, length = station.inputs("bushing.body.dia", "bushing.body.len")
    friction, press = context.inputs("fits.friction.high", "fits.assembly.press_limit")
    pressure = pressure_at(context, station, interference + band, OPEN_HUB * diameter)
    yield context.judge(
        "F07",
        subject(station),
        "press_force",
        float(press_force(pressure, diameter, length, friction)),
        limit=context.computed("F07", 0.7 * press),
        advice="heat the head and freeze the bushing; guard the press and stand clear",
    )


@check("F08", per="bushing")
def slip(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Gap at assembly with the head hot and the bushing cold, least over the bands."""
    interference, band = interference_of(station, "body")
    diameter = float(station.inputs.one("bushing.body.dia"))
    method, head_t, bush_t = context.inputs(
        "fits.assembly.method", "fits.assembly.head_T", "fits.assembly.bush_T"
    )
    head_band, bush_band = bands(context, station)
    value = float(least_assembly_slip(interference + band, diameter, head_band, head_t, bush_band, bush_t))
    yield context.judge(
        "F08",
        subject(station),
        "assembly_slip",
        value,
        verdict="info" if method == "press" else "",
        method="four corners of both bands",
        note="pressed in cold: for information"
        if method == "press"
        else "seconds matter: one stroke, then hold",
        advice="a hotter head (at most 200), a colder bushing, or less interference",
    )


@check("F09", per="bushing")
def guide_closure(context: Context, station: StationPlan) -> Iterator[Finding]:
    """How much the guide closes when its shank is pressed, and what clearance is then left."""
    interference, band = interference_of(station, "shank")
    ream, shank, bore = station.inputs(
        "bushing.guide.ream_after_press", "bushing.shank.dia", "bushing.guide.bore"
    )
    eh, nh = head_material(context, "E", "nu")
    eb, nb = bush_material(context, station, "E", "nu")
    pressure = contact_pressure(interference + band, shank, bore, GUIDE_HUB * shank, eh, nh, eb, nb)
    closure = float(bore_closure(pressure, shank, bore, eb))
    if ream:
        yield context.judge(
            "F09",
            subject(station),
            "closure",
            closure,
            name="closure",
            note="reamed after pressing: for information",
        )
        return
    stem = float(station.inputs.one("valve.stem"))
    limit = context.limits.use("B10", "clearance_min", "exhaust_min" if station.name == "exhaust" else "")
    yield context.judge(
        "F09",
        subject(station),
        "clearance_after_press",
        float(clearance_after_press(stem_clearance(bore, stem), closure)),
        limit=_own(context, "F09", limit),
        advice=f"bore the guide {closure:.4f} larger before pressing, or ream after",
    )


def _own(context: Context, check_id: str, otherwise: UsedLimit) -> UsedLimit:
    given = context.limits.given(check_id)
    return otherwise if given is None else UsedLimit(given, otherwise.default, None, True)


@check("F10", per="bushing")
def torque(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Torque that the fit holds against the port drill."""
    diameter, length, port = station.inputs("bushing.body.dia", "bushing.body.len", "port.dia")
    friction = float(context.inputs.one("fits.friction.low"))
    start, note = loose_end(context, station)
    pressure = pressure_at(context, station, start, OPEN_HUB * diameter)
    needed = 2.0 * float(torque_on_bushing(drill_torque(port), port, diameter))
    yield context.judge(
        "F10",
        subject(station),
        "holding_torque",
        float(holding_torque(pressure, diameter, length, friction)),
        limit=context.computed("F10", needed),
        note=note,
        advice="pin the bushing while drilling, or open the port in smaller steps; clamp the head",
    )


@check("F11", per="head")
def oven(context: Context) -> Iterator[Finding]:
    """Oven temperature of the head."""
    yield context.judge(
        "F11",
        "head",
        "oven_temperature",
        context.inputs.one("fits.assembly.head_T"),
        method="as given",
        advice="at most 200: a die casting ages and blisters above",
    )


@check("F12", per="bushing")
def diameter_to_turn(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Width of the diameter to turn from the six readings of the bore."""
    readings = readings_of(station)
    low, high = local_window(station)
    window = od_window(readings, low, high)
    yield context.judge(
        "F12",
        subject(station),
        "od_window",
        window.upper - window.lower,
        method="six readings",
        note=f"turn to {window.lower:.4f} to {window.upper:.4f}" if window.upper >= window.lower else "",
        advice="rebore: the bore is too far out of round or tapered for one diameter",
    )
