"""Which findings an explanation is asked for: ids, families, and one subject of an id, as ``W07:tunnel_in``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from headparts.checks.finding import Finding
from headparts.checks.table import ids
from headparts.errors import ParameterError
from headparts.reports.numbers import clean


@dataclass(frozen=True)
class Asked:
    """One check ``id`` and, where ``subject`` is not empty, what it is asked about."""

    id: str
    subject: str = ""

    def meets(self, finding: Finding) -> bool:
        """Whether this finding is asked for: its subject, a pair in either order, or one of a pair."""
        if finding.id != self.id:
            return False
        names = finding.subject.lower().split("~")
        wanted = self.subject.lower().split("~")
        return (
            not self.subject or sorted(names) == sorted(wanted) or (len(wanted) == 1 and wanted[0] in names)
        )


def wanted(text: str) -> tuple[Asked, ...]:
    """What ``--explain`` asks for; ParameterError naming the nearest where there is no such check.

    >>> [(each.id, each.subject) for each in wanted("F02, W07:tunnel_in~port_intake")]
    [('F02', ''), ('W07', 'tunnel_in~port_intake')]
    """
    found: list[Asked] = []
    for item in (part.strip() for part in text.split(",")):
        name, _, subject = (part.strip() for part in item.partition(":"))
        if not item:
            continue
        hits = [each for each in ids() if each.lower() == name.lower()]
        hits = hits or [each for each in ids() if len(name) == 1 and each.startswith(name.upper())]
        if not hits:
            near = ", ".join(_nearest(name))
            raise ParameterError("--explain", clean(name), f"is no check; the nearest are {near}")
        found += [Asked(each, subject) for each in hits]
    if not found:
        raise ParameterError("--explain", clean(text), f"names no check; there are {', '.join(ids())}")
    return tuple(dict.fromkeys(found))


def asked_for(findings: Sequence[Finding], asked: Sequence[Asked]) -> list[Finding]:
    """The findings asked for, in their order.

    Raises ParameterError, naming the subjects that there are, for a subject that a check does not have in this job.
    """
    for each in asked:
        if not any(each.meets(finding) for finding in findings):
            there = dict.fromkeys(finding.subject for finding in findings if finding.id == each.id)
            raise ParameterError(
                "--explain",
                clean(f"{each.id}:{each.subject}"),
                f"is about nothing in this job; {each.id} is asked about {', '.join(there)}",
            )
    return [finding for finding in findings if any(each.meets(finding) for each in asked)]


def _nearest(item: str) -> list[str]:
    """Ids that look like a mistaken one, by family and number."""
    digits = re.sub(r"[^0-9]", "", item)[:4]

    def off(known: str) -> tuple[bool, int, str]:
        mine = int(re.sub(r"[^0-9]", "", known))
        return known[0] != item[:1].upper(), abs(mine - int(digits or 0)), known

    return sorted(ids(), key=off)[:3]
