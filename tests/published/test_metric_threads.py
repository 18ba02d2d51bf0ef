"""ISO 724 and ISO 898-1 formulas against the thread limits of a public DIN 13 table module (M3 to M12)."""

import pytest

from headparts.mechanics.thread import minor_diameter, pitch_diameter, stress_area
from headparts.tables.loader import read_table
from headparts.tables.threads import metric_thread

NAMES = [row["thread"] for row in read_table("metric_threads").rows]


@pytest.mark.parametrize("name", NAMES)
def test_basic_diameters_and_stress_area(name):
    thread = metric_thread(name)
    size = (thread.diameter, thread.pitch)
    # a 6H nut has its lower limits at the basic profile; the table prints four decimals
    assert minor_diameter(*size) == pytest.approx(thread.nut_minor[0], abs=6e-5)
    assert pitch_diameter(*size) == pytest.approx(thread.nut_pitch[0], abs=6e-5)
    assert stress_area(*size) == pytest.approx(thread.stress_area, abs=6e-4)


@pytest.mark.parametrize("name", NAMES)
def test_6g_lies_below_the_nominal_by_one_allowance(name):
    thread = metric_thread(name)
    # ISO 965-1: es of position g is -(15 + 11 P) um, in whole micrometres (formula from memory)
    allowance = (15 + 11 * thread.pitch) / 1000
    assert thread.diameter - thread.bolt_major[1] == pytest.approx(allowance, abs=1e-3)
    assert pitch_diameter(thread.diameter, thread.pitch) - thread.bolt_pitch[1] == pytest.approx(
        allowance, abs=1e-3
    )
