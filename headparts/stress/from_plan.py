"""Sections of a planned head: at the bushings' bodies, where the bridge is, and at their shanks, where the guides are."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from headparts.errors import ParameterError
from headparts.geometry.axis import Axis
from headparts.geometry.void import Void
from headparts.mechanics.thermal import REFERENCE_TEMPERATURE, interference_at
from headparts.plan import Inputs, MissingInput, Plan
from headparts.plan.sizes import interference_of
from headparts.plan.station import StationPlan
from headparts.stress.section import Ellipse, Ring, Section, holes_of

COLD = "cold"
"""The case at 20 degC, which needs no temperatures of the job."""
INSET = 0.5
"""The least distance of a section from the ends of the stretch that the bushings share [mm]."""
HEIGHTS = 41
"""Heights looked at for the thinnest web."""
NEEDS = ("E", "nu")


def body_section(plan: Plan, z: float | None = None, case: str = COLD) -> Section:
    """The head at the bushings' bodies, tight end of the fits.

    ``z`` [mm]: height; when not given the one where the web is thinnest within the stretch that both bodies share above
    the chamber, the middle of it where the bores are parallel. ``case``: a name of ``temps``; 'cold' is 20 degC.
    The bore of a bushing counts as its throat, as in the table of checks. Ports are left out: they would open the rings.
    Raises MissingInput naming what the job lacks, ParameterError for a height outside the stretch.
    """
    stations = _two(plan)
    low = max([_height(s.axis, 0.0) for s in stations] + [_chamber_top(plan)])
    high = min(_height(s.axis, float(s.inputs.one("bushing.body.len"))) for s in stations)
    _stretch(low, high, "the two bodies share no stretch above the chamber")

    def rings_at(height: float) -> tuple[Ring, ...]:
        return tuple(_ring(plan, s, "body", "bushing.bowl.throat", height, case) for s in stations)

    height = _chosen(lambda h: Section(h, (), rings_at(h), 1.0, 0.0).web_width, low, high, z)
    return _section(plan, height, rings_at(height))


def shank_section(plan: Plan, case: str = COLD) -> Section:
    """The head at the bushings' shanks, tight end of the fits, in the middle of the stretch that both share.

    Raises MissingInput naming what the job lacks.
    """
    stations = _two(plan)
    low = max(_height(s.axis, float(s.inputs.one("bushing.body.len"))) for s in stations)
    tops = [plan.voids.top_over(s) for s in stations] + [_height(s.axis, s.top_s) for s in stations]
    tops += [
        _height(s.axis, float(s.inputs.one("spring.pocket.floor_s")))
        for s in stations
        if plan.voids.has_pocket(s.name)
    ]
    high = min(tops)
    _stretch(low, high, "the two shanks share no stretch in the head")
    height = (low + high) / 2.0
    rings = tuple(_ring(plan, s, "shank", "bushing.guide.bore", height, case) for s in stations)
    return _section(plan, height, rings)


def _two(plan: Plan) -> list[StationPlan]:
    if len(plan.stations) < 2:
        missing = [f"stations.{name}" for name in ("intake", "exhaust") if name not in plan.stations]
        raise MissingInput(*missing, note=f"a bridge needs two bushings; missing: {', '.join(missing)}")
    for station in plan.stations.values():
        station.inputs("axis")
    return list(plan.stations.values())


def _height(axis: Axis, s: float) -> float:
    return float(axis.at(s)[2])


def _chamber_top(plan: Plan) -> float:
    return -np.inf if plan.inputs.get("head.chamber") is None else float(plan.voids.chamber.depth)


def _stretch(low: float, high: float, note: str) -> None:
    if high - low < 2.0 * INSET:
        raise MissingInput(note=note)


def _chosen(web: Callable[[float], float], low: float, high: float, z: float | None) -> float:
    if z is not None:
        if not low <= z <= high:
            raise ParameterError(
                "z", z, f"must lie where both bodies are in the head, {low:.3f} to {high:.3f} mm"
            )
        return float(z)
    heights = np.linspace(low + INSET, high - INSET, HEIGHTS)
    webs = np.array([web(float(height)) for height in heights])
    if float(np.ptp(webs)) < 1e-6:
        return (low + high) / 2.0
    return float(heights[int(webs.argmin())])


def _ring(plan: Plan, station: StationPlan, which: str, bore_key: str, z: float, case: str) -> Ring:
    diameter, bore, material = station.inputs(f"bushing.{which}.dia", bore_key, "bushing.material")
    modulus, poisson = plan.inputs.under(f"materials.{material}")(*NEEDS)
    interference, band = interference_of(station, which)
    tight = interference + band
    if case != COLD:
        tight = _hot(plan, station, tight, float(diameter), material, case)
    axis = station.axis
    outer, inner = (
        Ellipse.of_cylinder(axis.point, axis.direction, float(d) / 2, z) for d in (diameter, bore)
    )
    return Ring(station.name, outer, inner, float(diameter), tight, float(modulus), float(poisson))


def _hot(plan: Plan, station: StationPlan, tight: float, diameter: float, material: str, case: str) -> float:
    head_t, bush_t = temperatures(plan, station, case)
    (head_cte,) = plan.inputs.under(f"materials.{plan.inputs.one('head.material')}")("cte")
    (bush_cte,) = plan.inputs.under(f"materials.{material}")("cte")
    return float(interference_at(tight, diameter, head_cte, head_t, bush_cte, bush_t))


def temperatures(plan: Plan, station: StationPlan, case: str) -> tuple[float, float]:
    """Temperature of the head and of a station's bushing in a case [degC]; 20 in 'cold' where the job has none."""
    blocks = plan.job.temps or {}
    block = blocks.get(case)
    if block is None:
        if case == COLD:
            return REFERENCE_TEMPERATURE, REFERENCE_TEMPERATURE
        known = ", ".join({COLD: 0, **blocks})
        raise MissingInput(
            f"temps.{case}", note=f"temps.{case} is missing; the cases of this job are {known}"
        )
    bush = getattr(block, f"{station.name}_bush")
    if bush is None:
        raise MissingInput(f"temps.{case}.{station.name}_bush")
    return float(block.head), float(bush)


def _section(plan: Plan, z: float, rings: tuple[Ring, ...]) -> Section:
    material = plan.inputs.one("head.material")
    modulus, poisson = plan.inputs.under(f"materials.{material}")(*NEEDS)
    box, note = _outline(plan.inputs, z)
    voids: list[Void] = [plan.voids.cavity(block.name) for block in plan.voids.cavity_blocks]
    notes = [note, "ports left out: there the rings are open and press less"]
    return Section(
        z, box, rings, float(modulus), float(poisson), holes_of(voids, z), tuple(n for n in notes if n)
    )


def _outline(inputs: Inputs, z: float) -> tuple[tuple[tuple[float, float], ...], str]:
    """Corners of the casting at a height: the core between two fins, else the outline."""
    outline = inputs.one("head.outline")
    core, fins = inputs.get("head.core"), inputs.get("head.fins")
    box, note = outline, ""
    if core is not None and fins is not None and fins.z[0] <= z < fins.z[1]:
        if (z - fins.z[0]) % fins.pitch >= fins.thick:
            box = core
        else:
            box, note = core, "the fin at this height left out"
    (x0, x1), (y0, y1) = box.x, box.y
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), note
