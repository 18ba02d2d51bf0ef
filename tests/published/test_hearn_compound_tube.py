"""Hearn, Mechanics of Materials 1, compound tube 200/250/300 mm, shrink pressure 10 MPa, then 80 MPa inside.

Values from memory (weak). The plastic formulas are those of Hearn, Mechanics of Materials 2, ch. 3 (forms retrieved);
their numbers here are worked by hand.
"""

import math

import pytest
from printed import Printed, Source

from headparts.mechanics.compound import compound_hoop, compound_pressures
from headparts.mechanics.press_fit import interference_for_pressure
from headparts.mechanics.thick_cylinder import hoop_stress
from headparts.mechanics.yielding import (
    first_yield_pressure,
    fully_plastic_pressure,
    pressure_for_plastic_zone,
)

SOURCE = Source(
    "Hearn, Mechanics of Materials 1", "edition not noted", "from memory", "compound tube example, weak"
)
PLACE, WHY = "compound tube example", "four digits, the last one rounded"


def at_the_joint():
    return hoop_stress(125, 125, 150, 10) + hoop_stress(125, 100, 150, 80)


TABLE = [  # what, radius, bore, outside, pressure inside, outside, printed
    ("shrunk, bore", 100, 100, 125, 0, 10, -55.6),
    ("shrunk, inner tube at the joint", 125, 100, 125, 0, 10, -45.6),
    ("shrunk, outer tube at the joint", 125, 125, 150, 10, 0, 55.5),
    ("shrunk, outside", 150, 125, 150, 10, 0, 45.5),
    ("80 MPa, bore", 100, 100, 150, 80, 0, 208.0),
    ("80 MPa, outside", 150, 100, 150, 80, 0, 128.0),
    ("80 MPa, at the joint", 125, 100, 150, 80, 0, 156.2),
]
PRINTED = (
    *(
        Printed(PLACE, f"hoop stress, {what}", value, "MPa", 0.055, WHY, lambda ring=ring: hoop_stress(*ring))
        for what, *ring, value in TABLE
    ),
    Printed(
        PLACE,
        "hoop stress, outer tube at the joint, both",
        211.7,
        "MPa",
        0.11,
        "sum of two rounded",
        at_the_joint,
    ),
)


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()


def test_sum_at_the_joint_by_the_rings_all_at_once():
    steel = (208e3, 0.3)
    diameters = (200.0, 250.0, 300.0)
    shrink = interference_for_pressure(10.0, 250.0, 200.0, 300.0, *steel, *steel)
    fits = compound_pressures(diameters, (208e3,) * 2, (0.3,) * 2, (shrink,), bore_pressure=80.0)
    pressures = (80.0, *fits, 0.0)
    assert compound_hoop(125.0, diameters, pressures, outer_side=True) == pytest.approx(211.7, rel=1e-3)
    assert compound_hoop(100.0, diameters, pressures) == pytest.approx(208.0 - 55.6, rel=1.1e-3)


def test_yielding_of_a_tube_100_to_200_with_450():
    # by hand: 450 (1 - 1/4)/2; 450 (ln 1.5 + (1 - 9/16)/2); 450 ln 2; 450 (3/4)/sqrt(3 + 1/16)
    assert first_yield_pressure(450, 100, 200) == pytest.approx(168.75, rel=1e-9)
    assert pressure_for_plastic_zone(450, 100, 200, 150) == pytest.approx(280.897, abs=5e-4)
    assert fully_plastic_pressure(450, 100, 200) == pytest.approx(311.916, abs=5e-4)
    assert first_yield_pressure(450, 100, 200, "von_mises") == pytest.approx(192.857, abs=5e-4)


def test_ends_of_the_plastic_zone():
    for ratio in (1.1, 1.5, 2.0):
        assert pressure_for_plastic_zone(300, 10, 10 * ratio, 10) == pytest.approx(
            first_yield_pressure(300, 10, 10 * ratio)
        )
        assert pressure_for_plastic_zone(300, 10, 10 * ratio, 10 * ratio) == pytest.approx(
            300 * math.log(ratio)
        )
