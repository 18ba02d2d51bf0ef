"""What F05 and F02 say of the grip that is left once the hot casting has yielded; sums written out by hand here."""

from __future__ import annotations

import re

import pytest
from edges.lame import Press

# exhaust bushing of the pump job: d, throat, web 17.2 - 8.25 - 7.25 = 1.70, head and bushing materials, 180/230 degC
D, BORE, HUB = 14.5, 10.6, 14.5 + 2 * 1.70
EH, NH, EB, NB = 71e3, 0.33, 125e3, 0.30
HOT = 155 + (105 - 155) * (180 - 20) / 180
WARMING = D * (17.5e-6 * 210 - 22.0e-6 * 160)


def lost_of(hot: float) -> float:
    """Interference lost [mm] by a fit whose head is plastic up to where bush and head close."""
    return Press(D, BORE, HUB, (EH, NH), (EB, NB)).lost(hot, HOT)


def numbers_of(note: str) -> list[float]:
    """Every length of a note; each has its unit."""
    found = re.findall(r"\d\.\d{4}( mm)?", note)
    assert all(found)
    return [float(text) for text in re.findall(r"\d\.\d{4}", note)]


def test_the_tight_end_says_what_it_loses(checked):
    finding = checked("pump_26cc").by_key["F05", "bushing_exhaust", "running", "hub_tresca"]
    lost = lost_of(0.032 + WARMING)
    assert finding.verdict == "warn"
    assert numbers_of(finding.note) == pytest.approx([lost, 0.032 + WARMING - lost, 0.032 - lost], abs=6e-5)
    assert lost == pytest.approx(0.0026, abs=1e-4)


def test_where_the_hot_casting_holds_nothing_is_said(checked):
    by_key = checked("pump_26cc").by_key
    assert by_key["F05", "bushing_intake", "running", "hub_tresca"].note == ""
    for finding in checked("pump_26cc").findings:
        if finding.id == "F02":
            assert "yielded" not in finding.note


def test_the_loose_end_says_it_too_once_it_yields(changed):
    """Interference 0.045: loose end 0.042 less 0.0056 of roughness is 0.0364, above the 0.025 that yields hot."""
    found = changed("pump_26cc", ("exhaust: 0.029}", "exhaust: 0.045}"), only=("F02",))
    lost = lost_of(0.045 - 0.003 - 0.0056 + WARMING)
    for case in ("cold", "running", "heat_soak", "second_heating"):
        finding = found["F02", "bushing_exhaust", case, "grip"]
        assert numbers_of(finding.note) == pytest.approx([lost, finding.value - lost], abs=6e-5)


def test_without_the_web_the_grip_is_still_judged(changed):
    """No axis, no web: F02 needs none and keeps its value, without a word of yielding."""
    keep = "axis: {p: [-9.00, -1.20, 3.30], tilt: 0, azim: 0, u: 0.05}\n    old:\n      axis:"
    found = changed(
        "pump_26cc", ("exhaust: 0.029}", "exhaust: 0.045}"), (keep, "old:\n      axis:"), only=("F02",)
    )
    finding = found["F02", "bushing_exhaust", "cold", "grip"]
    assert finding.value == pytest.approx(0.045 - 0.003 - 0.0056, abs=1e-9)
    assert "yielded" not in finding.note
