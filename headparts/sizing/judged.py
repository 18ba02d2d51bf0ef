"""Whether the findings at one size are worse than at the job's own, and by how much they keep their limits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from headparts.checks.finding import SAME, Finding
from headparts.checks.repairs import only_unrepaired

Key = tuple[str, str, str, str]
RANK = {"pass": 0, "info": 0, "warn": 1, "fail": 2}


@dataclass(frozen=True)
class Worse:
    """One finding that is worse than at the job's own size; ``margin`` as in `margin`, None where it has none.

    ``follows``: only because a check of the repair that it is judged through is worse, which stands beside it.
    """

    key: Key
    finding: Finding | None
    margin: float | None
    reason: str = ""
    follows: bool = False


def margin(finding: Finding | None) -> float | None:
    """Distance to the limit as a share of it: of half the width for a range, as it stands for a limit of 0.

    Positive inside the limit. None where there is no value or no limit.
    """
    if finding is None or finding.value is None or finding.compare == "none" or finding.limit is None:
        return None
    limit = finding.limit
    if isinstance(limit, tuple):
        low, high = limit
        return min(finding.value - low, high - finding.value) / ((high - low) / 2.0 or 1.0)
    room = limit - finding.value if finding.compare == "<=" else finding.value - limit
    return room / (abs(limit) or 1.0)


def by_key(findings: Iterable[Finding]) -> dict[Key, Finding]:
    """The findings by what names them."""
    return {finding.key: finding for finding in findings}


def worse(own: Mapping[Key, Finding], now: Mapping[Key, Finding]) -> list[Worse]:
    """Every finding of ``now`` that is worse than in ``own``, the deepest below its limit first, what follows last.

    pass and info come before warn, warn before fail. What fails already may fail on, but not by more. A check that
    stops running is worse; one that did not run or had nothing to judge is worse when it starts with warn or fail.
    """
    found = [_compared(own.get(key), finding) for key, finding in now.items()]
    made = [each for each in found if each is not None]
    stopped = {f.id: f for key, f in now.items() if f.verdict == "not_run" and not _ran_not(own.get(key))}
    ran = {(f.id, f.subject) for f in now.values() if f.verdict != "not_run"}
    told = {each.key for each in made}
    for key, before in own.items():
        if key in now or before.verdict == "not_run" or before.id not in stopped or key in told:
            continue
        if (before.id, before.subject) not in ran:
            made.append(Worse(key, None, None, "stops running: " + _why(stopped[before.id])))
    return sorted(made, key=lambda each: (each.follows, 1.0 if each.margin is None else each.margin))


def _compared(before: Finding | None, now: Finding) -> Worse | None:
    if now.verdict == "not_run":
        if before is not None and before.verdict != "not_run":
            return Worse(now.key, now, None, f"stops running: {_why(now)}")
        return None
    rank, had = RANK[now.verdict], 0 if before is None else RANK.get(before.verdict, 0)
    if rank > had:
        return Worse(now.key, now, margin(now), follows=only_unrepaired(now))
    if rank == had == RANK["fail"]:
        was, is_now = margin(before), margin(now)
        if was is not None and is_now is not None and is_now < was - SAME:
            return Worse(now.key, now, is_now, "fails already and would fail by more")
    return None


def _ran_not(before: Finding | None) -> bool:
    return before is not None and before.verdict == "not_run"


def _why(finding: Finding) -> str:
    return finding.note or "missing " + ", ".join(finding.missing)
