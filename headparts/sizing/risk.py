"""How probable it is that a wall falls below its limit or breaks through, given the half-widths of the job.

The worst case (W07) supposes that every half-width acts in full and straight along the wall. Here every unknown is
drawn uniformly within its half-width (`checks.uncertainty` says what is drawn once for which cuts and cavities) and
the wall of every draw is bounded from both sides (`geometry.moved_pairs`); what the bounds leave open is solved afresh
and what is open after that is told. Pairs that keep their limit in the worst case need no draws. The numbers hold for
half-widths that are true, and for walls as planned; they replace no measurement and no leak test.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf, sqrt
from pathlib import Path

import numpy as np

from headparts.checks.context import Context
from headparts.checks.finding import SAME
from headparts.checks.least import least_over
from headparts.checks.pairs import Pair, pairs
from headparts.checks.sleeve_walls import own_limit, sleeve_pairs
from headparts.checks.uncertainty import DRILLED, SQUARES, Draws, Source, motion_of, sources_of
from headparts.checks.walls import each_once
from headparts.config import JobFile, read_job
from headparts.errors import ParameterError
from headparts.geometry.axis import Array
from headparts.geometry.moved_pairs import MovedPair
from headparts.geometry.stays import stay_joined
from headparts.plan import MissingInput, plan_job
from headparts.sizing.chance import Chance
from headparts.sizing.risk_result import Improvement, PairRisk, Risk, Share

SAMPLES, SEED = 100_000, 1
FEWEST, MOST = 1000, 10_000_000
SOLVED, FEWEST_SOLVED = 400, 20
"""Samples of a pair solved afresh at most: so many bodies, so many samples; what is open beyond is told as open."""
CHEAP, CHEAP_BODIES = 3, 9
"""Walls that need draws, and pairs of bodies in them, at most for a report (0.3 to 0.7 s each, with the ranking)."""
NEVER, ALWAYS = Chance("never"), Chance("always")


def risk(job: str | Path | JobFile, samples: int = SAMPLES, seed: int = SEED) -> Risk:
    """Every wall of a job under its half-widths, with what to measure better first.

    ``samples``: draws (1000 to 10 million); the same ``seed`` (0 or more) gives the same answer. Raises JobFileError
    for a bad file, ParameterError for a number of samples or a seed out of range.
    """
    _refuse("samples", samples, FEWEST, MOST)
    _refuse("seed", seed, 0, 2**63 - 1)
    context = Context(plan_job(job if isinstance(job, JobFile) else read_job(job)))
    return assess(context, samples, seed)


def _refuse(name: str, value: int, low: int, high: int) -> None:
    if not low <= value <= high:
        raise ParameterError(name, str(value), f"must be {low} to {high}")


def assess(context: Context, samples: int = SAMPLES, seed: int = SEED, rank: bool = True) -> Risk:
    """The risk of a job under judgement; without ``rank`` only probabilities: no true least walls, no measurements."""
    draws = Draws(samples, seed)
    judged = [_Judged.of(context, pair, draws) for pair in walls_of(context)]
    for each in judged:
        if each.open:
            each.sample()
    rows = [each.row(rank) for each in judged]
    counted = [each for each in judged if each.runs and not each.repaired_by]
    job = context.job.job.id
    return Risk(
        job,
        samples,
        seed,
        tuple(rows),
        _any([(each.below, each.low_below, each.high_below) for each in counted], samples),
        _any([(each.through, each.low_through, each.high_through) for each in counted], samples),
        improvements(counted, samples) if rank else (),
    )


def any_below(context: Context, samples: int = SAMPLES, seed: int = SEED) -> Chance | None:
    """Probability that any wall of a job is below its limit; quicker than `assess`."""
    return assess(context, samples, seed, rank=False).any_below


def affordable(context: Context, samples: int = SAMPLES, seed: int = SEED) -> Risk | None:
    """As `assess` where that takes about two seconds at most, judged by how many walls and bodies need draws; else None.

    What decides does not depend on the machine, so that the same job gives the same report everywhere.
    """
    draws = Draws(FEWEST, SEED)
    judged = [_Judged.of(context, pair, draws) for pair in walls_of(context)]
    waiting = [each for each in judged if each.open]
    if len(waiting) > CHEAP or sum(len(each.shape) for each in waiting) > CHEAP_BODIES:
        return None
    return assess(context, samples, seed)


def open_pairs(context: Context) -> list[Pair]:
    """The walls that need draws."""
    draws = Draws(FEWEST, SEED)
    return [pair for pair in walls_of(context) if _Judged.of(context, pair, draws).open]


def walls_of(context: Context) -> list[Pair]:
    """Every wall of the job's cuts and sleeve bores, each once."""
    own = [replace(pair, limit=own_limit(context, "", pair.limit)) for pair in sleeve_pairs(context)]
    return [_with_voids(pair) for pair in (*each_once(list(pairs(context))), *own)]


def _with_voids(pair: Pair) -> Pair:
    """The pair, or as not run where its other side is the surface of a head given as a solid."""
    if pair.voids is not None or pair.wall is None:
        return pair
    return replace(pair, wall=None, missing=MissingInput(note="not built for a head given as a solid"))


def _any(parts: Sequence[tuple[Chance, np.ndarray | None, np.ndarray | None]], samples: int) -> Chance | None:
    """Probability that at least one of several events happens; None of no events: nothing was judged."""
    if not parts:
        return None
    if any(chance.how == "always" for chance, _, _ in parts):
        return ALWAYS
    open_ = [(low, high) for _, low, high in parts if low is not None and high is not None]
    if not open_:
        return NEVER
    low = np.logical_or.reduce([low for low, _ in open_])
    high = np.logical_or.reduce([high for _, high in open_])
    return Chance("sampled", samples, int(low.sum()), int(high.sum()))


@dataclass
class _Judged:
    """One pair on its way to a row: what is certain without draws, then what the draws say."""

    pair: Pair
    sources: tuple[Source, ...]
    draws: Draws
    repaired_by: str
    below: Chance
    through: Chance
    moved: MovedPair | None = None
    low_below: np.ndarray | None = None
    high_below: np.ndarray | None = None
    low_through: np.ndarray | None = None
    high_through: np.ndarray | None = None
    least: tuple[float, float] | None = None
    exact: int = 0
    lower: Array | None = None
    upper: Array | None = None

    @classmethod
    def of(cls, context: Context, pair: Pair, draws: Draws) -> _Judged:
        """The pair with what is certain."""
        repaired = ""
        for repair in context.plan.repairs.values():
            drilled = pair.role in DRILLED and pair.station == repair.inputs.get("in_port")
            if drilled and pair.cavity is not None and pair.cavity.name == repair.cause:
                repaired = repair.name
        made = cls(pair, (), draws, repaired, NEVER, NEVER)
        if made.runs and made.measured:
            made.sources = sources_of(context, pair)
            made.below, made.through = made._certain()
        return made

    @property
    def runs(self) -> bool:
        """Whether nothing is missing."""
        return self.pair.missing is None and self.pair.terms_missing is None

    @property
    def measured(self) -> bool:
        """Whether there is a wall at all: a cut that is wholly inside the chamber has none."""
        return self.pair.wall is not None and self.pair.wall.value < inf

    @property
    def limit(self) -> float:
        """The pair's limit [mm]."""
        return float(self.pair.limit.value) if isinstance(self.pair.limit.value, float | int) else 0.0

    @property
    def open(self) -> bool:
        """Whether draws are needed."""
        return "open" in (self.below.how, self.through.how)

    def _certain(self) -> tuple[Chance, Chance]:
        wall, total = self.pair.wall, sum(self.pair.terms)
        assert wall is not None
        assert self.pair.voids is not None
        joined = (
            wall.value < 0.0 and wall.at is not None and stay_joined(self.pair.voids, wall.at, self._most)
        )
        below = through = Chance("open")
        if wall.lower - total >= self.limit - SAME:
            below = NEVER
        elif joined or max(wall.upper, 0.0) + total < self.limit - SAME:
            below = ALWAYS
        if wall.lower - total > 0.0:
            through = NEVER
        elif joined:
            through = ALWAYS
        return below, through

    def _most(self, side: int, point: Array) -> float:
        """By how much a void can move at a point, at most [mm]."""
        total = 0.0
        for source in self.sources:
            if source.side == side and source.kind != "growth":
                arm = (
                    float(np.linalg.norm(np.asarray(source.face) - point)) if source.kind == "slope" else 1.0
                )
                total += source.u * arm
        return total

    @property
    def shape(self) -> MovedPair:
        """The pair of voids made ready for draws."""
        if self.moved is None:
            assert self.pair.voids is not None
            assert self.pair.wall is not None
            total = 1.02 * sum(self.pair.terms) + 1e-6
            wall = self.pair.wall
            self.moved = MovedPair(*self.pair.voids, wall.lower, self.limit, total, wall.at)
        return self.moved

    def sample(self) -> None:
        """Draw: which samples are below the limit, and through, for sure and perhaps."""
        first, second = (motion_of(self.sources, side, self.draws) for side in (0, 1))
        found = self.shape.bounds(first, second, self.limit)
        lower, upper = found.lower, found.upper
        surely, perhaps = upper < self.limit - SAME, lower < self.limit - SAME
        doubt = (perhaps & ~surely) | ((lower <= 0.0) & (upper > SAME))
        rows = np.flatnonzero(doubt)[: max(FEWEST_SOLVED, SOLVED // max(1, len(self.shape)))]
        if len(rows):
            sharp, _, _ = self.shape.exact(first.chosen(rows), second.chosen(rows), self.limit, upper[rows])
            upper[rows] = np.minimum(upper[rows], sharp.upper)
            lower[rows] = np.minimum(np.maximum(lower[rows], sharp.lower), upper[rows])
            surely, perhaps = upper < self.limit - SAME, lower < self.limit - SAME
        self.exact, self.lower, self.upper = len(rows), lower, upper
        self.least = float(np.min(lower)), float(min(np.min(upper), np.max(lower)))
        if self.below.how == "open":
            self.below = Chance("sampled", self.draws.samples, int(surely.sum()), int(perhaps.sum()))
            self.low_below, self.high_below = surely, perhaps
        if self.through.how == "open":
            gone, may = upper <= SAME, lower <= 0.0
            self.through = Chance("sampled", self.draws.samples, int(gone.sum()), int(may.sum()))
            self.low_through, self.high_through = gone, may

    def below_when(self, scale: Mapping[str, float]) -> np.ndarray:
        """Samples that may be below the limit when some half-widths are smaller.

        A wall changes by no more than what is taken off its sources: samples further from the limit stay as they are.
        """
        assert self.lower is not None
        assert self.upper is not None
        less = sum((1.0 - scale.get(each.key, 1.0)) * each.u * self._arm(each) for each in self.sources)
        limit = self.limit - SAME
        below = self.lower < limit
        rows = np.flatnonzero((self.lower < limit + less) & (self.upper >= limit - less))
        if len(rows):
            moves = [motion_of(self.sources, side, self.draws, scale).chosen(rows) for side in (0, 1)]
            below[rows] = self.shape.bounds(moves[0], moves[1], self.limit).lower < limit
        return np.asarray(below)

    def _arm(self, source: Source) -> float:
        """What a source's half-width is multiplied by at most to give a change of the wall."""
        if source.kind == "slope":  # how far from the drill's start the bore reaches [mm]
            return float(
                np.hypot(*self.shape.extent(source.side, source.face, -np.asarray(source.square_to)))
            )
        return 3.0 if source.kind == "growth" else 1.0  # the edge of a trimmed end runs ahead of the radius

    @property
    def shares(self) -> tuple[Share, ...]:
        """Share of each key in the wall's variance, to first order along the line of the wall as drawn."""
        wall = self.pair.wall
        assert wall is not None
        if wall.at is None or not self.sources:
            return ()
        step = np.asarray(wall.at[1]) - np.asarray(wall.at[0])
        size = float(np.linalg.norm(step))
        if size < 1e-9:
            return ()
        parts: dict[str, list[float]] = {}
        for source in self.sources:
            reach = source.reach(step / size, np.asarray(wall.at[source.side]))
            known = parts.setdefault(source.key, [source.u, 0.0])
            known[1] += SQUARES[source.kind] * reach**2
        total = sum(square for _, square in parts.values())
        if total <= 0.0:
            return ()
        made = [Share(key, u, square / total) for key, (u, square) in parts.items()]
        return tuple(sorted(made, key=lambda share: (-share.share, share.key)))

    def row(self, with_least: bool) -> PairRisk:
        """What is reported."""
        pair, wall = self.pair, self.pair.wall
        limit = self.limit if pair.limit.value is not None else None
        if not self.runs:
            gaps = [gap for gap in (pair.missing, pair.terms_missing) if gap is not None]
            keys = tuple(dict.fromkeys(key for gap in gaps for key in gap.keys))
            note = next((gap.note for gap in gaps if gap.note), "")
            value = wall.value if wall is not None and self.measured else None
            return PairRisk(pair.check, pair.subject, limit, value, missing=keys, note=note)
        if not self.measured or wall is None:
            return PairRisk(
                pair.check,
                pair.subject,
                limit,
                None,
                below=NEVER,
                through=NEVER,
                note="the cut is empty here",
            )
        off, root = sum(pair.terms), sqrt(sum(u * u for u in pair.terms))
        made = PairRisk(
            pair.check,
            pair.subject,
            limit,
            wall.value,
            wall.value - off,
            wall.value - root,
            sampled_least=self.least,
            below=self.below,
            through=self.through,
            exact=self.exact,
            note=self._note(),
            repaired=bool(self.repaired_by),
        )
        if self.below is NEVER:
            return made
        least = self._true_least() if with_least else None
        return replace(made, shares=self.shares, true_least=least)

    def _true_least(self) -> tuple[float, float] | None:
        wall = self.pair.wall
        assert wall is not None
        if wall.value <= SAME or wall.at is None:
            return None
        step = np.asarray(wall.at[1]) - np.asarray(wall.at[0])
        worst = wall.lower - sum(self.pair.terms)
        return least_over(self.shape, self.sources, step / np.linalg.norm(step), wall.upper, worst)

    def _note(self) -> str:
        if self.below is NEVER:
            return "no draws needed: even the worst case keeps its limit"
        notes = []
        if self.repaired_by:
            notes.append(f"repaired by {self.repaired_by}: left out of the whole job's probability")
        still = self.below.perhaps - self.below.surely
        if still:
            notes.append(f"{still} samples left open")
        return "; ".join(notes)


def improvements(judged: Sequence[_Judged], samples: int) -> tuple[Improvement, ...]:
    """What halving each half-width would leave of the probability that any of the sampled pairs is below its limit."""
    drawn = [each for each in judged if each.high_below is not None]
    base = {id(each): each.high_below for each in drawn if each.high_below is not None}
    if not base:
        return ()
    before = float(np.mean(np.logical_or.reduce(list(base.values()))))
    weights = {id(each): float(np.mean(base[id(each)])) for each in drawn}
    total = sum(weights.values())
    keys: dict[str, float] = {}
    shares: dict[str, float] = {}
    for each in drawn:
        for share in each.shares:
            keys[share.key] = max(keys.get(share.key, 0.0), share.half_width)
            if total > 0.0:
                shares[share.key] = shares.get(share.key, 0.0) + share.share * weights[id(each)] / total
    made = []
    for key, half_width in keys.items():
        after = [
            each.below_when({key: 0.5})
            if any(source.key == key for source in each.sources)
            else base[id(each)]
            for each in drawn
        ]
        left = float(np.mean(np.logical_or.reduce(after)))
        made.append(Improvement(key, half_width, left, before - left, shares.get(key, 0.0)))
    return tuple(sorted(made, key=lambda each: (-each.drop, -each.share, each.key)))
