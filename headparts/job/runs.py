"""The four runs. Each reads like a table of contents: read, plan, build, check, write."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from headparts import __version__
from headparts.config import JobFile, read_job
from headparts.errors import GeometryError, HeadpartsError, KernelError, ParameterError
from headparts.job.apart import helper
from headparts.job.reporting import report_of
from headparts.job.results import RunResult
from headparts.plan import Plan, plan_job
from headparts.plan.given_head import read_files

if TYPE_CHECKING:  # loaded by the runs that build solids
    from headparts.checks.context import Context
    from headparts.checks.finding import Finding
    from headparts.job.bodies import Bodies
    from headparts.job.record import Recorded
    from headparts.parts.ask import Ask
    from headparts.sizing.risk_result import Risk

Step = Callable[[str], AbstractContextManager[Any]]
TOOL = f"headparts {__version__}"


def _silent(_: str) -> AbstractContextManager[Any]:
    return nullcontext()


def check(
    job: str | Path | JobFile,
    only: Sequence[str] = (),
    solids: bool = True,
    step: Step = _silent,
    two_processes: bool = False,
    record: str | Path | None = None,
) -> RunResult:
    """Judge a job: every check, and with ``solids`` every pair of bodies where the job describes a head.

    How far apart bodies stand that do not meet is left to ``build``. ``only`` keeps some checks (an id, or a
    letter for a family) and leaves the bodies out. ``two_processes`` works out in a second process what needs no kernel,
    the findings with it, while this one builds the bodies. ``record``: an inspection record whose readings take the
    place of what was planned. Raises JobFileError for a bad file, ParameterError for a check that there is not.
    """
    only = [item for item in only if item]
    with helper(two_processes and solids and not only) as other:
        with step("read the job file"):
            plan, found = _planned(job, record)
        with_bodies = (
            solids
            and not only
            and (plan.inputs.get("head.outline") is not None or plan.inputs.get("head.solid") is not None)
        )
        if other is not None and with_bodies:
            with step("check, build the bodies and look for clashes"):
                other.give(plan.job)
                bodies, remarks = _looked_at(plan, other.ask)
                findings = other.findings()
                result = _result(plan, _findings(plan) if findings is None else findings, bodies, remarks)
                return _beside_plan(result, found)
    with step("check"):
        try:
            findings = _findings(plan, only)
        except ValueError as error:
            raise ParameterError("only", ",".join(only), str(error)) from error
    if not with_bodies:
        return _beside_plan(_result(plan, findings, None, []), found, only)
    with step("build the bodies and look for clashes"):
        return _beside_plan(_result(plan, findings, *_looked_at(plan)), found, only)


def _findings(plan: Plan, only: Sequence[str] = ()) -> list[Finding]:
    from headparts.checks.context import Context
    from headparts.job.judging import judged

    return judged(Context(plan), only)


def _looked_at(plan: Plan, ask: Ask | None = None) -> tuple[Bodies | None, list[str]]:
    """The bodies with their clashes, or why they could not be looked at."""
    from headparts.job.bodies import build_bodies
    from headparts.parts.ask import work_out

    try:
        return build_bodies(plan, apart=False, ask=ask or work_out), []
    except (KernelError, ParameterError, GeometryError) as error:
        return None, [f"bodies not looked at: {error}"]


def draw(
    job: str | Path | JobFile,
    parts: Sequence[str] = (),
    folder: str | Path | None = None,
    *,
    draft: bool = False,
    force: bool = False,
    record: str | Path | None = None,
    step: Step = _silent,
) -> RunResult:
    """Draw the parts named (all by default): DXF, SVG and PDF of each sheet.

    Sheets are always written, stamped NOT RELEASED while a FAIL is not accepted; ``draft`` changes nothing
    here and stands for what it does in ``export`` and ``build``. With a ``record`` they show the job as measured.
    """
    from headparts.job.drawing import drawn_files

    return _one_kind(job, record, parts, folder, force, step, "draw", "Q05", drawn_files)


def export(
    job: str | Path | JobFile,
    parts: Sequence[str] = (),
    folder: str | Path | None = None,
    *,
    draft: bool = False,
    force: bool = False,
    record: str | Path | None = None,
    step: Step = _silent,
) -> RunResult:
    """Export the models named (those of the job's ``export`` block by default): STEP and STL."""
    from headparts.job.models import model_files

    return _one_kind(
        job, record, parts, folder, force, step, "export", "Q06", partial(model_files, draft=draft)
    )


def _one_kind(
    job: str | Path | JobFile,
    record: str | Path | None,
    parts: Sequence[str],
    folder: str | Path | None,
    force: bool,
    step: Step,
    what: str,
    own_check: str,
    make: Callable[..., tuple[list[Any], list[Any]]],
) -> RunResult:
    """A run that writes one kind of file and leaves what an earlier run of the same job wrote beside it."""
    from headparts.job.writing import default_folder, write_run

    with step("read the job file"):
        plan, found = _planned(job, record)
    with step("check"):
        findings = _findings(plan)
    with step("build the parts"):
        bodies = _bodies(plan, parts)
    with step(what):
        files, own = make(plan, bodies, findings, parts)
    result = _beside_plan(_result(plan, [*_without(findings, own_check), *own], bodies, []), found)
    with step("write"):
        return write_run(result, files, folder or default_folder(plan.job), force=force, partial=True)


def build(
    job: str | Path | JobFile,
    folder: str | Path | None = None,
    *,
    draft: bool = False,
    force: bool = False,
    record: str | Path | None = None,
    step: Step = _silent,
) -> RunResult:
    """Check, draw, export and report: the whole kit of one job, with a ``record`` as measured."""
    from headparts.checks.context import Context
    from headparts.job.bodies import build_bodies
    from headparts.job.drawing import drawn_files
    from headparts.job.judging import judged
    from headparts.job.models import model_files
    from headparts.job.second_route import second_route
    from headparts.job.writing import default_folder, write_run

    with step("read the job file"):
        plan, found = _planned(job, record)
    with step("check"):
        context = Context(plan)
        findings = judged(context)
    with step("build the parts, cut the head and look for clashes"):
        bodies = build_bodies(plan)
    with step("measure walls a second time"):
        bodies = replace(bodies, second_route=second_route(context))
    with step("draw what may lie elsewhere"):
        risk, remarks = _risk_of(context)
    with step("draw"):
        sheets, sheet_findings = drawn_files(plan, bodies, findings)
    with step("export"):
        models, file_findings = model_files(plan, bodies, findings, draft=draft)
    whole = [*_without(findings, "Q05", "Q06"), *sheet_findings, *file_findings]
    result = _result(plan, whole, bodies, remarks)
    result = _beside_plan(replace(result, report=replace(result.report, risk=risk)), found)
    with step("write"):
        return write_run(
            result, [*sheets, *models], folder or default_folder(plan.job), force=force, partial=False
        )


def _risk_of(context: Context) -> tuple[Risk | None, list[str]]:
    """The risk of walls below their limits for the report; a remark instead where it would take long."""
    from headparts.sizing.risk import affordable, open_pairs

    try:
        found = affordable(context)
    except HeadpartsError as error:
        return None, [f"Risk: not worked out: {error}"]
    if found is None:
        count = len(open_pairs(context))
        return None, [f"Risk: {count} walls need draws; left out here, headparts risk works them out."]
    return (found if any(pair.below is not None for pair in found.pairs) else None), []


def _plan(job: str | Path | JobFile) -> Plan:
    plan = plan_job(job if isinstance(job, JobFile) else read_job(job))
    read_files(plan.job)
    return plan


def _planned(job: str | Path | JobFile, record: str | Path | None) -> tuple[Plan, Recorded | None]:
    """The plan of the job, and with a record the plan of the job as made."""
    if record is None:
        return _plan(job), None
    from headparts.job.record import recorded

    found = recorded(job, record)
    read_files(found.planned.job)
    return found.plan, found


def _beside_plan(result: RunResult, found: Recorded | None, only: Sequence[str] = ()) -> RunResult:
    """The result with planned against made, where there is a record."""
    if found is None:
        return result
    from headparts.job.record import beside_plan

    return beside_plan(result, found, only)


def _bodies(plan: Plan, only: Sequence[str]) -> Bodies:
    """Parts named, and the head where it is asked for."""
    from headparts.job.bodies import Bodies, build_head, build_parts, build_scan
    from headparts.job.names import needs_head, refuse_unknown

    refuse_unknown(plan, only)
    parts, not_built = build_parts(plan)
    needed = needs_head(plan, only)
    head, no_head = build_head(plan) if needed else (None, ())
    scan, no_scan = build_scan(plan) if needed else (None, ())
    return Bodies(parts, head, (*not_built, *no_head, *no_scan), scan=scan)


def _without(findings: Sequence[Any], *ids: str) -> list[Any]:
    return [finding for finding in findings if finding.id not in ids]


def _result(plan: Plan, findings: list[Any], bodies: Bodies | None, remarks: list[str]) -> RunResult:
    if plan.given is not None:
        remarks = [plan.given.said, *remarks]
    return RunResult(plan, findings, report_of(plan, findings, bodies, remarks, TOOL), bodies)
