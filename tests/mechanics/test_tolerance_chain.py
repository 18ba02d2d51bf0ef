"""Chains: sure limits by trying every corner, draws against the exact laws of sums of uniform and other links."""

import dataclasses
import itertools
import math

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics.tolerance_chain import Link, chain_limits, draw_chain

WALL = [  # AS03: nominal wall 1.30, what the drill and the casting may take of it
    Link("wall", 1.30), Link("cored tunnel", 0.0, 0.35, -1.0), Link("set-up", 0.0, 0.05), Link("start", 0.0, 0.10),
    Link("wander", 0.0, 0.004, 20.0), Link("oversize", 0.0, 0.05),
]  # fmt: skip
LASH = [  # lash at the valve: (1 + R) pivot - R pushrod - tip, R 1.2
    Link("pivot", 61.0, 0.05, 2.2), Link("pushrod", 80.0, 0.10, -1.2), Link("tip", 38.1, 0.08, -1.0),
]  # fmt: skip


@pytest.mark.parametrize("chain", [WALL, LASH])
def test_limits_by_every_corner(chain):
    corners = [
        sum(
            link.factor * (link.nominal + sign * link.half_width)
            for link, sign in zip(chain, signs, strict=True)
        )
        for signs in itertools.product((-1, 1), repeat=len(chain))
    ]
    found = chain_limits(chain)
    assert found.nominal - found.worst == pytest.approx(min(corners), abs=1e-12)
    assert found.nominal + found.worst == pytest.approx(max(corners), abs=1e-12)
    assert found.rss == pytest.approx(
        math.hypot(*(link.factor * link.half_width for link in chain)), rel=1e-12
    )


def test_story_of_the_wall():
    found = chain_limits(WALL)
    assert found.nominal - found.worst == pytest.approx(0.670, abs=5e-7)
    assert found.nominal - found.rss == pytest.approx(0.9207, abs=5e-5)
    # the draw lies inside the sure limits, and nearly all of it above the root of squares
    drawn = draw_chain(WALL, levels=(0.0, 0.05, 1.0))
    (_, least), (_, twentieth), (_, greatest) = drawn.quantiles
    assert 0.670 <= least < twentieth < greatest <= 1.930
    assert twentieth > 0.9207


def irwin_hall(x, count):
    """Share below x of the sum of ``count`` numbers, each uniform from 0 to 1."""
    return sum(
        (-1) ** k * math.comb(count, k) * max(x - k, 0.0) ** count for k in range(count + 1)
    ) / math.factorial(count)


@pytest.mark.parametrize("count", [1, 2, 3, 5])
def test_uniform_links_against_the_exact_law(count):
    chain = [Link(str(k), 1.0, 0.2, 1.0 if k % 2 else -1.0) for k in range(count)]
    middle = chain_limits(chain).nominal
    lower, upper = middle - 0.13, middle + 0.17
    drawn = draw_chain(chain, 400_000, seed=7, lower=lower, upper=upper)
    below = irwin_hall((-0.13 / 0.2 + count) / 2, count)
    above = 1 - irwin_hall((0.17 / 0.2 + count) / 2, count)
    assert drawn.below == pytest.approx(below, abs=4 * math.sqrt(below * (1 - below) / 400_000))
    assert drawn.above == pytest.approx(above, abs=4 * math.sqrt(above * (1 - above) / 400_000))
    assert drawn.mean == pytest.approx(middle, abs=4 * 0.2 * math.sqrt(count / 3 / 400_000))
    larger = max(drawn.below, drawn.above)
    assert drawn.doubt == pytest.approx(math.sqrt(larger * (1 - larger) / 400_000), rel=1e-12)


# standard deviation over half-width; the normal one is cut at 3 sigma, which takes 1.33 % off its deviation:
# variance 1 - 2 3 phi(3)/(2 Phi(3) - 1) = 0.97334 sigma^2
CUT = math.sqrt(1 - 6 * math.exp(-4.5) / math.sqrt(2 * math.pi) / math.erf(3 / math.sqrt(2))) / 3


@pytest.mark.parametrize(
    ("shape", "share"), [("uniform", 1 / math.sqrt(3)), ("triangular", 1 / math.sqrt(6)), ("normal", CUT)]
)
def test_each_shape_has_its_own_deviation_and_ends(shape, share):
    link = Link("a", 5.0, 0.4, -2.0, shape)
    drawn = draw_chain([link], 400_000, levels=(0.0, 0.25, 0.5, 1.0))
    assert drawn.deviation == pytest.approx(0.8 * share, rel=5e-3)
    assert drawn.mean == pytest.approx(-10.0, abs=4 * 0.8 * share / math.sqrt(400_000))
    least, quarter, middle, greatest = (value for _, value in drawn.quantiles)
    assert -10.8 <= least < greatest <= -9.2
    assert greatest - least > 1.57
    assert middle == pytest.approx(-10.0, abs=6e-3)
    # a quarter lies below: half of the half-width, 1 - 1/sqrt 2 of it, 0.67449 sigma (as good as uncut)
    expected = {"uniform": 0.5, "triangular": 1 - math.sqrt(0.5), "normal": 0.6733 / 3}[shape]
    assert quarter == pytest.approx(-10.0 - 0.8 * expected, abs=6e-3)


def test_mixed_chain_has_the_sum_of_variances():
    chain = [dataclasses.replace(link, shape=shape) for link, shape in
             zip(LASH, ("uniform", "normal", "triangular"), strict=True)]  # fmt: skip
    shares = (1 / 3, CUT**2, 1 / 6)
    variance = sum((link.factor * link.half_width) ** 2 * s for link, s in zip(LASH, shares, strict=True))
    assert draw_chain(chain, 400_000).deviation == pytest.approx(math.sqrt(variance), rel=6e-3)
    assert draw_chain(chain).mean == pytest.approx(0.1, abs=3e-3)


def test_the_seed_decides():
    assert draw_chain(LASH, seed=3) == draw_chain(LASH, seed=3)
    assert draw_chain(LASH, seed=3) != draw_chain(LASH, seed=4)
    assert draw_chain(LASH).seed == 1
    assert draw_chain(LASH).samples == 100_000
    assert draw_chain(LASH).below is draw_chain(LASH).above is None
    assert draw_chain(LASH).doubt == 0.0
    assert [share for share, _ in draw_chain(LASH).quantiles] == [0.00135, 0.05, 0.5, 0.95, 0.99865]


def test_links_without_half_width_are_exact():
    drawn = draw_chain([Link("a", 2.0), Link("b", 1.0, 0.5, 0.0)], 1000, lower=2.0, upper=2.0)
    assert (drawn.mean, drawn.deviation, drawn.below, drawn.above) == (2.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("chain", "options", "key"),
    [
        ([], {}, "links"),
        (["a"], {}, "links"),
        ([Link("a", math.nan)], {}, r"links\[0\].nominal"),
        ([Link("a", 1.0), Link("b", 1.0, -0.1)], {}, r"links\[1\].half_width"),
        ([Link("a", 1.0, 0.1, math.inf)], {}, r"links\[0\].factor"),
        ([Link("a", 1.0, 0.1, 1.0, "square")], {}, r"links\[0\].shape"),
        ([Link("a", np.array([1.0, 2.0]))], {}, "links"),
        (LASH, {"samples": 999}, "samples"),
        (LASH, {"samples": 10_000_001}, "samples"),
        (LASH, {"samples": 1e5}, "samples"),
        (LASH, {"seed": -1}, "seed"),
        (LASH, {"seed": True}, "seed"),
        (LASH, {"seed": 2**63}, "seed"),
        (LASH, {"lower": math.nan}, "lower"),
        (LASH, {"lower": 2.0, "upper": 1.0}, "lower"),
        (LASH, {"levels": (1.01,)}, "levels"),
        (LASH, {"levels": (-0.01,)}, "levels"),
    ],
)
def test_refusals_name_the_key(chain, options, key):
    with pytest.raises(ParameterError, match=key):
        draw_chain(chain, **options)


def test_ends_of_what_is_allowed():
    assert draw_chain(LASH, 1000, seed=0, levels=0.5).quantiles[0][0] == 0.5
    assert draw_chain(LASH, 1000, seed=2**63 - 1, lower=0.0).above is None
