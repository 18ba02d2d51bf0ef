"""Bronze bushing 40/60 mm pressed into a steel cylinder of 120 mm, 0.05 mm on the radius: two different metals.

Exercise of a machine design course, worked on a public question and answer page: E 210 and 105 GPa, nu 0.3 for both.
The stresses are worked from the printed pressure 53.3.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.press_fit import bush_hoop, bush_hoop_at_fit, contact_pressure, hub_hoop
from headparts.mechanics.thick_cylinder import hoop_stress

SOURCE = Source(
    "Exercise, bronze bushing in a steel cylinder", "undated page", "seen", "public question and answer"
)
DIGIT = "half of the last digit"
PRINTED = (
    Printed("answer", "contact pressure", 53.3, "MPa", 0.05, DIGIT,
            lambda: contact_pressure(0.1, 60.0, 40.0, 120.0, 210e3, 0.3, 105e3, 0.3)),
    Printed("answer", "hoop stress, steel at the fit", 88.8, "MPa", 0.05, DIGIT, lambda: hub_hoop(53.3, 60.0, 120.0)),
    Printed("answer", "hoop stress, steel outside", 35.5, "MPa", 0.05, DIGIT,
            lambda: hoop_stress(60.0, 30.0, 60.0, bore_pressure=53.3)),
    Printed("answer", "hoop stress, bronze at its bore", -191.9, "MPa", 0.05, DIGIT, lambda: bush_hoop(53.3, 60.0, 40.0)),
    Printed("answer", "hoop stress, bronze at the fit", -138.6, "MPa", 0.05, DIGIT,
            lambda: bush_hoop_at_fit(53.3, 60.0, 40.0)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
