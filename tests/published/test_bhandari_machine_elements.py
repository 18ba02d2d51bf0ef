"""Bhandari, Design of Machine Elements: shrunk tubes (ch. 22) and springs of valves (ch. 10), worked in public.

The examples were read as a public set of worked scripts with their printed results (six decimals); the book was not.
Example 22.8 sets the shrinkage so that both tubes reach the same greatest hoop stress at 35 MPa inside.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.press_fit import bush_hoop, hub_hoop, interference_for_pressure
from headparts.mechanics.spring_surge import wire_rate
from headparts.mechanics.thick_cylinder import hoop_stress

SOURCE = Source(
    "Bhandari, Design of Machine Elements", "edition not noted", "seen", "public scripts with results"
)
STEEL = (207e3, 0.3, 207e3, 0.3)  # nu falls out for equal metals
DIGIT = "half of the last digit"


def allowance_of_22_6():
    pressure = 100.0 / hub_hoop(1.0, 40.0, 60.0)  # 100 MPa in the jacket
    return interference_for_pressure(pressure, 40.0, 20.0, 60.0, *STEEL)


def pressure_of_22_8():
    bore, joint = hoop_stress([25.0, 37.5], 25.0, 50.0, 35.0)
    return (bore - joint) / (hub_hoop(1.0, 75.0, 100.0) - bush_hoop(1.0, 75.0, 50.0))


PRINTED = (
    Printed("example 22.6", "allowance (40 less the jacket's bore 39.968289)", 0.031711, "mm", 1e-6, "last digit",
            allowance_of_22_6),
    Printed("example 22.8", "shrinkage pressure", 3.615169, "MPa", 1e-6, DIGIT, pressure_of_22_8),
    Printed("example 22.8", "allowance (75 less the jacket's bore 74.991916)", 0.008084, "mm", 1e-6, "last digit",
            lambda: interference_for_pressure(3.615169, 75.0, 50.0, 100.0, *STEEL)),
    Printed("example 10.1", "travel at 1250 N (free length 109.337611 less 79)", 30.337611, "mm", 1e-6, DIGIT,
            lambda: 1250.0 / wire_rate(7.0, 42.0, 8.0, 81370.0)),
    Printed("example 10.4", "coils that work for 30 N/mm", 6.278549, "-", 1e-6, DIGIT,
            lambda: wire_rate(4.0, 24.0, 1.0, 81370.0) / 30.0),
    Printed("example 10.4", "free length less solid length, 7 coils, 15 % in hand", 12.821433, "mm", 1e-6, DIGIT,
            lambda: 1.15 * 300.0 / wire_rate(4.0, 24.0, 7.0, 81370.0)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
