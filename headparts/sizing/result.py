"""What a search for the largest safe value gives back."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from headparts.checks.finding import Limit

FORMAT = 1


@dataclass(frozen=True)
class Stop:
    """What ends a range of sizes.

    ``kind`` is "check" (a finding would be worse: ``id``, ``subject``, ``case``, ``quantity`` name it), "reader"
    (the job file would be refused: ``reason``) or "range" (the end of what the key may be). ``at`` is the last
    size that keeps it; ``value`` what the check finds there and ``beyond`` one step further, both in ``unit``.
    ``also`` names the other checks that turn worse at the same step.
    """

    kind: str
    at: float
    id: str = ""
    subject: str = ""
    case: str = ""
    quantity: str = ""
    value: float | None = None
    beyond: float | None = None
    limit: Limit = None
    compare: str = "none"
    unit: str = ""
    reason: str = ""
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class Span:
    """Sizes from ``low`` to ``high``, both included, at which no check is worse, as far as the scan saw."""

    low: float
    high: float


@dataclass(frozen=True)
class CurvePoint:
    """The least margin of all checks that depend on the parameter, at one size.

    ``margin`` is the distance to the limit as a share of the limit (of half its width where it is a range, as it
    stands where the limit is 0), negative beyond it; None where no judged check depends on the parameter. A check
    that fails at the job's own size counts from its margin there. Beyond the first edge a size is given up as soon
    as one check is worse: the margin there is that of the checks asked, and the least is no greater. A few points lie
    on the side of the job's own size that was not asked for.
    """

    value: float
    margin: float | None
    id: str = ""
    subject: str = ""
    case: str = ""
    quantity: str = ""


@dataclass(frozen=True)
class Change:
    """A check that starts or stops running between the job's own size and ``at``."""

    id: str
    subject: str
    quantity: str
    before: str
    after: str
    at: float


@dataclass(frozen=True)
class Likeliest:
    """The rule of a stated risk, and the wall that comes nearest to it at the size found.

    ``most``: what the probability of each wall of lying below its limit may be at most; it stands in place of the
    worst cases W07, W07r and S08 worst_case. ``samples`` draws from ``seed``, the same at every size. ``below`` and
    ``through``: the probabilities of the wall ``subject`` of lying below its limit and of being broken through.
    ``not_run``: walls that the rule could not judge, being without half-widths or more.
    """

    most: float
    samples: int
    seed: int
    subject: str = ""
    below: float = 0.0
    through: float = 0.0
    not_run: tuple[str, ...] = ()


@dataclass(frozen=True)
class Largest:
    """The largest (``smallest``: the smallest) safe value of ``parameter``.

    ``value`` is the end of the unbroken range of sizes that holds the job's ``own`` value; ``works`` is
    False when not one step beyond ``own`` is safe, and ``value`` is then ``own``. ``together`` holds (key,
    own, value) of what moved along. ``islands`` are safe sizes beyond a gap. ``failing`` names checks that
    fail at the job's own size; those may fail on, but by no more. Up to ``value`` the sizes tried lie
    ``scan_step`` apart at most: a narrower gap can hide between them unless a margin points at it; further
    on the steps grow. ``legal`` is what the reader accepts from the job's own value on, on the side looked
    at; ``stop`` is what ends the range and ``next`` what would end it if the check in ``stop`` were waived.
    ``risk`` is None without a stated risk. Sizes are in ``unit`` (mm; empty: deg or the unit of the key), to ``step``.
    """

    parameter: str
    unit: str
    step: float
    own: float
    value: float
    smallest: bool
    works: bool
    stop: Stop
    next: Stop | None
    together: tuple[tuple[str, float, float], ...]
    legal: Span
    islands: tuple[Span, ...]
    curve: tuple[CurvePoint, ...]
    changes: tuple[Change, ...]
    failing: tuple[str, ...]
    checks: tuple[str, ...]
    scan_step: float
    trials: int
    risk: Likeliest | None = None

    def as_json(self) -> dict[str, Any]:
        """Plain data for JSON: numbers or null, never NaN."""
        made = asdict(self)
        made["together"] = [
            {"parameter": key, "own": own, "value": value} for key, own, value in self.together
        ]
        return {"format": FORMAT, **made}
