"""Valve spring of a student engine project: rate, weight and surge, in a public notebook.

Wire 3.048, coil 20.625 mm, 7 coils that work, G 77.2 GPa, 7750 kg/m3, crankshaft at 8000 1/min. The notebook names
Shigley's Mechanical Engineering Design for its formulas. It prints the weight with g 9.81.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.spring_surge import active_mass, surge_frequency, surge_margin, wire_rate

SOURCE = Source("Student engine project, valve spring sheet", "undated", "seen", "public notebook")
WIRE = (3.048, 20.625, 7.0)
DIGIT = "half of the last digit"


def frequency():
    return surge_frequency(wire_rate(*WIRE, 77200.0), active_mass(*WIRE, 7.75))


PRINTED = (
    Printed("stiffness", "rate", 13.561485137, "N/mm", 5e-9, "ten digits", lambda: wire_rate(*WIRE, 77200.0)),
    Printed("resonance", "weight", 0.2516126006, "N", 5e-10, "ten digits", lambda: active_mass(*WIRE, 7.75) * 9.81e-3),
    Printed("resonance", "natural frequency", 363.573, "1/s", 5e-4, DIGIT, frequency),
    Printed("resonance", "times the camshaft's turns", 5.5, "-", 0.05, DIGIT, lambda: surge_margin(frequency(), 8000.0)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
