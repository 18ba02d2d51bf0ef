"""What each sheet says besides the part's own geometry, taken from plan and findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from headparts.checks.finding import Finding
from headparts.job.bodies import Bodies
from headparts.job.reporting import stamp_of
from headparts.parts.part import Part
from headparts.plan import MissingInput, Plan
from headparts.plan.repair import RepairPlan
from headparts.plan.sizes import FitSizes, body_fit, local_window, shank_fit
from headparts.plan.station import StationPlan
from headparts.sheets.context import SheetContext, Tolerance
from headparts.tables.hazards import caution
from headparts.tables.iso286 import deviations

SAME_SIZE = 1e-9
"""Limits of a turned size that cross by less than this do not [mm]."""


def base_context(
    plan: Plan, findings: Sequence[Finding], bodies: Bodies, number: int, of: int
) -> SheetContext:
    """What every sheet of the job shares."""
    job, drawing = plan.job.job, plan.job.drawing
    title = drawing.title if drawing is not None else None
    root = (title.number if title is not None else None) or job.id
    context = SheetContext(
        job_id=job.id,
        job_title=job.title or "",
        number=f"{root}-{number:02d}",
        rev=job.rev or "",
        date=job.date or "",
        status=job.status,
        stamp=stamp_of(findings, bodies),
        sheet_number=f"{number}/{of}",
        revisions=((job.rev or "-", _origin(plan), job.date or "", ""),),
    )
    if title is not None:
        context = replace(
            context, owner=title.owner or "", drawn=title.drawn or "", checked=title.checked or ""
        )
    if drawing is not None:
        context = replace(
            context,
            sheet_size=drawing.sheet or context.sheet_size,
            projection=drawing.projection or context.projection,
            general_tolerance=drawing.general_tol or context.general_tolerance,
            scale_hint=drawing.scale_hint,
            language=drawing.language or context.language,
        )
    return context


def _origin(plan: Plan) -> str:
    return f"as measured, {plan.job.record}" if plan.job.record else "as the job file"


def warnings_for(findings: Sequence[Finding], *names: str) -> tuple[str, ...]:
    """One line for every WARN whose subject is one of ``names`` or a pair with one of them."""
    lines = []
    for finding in findings:
        if finding.verdict == "warn" and set(finding.subject.split("~")) & set(names):
            value = "" if finding.value is None else f" {finding.value:.4g} {finding.unit}".rstrip()
            case = "" if finding.case == "nominal" else f" ({finding.case})"
            reason = f": {finding.note}" if finding.note else ""
            lines.append(f"WARN {finding.id} {finding.quantity}{case}{value}{reason}")
    return tuple(lines)


def material_context(
    context: SheetContext, plan: Plan, part: Part, steps: Sequence[str] = ()
) -> SheetContext:
    """Material, mass and the cautions that the material and the work ask for."""
    block = (plan.job.materials or {}).get(part.material) if part.material else None
    lines = [caution(block.hazard).short] if block is not None and block.hazard else []
    lines += [caution(step).short for step in steps]
    notes = context.notes
    if part.mass is not None and (block is None or block.density is None):
        notes = (*notes, "Mass by a usual density of the material; the job gives none")
    return replace(
        context,
        notes=notes,
        material=part.material or "not given",
        mass=part.mass,
        model_file=f"{part.name}.step",
        model_volume=part.volume,
        cautions=tuple(lines),
    )


def band_of(fit: FitSizes) -> Tolerance:
    """The limits of a turned diameter about the size drawn."""
    return Tolerance(
        upper=fit.upper - fit.turned, lower=fit.lower - fit.turned, places=4 if fit.from_readings else 3
    )


def bushing_context(context: SheetContext, plan: Plan, part: Part, station: StationPlan) -> SheetContext:
    """Tolerances and notes of a bushing's sheet."""
    tolerances: dict[str, Tolerance] = {}
    notes: list[str] = []
    for size, make in (("body_diameter", body_fit), ("shank_diameter", shank_fit)):
        try:
            fit = make(station)
        except MissingInput:
            continue
        which = "Body" if size == "body_diameter" else "Shank"
        if fit.lower > fit.upper + SAME_SIZE:
            notes.append(
                f"{which}: no diameter suits the bore as measured (F12): rebore, do not turn to this sheet"
            )
            continue
        tolerances[size] = band_of(fit)
        notes.append(
            f"{which}: bore {fit.bore:.3f}, interference {fit.interference:.3f} on the diameter "
            f"({fit.loose:.3f} to {fit.tight:.3f})"
        )
    notes += _selective(plan, station)
    guide, tol = station.inputs.get("bushing.guide.bore"), station.inputs.get("bushing.guide.tol")
    if guide is not None and tol is not None:
        lower, upper = deviations(float(guide), tol)
        tolerances["guide_bore"] = Tolerance(fit=tol, lower=lower, upper=upper)
    ream = station.inputs.get("bushing.guide.ream_after_press")
    pre = station.inputs.get("bushing.guide.pre_bore")
    drill = station.inputs.get("bushing.window.pre_drill")
    if drill is not None:
        text = "not drilled before pressing" if drill == "none" else f"drilled {drill:g} before pressing"
        notes.append(f"Window {text}; shown as finished through head and bushing")
    azimuth = station.inputs.get("bushing.window.clock_azim")
    return replace(
        context,
        part_title=f"Guide bushing, {station.name}",
        tolerances=tolerances,
        notes=(*notes, *context.notes),
        clock_azimuth=None if azimuth is None else float(azimuth),
        pre_bore=float(pre) if ream and pre is not None else None,
        corner_radius_max=station.inputs.get("bushing.shoulder.corner_r_max"),
        head_corner_radius=station.inputs.get("bushing.shoulder.head_corner_r"),
    )


def _selective(plan: Plan, station: StationPlan) -> list[str]:
    if plan.inputs.get("fits.body.mode") != "turn_to_measured_bore":
        return []
    try:
        low, high = local_window(station)
        fit = body_fit(station)
    except MissingInput:
        return []
    if station.inputs.get("measured.body_od") is not None:
        return ["Body diameter as measured: mean, least and greatest of six readings"]
    if fit.lower > fit.upper + SAME_SIZE:
        return []
    if fit.from_readings:
        return [
            f"Body diameter from the six readings of the bore, local interference {low:.4f} to {high:.4f}"
        ]
    return [
        f"Turn the body last, to the measured bore: greatest reading {low:+.4f} to smallest reading {high:+.4f}"
    ]


def sleeve_context(context: SheetContext, plan: Plan, part: Part, repair: RepairPlan) -> SheetContext:
    """Tolerances and notes of a sleeve's sheet."""
    tolerances: dict[str, Tolerance] = {}
    notes: list[str] = []
    inputs = repair.inputs
    for size, key in (("outer_diameter", "sleeve.od_tol"), ("inner_diameter", "sleeve.id_tol")):
        band = inputs.get(key)
        if band is not None and size in part.sizes:
            tolerances[size] = Tolerance(lower=float(band[0]), upper=float(band[1]))
    gap = inputs.get("bond.gap_dia")
    if gap is not None:
        notes.append(
            f"Bond gap {gap[0]:g} to {gap[1]:g} on the diameter; bore for the sleeve {inputs.get('bore.dia'):g}"
        )
    if inputs.get("mode") == "bonded":
        notes.append(
            "Degrease, activator, rotate in, cure 24 h or as the adhesive's maker says; then dress the bore"
        )
    cause = repair.cause
    if cause is not None:
        notes.append(f"Covers the opening into {cause}")
    if inputs.get("anti_rotation") not in (None, "none"):
        notes.append(f"Kept from turning by: {inputs.get('anti_rotation')}")
    return replace(
        context,
        part_title=f"Repair sleeve, {inputs.get('in_port')} port",
        tolerances=tolerances,
        notes=tuple(notes),
    )


def spacer_context(context: SheetContext, plan: Plan) -> SheetContext:
    """Notes of a spacer's sheet."""
    notes = []
    change = plan.inputs.get("rocker.pushrod.change")
    if change is not None:
        notes.append(f"Goes with pushrods {change:+.2f} long against the old ones")
    return replace(context, part_title="Rocker-post spacer", notes=(*notes, *context.notes))


def head_context(context: SheetContext, plan: Plan) -> SheetContext:
    """Tolerances of the head's bores: H7 for body and shank (nominal; the bushing is turned to what is measured).

    A bore that the job gives as measured, with its instrument, has no tolerance any more.
    """
    tolerances: dict[str, Tolerance] = {}
    for name, station in plan.stations.items():
        for cut, key in (("body_bore", "bushing.body.dia"), ("shank_bore", "bushing.shank.dia")):
            diameter = station.inputs.get(key)
            stated = plan.job.quantities.get(station.inputs.path(key))
            if diameter is not None and (stated is None or stated.by is None):
                lower, upper = deviations(float(diameter), "H7")
                tolerances[f"{cut}_{name}_diameter"] = Tolerance(fit="H7", lower=lower, upper=upper)
    return replace(
        context, part_title="Head, bores", document_type="Machining drawing", tolerances=tolerances
    )
