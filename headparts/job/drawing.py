"""The sheets of a run: one a part and one for the head, each proven against the solid it shows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from headparts.checks.finding import Finding
from headparts.drafting import Drawing, Rendered, render
from headparts.exports.manifest import entry
from headparts.job.bodies import Bodies
from headparts.job.names import HEAD_BORES
from headparts.job.sheet_context import (
    base_context,
    bushing_context,
    head_context,
    material_context,
    sleeve_context,
    spacer_context,
    warnings_for,
)
from headparts.job.writing import OutFile
from headparts.parts.part import Part
from headparts.plan import Plan
from headparts.sheets import differences, missing_or_doubled
from headparts.sheets.context import SheetContext

if TYPE_CHECKING:
    from headparts.sheets.head_bores import WallMark

SAME = 1e-6
"""A dimension on a sheet may differ from the solid by this much [mm or deg]."""


@dataclass(frozen=True)
class SheetOf:
    """One sheet to make: its name, the part it shows, and how."""

    name: str
    part: Part
    make: Callable[[SheetContext], Drawing]


def drawn_files(
    plan: Plan, bodies: Bodies, findings: Sequence[Finding], asked: Sequence[str] = ()
) -> tuple[list[OutFile], list[Finding]]:
    """DXF, SVG and PDF of every sheet asked for, and its Q05 finding."""
    wanted = [sheet for sheet in sheets_of(plan, bodies, findings) if not asked or sheet.name in asked]
    files: list[OutFile] = []
    judged: list[Finding] = []
    for number, sheet in enumerate(wanted, start=1):
        context = base_context(plan, findings, bodies, number, len(wanted))
        rendered = render(sheet.make(context))
        files += _files(sheet, rendered, context.stamp)
        judged.append(_dimensions(sheet, rendered.dxf))
    return files, judged


def sheets_of(plan: Plan, bodies: Bodies, findings: Sequence[Finding]) -> list[SheetOf]:
    """Every sheet that the bodies allow."""
    made = []
    for part in bodies.parts:
        if part.name.startswith("bushing_"):
            make = _bushing
        elif part.name in plan.repairs:
            make = _sleeve
        else:
            make = _spacer
        made.append(SheetOf(part.name, part, partial(make, plan, part, findings)))
    if bodies.head is not None:
        made.append(SheetOf(HEAD_BORES, bodies.head, partial(_head, plan, bodies.head, findings)))
    return made


def _bushing(plan: Plan, part: Part, findings: Sequence[Finding], context: SheetContext) -> Drawing:
    from headparts.sheets.bushing import bushing_sheet

    station = plan.stations[part.name.removeprefix("bushing_")]
    full = bushing_context(material_context(context, plan, part, ("pressing",)), plan, part, station)
    return bushing_sheet(part, _warned(full, findings, part.name, station.name))


def _sleeve(plan: Plan, part: Part, findings: Sequence[Finding], context: SheetContext) -> Drawing:
    from headparts.sheets.sleeve import sleeve_sheet

    repair = plan.repairs[part.name]
    steps = ("adhesives", "repaired_wall") if repair.bonded else ("repaired_wall",)
    full = sleeve_context(material_context(context, plan, part, steps), plan, part, repair)
    return sleeve_sheet(part, _warned(full, findings, part.name, repair.bore_subject))


def _spacer(plan: Plan, part: Part, findings: Sequence[Finding], context: SheetContext) -> Drawing:
    from headparts.sheets.spacer import spacer_sheet

    parallel = float(plan.inputs.get("rocker.spacer.parallel") or 0.01)
    full = spacer_context(material_context(context, plan, part), plan)
    return spacer_sheet(part, _warned(full, findings, part.name, "rocker"), parallel)


def _head(plan: Plan, part: Part, findings: Sequence[Finding], context: SheetContext) -> Drawing:
    from headparts.sheets.head_bores import head_bores_sheet

    full = head_context(material_context(context, plan, part, ("boring",)), plan)
    cuts = [finding.subject for finding in findings if finding.id in WALLS]
    return head_bores_sheet(part, _warned(full, findings, "head", *cuts), least_walls(findings), HEAD_BORES)


WALLS = ("W01", "W02", "W03", "W04", "W05", "W06", "W09", "W11")


def least_walls(findings: Sequence[Finding]) -> list[WallMark]:
    """The least wall of each check, where it lies."""
    from headparts.sheets.head_bores import WallMark

    best: dict[str, Finding] = {}
    for finding in findings:
        if finding.id in WALLS and finding.value is not None and finding.at is not None:
            known = best.get(finding.id)
            if known is None or known.value is None or finding.value < known.value:
                best[finding.id] = finding
    return [
        WallMark(f"{each.id} {each.subject}", each.value, *each.at)
        for each in best.values()
        if each.value is not None and each.at is not None
    ]


def _warned(context: SheetContext, findings: Sequence[Finding], *names: str) -> SheetContext:
    return replace(context, warnings=warnings_for(findings, *names))


def _files(sheet: SheetOf, rendered: Rendered, stamp: str | None) -> list[OutFile]:
    made = []
    for data, ending, kind in (
        (rendered.dxf, "dxf", "DXF"),
        (rendered.svg, "svg", "SVG"),
        (rendered.pdf, "pdf", "PDF"),
    ):
        about = entry(
            f"{sheet.name}.{ending}", data, kind, "drawing", part=sheet.part.name, units="mm", note=stamp
        )
        made.append(OutFile(about, data))
    return made


def _dimensions(sheet: SheetOf, dxf: bytes) -> Finding:
    """Q05: every size of the part is on the sheet once, and says what the solid is."""
    missing, doubled = missing_or_doubled(sheet.part, dxf, _left_out(sheet))
    off = {size: gap for size, gap in differences(sheet.part, dxf).items() if abs(gap) > SAME}
    faults = [f"missing: {', '.join(missing)}"] if missing else []
    faults += [f"twice: {', '.join(doubled)}"] if doubled else []
    faults += [f"not as the solid: {', '.join(off)}"] if off else []
    return Finding(
        id="Q05",
        subject=sheet.name,
        quantity="dimensions",
        value=float(len(missing) + len(doubled) + len(off)),
        limit=0.0,
        compare="<=",
        default_limit=0.0,
        severity="FAIL",
        verdict="fail" if faults else "pass",
        method="read back from the DXF and measured on the solid",
        source="the drawing's own rules",
        advice="work to the model, not to this sheet, until it is drawn anew" if faults else "",
        note="; ".join(faults),
    )


def _left_out(sheet: SheetOf) -> list[str]:
    """Sizes that a sheet need not show: a head's sheet is of its new bores, their places stand in its table."""
    if sheet.name != HEAD_BORES:
        return []
    bores = ("body_bore_", "shank_bore_")
    return [size for size in sheet.part.sizes if not (size.startswith(bores) and size.endswith("_diameter"))]
