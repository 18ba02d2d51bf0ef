"""What a repair changes: a breakthrough that it names is judged through the repair."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.pairs import named

THROUGH_THE_REPAIR = ("W02", "W03", "W04", "W05", "W06", "W07", "W07r", "W08")
ABSENT = "none in this job"
UNREPAIRED = "does not pass"


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


@dataclass(frozen=True)
class Standing:
    """How a repair stands: ids of its FAIL checks that fail, and of those that could not be judged."""

    failing: tuple[str, ...]
    unjudged: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Nothing fails, and the cover of the opening (S05) was judged: without it nothing is repaired."""
        return not self.failing and "S05" not in self.unjudged


def standing(name: str, findings: Iterable[Finding]) -> Standing:
    """How the repair ``name`` stands by its FAIL checks.

    A check that could not run, for want of blocks that a partial job leaves out, is named and is no pass. The
    worst case of the cover may be among them; its nominal value may not.
    """
    failing, unjudged = set(), set()
    bore = f"sleeve_bore_{name}"
    for finding in findings:
        parts = finding.subject.split("~")
        mine = finding.id.startswith("S") and (name in parts or bore in parts)
        if not mine or finding.severity != "FAIL" or finding.note == ABSENT:
            continue
        if finding.verdict == "fail":
            failing.add(finding.id)
        elif finding.verdict == "not_run":
            worst = finding.id == "S05" and finding.case == "worst"
            unjudged.add("S05 worst" if worst else finding.id)
    return Standing(tuple(sorted(failing)), tuple(sorted(unjudged)))


def through_repairs(context: Context, findings: list[Finding]) -> list[Finding]:
    """The findings with the verdicts of repaired pairs set."""
    pairs = repaired_pairs(context)
    if not pairs:
        return findings
    stands = {name: standing(name, findings) for name in context.plan.repairs}
    made = []
    for finding in findings:
        name = pairs.get(finding.subject)
        if name is None or finding.id not in THROUGH_THE_REPAIR or finding.verdict == "not_run":
            made.append(finding)
            continue
        repair = stands[name]
        if repair.holds:
            open_ones = f"; not judged: {', '.join(repair.unjudged)}" if repair.unjudged else ""
            made.append(replace(finding, verdict="info", note=f"repaired by {name}{open_ones}", advice=""))
        elif finding.id in ("W07", "W07r"):
            made.append(finding)
        else:
            bad = ", ".join((*repair.failing, *repair.unjudged))
            made.append(replace(finding, verdict="fail", note=f"repair {name} {UNREPAIRED}: {bad}"))
    return made


def only_unrepaired(finding: Finding) -> bool:
    """Whether a finding fails because the repair that its pair is judged through does not pass."""
    return finding.verdict == "fail" and f" {UNREPAIRED}: " in finding.note
