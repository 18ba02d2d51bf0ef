"""Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., printed solutions of chapters 3 and 5.

The book gives interference on the radius; the tests double it. Inch problems stay in inch and psi: the formulas hold in
any consistent units. Collar diameters of 3-64 and 3-65 are not in the statement retrieved and follow from the printed
pressures ("inferred").
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.press_fit import bush_hoop_at_fit, contact_pressure, hub_hoop
from headparts.mechanics.thick_cylinder import hoop_stress, radial_stress, von_mises_stress

SOURCE = Source(
    "Budynas and Nisbett, Shigley's Mechanical Engineering Design",
    "8th ed., solutions",
    "seen",
    "pages seen in public",
)
STEEL = (30e6, 0.292, 30e6, 0.292)  # psi
STEEL_SI = (207e3, 0.292, 207e3, 0.292)  # MPa
IRON = (14.5e6, 0.211, 30e6, 0.292)
DIGIT, STEPS = "half of the last digit", "the book rounds between steps"

COLLARS = [  # problem, case, radial interference, fit, outside, metals, printed pressure, unit
    ("3-64", "greatest, collar inferred", 0.0295, 40.0, 80.0, STEEL_SI, 114.5, "MPa"),
    ("3-64", "least, collar inferred", 0.009, 40.0, 80.0, STEEL_SI, 34.9, "MPa"),
    ("3-66", "greatest", 0.038, 40.0, 80.0, STEEL_SI, 147.5, "MPa"),
    ("3-66", "least", 0.0175, 40.0, 80.0, STEEL_SI, 67.9, "MPa"),
    ("3-65", "greatest, collar inferred", 0.00115, 1.5, 3.0, STEEL, 17250.0, "psi"),
    ("3-65", "least, collar inferred", 0.00035, 1.5, 3.0, STEEL, 5250.0, "psi"),
    ("3-67", "greatest", 0.0015, 1.5, 3.0, STEEL, 22500.0, "psi"),
    ("3-67", "least", 0.0007, 1.5, 3.0, STEEL, 10500.0, "psi"),
    ("3-68", "steel in steel", 0.001, 1.0, 2.0, STEEL, 22500.0, "psi"),
    ("3-69", "steel in cast iron", 0.001, 1.0, 2.0, IRON, 13064.0, "psi"),
    ("3-70", "greatest", 0.0015, 1.0, 2.0, STEEL, 33750.0, "psi"),
    ("5-34 b", "solid shaft", 0.0005, 2.0, 3.0, STEEL, 4167.0, "psi"),
]


def collar(radial, fit, outside, metals):
    return contact_pressure(2 * radial, fit, 0.0, outside, *metals)


def tubes():
    return contact_pressure(
        0.02, 50.0, 25.0, 75.0, *STEEL_SI
    )  # 5-35: tubes 25/50/75 mm, 0.02 mm on the diameter


def inner():
    return bush_hoop_at_fit(tubes(), 50.0, 25.0)


def outer():
    return hub_hoop(tubes(), 50.0, 75.0)


PRINTED = (
    *(
        Printed(problem, f"pressure, {case}", value, unit, 0.05 if unit == "MPa" else 0.5, DIGIT,
                lambda sizes=sizes: collar(*sizes))
        for problem, case, *sizes, value, unit in COLLARS
    ),
    Printed("3-68", "hoop stress, collar", 37500.0, "psi", 0.5, DIGIT, lambda: hub_hoop(22500.0, 1.0, 2.0)),
    Printed("3-68", "hoop stress, shaft", -22500.0, "psi", 0.5, DIGIT,
            lambda: hoop_stress(0.3, 0.0, 0.5, outside_pressure=22500.0)),
    Printed("3-69", "hoop stress, collar", 21770.0, "psi", 5.0, "four digits, from the printed 13 064",
            lambda: hub_hoop(13064.0, 1.0, 2.0)),
    Printed("5-34 b", "hoop stress, collar", 10830.0, "psi", 5.0, "four digits, from the printed 4167",
            lambda: hub_hoop(4167.0, 2.0, 3.0)),
    Printed("5-34 b", "von Mises stress, collar", 13410.0, "psi", 5.0, "four digits",
            lambda: von_mises_stress(hub_hoop(4167.0, 2.0, 3.0), -4167.0)),
    Printed("5-35", "pressure, hollow inner tube", 19.41, "MPa", 0.005, DIGIT, tubes),
    Printed("5-35", "hoop stress, inner tube at the fit", -32.35, "MPa", 0.01, STEPS, inner),
    Printed("5-35", "hoop stress, outer tube at its bore", 50.47, "MPa", 0.015, STEPS, outer),
    Printed("5-35", "von Mises stress, inner tube", 28.2, "MPa", 0.01, STEPS,
            lambda: von_mises_stress(inner(), -tubes())),
    Printed("5-35", "von Mises stress, outer tube", 62.48, "MPa", 0.02, STEPS,
            lambda: von_mises_stress(outer(), -tubes())),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()


def test_5_35_by_the_field_of_one_ring():
    assert hoop_stress(25.0, 25.0, 37.5, bore_pressure=tubes()) == pytest.approx(outer(), rel=1e-12)
    assert radial_stress(25.0, 12.5, 25.0, outside_pressure=tubes()) == pytest.approx(-19.41, abs=0.005)
