"""Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., printed solutions of chapters 3 and
5.

Each value is the printed one. Tolerance: half a unit of the last printed digit, but at least 0.15 % where
the book rounds between steps. The book gives interference on the radius; the tests double it. Inch problems
stay in inch and psi: the formulas hold in any consistent units. Collar diameters marked "inferred" are not
in the statement retrieved and follow from the printed pressures.
"""

import pytest

from headparts.mechanics.press_fit import bush_hoop_at_fit, contact_pressure, hub_hoop
from headparts.mechanics.thick_cylinder import hoop_stress, radial_stress, von_mises_stress

STEEL = (30e6, 0.292, 30e6, 0.292)  # psi
STEEL_SI = (207e3, 0.292, 207e3, 0.292)  # MPa


@pytest.mark.parametrize(
    ("problem", "radial", "diameter", "outer", "elastic", "printed", "tolerance"),
    [
        ("3-64 greatest", 0.0295, 40.0, 80.0, STEEL_SI, 114.5, 0.05),  # collar inferred
        ("3-64 least", 0.009, 40.0, 80.0, STEEL_SI, 34.9, 0.05),
        ("3-66 greatest", 0.038, 40.0, 80.0, STEEL_SI, 147.5, 0.05),
        ("3-66 least", 0.0175, 40.0, 80.0, STEEL_SI, 67.9, 0.05),
        ("3-65 greatest", 0.00115, 1.5, 3.0, STEEL, 17250.0, 0.5),  # collar inferred
        ("3-65 least", 0.00035, 1.5, 3.0, STEEL, 5250.0, 0.5),
        ("3-67 greatest", 0.0015, 1.5, 3.0, STEEL, 22500.0, 0.5),
        ("3-67 least", 0.0007, 1.5, 3.0, STEEL, 10500.0, 0.5),
        ("3-68", 0.001, 1.0, 2.0, STEEL, 22500.0, 0.5),
        ("3-69 steel in cast iron", 0.001, 1.0, 2.0, (14.5e6, 0.211, 30e6, 0.292), 13064.0, 0.5),
        ("3-70 greatest", 0.0015, 1.0, 2.0, STEEL, 33750.0, 0.5),
        ("5-34 b", 0.0005, 2.0, 3.0, STEEL, 4167.0, 0.5),
    ],
)
def test_pressure_of_a_solid_shaft_in_a_collar(problem, radial, diameter, outer, elastic, printed, tolerance):
    pressure = contact_pressure(2 * radial, diameter, 0.0, outer, *elastic)
    assert pressure == pytest.approx(printed, abs=tolerance), problem


def test_3_68_hoop_stress_of_both_members():
    assert hub_hoop(22500.0, 1.0, 2.0) == pytest.approx(37500.0, abs=0.5)
    assert hoop_stress(0.3, 0.0, 0.5, outside_pressure=22500.0) == pytest.approx(-22500.0, abs=0.5)


def test_3_69_hoop_stress_of_the_collar():
    # printed 21770 to four digits from the printed pressure 13064
    assert hub_hoop(13064.0, 1.0, 2.0) == pytest.approx(21770.0, abs=5.0)


def test_5_34_b_collar_stresses():
    assert hub_hoop(4167.0, 2.0, 3.0) == pytest.approx(10830.0, abs=5.0)
    assert von_mises_stress(10834.2, -4167.0) == pytest.approx(13410.0, abs=5.0)


def test_5_35_two_tubes():
    # tubes 25/50/75 mm, interference 0.02 mm on the diameter; printed 19.41, -32.35, 50.47, 28.20, 62.48 MPa
    pressure = contact_pressure(0.02, 50.0, 25.0, 75.0, *STEEL_SI)
    assert pressure == pytest.approx(19.41, abs=0.005)
    inner, outer = bush_hoop_at_fit(pressure, 50.0, 25.0), hub_hoop(pressure, 50.0, 75.0)
    assert inner == pytest.approx(-32.35, abs=0.01)
    assert outer == pytest.approx(50.47, abs=0.015)
    assert hoop_stress(25.0, 25.0, 37.5, bore_pressure=pressure) == pytest.approx(50.47, abs=0.015)
    assert radial_stress(25.0, 12.5, 25.0, outside_pressure=pressure) == pytest.approx(-19.41, abs=0.005)
    assert von_mises_stress(inner, -pressure) == pytest.approx(28.2, abs=0.01)
    assert von_mises_stress(outer, -pressure) == pytest.approx(62.48, abs=0.02)
