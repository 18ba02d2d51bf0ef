"""JCGM 101:2008, sec. 9.2: sums of four rectangular inputs by Monte Carlo (values from memory).

9.2.3: four of standard deviation 1; 9.2.4: three of 1 and one of 10. A rectangular input of deviation 1 has half-width
sqrt 3. The guide draws a million; so does the test, whose quantiles are then good to 0.005.
"""

import math

import pytest
from printed import Printed, Source

from headparts.mechanics.tolerance_chain import Link, chain_limits, draw_chain

SOURCE = Source(
    "JCGM 101, Propagation of distributions using a Monte Carlo method", "2008", "from memory", "sec. 9.2"
)
ONE = [Link(name, 0.0, math.sqrt(3.0)) for name in "abcd"]
TEN = [*ONE[:3], Link("d", 0.0, 10.0 * math.sqrt(3.0))]


def drawn(links):
    return draw_chain(links, samples=1_000_000, seed=7, levels=(0.025, 0.975))


DRAW, DIGIT = "three times the spread of a million draws", "half of the last digit"
PRINTED = (
    Printed("9.2.3", "standard uncertainty, by squares", 2.00, "-", 5e-3, DIGIT,
            lambda: chain_limits(ONE).rss / math.sqrt(3.0)),
    Printed("9.2.3", "standard uncertainty, drawn", 2.00, "-", 6e-3, DRAW, lambda: drawn(ONE).deviation),
    Printed("9.2.3", "upper end of the 95 % interval", 3.88, "-", 0.02, DRAW,
            lambda: drawn(ONE).quantiles[1][1]),
    Printed("9.2.3", "lower end of the 95 % interval", -3.88, "-", 0.02, DRAW,
            lambda: drawn(ONE).quantiles[0][1]),
    Printed("9.2.4", "standard uncertainty, drawn", 10.1, "-", 0.06, DIGIT, lambda: drawn(TEN).deviation),
    Printed("9.2.4", "upper end of the 95 % interval", 17.0, "-", 0.06, DIGIT,
            lambda: drawn(TEN).quantiles[1][1]),
    Printed("9.2.4", "lower end of the 95 % interval", -17.0, "-", 0.06, DIGIT,
            lambda: drawn(TEN).quantiles[0][1]),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
