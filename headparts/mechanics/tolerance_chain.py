"""Stack-up of any chain of sizes: the sure limits, the root of squares, and a draw of many such assemblies.

Each link counts with a factor (+1 and -1 in a plain chain, a rocker ratio, 0.5 for a radius given as a diameter). What
happens inside a half-width is a guess; the shapes say which guess was made.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from headparts.errors import ParameterError
from headparts.mechanics.arrays import ANY, NOT_NEGATIVE, Bound, FloatArray, numbers, require

Shape = Literal["uniform", "normal", "triangular"]
SHAPES: tuple[Shape, ...] = ("uniform", "normal", "triangular")
SIGMAS = 3.0
"""A normal link has its half-width at this many standard deviations and is drawn again beyond it."""
FEWEST, MOST = 1000, 10_000_000
LEVELS = (0.00135, 0.05, 0.5, 0.95, 0.99865)
"""Quantiles given when none are asked for: 3 sigma, 5 %, the middle."""
_LEVEL = Bound(0.0, 1.0, words="must be shares from 0 to 1")


@dataclass(frozen=True)
class Link:
    """One size of a chain: ``factor`` (``nominal`` +- ``half_width``) [mm], spread over its half-width by ``shape``."""

    name: str
    nominal: float
    half_width: float = 0.0
    factor: float = 1.0
    shape: Shape = "uniform"


@dataclass(frozen=True)
class ChainLimits:
    """Nominal value of a chain [mm], half of its sure range (``worst``) and the root of squares (``rss``)."""

    nominal: float
    worst: float
    rss: float


@dataclass(frozen=True)
class ChainDraw:
    """Many assemblies drawn: mean, standard deviation, quantiles [mm] as pairs (share, value), shares out of limits.

    ``below`` and ``above`` are None where no such limit was given; ``doubt`` is the standard error of a share of the
    size of the larger of them.
    """

    samples: int
    seed: int
    mean: float
    deviation: float
    quantiles: tuple[tuple[float, float], ...]
    below: float | None
    above: float | None
    doubt: float


def _columns(links: Sequence[Link]) -> tuple[FloatArray, FloatArray, FloatArray]:
    if not links or not all(isinstance(link, Link) for link in links):
        raise ParameterError("links", links, "must be a row of one Link or more")
    for number, link in enumerate(links):
        if link.shape not in SHAPES:
            raise ParameterError(f"links[{number}].shape", link.shape, f"must be one of {', '.join(SHAPES)}")
    parts = [
        numbers(**{
            f"links[{number}].nominal": (link.nominal, ANY),
            f"links[{number}].half_width": (link.half_width, NOT_NEGATIVE),
            f"links[{number}].factor": (link.factor, ANY),
        })
        for number, link in enumerate(links)
    ]  # fmt: skip
    nominal, half, factor = (np.array(column, dtype=np.float64) for column in zip(*parts, strict=True))
    require(nominal.ndim == half.ndim == factor.ndim == 1, "links", links, "must hold one number a field")
    return nominal, half, factor


def chain_limits(links: Sequence[Link]) -> ChainLimits:
    """Nominal value, sure range and root of squares of a chain.

        nominal = sum f x,   worst = sum |f| u,   rss = sqrt(sum (f u)^2)

    Parameters:
        links [mm]: row of Link (nominal, half-width, factor), one or more
    Returns:
        ChainLimits [mm]: nominal, worst, rss; the sure limits are nominal -+ worst
    Raises:
        ParameterError: no links, a value not finite, a negative half-width, an unknown shape
    Validity: worst holds whatever the links have to do with each other; rss for independent links only.
    Source: arithmetic; propagation of independent uncertainties (common practice, no source).

    >>> chain_limits([Link("box", 30.0, 0.2), Link("part", 28.0, 0.1, factor=-1.0)])
    ChainLimits(nominal=2.0, worst=0.30000000000000004, rss=0.223606797749979)
    """
    nominal, half, factor = _columns(links)
    spread = np.abs(factor) * half
    return ChainLimits(
        float(np.sum(factor * nominal)), float(np.sum(spread)), float(np.sqrt(np.sum(spread**2)))
    )


def draw_chain(
    links: Sequence[Link], samples: int = 100_000, seed: int = 1, lower: float | None = None,
    upper: float | None = None, levels: Sequence[float] = LEVELS,
) -> ChainDraw:  # fmt: skip
    """Draw many assemblies of a chain: each link by itself, by its shape, within its half-width.

        value = sum f (x + u s),   s from -1 to 1: uniform; normal of deviation 1/3, cut at 1; triangular about 0

    Parameters:
        links [mm]: row of Link, one or more
        samples [-]: number of assemblies, 1000 to 10 million
        seed [-]: whole number, 0 or more; the same seed gives the same answer
        lower [mm]: limit that values should not fall below, None for none
        upper [mm]: limit that values should not exceed, None for none
        levels [-]: shares for the quantiles, 0 to 1
    Returns:
        ChainDraw [mm]: mean, deviation, quantiles; shares [-] below lower and above upper, their doubt
    Raises:
        ParameterError: as chain_limits; samples or seed out of range, a limit not finite, lower above upper, levels
            outside 0 to 1
    Validity: independent links; a share is no better known than its doubt, and than the shapes that were guessed.
    Source: Monte Carlo draw (JCGM 101 calls it propagation of distributions, from memory).

    >>> draw = draw_chain([Link("a", 10.0, 0.1), Link("b", 8.0, 0.1, -1.0)], lower=1.95)
    >>> round(draw.mean, 2), round(draw.below, 2), draw.above
    (2.0, 0.28, None)
    """
    nominal, half, factor = _columns(links)
    for name, value, low, high in (("samples", samples, FEWEST, MOST), ("seed", seed, 0, 2**63 - 1)):
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise ParameterError(name, value, f"must be a whole number from {low} to {high}")
    limits = {name: value for name, value in (("lower", lower), ("upper", upper)) if value is not None}
    numbers(**{name: (value, ANY) for name, value in limits.items()})
    if lower is not None and upper is not None:
        require(lower <= upper, "lower", lower, "must not exceed upper")
    (shares,) = numbers(levels=(levels, _LEVEL))
    generator = np.random.default_rng(seed)
    values = np.full(samples, float(np.sum(factor * nominal)))
    for place, link in enumerate(links):
        values += factor[place] * half[place] * _spread(generator, link.shape, samples)
    below = None if lower is None else float(np.count_nonzero(values < lower) / samples)
    above = None if upper is None else float(np.count_nonzero(values > upper) / samples)
    largest = max(below or 0.0, above or 0.0)
    found = np.quantile(values, shares.ravel())
    return ChainDraw(
        samples, seed, float(np.mean(values)), float(np.std(values)),
        tuple((float(share), float(value)) for share, value in zip(shares.ravel(), found, strict=True)),
        below, above, float(np.sqrt(largest * (1 - largest) / samples)),
    )  # fmt: skip


def _spread(generator: np.random.Generator, shape: Shape, samples: int) -> FloatArray:
    """Numbers from -1 to 1 of one shape."""
    if shape == "uniform":
        return generator.uniform(-1.0, 1.0, samples)
    if shape == "triangular":
        return generator.triangular(-1.0, 0.0, 1.0, samples)

    def normal(count: int) -> FloatArray:
        return generator.normal(0.0, 1 / SIGMAS, count)

    drawn = normal(samples)
    while np.any(beyond := np.abs(drawn) > 1.0):
        drawn[beyond] = normal(int(np.count_nonzero(beyond)))
    return drawn
