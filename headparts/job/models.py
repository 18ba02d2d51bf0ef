"""The models of a run: STEP and STL of parts, assembly and set-ups, and the shop list."""

from __future__ import annotations

from collections.abc import Sequence

from headparts import __version__
from headparts.checks.finding import Finding
from headparts.errors import GeometryError
from headparts.exports.manifest import entry
from headparts.exports.shop_list import shop_list
from headparts.exports.step import VOLUME_LIMIT, StepModel, assembly_step, part_step, setup_step
from headparts.exports.stl import DEFAULT_TOLERANCE, StlModel, assembly_stl, part_stl, scan_stl
from headparts.geometry.stl import read_stl
from headparts.job.bodies import Bodies
from headparts.job.names import ASSEMBLY
from headparts.job.reporting import stamp_of
from headparts.job.writing import OutFile
from headparts.parts.part import Part, Placement
from headparts.parts.scan_head import ScanHead
from headparts.plan import Plan
from headparts.plan.setups import Setup, check_points, setups

TOOL = f"headparts {__version__}"
AGAIN = "do not hand this file on: export it again, and if it differs again work from the sheet"


def model_files(
    plan: Plan, bodies: Bodies, findings: Sequence[Finding], asked: Sequence[str] = (), *, draft: bool = False
) -> tuple[list[OutFile], list[Finding]]:
    """Files of the models asked for, and a Q06 finding a STEP file.

    By default: STEP of what the job's ``export.step`` lists (every part, the head and the assembly where it
    lists nothing), STL of every part, the head and the assembly. Set-up files are withheld while a FAIL is
    not accepted; ``draft`` writes them all the same, marked.
    """
    job = plan.job.job
    stamp = stamp_of(findings, bodies)
    wanted = _wanted(plan, bodies, asked)
    have = {part.name: part for part in bodies.everything}
    models: list[StepModel] = [
        part_step(part, tool=TOOL, job_id=job.id, date=job.date)
        for name, part in have.items()
        if name in wanted
    ]
    if ASSEMBLY in wanted and len(have) > 1:
        models.append(assembly_step(tuple(have.values()), tool=TOOL, job_id=job.id, date=job.date))
    if bodies.head is not None and (stamp is None or draft):
        for setup in setups(plan):
            if setup.name in wanted:
                models.append(_setup(plan, setup, bodies.head, stamp))
    files = [OutFile(model.entry, model.data) for model in models]
    meshes = _stl(plan, bodies, wanted)
    files += [OutFile(made.entry, made.data) for made in meshes]
    if plan.inputs.get("export.shop_csv") and not asked and (stamp is None or draft):
        text = shop_list(plan, stamp)
        files.append(OutFile(entry("shop_list.csv", text, "CSV", "data", units="mm", note=stamp), text))
    scanned = [made for made in meshes if bodies.scan is not None and made.name == f"{bodies.scan.name}.stl"]
    return files, [*map(_reread, models), *map(_reread_scan, scanned)]


def _wanted(plan: Plan, bodies: Bodies, asked: Sequence[str]) -> set[str]:
    if asked:
        return set(asked)
    everything = {part.name for part in bodies.everything} | {ASSEMBLY}
    if bodies.scan is not None:
        everything.add(bodies.scan.name)
    listed = plan.inputs.get("export.step")
    return everything | set(listed or ())


def _stl(plan: Plan, bodies: Bodies, wanted: set[str]) -> list[StlModel]:
    tolerance = float(plan.inputs.get("export.stl_tol") or DEFAULT_TOLERANCE)
    have: list[Part | ScanHead] = [*bodies.everything]
    if bodies.scan is not None:
        have.append(bodies.scan)
    made = [
        scan_stl(part) if isinstance(part, ScanHead) else part_stl(part, tolerance)
        for part in have
        if part.name in wanted
    ]
    if ASSEMBLY in wanted and len(have) > 1:
        made.append(assembly_stl(have, name=ASSEMBLY, tolerance=tolerance))
    return made


def _setup(plan: Plan, setup: Setup, head: Part, stamp: str | None) -> StepModel:
    job, frame = plan.job.job, setup.frame
    return setup_step(
        (head,),
        Placement(frame.origin, frame.x, frame.z),
        name=setup.name,
        tool=TOOL,
        job_id=job.id,
        date=job.date,
        check_points=tuple(local for _, _, local in check_points(plan, setup)),
        stock="the casting as found",
        note=f"DRAFT, {stamp}" if stamp else setup.says,
    )


def _reread(model: StepModel) -> Finding:
    """Q06: the file read again against the solids."""
    proof = model.proof
    wrong = "; ".join(proof.faults)
    text = f"volume within {proof.volume_error:.2g} relative, box within {proof.box_error:.2g} mm"
    return Finding(
        id="Q06",
        subject=model.name,
        quantity="reread",
        value=float(proof.volume_error),
        limit=VOLUME_LIMIT,
        compare="<=",
        default_limit=VOLUME_LIMIT,
        severity="FAIL",
        verdict="pass" if model.proven else "fail",
        method="read again",
        source="1e-3 relative, 0.01 mm",
        advice="" if model.proven else AGAIN,
        note=f"{text}; {wrong}" if wrong else text,
    )


def _reread_scan(model: StlModel) -> Finding:
    """Q06 of a cut scan: the file read as any scan is, which refuses what is not the skin of one solid."""
    error, note = None, ""
    good = False
    try:
        volume = read_stl(model.data).volume
        error = abs(volume - model.volume) / model.volume
        note = f"watertight, one solid, volume within {error:.2g} relative"
        good = error <= VOLUME_LIMIT
    except GeometryError as fault:
        note = str(fault)
    return Finding(
        id="Q06",
        subject=model.name,
        quantity="reread",
        value=error,
        limit=VOLUME_LIMIT,
        compare="<=",
        default_limit=VOLUME_LIMIT,
        severity="FAIL",
        verdict="pass" if good else "fail",
        method="read again",
        source="1e-3 relative",
        advice="" if good else AGAIN,
        note=note,
    )
