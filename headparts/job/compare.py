"""Two jobs compared: parameters, findings, what nobody judges, and the parts that differ."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from headparts.checks.changes import findings_changed
from headparts.checks.context import Context
from headparts.checks.finding import SAME, Finding, counts
from headparts.checks.run import run_checks
from headparts.config import JobFile, read_job
from headparts.config.changes import ParameterChange, parameters_changed
from headparts.errors import GeometryError, JobFileError, KernelError, ParameterError
from headparts.job.apart import helper
from headparts.job.reporting import job_head
from headparts.job.runs import Step, _plan, _silent
from headparts.parts.from_plan import (
    bushing_parameters,
    material_of,
    sleeve_parameters,
    spacer_parameters,
    wanted_parts,
)
from headparts.parts.head_from_plan import describes_head, head_parameters
from headparts.plan import MissingInput, Plan
from headparts.plan.derived import derived
from headparts.reports.compare import Comparison, NumberChange, PartChange

if TYPE_CHECKING:  # solids are only here when parts differ
    from headparts.parts.part import Part
    from headparts.parts.scan_head import ScanHead

AREA = "mm2"
HEAD = "head"
FILES = ("head.solid.file", "head.chamber.file")

Jobs = tuple[Plan, Plan]
Only = tuple[tuple[str, ...], tuple[str, ...]]
"""Names of parts that the first job alone has the keys for, and of those that the second has."""


def compare(
    before: str | Path | JobFile,
    after: str | Path | JobFile,
    *,
    solids: bool = True,
    step: Step = _silent,
    two_processes: bool = False,
) -> Comparison:
    """What the second job has differently from the first.

    ``solids`` builds the parts whose sizes or material differ, and the head, for volume and mass; what is the same
    in both is not built. Bodies are not put together: clashes are left to ``check``. ``two_processes`` works out the
    findings of the first of two heads in a second process. Raises JobFileError with the faults of both files.
    """
    with step("read both job files"):
        plans = _read(before, after)
    with step("check both"):
        findings = _checked(plans, two_processes)
    areas, numbers = _numbers(plans)
    remarks: list[str] = []
    built: tuple[PartChange, ...] = ()
    only: Only = ((), ())
    if solids:
        with step("build what differs"):
            built, only = _parts(plans, remarks)
    else:
        remarks.append("Solids were not built: volumes and masses of the parts are not compared.")
    return Comparison(
        job_head(plans[0]),
        job_head(plans[1]),
        (*parameters_changed(plans[0].job, plans[1].job), *_contents(plans)),
        findings_changed(*findings),
        areas,
        numbers,
        built,
        *only,
        solids=solids,
        counts=(counts(findings[0]), counts(findings[1])),
        remarks=tuple(remarks),
    )


def _read(*jobs: str | Path | JobFile) -> Jobs:
    """Both plans, or the faults of both files at once."""
    plans: list[Plan] = []
    faults: list[Any] = []
    for job in jobs:
        try:
            plans.append(_plan(job if isinstance(job, JobFile) else read_job(job)))
        except JobFileError as error:
            faults += error.faults
    if faults:
        raise JobFileError(dict.fromkeys(faults))
    return plans[0], plans[1]


def _checked(plans: Jobs, two_processes: bool) -> tuple[list[Finding], list[Finding]]:
    with helper(two_processes and all(describes_head(plan) for plan in plans)) as other:
        if other is not None:
            other.give(plans[0].job, bodies=False)
        second = run_checks(Context(plans[1]))
        first = None if other is None else other.findings()
    return run_checks(Context(plans[0])) if first is None else first, second


def _contents(plans: Jobs) -> list[ParameterChange]:
    """Files that both jobs name and whose bytes differ, by the begin of their SHA-256."""
    made = []
    for key in FILES:
        first, second = (_digest(plan.job, key) for plan in plans)
        if first is not None and second is not None and first != second:
            made.append(ParameterChange(f"{key}.sha256", first, second))
    return made


def _digest(job: JobFile, key: str) -> str | None:
    name = job.get(key)
    return None if name is None else hashlib.sha256((job.folder / name).read_bytes()).hexdigest()[:12]


def _numbers(plans: Jobs) -> tuple[tuple[NumberChange, ...], tuple[NumberChange, ...]]:
    """Areas and other numbers that nobody judges and that differ beyond 1e-9 of their unit."""
    first, second = ({row[:2]: row for row in derived(plan)} for plan in plans)
    changed = []
    for key in (*second, *(key for key in first if key not in second)):
        before, after = first.get(key), second.get(key)
        values = [None if row is None else row[2] for row in (before, after)]
        unit = (after or before or ("", "", 0.0, ""))[3]
        if values[0] is None or values[1] is None or abs(values[1] - values[0]) > SAME:
            changed.append(NumberChange(*key, unit, *values))
    return (
        tuple(each for each in changed if each.unit == AREA),
        tuple(each for each in changed if each.unit != AREA),
    )


def _parts(plans: Jobs, remarks: list[str]) -> tuple[tuple[PartChange, ...], Only]:
    """The parts whose recipes differ, built; and the names of those that only one job has the keys for."""
    first, second = (_recipes(plan) for plan in plans)
    changed = []
    for name, recipe in second.items():
        if name in first and first[name] != recipe:
            try:
                before, after = (_build(plan, name) for plan in plans)
            except (KernelError, ParameterError, GeometryError, MissingInput) as error:
                remarks.append(f"{name} was not built: {error}")
                continue
            changed.append(
                PartChange(
                    name,
                    (before.material, after.material),
                    (before.volume, after.volume),
                    (before.mass, after.mass),
                )
            )
    only = (
        tuple(name for name in first if name not in second),
        tuple(name for name in second if name not in first),
    )
    return tuple(changed), only


def _recipes(plan: Plan) -> dict[str, object]:
    """What decides the solid and the mass of each part that the job has the keys for; the kernel is not loaded."""
    asked: dict[str, tuple[Callable[[], object], str]] = {}
    for name, station in plan.stations.items():
        if station.inputs.get("bushing") is not None:
            key = f"stations.{name}.bushing.material"
            asked[f"bushing_{name}"] = (lambda s=station: bushing_parameters(s), key)  # type: ignore[misc]
    for name, repair in plan.repairs.items():
        if repair.inputs.get("sleeve") is not None:
            key = f"repairs.{name}.sleeve.material"
            asked[name] = (lambda r=repair: sleeve_parameters(r), key)  # type: ignore[misc]
    if plan.inputs.get("rocker.spacer") is not None:
        asked["spacer"] = (lambda: spacer_parameters(plan), "rocker.spacer.material")
    if describes_head(plan):
        asked[HEAD] = (lambda: _head_recipe(plan), "head.material")
    made: dict[str, object] = {}
    for name, (sizes, material) in asked.items():
        try:
            made[name] = (sizes(), material_of(plan, material))
        except (MissingInput, ParameterError, GeometryError):
            continue
    return made


def _head_recipe(plan: Plan) -> object:
    from headparts.job.bodies import as_found

    given = plan.job.get("head.solid")
    file = None if given is None else (given.place, _digest(plan.job, "head.solid.file"))
    return head_parameters(plan, as_found(plan)), file, plan.job.get("export.stl_tol") if file else None


def _build(plan: Plan, name: str) -> Part | ScanHead:
    from headparts.job.bodies import build_head, build_scan

    if name != HEAD:
        return next(each for each in wanted_parts(plan) if each.name == name).build()
    for build in (build_head, build_scan):
        made: tuple[Any, tuple[tuple[str, str], ...]] = build(plan)
        if made[0] is not None:
            found: Part | ScanHead = made[0]
            return found
        if made[1]:
            raise MissingInput("head", note=made[1][0][1])
    raise MissingInput("head")
