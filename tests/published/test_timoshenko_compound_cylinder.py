"""Timoshenko, Strength of Materials, Part II: shrink-fit of a compound cylinder 4/6/8 in (values from memory).

0.005 in on the radius, E 30 Mpsi; then 30 000 psi inside. The hoop stress of the jacket, 14 500, is the weakest
remembered of the six.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.compound import compound_hoop, compound_pressures
from headparts.mechanics.press_fit import bush_hoop, contact_pressure, hub_hoop
from headparts.mechanics.thick_cylinder import hoop_stress

SOURCE = Source(
    "Timoshenko, Strength of Materials, Part II", "edition not noted", "from memory", "compound cylinder"
)
DIAMETERS = (8.0, 12.0, 16.0)
PLACE, WHY = "compound cylinder example", "three digits, steps rounded"


def shrink():
    return contact_pressure(0.010, 12.0, 8.0, 16.0, 30e6, 0.3, 30e6, 0.3)


def loaded(radius, outer_side=False):
    fits = compound_pressures(DIAMETERS, (30e6, 30e6), (0.3, 0.3), (0.010,), bore_pressure=30000.0)
    return compound_hoop(radius, DIAMETERS, (30000.0, *fits, 0.0), outer_side=outer_side)


PRINTED = (
    Printed(PLACE, "shrink pressure", 4050.0, "psi", 4.0, WHY, shrink),
    Printed(PLACE, "hoop stress, bore, shrunk", -14600.0, "psi", 44.0, WHY, lambda: bush_hoop(shrink(), 12.0, 8.0)),
    Printed(PLACE, "hoop stress, jacket, shrunk", 14500.0, "psi", 44.0, WHY, lambda: hub_hoop(shrink(), 12.0, 16.0)),
    Printed(PLACE, "hoop stress, bore, one piece", 50000.0, "psi", 0.5, "exact: 30 000 x 80/48",
            lambda: hoop_stress(4.0, 4.0, 8.0, bore_pressure=30000.0)),
    Printed(PLACE, "hoop stress, bore, both", 35400.0, "psi", 106.0, WHY, lambda: loaded(4.0)),
    Printed(PLACE, "hoop stress, jacket, both", 42300.0, "psi", 127.0, WHY, lambda: loaded(6.0, outer_side=True)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()


def test_superposed_by_hand():
    monobloc = hoop_stress([4.0, 6.0], 4.0, 8.0, bore_pressure=30000.0)
    assert loaded(4.0) == pytest.approx(monobloc[0] + bush_hoop(shrink(), 12.0, 8.0), rel=1e-9)
    assert loaded(6.0, outer_side=True) == pytest.approx(
        monobloc[1] + hub_hoop(shrink(), 12.0, 16.0), rel=1e-9
    )
