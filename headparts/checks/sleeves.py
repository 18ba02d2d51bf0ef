"""S: the repair sleeve: wall, buckling, bond gap, cover of the opening, temperature, grip."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from headparts.checks.context import Context
from headparts.checks.cover_notes import cover_note, measured_note
from headparts.checks.finding import Finding, Value
from headparts.checks.registry import check
from headparts.checks.table import UsedLimit
from headparts.mechanics.buckling import backed_ring_pressure, free_ring_pressure, pressure_over_buckling
from headparts.mechanics.press_fit import contact_pressure
from headparts.mechanics.sleeve import hot_grip, least_wall
from headparts.mechanics.thermal import gap_change
from headparts.plan import MissingInput
from headparts.plan.repair import RepairPlan
from headparts.plan.sleeve_cover import opening_of, worst_shift

HUB = 1.8
"""Hub over bore of a sleeve (definition of the check table)."""
WIDEST_BOND = 0.15
"""Widest bond gap on the diameter whatever the job says [mm] (adhesive data sheets, common practice)."""


@check("S01", per="repair")
def wall_least(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Least wall of the sleeve by its tolerances."""
    nominal, low, _ = repair.od
    inner, _, high = repair.id
    value = float(least_wall(nominal, inner, low - nominal, high - inner))
    own = repair.inputs.get("sleeve.wall_min")
    limit = context.limits.use("S01")
    if own is not None and not limit.given:
        limit = UsedLimit(float(own), limit.default, None, False)
    yield context.judge(
        "S01", repair.name, "wall_least", value, limit=limit, advice="draw a wall of at least 0.40"
    )


@check("S02", per="repair")
def buckling(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Press pressure over the buckling pressure of the free and of the backed tube."""
    if repair.inputs.one("mode") == "bonded":
        free = backed = 0.0
        note = "bonded: no press"
    else:
        note = ""
        od, _, upper = repair.od
        inner = repair.id[0]
        bore = repair.bore_diameter
        material, head = repair.inputs.one("sleeve.material"), context.inputs.one("head.material")
        es, ns = context.inputs(f"materials.{material}.E", f"materials.{material}.nu")
        eh, nh = context.inputs(f"materials.{head}.E", f"materials.{head}.nu")
        tight = upper - bore
        pressure = (
            float(contact_pressure(tight, bore, inner, HUB * bore, eh, nh, es, ns)) if tight > 0.0 else 0.0
        )
        wall, mean = (od - inner) / 2.0, (od + inner) / 4.0
        free = float(pressure_over_buckling(pressure, free_ring_pressure(wall, mean, es, ns)))
        backed = float(pressure_over_buckling(pressure, backed_ring_pressure(wall, od, es, ns)))
    advice = "a thicker wall, less interference, or a bond"
    for case, name, value in (("free", "free", free), ("backed", "", backed)):
        yield _severe(context, repair, case, name, value, note, advice)


def _severe(
    context: Context, repair: RepairPlan, case: str, name: str, value: float, note: str, advice: str
) -> Finding:
    return context.judge(
        "S02",
        repair.name,
        "pressure_over_buckling",
        value,
        name=name,
        case=case,
        note=note,
        advice=advice,
        variant="bonded" if note else "",
    )


@check("S03", per="repair")
def bond_gap(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Bond gap on the diameter, least and greatest; for information when the sleeve is pressed."""
    _, low, high = repair.od
    least = repair.bore_diameter - high
    greatest = repair.bore_diameter + repair.bore_tolerance - low
    pressed = repair.inputs.one("mode") != "bonded"
    band = repair.inputs.get("bond.gap_dia")
    for quantity, name, value, end in (("gap_min", "", least, 0), ("gap_max", "gap_max", greatest, 1)):
        limit = context.limits.use("S03", quantity, name)
        if band is not None and not limit.given:
            own = float(band[end]) if end == 0 else min(float(band[end]), WIDEST_BOND)
            limit = UsedLimit(own, limit.default, None, False)
        yield context.judge(
            "S03",
            repair.name,
            quantity,
            value,
            name=name,
            limit=limit,
            terms={"bore_it": repair.bore_tolerance},
            verdict="info" if pressed else "",
            note="pressed: negative is interference" if pressed else "",
            advice="another outer diameter of the sleeve",
        )


@check("S04", per="repair")
def gap_in_service(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Growth of the gap between sleeve and bore in service."""
    bore = repair.bore_diameter
    ah, as_ = _expansions(context, repair)
    temperature = repair.service_head_temperature
    yield context.judge(
        "S04",
        repair.name,
        "gap_change",
        float(gap_change(bore, ah, as_, temperature)),
        advice="a sleeve that grows like the head",
    )


def _expansions(context: Context, repair: RepairPlan) -> tuple[float, float]:
    material, head = repair.inputs.one("sleeve.material"), context.inputs.one("head.material")
    ah, as_ = context.inputs(f"materials.{head}.cte", f"materials.{material}.cte")
    return float(ah), float(as_)


@check("S05", per="repair", needs="voids")
def cover(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Sleeve beyond the opening on both sides, nominal and with the cavity nearer."""
    repair.inputs.one("cause.cavity")
    inner_end = repair.inner_end
    face, start = repair.station.port.length, repair.station.port.start
    ends: dict[str, Value] = {"bore_start": start, "sleeve_short": repair.saddle.length_min}
    for case in ("nominal", "worst"):
        try:
            shift = worst_shift(repair) if case == "worst" else 0.0
        except MissingInput as gap:
            yield from context.not_run("S05", repair.name, gap, case=case)
            continue
        found = opening_of(repair, shift)
        note = "the sleeve's bore does not open into the cavity" if found is None else ""
        if found is not None and not context.brief:
            note = cover_note(repair, shift)
        measured = measured_note(repair) if case == "nominal" and not context.brief else ""
        for quantity in ("cover_inner", "cover_outer"):
            more = measured if quantity == "cover_inner" else ""
            value = None
            if found is not None:
                from_inside = start + found.start - inner_end
                value = from_inside if quantity == "cover_inner" else face - start - found.end
            yield context.judge(
                "S05",
                repair.name,
                quantity,
                value,
                case=case,
                limit=_cover_limit(context, repair, quantity),
                terms=None
                if found is None
                else ends | {"opening_start": found.start, "opening_end": found.end},
                verdict="pass" if found is None else "",
                method="exact opening of the sleeve's bore",
                advice="a longer sleeve, or another repair: the bond must reach past the opening all round",
                note="; ".join(part for part in (note, more) if part),
            )


def _cover_limit(context: Context, repair: RepairPlan, quantity: str) -> UsedLimit:
    own = context.limits.given("S05", "" if quantity == "cover_inner" else quantity)
    if own is None and not isinstance(context.limits.by_id.get("S05"), Mapping):
        own = context.limits.given("S05")  # a plain number is for both ends, a named one for its own
    default = context.limits.use("S05", "cover_inner").default
    if own is not None:
        return UsedLimit(own, default, None, True)
    beyond = repair.inputs.get("bond.cover_beyond")
    return UsedLimit(default if beyond is None else float(beyond), default, None, False)


@check("S06", per="repair")
def saddle(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Saddle radius against the bushing's."""
    if repair.inputs.one("sleeve.inner_end") != "saddle":
        yield from context.none_here("S06", subject=repair.name)
        return
    radius = repair.inputs.one("sleeve.saddle_radius")
    body = repair.station.inputs.one("bushing.body.dia")
    yield context.judge(
        "S06", repair.name, "saddle_gap", abs(radius - body / 2.0), advice="file the saddle to the bushing"
    )


@check("S09", per="repair")
def temperature(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Rating of the adhesive above the hottest service; a bonded exhaust fails."""
    if not repair.bonded:
        yield from context.none_here("S09", subject=repair.name)
        return
    rated, service = repair.inputs("bond.rated_T", "bond.service_T")
    hottest = max(service, repair.hottest if repair.hottest is not None else service)
    exhaust = repair.station.name == "exhaust"
    yield context.judge(
        "S09",
        repair.name,
        "temperature_reserve",
        rated - hottest,
        verdict="fail" if exhaust else "",
        note="an exhaust port is never bonded" if exhaust else "",
        advice="shrink a flanged sleeve, or do not repair" if exhaust else "a better adhesive",
    )


@check("S10", per="repair")
def rotation(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Something keeps the sleeve from turning."""
    given = repair.inputs.get("anti_rotation")
    held = given not in (None, "none")
    yield context.judge(
        "S10",
        repair.name,
        "anti_rotation",
        1.0 if held else 0.0,
        terms={"held": 1.0 if held else 0.0},
        method="as given",
        advice="a saddle, a pin or a flange",
    )


@check("S11", per="repair")
def area(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Area left by the sleeve over the port's."""
    inner = repair.id[0]
    port = repair.station.port.diameter
    yield context.judge("S11", repair.name, "area_ratio", (inner / port) ** 2)


@check("S12", per="repair")
def grip(context: Context, repair: RepairPlan) -> Iterator[Finding]:
    """Grip of a pressed sleeve at temperature, loose end."""
    if not repair.pressed:
        yield from context.none_here("S12", subject=repair.name)
        return
    _, low, _ = repair.od
    ah, as_ = _expansions(context, repair)
    bore = repair.bore_diameter
    value = hot_grip(low, bore + repair.bore_tolerance, ah, as_, repair.service_head_temperature, bore)
    yield context.judge(
        "S12",
        repair.name,
        "hot_grip",
        float(value),
        advice="more interference, or a bond as a seal",
        terms={"bore_it": repair.bore_tolerance},
    )
