"""What `headparts risk` gives back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from headparts.sizing.chance import Chance

FORMAT = 1


@dataclass(frozen=True)
class Share:
    """One half-width of the job: what share of the wall's variance it makes (0 to 1, to first order)."""

    key: str
    half_width: float
    share: float


@dataclass(frozen=True)
class PairRisk:
    """One wall under the half-widths. Lengths in mm.

    ``nominal`` as drawn; ``worst_case`` less the sum of all half-widths (W07); ``rss`` less the root of their squares
    (W07r); ``true_least`` bounds of the least over all directions of the half-widths, None where the worst case keeps
    the limit; ``sampled_least`` bounds of the least wall of all samples. ``below``: below ``limit``; ``through``: no
    wall left. ``exact``: samples solved afresh. ``shares``: by variance, the largest first. ``missing``: keys that
    it lacks; it was then not run. ``repaired``: it is the cause of a repair and left out of the whole job's probability.
    """

    check: str
    subject: str
    limit: float | None
    nominal: float | None
    worst_case: float | None = None
    rss: float | None = None
    true_least: tuple[float, float] | None = None
    sampled_least: tuple[float, float] | None = None
    below: Chance | None = None
    through: Chance | None = None
    exact: int = 0
    shares: tuple[Share, ...] = ()
    missing: tuple[str, ...] = ()
    note: str = ""
    repaired: bool = False

    @property
    def sampled(self) -> bool:
        """Whether samples were needed."""
        return self.below is not None and "sampled" in (
            self.below.how,
            self.through.how if self.through else "",
        )


@dataclass(frozen=True)
class Improvement:
    """What halving the half-width at ``key`` would leave of the probability that any limit is broken.

    ``halved`` is a sure side: no smaller than the share of the same samples that then breaks a limit.
    """

    key: str
    half_width: float
    halved: float
    drop: float
    share: float


@dataclass(frozen=True)
class Risk:
    """Every wall of a job under its half-widths.

    ``any_below``, ``any_through``: any pair (repaired causes and what was not run left out) below its limit, or broken
    through; None where no pair was run. Pairs share their draws. ``improve``: measurements, the one that helps most first.
    """

    job: str
    samples: int
    seed: int
    pairs: tuple[PairRisk, ...]
    any_below: Chance | None
    any_through: Chance | None
    improve: tuple[Improvement, ...]

    def as_json(self) -> dict[str, Any]:
        """Plain data for JSON: numbers or null, never NaN."""
        return {
            "format": FORMAT,
            "job": self.job,
            "generator": "PCG64",
            "seed": self.seed,
            "samples": self.samples,
            "any_below": chance_json(self.any_below),
            "any_through": chance_json(self.any_through),
            "improve": [vars(each) for each in self.improve],
            "pairs": [_pair_json(pair) for pair in self.pairs],
        }


def chance_json(chance: Chance | None) -> dict[str, Any] | None:
    """A probability as plain data."""
    if chance is None:
        return None
    return {
        "how": chance.how,
        "value": chance.value,
        "bounds": list(chance.bounds),
        "interval": list(chance.interval),
        "samples": chance.samples,
        "surely": chance.surely,
        "perhaps": chance.perhaps,
    }


def _pair_json(pair: PairRisk) -> dict[str, Any]:
    made = dict(vars(pair))
    for name in ("below", "through"):
        made[name] = chance_json(made[name])
    made["shares"] = [vars(share) for share in pair.shares]
    return {key: list(value) if isinstance(value, tuple) else value for key, value in made.items()}
