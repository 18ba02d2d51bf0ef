"""Roark's Formulas for Stress and Strain, chapter on thick cylinders: gun tube with jacket (values from memory).

Tube radii 1.605 and 2.425 in, jacket to 3.850 in, 7600 psi between them, E 30 Mpsi, nu 0.3.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.press_fit import interference_for_pressure
from headparts.mechanics.thick_cylinder import diameter_change, hoop_stress

SOURCE = Source(
    "Roark's Formulas for Stress and Strain", "edition not noted", "from memory", "gun tube example"
)
STEEL = (30e6, 0.3)


def radial_interference():
    growth = diameter_change(4.85, 4.85, 7.70, *STEEL, bore_pressure=7600.0)
    shrinking = diameter_change(4.85, 3.21, 4.85, *STEEL, outside_pressure=7600.0)
    return (growth - shrinking) / 2


PRINTED = (
    Printed("thick cylinders, example", "hoop stress, tube bore", -27040.0, "psi", 27.0, "four digits, steps rounded",
            lambda: hoop_stress(1.605, 1.605, 2.425, outside_pressure=7600.0)),
    Printed("thick cylinders, example", "hoop stress, jacket bore", 17630.0, "psi", 44.0, "four digits, steps rounded",
            lambda: hoop_stress(2.425, 2.425, 3.850, bore_pressure=7600.0)),
    Printed("thick cylinders, example", "radial interference", 0.003, "in", 7.5e-6, "one digit printed, 0.25 %",
            radial_interference),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()


def test_the_same_interference_by_the_fit():
    whole = interference_for_pressure(7600.0, 4.85, 3.21, 7.70, *STEEL, *STEEL)
    assert whole == pytest.approx(2 * radial_interference(), rel=1e-12)
