"""The web between two press bores, stage by stage: stress, contact pressure, ovality; and two quick rules beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from headparts.mechanics.press_fit import contact_pressure, hub_tresca
from headparts.mechanics.thermal import yield_at
from headparts.mechanics.thick_cylinder import hoop_stress, radial_stress, tresca_stress
from headparts.plan import MissingInput, Plan
from headparts.stress.from_plan import COLD, body_section, shank_section, temperatures
from headparts.stress.section import Ring, Section
from headparts.stress.solve import PlaneModel, Solution, tresca, von_mises

Array = NDArray[np.float64]
FORMAT = 1
COARSE, FINE = 1.0, 2.0
"""Fineness of the two meshes; the second gives the values, their difference the error."""


@dataclass(frozen=True)
class Value:
    """A number of the finer mesh, and how much the coarser one differs from it."""

    value: float
    change: float


@dataclass(frozen=True)
class Fit:
    """One bushing in one stage. Pressures [MPa]; ``throat_oval`` and ``throat_closes`` [mm] of its own bore.

    ``pressure`` mean, ``pressure_least``, ``pressure_most`` round it; ``throat_oval`` greatest less least diameter;
    ``throat_closes`` mean, on the diameter.
    """

    name: str
    pressure: Value
    pressure_least: Value
    pressure_most: Value
    throat_oval: Value
    throat_closes: Value


@dataclass(frozen=True)
class Stage:
    """One stage of pressing in.

    ``present``: bushings in place; ``sliding``: without friction at the fits, else without slip. On the line
    across the web, from the first bore to the second: ``hoop_mean`` [MPa] mean stress along the web's sides,
    ``tresca`` and ``von_mises`` [MPa] greatest there, ``tresca_ends`` at the bores. ``peak`` [MPa] greatest Tresca
    stress anywhere in the head and ``peak_at`` [mm] where. ``fits`` of those present; ``empty_oval`` [mm] how much
    the bores without a bushing go out of round. ``friction`` [-]: greatest shear over pressure at the fits; one
    without slip needs as much.
    """

    present: tuple[str, ...]
    sliding: bool
    hoop_mean: Value
    tresca: Value
    von_mises: Value
    tresca_ends: tuple[Value, Value]
    peak: Value
    peak_at: tuple[float, float]
    fits: tuple[Fit, ...]
    empty_oval: dict[str, Value]
    friction: float

    @property
    def name(self) -> str:
        """``both in``, or which one alone."""
        return "both in" if len(self.present) > 1 else f"{self.present[0]} first in"


@dataclass(frozen=True)
class Rule:
    """Quick figures of one bushing [MPa]: the thick ring of diameter plus two webs, and two fields added up."""

    name: str
    hub: float
    pressure: float
    tresca: float
    added_tresca: float


@dataclass(frozen=True)
class Bridge:
    """What `bridge` gives back: the body section and its stages, the rules, and the guides where the shanks are pressed.

    ``stages`` without slip and ``sliding`` without friction: either bushing alone, its neighbour's bore empty, then both.
    What friction there is lies between the two, and a fit asks for no more than what ``friction`` of the first says.

    ``solutions``: one a stage, then one a sliding stage, on the finer mesh, for pictures.
    ``strength`` [MPa] yield of the head in this case, None where the job has none. ``guides``: stages of the shank
    section, empty with ``guides_note`` where that could not be run.
    """

    job: str
    case: str
    section: Section
    stages: tuple[Stage, ...]
    sliding: tuple[Stage, ...]
    rules: tuple[Rule, ...]
    solutions: tuple[Solution, ...]
    strength: float | None
    guides: tuple[Stage, ...]
    guide_section: Section | None
    guides_note: str = ""

    @property
    def both(self) -> Stage:
        """Both bushings in, without slip."""
        return self.stages[-1]

    @property
    def both_sliding(self) -> Stage:
        """Both bushings in, without friction."""
        return self.sliding[-1]

    def as_json(self) -> dict[str, Any]:
        """Plain data for JSON, mm and MPa: numbers or null, never NaN."""
        return {
            "format": FORMAT,
            "job": self.job,
            "case": self.case,
            "z": self.section.z,
            "web": self.section.web_width,
            "web_at": [list(map(float, point)) for point in self.section.web],
            "yield": self.strength,
            "model": "plane stress, elastic, interference as initial strain",
            "notes": list(self.section.notes),
            "holes": [name for name, _ in self.section.holes],
            "interference": {ring.name: ring.interference for ring in self.section.rings},
            "stages": [_stage_json(stage) for stage in self.stages],
            "sliding": [_stage_json(stage) for stage in self.sliding],
            "rules": [dict(vars(rule)) for rule in self.rules],
            "guides": {
                "z": None if self.guide_section is None else self.guide_section.z,
                "stages": [_stage_json(stage) for stage in self.guides],
                "note": self.guides_note,
            },
        }


def _plain(value: Any) -> Any:
    if isinstance(value, Value):
        return {"value": value.value, "change": value.change}
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, float) and not np.isfinite(value):
        return None
    return {key: _plain(each) for key, each in vars(value).items()} if isinstance(value, Fit) else value


def _stage_json(stage: Stage) -> dict[str, Any]:
    return {"name": stage.name, **{key: _plain(value) for key, value in vars(stage).items()}}


def bridge(plan: Plan, z: float | None = None, case: str = COLD) -> Bridge:
    """Stress in the bridge of a planned head, tight end of the fits.

    ``z`` [mm] height of the section (see `body_section`), ``case`` a name of ``temps``, 'cold' for 20 degC.
    Raises MissingInput naming what the job lacks, ParameterError for a height out of range, GeometryError where bores
    meet or a cavity lies in the web, MissingExtra where scikit-fem or gmsh is not installed.

    Validity: plane stress of one horizontal section, elastic, fits without slip and without friction;
    bores without lead, windows and ports.
    """
    section = body_section(plan, z, case)
    models = (PlaneModel.of(section, COARSE), PlaneModel.of(section, FINE))
    stages, solutions = stages_of(models)
    sliding, slid = stages_of(models, sliding=True)
    guides: tuple[Stage, ...] = ()
    guide_section, note = None, ""
    try:
        guide_section = shank_section(plan, case)
        guides, _ = stages_of((PlaneModel.of(guide_section, COARSE), PlaneModel.of(guide_section, FINE)))
    except MissingInput as gap:
        note = gap.note or "missing: " + ", ".join(gap.keys)
    return Bridge(
        str(plan.job.get("job.id")),
        case,
        section,
        stages,
        sliding,
        rules_of(section),
        solutions + slid,
        _strength(plan, case),
        guides,
        guide_section,
        note,
    )


def _strength(plan: Plan, case: str) -> float | None:
    metal = plan.inputs.under(f"materials.{plan.inputs.one('head.material')}")
    cold, hot = metal.get("yield20"), metal.get("yield200")
    if case == COLD or cold is None:
        return None if cold is None else float(cold)
    temperature, _ = temperatures(plan, next(iter(plan.stations.values())), case)
    return None if hot is None else float(yield_at(temperature, cold, hot))


def stages_of(
    models: tuple[PlaneModel, PlaneModel], sliding: bool = False
) -> tuple[tuple[Stage, ...], tuple[Solution, ...]]:
    """Each of two bushings alone, its neighbour's bore empty, then both; and their solutions on the finer mesh.

    ``models``: of one section, coarse and fine. ``sliding``: fits without friction.
    """
    coarse, fine = models
    made: list[Stage] = []
    solved: list[Solution] = []
    for present in ((0,), (1,), (0, 1)):
        rough, solution = (model.solve(present, sliding=sliding) for model in (coarse, fine))
        made.append(_stage(fine.section, sliding, rough, solution))
        solved.append(solution)
    return tuple(made), tuple(solved)


def _stage(section: Section, sliding: bool, rough: Solution, fine: Solution) -> Stage:
    a, b = _figures(rough), _figures(fine)
    value = {key: Value(b[key], abs(a[key] - b[key])) for key in b}
    names = [ring.name for ring in section.rings]
    head = tresca(fine.head())
    worst = int(np.nanargmax(head))
    fits = tuple(
        Fit(names[k], *(value[f"{part}{k}"] for part in ("mean", "least", "most", "oval", "closes")))
        for k in fine.present
    )
    return Stage(
        tuple(names[k] for k in fine.present),
        sliding,
        value["hoop"],
        value["tresca"],
        value["von_mises"],
        (value["end0"], value["end1"]),
        value["peak"],
        (float(fine.mesh.points[worst, 0]), float(fine.mesh.points[worst, 1])),
        fits,
        {names[k]: value[f"empty{k}"] for k in range(len(names)) if k not in fine.present},
        max(fine.friction(k) for k in fine.present),
    )


def _figures(solution: Solution) -> dict[str, float]:
    along, hoop, stress = across_web(solution)
    equivalent = tresca(stress)
    made = {
        "hoop": float(np.trapezoid(hoop, along) / (along[-1] - along[0])),
        "tresca": float(equivalent.max()),
        "von_mises": float(von_mises(stress).max()),
        "end0": float(equivalent[0]),
        "end1": float(equivalent[-1]),
        "peak": float(np.nanmax(tresca(solution.head()))),
    }
    for k, ring in enumerate(solution.section.rings):
        if k not in solution.present:
            made[f"empty{k}"] = float(np.ptp(solution.diameters(ring.outer)))
            continue
        _, pressure = solution.pressure(k)
        across = solution.diameters(ring.inner, ring.interference / ring.diameter)
        made |= {
            f"mean{k}": solution.mean_pressure(k),
            f"least{k}": float(pressure.min()),
            f"most{k}": float(pressure.max()),
            f"oval{k}": float(np.ptp(across)),
            f"closes{k}": -float(across.mean()),
        }
    return made


def across_web(solution: Solution) -> tuple[Array, Array, Array]:
    """Across the web: distance from the first bore [mm], stress along the web's sides [MPa], and s_xx, s_yy, s_xy."""
    start, end = solution.section.web
    step = (end - start) / np.linalg.norm(end - start)
    nodes = solution.mesh.web
    stress = solution.head()[nodes]
    x, y = -step[1], step[0]
    hoop = stress[:, 0] * x * x + stress[:, 1] * y * y + 2 * stress[:, 2] * x * y
    return np.asarray((solution.mesh.points[nodes] - start) @ step), np.asarray(hoop), stress


def rules_of(section: Section) -> tuple[Rule, ...]:
    """Quick figures without finite elements for both bushings of a section.

    ``tresca``: thick ring of diameter + 2 webs under its own pressure, as F04. ``added_tresca``: at the bore's edge of
    the web, the field of this bushing in an endless plate plus the neighbour's there; it leaves out that each bore
    disturbs the other's field.
    """
    first, second = section.rings
    return (_rule(section, first, second), _rule(section, second, first))


ENDLESS = 1e4
"""Hub over fit diameter that stands for an endless plate."""


def _rule(section: Section, own: Ring, other: Ring) -> Rule:
    hub = own.diameter + 2.0 * section.web_width
    pressure = _ring_pressure(section, own, hub)
    edge = own.diameter / 2
    far = other.diameter / 2 + section.web_width
    hoop = radial = 0.0
    for ring, radius in ((own, edge), (other, far)):
        wide = ENDLESS * ring.diameter
        alone = _ring_pressure(section, ring, wide)
        hoop += float(hoop_stress(radius, ring.diameter / 2, wide / 2, alone))
        radial += float(radial_stress(radius, ring.diameter / 2, wide / 2, alone))
    added = float(tresca_stress(hoop, radial))
    return Rule(own.name, hub, pressure, float(hub_tresca(pressure, own.diameter, hub)), added)


def _ring_pressure(section: Section, ring: Ring, hub: float) -> float:
    bore = ring.diameter * ring.inner.short / ring.outer.short
    metals = (section.modulus, section.poisson, ring.modulus, ring.poisson)
    return float(contact_pressure(ring.interference, ring.diameter, bore, hub, *metals))
