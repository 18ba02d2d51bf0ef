"""The bonded sleeve of an example job pressed instead: its buckling (S02) and hot grip (S12) by closed forms."""

from __future__ import annotations

import pytest

PRESSED = (("mode: bonded", "mode: pressed"), ("od: 7.93,", "od: 8.05,"))
KEY = "sleeve_intake"


def test_press_over_buckling(changed):
    found = changed("sprayer_10cc", *PRESSED, only=("S02",))
    # bore 8.00, outside 8.05 +0/-0.01, inside 7.20, hub 1.8 bores; aluminium 71/0.33 round aluminium 70/0.33
    hub = (1.8**2 + 1) / (1.8**2 - 1) + 0.33
    sleeve = (8.0**2 + 7.2**2) / (8.0**2 - 7.2**2) - 0.33
    pressure = 0.05 / 8.0 / (hub / 71000.0 + sleeve / 70000.0)
    stiff = 70000.0 / (1 - 0.33**2)
    free = pressure / (stiff / 4 * (0.425 / 3.8125) ** 3)
    backed = pressure / (stiff * (0.425 / 8.05) ** 2.2)
    for case, value in (("free", free), ("backed", backed)):
        finding = found["S02", KEY, case, "pressure_over_buckling"]
        assert finding.value == pytest.approx(value, rel=1e-9)
        assert finding.verdict == ("pass" if value <= 1 else "warn" if case == "free" else "fail")


def test_hot_grip_of_the_loose_end(changed):
    # smallest sleeve 8.04, largest bore 8.015; at 165 degC the sleeve grows 1.4e-6 8 mm 145 K more than the head
    found = changed("sprayer_10cc", *PRESSED, only=("S12",))
    finding = found["S12", KEY, "nominal", "hot_grip"]
    assert finding.value == pytest.approx(0.025 + 8.0 * 1.4e-6 * 145.0, abs=1e-9)
    assert finding.verdict == "pass"


def test_a_sleeve_no_larger_than_its_bore_has_no_grip(changed):
    found = changed("sprayer_10cc", PRESSED[0], ("od: 7.93,", "od: 8.02,"), only=("S12",))
    finding = found["S12", KEY, "nominal", "hot_grip"]
    assert finding.value == pytest.approx(-0.005 + 8.0 * 1.4e-6 * 145.0, abs=1e-9)
    assert finding.verdict == "fail"


def test_a_bonded_sleeve_has_none(checked):
    found = checked("sprayer_10cc").by_key
    assert next(finding for key, finding in found.items() if key[0] == "S12").value is None
