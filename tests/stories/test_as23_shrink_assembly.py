"""AS23: shrinking a bushing in: hot head and frozen bushing drop together, a warm head alone does not."""

import pytest

from headparts.mechanics.thermal import assembly_slip, head_temperature_for_slip

FIT = (0.037, 16.5, 22.0e-6)
BUSH = 17.5e-6


@pytest.mark.parametrize(
    ("head", "bush", "slip"), [(180.0, -18.0, 0.0321), (120.0, 20.0, -0.0007), (180.0, 20.0, 0.0211)]
)
def test_slip(head, bush, slip):
    assert assembly_slip(*FIT, head, BUSH, bush) == pytest.approx(slip, abs=5e-5)


def test_head_temperature_for_a_slip():
    head = head_temperature_for_slip(0.015, *FIT, BUSH, -18.0)
    assert head == pytest.approx(133.0, abs=0.05)
    assert assembly_slip(*FIT, head, BUSH, -18.0) == pytest.approx(0.015, abs=1e-12)


def test_trap_counting_from_zero_instead_of_20_degrees():
    wrong = 16.5 * (22.0e-6 * 120.0) - 0.037
    assert wrong > 0 > assembly_slip(*FIT, 120.0, BUSH, 20.0)
