"""AS21: lash of the 26 cc pump engine when warm: opens in steady running, closes just after starting."""

import pytest

from headparts.mechanics.lash import chain_growth, warm_lash

RATIO = 11.4 / 9.5
PIVOT = [(55, 22.0e-6, 110), (4, 22.0e-6, 150), (26, 22.0e-6, 160), (14, 22.0e-6, 100), (2.0, 23.4e-6, 100)]
PUSHROD = [(74, 11.5e-6, 80)]
VALVE = [(55, 22.0e-6, 110), (4, 22.0e-6, 150), (49.25, 17.5e-6, 330)]


def change(pivot, pushrod, pushrod_extra, valve):
    growth = chain_growth(pushrod) + pushrod_extra
    return warm_lash(0.0, RATIO, chain_growth(pivot), growth, chain_growth(valve))


def test_steady_running_opens_the_lash():
    steady = change(PIVOT, PUSHROD, 0.010, VALVE)
    assert steady == pytest.approx(0.0768, abs=5e-5)
    assert warm_lash(
        0.12, RATIO, chain_growth(PIVOT), chain_growth(PUSHROD) + 0.010, chain_growth(VALVE)
    ) == pytest.approx(0.1968, abs=5e-5)


def test_just_after_the_start_only_the_valve_is_hot():
    start = change([], [], 0.0, [(49.25, 17.5e-6, 120)])
    assert start == pytest.approx(-0.1034, abs=5e-5)
    assert warm_lash(0.12, RATIO, 0.0, 0.0, 0.1034) == pytest.approx(
        0.017, abs=5e-4
    )  # the exhaust just clears
    assert warm_lash(0.10, RATIO, 0.0, 0.0, 0.1034) < 0  # 0.10 cold would not


def test_trap_leaving_out_the_lever_turns_the_sign():
    plain = chain_growth(PIVOT) - chain_growth(VALVE)
    assert plain < 0 < change(PIVOT, PUSHROD, 0.010, VALVE)
