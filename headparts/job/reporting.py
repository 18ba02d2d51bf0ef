"""What a report says of one run, gathered from plan, findings and bodies."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from headparts.checks.finding import Finding
from headparts.job.materials import material_rows
from headparts.plan import Plan
from headparts.reports.content import ClashRow, ClearanceRow, HeadProof, JobHead, PartRow, Report
from headparts.tables.hazards import Caution, caution, step_cautions

if TYPE_CHECKING:  # bodies are only here when a run built them
    from headparts.job.bodies import Bodies
    from headparts.parts.scan_head import ScanHead

SMALL_BORE = 28.0
"""Below this bore a job without ``limits.scale`` is told of it once [mm]."""


def stamp_of(findings: Sequence[Finding], bodies: Bodies | None) -> str | None:
    """NOT RELEASED with the ids that fail, or None."""
    ids = [finding.id for finding in findings if finding.verdict == "fail"]
    if bodies is not None and bodies.fails:
        ids.append("clash" if any(map(bodies.stops, bodies.clashes)) else "second route")
    return f"NOT RELEASED: {', '.join(dict.fromkeys(ids))}" if ids else None


def job_head(plan: Plan) -> JobHead:
    """Who a job is: its title block, and its file's name without the folder."""
    job = plan.job
    title = job.drawing.title if job.drawing is not None else None
    return JobHead(
        id=job.job.id,
        title=job.job.title or "",
        rev=job.job.rev or "",
        status=job.job.status,
        date=job.job.date or "",
        file=Path(job.path).name,
        owner=(title.owner or "") if title else "",
        drawn=(title.drawn or "") if title else "",
        checked=(title.checked or "") if title else "",
    )


def report_of(
    plan: Plan,
    findings: Sequence[Finding],
    bodies: Bodies | None,
    remarks: Sequence[str],
    tool: str,
) -> Report:
    """The report of one run, without its files and without the numbers that nobody judges."""
    return Report(
        tool=tool,
        job=job_head(plan),
        stamp=stamp_of(findings, bodies),
        findings=tuple(findings),
        parts=_parts(bodies),
        clashes=_clashes(bodies),
        clearances=_clearances(bodies),
        clash_pairs=len(bodies.clashes) if bodies is not None and bodies.clashes else None,
        proof=_proof(bodies),
        cautions=cautions_of(plan),
        materials=material_rows(plan),
        remarks=(*remarks, *_remarks(plan, bodies)),
    )


def _remarks(plan: Plan, bodies: Bodies | None) -> list[str]:
    made = []
    bore = plan.inputs.get("engine.bore")
    if bore is not None and bore < SMALL_BORE and plan.inputs.get("limits.scale") is None:
        made.append(
            f"The bore is {bore:g} mm and the limits are for about 34 mm and up: limits.scale is not set "
            f"({bore / 34.0:.2f} would be a start)."
        )
    for name, station in plan.stations.items():
        if station.inputs.get("bushing") is not None and station.drawn_upright:
            made.append(
                f"stations.{name}.axis is not given: the window of bushing_{name} is drawn as on an upright valve."
            )
        if station.inputs.get("measured.step_depth") is not None and not plan.job.record:
            made.append(
                f"stations.{name}.measured.step_depth is only written down: shoulder, seat and tip follow it where it "
                "stands in an inspection record (headparts measure, then check --with)."
            )
    if bodies is not None:
        made += [f"{name} was not built: {reason}" for name, reason in bodies.not_built]
        made += bodies.scan.remarks if bodies.scan is not None else ()
        made += [
            f"{row.subject}: the wall is {row.value:.4f} between voids and {row.kernel:.4f} by the kernel"
            for row in bodies.disagreements
        ]
        for clash in bodies.clashes:
            if clash.verdict == "clash":
                advice = "" if bodies.stops(clash) else ": relieve the spacer there or turn it about its stud"
                made.append(f"{clash.note}{advice}.")
    return made


def _parts(bodies: Bodies | None) -> tuple[PartRow, ...]:
    if bodies is None:
        return ()
    rows = [PartRow(part.name, part.material, part.volume, part.mass, part.box) for part in bodies.everything]
    scan = bodies.scan
    if scan is not None:
        rows.append(PartRow(scan.name, scan.material, scan.volume, scan.mass, scan.box, note=scan.origin))
    return tuple(rows)


def _clashes(bodies: Bodies | None) -> tuple[ClashRow, ...]:
    if bodies is None:
        return ()
    return tuple(
        ClashRow(
            clash.pair[0],
            clash.pair[1],
            clash.verdict,
            clash.volume,
            clash.expected_volume,
            clash.note,
            stops=bodies.stops(clash),
            depth=clash.depth,
            case=clash.case,
        )
        for clash in bodies.clashes
        if clash.verdict in ("press", "clash")
    )


def _clearances(bodies: Bodies | None) -> tuple[ClearanceRow, ...]:
    """The pairs that stand near each other, nearest first."""
    rows = [
        ClearanceRow(*clash.pair, near.lower, near.upper, near.method, clash.case, near.proven)
        for clash in (bodies.clashes if bodies is not None else ())
        if (near := clash.clearance) is not None and near.upper is not None
    ]
    return tuple(sorted(rows, key=lambda row: row.upper))


def _proof(bodies: Bodies | None) -> HeadProof | None:
    if bodies is not None and bodies.scan is not None:
        return _proof_of_scan(bodies.scan)
    proof = bodies.head.proof if bodies is not None and bodies.head is not None else None
    if proof is None:
        return None
    tries = len(proof.tries)
    return HeadProof(
        tries=tries + 1,
        volume=proof.volume,
        second_volume=proof.second_volume,
        second_method=f"rays, within {proof.second_tolerance:.2g} mm3",
        reread_volume=proof.step_volume,
        note="; ".join(str(each) for each in proof.tries),
    )


def _proof_of_scan(scan: ScanHead) -> HeadProof | None:
    proof = scan.proof
    if proof is None:
        return None
    loose = (
        [f"{len(proof.loose)} loose pieces, {sum(proof.loose):.3g} mm3, are left out"] if proof.loose else []
    )
    note = f"watertight triangles, {scan.origin}; the cuts' own are {proof.chord:.4f} mm off them at most"
    return HeadProof(
        tries=1,
        volume=proof.volume,
        second_volume=proof.second_volume,
        second_method=f"the scan less the cuts by rays, within {proof.second_tolerance:.2g} mm3",
        note="; ".join([note, *loose]),
    )


def cautions_of(plan: Plan) -> tuple[Caution, ...]:
    """Cautions that this job asks for: its materials' hazards and the steps of its work."""
    used = {station.inputs.get("bushing.material") for station in plan.stations.values()}
    used |= {repair.inputs.get("sleeve.material") for repair in plan.repairs.values()}
    used.add(plan.inputs.get("rocker.spacer.material"))
    hazards = {
        block.hazard for name, block in (plan.job.materials or {}).items() if name in used and block.hazard
    }
    steps = {"numbers", "leak_test"}
    if any(station.inputs.get("bushing") is not None for station in plan.stations.values()):
        steps |= {"pressing", "heat_and_cold", "drilling", "boring", "running"}
    if any(repair.bonded for repair in plan.repairs.values() if repair.inputs.get("mode") is not None):
        steps.add("adhesives")
    if plan.repairs:
        steps.add("repaired_wall")
    return (
        *(caution(hazard) for hazard in sorted(hazards)),
        *(each for each in step_cautions() if each.key in steps),
    )
