"""All checks of a job in the table's order, with repairs and acceptances applied."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.registry import REGISTRY, ask, registered
from headparts.checks.repairs import THROUGH_THE_REPAIR, through_repairs
from headparts.checks.table import ids

Progress = Callable[[str], None]


def select(only: Iterable[str]) -> tuple[str, ...]:
    """Check ids that match; a single letter stands for its family. Raises ValueError naming what there is not."""
    wanted = [item.strip() for item in only if item.strip()]
    if not wanted:
        return ids()
    chosen: list[str] = []
    for item in wanted:
        matches = [id_ for id_ in ids() if id_ == item or (len(item) == 1 and id_.startswith(item.upper()))]
        if not matches:
            raise ValueError(f"no check {item!r}; there are {', '.join(ids())}")
        chosen += matches
    return tuple(dict.fromkeys(chosen))


def run_checks(context: Context, only: Iterable[str] = ()) -> list[Finding]:
    """Every finding of the job, in the table's order."""
    plan = context.plan
    wanted = select(only)
    needed = set(wanted)
    if plan.repairs and needed & set(THROUGH_THE_REPAIR):
        needed |= {id_ for id_ in ids() if id_.startswith("S")}
    found: dict[str, list[Finding]] = {id_: [] for id_ in ids() if id_ in needed}
    for entry in registered(needed):
        found[entry.id] += ask(context, entry)
    return [finding for finding in judged(context, found) if finding.id in wanted]


def judged(context: Context, found: Mapping[str, Sequence[Finding]]) -> list[Finding]:
    """What the checks said, by their ids, with repairs and acceptances applied, in the order of ``found``.

    A check that said nothing gets one row that tells so.
    """
    findings: list[Finding] = []
    for id_, mine in found.items():
        built = any(entry.id == id_ for entry in REGISTRY)
        findings += mine or context.none_here(id_, note="none in this job" if built else "not built yet")
    return accepted(context, through_repairs(context, findings))


def accepted(context: Context, findings: list[Finding]) -> list[Finding]:
    """The findings with each FAIL that the job accepts turned into a WARN that prints the reason."""
    reasons = {(each.id, each.subject): each.reason for each in (context.job.accept or ())}
    made = []
    for finding in findings:
        reason = reasons.get((finding.id, finding.subject))
        if reason is not None and finding.verdict == "fail":
            note = f"accepted: {reason}"
            made.append(
                replace(finding, verdict="warn", note=f"{finding.note}; {note}" if finding.note else note)
            )
        else:
            made.append(finding)
    return made


def failed(findings: Iterable[Finding]) -> list[Finding]:
    """The findings that fail and are not accepted."""
    return [finding for finding in findings if finding.verdict == "fail"]
