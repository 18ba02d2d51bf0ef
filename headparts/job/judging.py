"""All findings of a job, with advice in numbers where something fails or warns."""

from __future__ import annotations

from collections.abc import Iterable

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.run import run_checks


def judged(context: Context, only: Iterable[str] = ()) -> list[Finding]:
    """Every finding in the table's order; what fails or warns is told the nearest number that would mend it.

    ``only``: ids or families. Raises ValueError naming a check that there is not.
    """
    findings = run_checks(context, only)
    if all(finding.verdict not in ("fail", "warn") for finding in findings):
        return findings
    from headparts.sizing.advise import advised

    return advised(context, findings)
