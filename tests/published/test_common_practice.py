"""Facts of the trade: common practice, no source. They count neither as sources nor towards the printed values.

Widening a port, sleeves and their walls are geometry and exact; the ratios are those of two engines' manuals; the lash
of 0.10 mm cold is what small air-cooled engines are set to.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.gas_flow import area_gain, round_area
from headparts.mechanics.gas_speed import exhaust_over_intake
from headparts.mechanics.lash import chain_growth, warm_lash
from headparts.mechanics.rocker import lash_change, spacer_lower_bound
from headparts.mechanics.sleeve import least_wall

SOURCE = Source("Common practice", "no source", "common practice", "no source")
GEOMETRY, DIGIT = "exact geometry", "half of the last digit"


def growth(valve_cte):
    """Lash gained at the valve: a path of 60 mm in the head 100 K warmer, the valve's 60 mm 200 K warmer [um]."""
    head, valve = chain_growth([(60.0, 22.3e-6, 100.0)]), chain_growth([(60.0, valve_cte, 200.0)])
    return (head - valve) * 1000


PRINTED = (
    Printed("port opened from 5.5 to 6.8", "area gained, about half as much again", 52.9, "%", 0.05, DIGIT,
            lambda: 100 * area_gain(6.8, 5.5)),
    Printed("port for half as much area again from 5.5", "gain of 6.7361", 50.0, "%", 5e-3, "6.7361 is rounded",
            lambda: 100 * area_gain(6.7361, 5.5)),
    Printed("port 5.5", "area", 23.758, "mm2", 5e-4, DIGIT, lambda: round_area(5.5)),
    Printed("port 6.8", "area", 36.317, "mm2", 5e-4, DIGIT, lambda: round_area(6.8)),
    Printed("port 7.5", "area", 44.179, "mm2", 5e-4, DIGIT, lambda: round_area(7.5)),
    Printed("sleeve of 6.8 in 7.5", "wall", 0.35, "mm", 1e-9, GEOMETRY, lambda: least_wall(7.5, 6.8)),
    Printed("sleeve of 6.8 in 7.5", "area given up against 7.5 open", 17.7956, "%", 5e-5, DIGIT,
            lambda: -100 * area_gain(6.8, 7.5)),
    Printed("exhaust 27 over inlet 32", "ratio of heads", 0.844, "-", 5e-4, DIGIT, lambda: exhaust_over_intake(27.0, 32.0)),
    Printed("exhaust 37.5 over inlet 45.5", "ratio of heads", 0.824, "-", 5e-4, DIGIT,
            lambda: exhaust_over_intake(37.5, 45.5)),
    Printed("alloy head, steel valve", "lash gained hot", -6.6, "um", 5e-9, "exact", lambda: growth(11.7e-6)),
    Printed("alloy head, austenitic valve", "lash gained hot", -76.2, "um", 5e-9, "exact", lambda: growth(17.5e-6)),
    Printed("lash 0.10 cold, austenitic valve in an alloy head", "lash left hot", 0.0238, "mm", 1e-9, "exact",
            lambda: warm_lash(0.10, 1.2, 0.0, 0.0, -growth(17.5e-6) / 1000)),
    Printed("rocker post raised 0.2, arms 18 over 15", "tip rise that keeps the lash", 0.44, "mm", 1e-9, "exact",
            lambda: lash_change(0.2, 0.0, 18.0 / 15.0)),
    Printed("rocker post raised 1.0, arms 18 over 15", "tip rise that keeps the lash", 2.2, "mm", 1e-9, "exact",
            lambda: 1.0 / spacer_lower_bound(1.0, 18.0 / 15.0)),
)  # fmt: skip


@pytest.mark.parametrize("bore", [20.0, 9.0])
def test_boring_6_8_to_7_5_takes_0_35_off_each_wall_behind(bore):
    # wall between the port and a parallel bore at 12 mm: centre distance less both radii, before and after
    before, after = (12.0 - (port + bore) / 2 for port in (6.8, 7.5))
    assert before - after == pytest.approx(0.35, abs=1e-12)
    assert least_wall(7.5, 6.8) == pytest.approx(before - after, abs=1e-12)


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
