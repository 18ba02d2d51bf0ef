"""Inlet Mach index: Taylor, The Internal-Combustion Engine in Theory and Practice, vol. 1 ch. 6 (formula
from memory), with the numeric examples of a public formula page. Its inputs are unphysical (bore 0.85 m, valve 0.02 m,
coefficient 11.8, sound 3.4 m/s), its results exact.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.gas_flow import mach_index, mean_piston_speed, port_speed

SOURCE = Source("Formula page on the inlet-valve Mach index", "undated page", "seen", "public formula page")
PRINTED = (
    Printed("example, piston 0.011 m/s", "Mach index", 0.495233, "-", 5e-7, "half of the last digit",
            lambda: mach_index(850.0, 20.0, 0.011, 11.8, 3.4)),
    Printed("other example, piston 73.72 m/s", "Mach index", 3318.962, "-", 5e-4, "half of the last digit",
            lambda: mach_index(850.0, 20.0, 73.72, 11.8, 3.4)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()


@pytest.mark.parametrize(
    ("bore", "valve", "stroke", "speed", "coefficient", "expected"),
    [
        (39, 17, 41.4, 8000, 0.32, 0.529366), (39, 19, 41.4, 8000, 0.32, 0.423786),
        (39, 21, 41.4, 8000, 0.32, 0.346909), (39, 17, 41.4, 6000, 0.32, 0.397025),
        (85, 40, 80.0, 6000, 0.35, 0.601833),
    ],
)  # fmt: skip
def test_worked_cases(bore, valve, stroke, speed, coefficient, expected):
    # worked by an independent script, six digits
    z = mach_index(bore, valve, mean_piston_speed(stroke, speed), coefficient, 343.0)
    assert z == pytest.approx(expected, abs=5e-7)


def test_piston_and_port_speed():
    assert mean_piston_speed(41.4, 8000.0) == pytest.approx(11.04, rel=1e-12)
    # port 15 net of a 4.5 stem is a round port of sqrt(15^2 - 4.5^2)
    assert port_speed(39.0, (15.0**2 - 4.5**2) ** 0.5, 11.04) == pytest.approx(82.0114, abs=5e-5)
