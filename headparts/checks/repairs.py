"""What a repair changes: a breakthrough that it names is judged through the repair."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.pairs import named

THROUGH_THE_REPAIR = ("W02", "W03", "W04", "W05", "W06", "W07", "W07r", "W08")
ABSENT = "none in this job"


def repaired_pairs(context: Context) -> dict[str, str]:
    """Subjects of the pairs that a repair names as its cause, and the name of that repair."""
    found: dict[str, str] = {}
    for name, repair in context.plan.repairs.items():
        station = repair.inputs.get("in_port")
        if repair.cause is None or station is None:
            continue
        found[named(f"port_{station}", repair.cause)] = name
        found[named(repair.bore_subject, repair.cause)] = name
    return found


def repair_holds(name: str, findings: Iterable[Finding]) -> tuple[bool, list[str]]:
    """Whether every FAIL check of a repair passes, and the ids of those that do not."""
    bad = []
    bore = f"sleeve_bore_{name}"
    for finding in findings:
        parts = finding.subject.split("~")
        if not finding.id.startswith("S") or (name not in parts and bore not in parts):
            continue
        if finding.severity != "FAIL" or finding.note == ABSENT:
            continue
        if finding.verdict in ("fail", "not_run"):
            bad.append(finding.id)
    return not bad, sorted(set(bad))


def through_repairs(context: Context, findings: list[Finding]) -> list[Finding]:
    """The findings with the verdicts of repaired pairs set."""
    pairs = repaired_pairs(context)
    if not pairs:
        return findings
    held = {name: repair_holds(name, findings) for name in context.plan.repairs}
    made = []
    for finding in findings:
        name = pairs.get(finding.subject)
        if name is None or finding.id not in THROUGH_THE_REPAIR or finding.verdict == "not_run":
            made.append(finding)
            continue
        good, bad = held[name]
        if good:
            made.append(replace(finding, verdict="info", note=f"repaired by {name}", advice=""))
        elif finding.id in ("W07", "W07r"):
            made.append(finding)
        else:
            made.append(
                replace(finding, verdict="fail", note=f"repair {name} does not pass: {', '.join(bad)}")
            )
    return made
