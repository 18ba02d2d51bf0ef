"""Limits of the press fits (F): Lame's rings by the arithmetic of `lame`, solved for the number that meets the limit.

Fit of the intake 16 with a throat of 12, of the exhaust 14 with 10.5; the bores stand 18 apart, so the web between
them is 18 - 15 = 3.0 and the hub of F03 to F05 is 22 and 20. Loss of roughness 0.8 (6 + 4) um = 0.008.
"""

from __future__ import annotations

from math import pi
from typing import Any

import pytest

from edges.case import Edge, Told
from edges.jobs import FITTED
from edges.lame import Press, corners

IN, EX = "stations.intake.", "stations.exhaust."
BODY, SHANK = "fits.body.interference.intake", "fits.shank"
AL, CUBE = (70000.0, 0.33), (125000.0, 0.30)
AH, AB = 22.0e-6, 17.5e-6
BANDS = (21.0e-6, 23.0e-6), (17.0e-6, 18.0e-6)
APART = {f"{EX}axis.p.0": -10.0}
WEB = Press(16.0, 12.0, 22.0, AL, CUBE)
"""The intake between the two bores; the exhaust; the same where the job has no second bushing; the guide."""
WEB_EX = Press(14.0, 10.5, 20.0, AL, CUBE)
OPEN = Press(16.0, 12.0, 1.8 * 16.0, AL, CUBE)
GUIDE = Press(8.0, 4.03, 2.2 * 8.0, AL, CUBE)
BAND, ROUGH, MEASURE = 0.003, 0.008, 0.001
LOSS = BAND + ROUGH + MEASURE
ALONE = {"stations.exhaust": None}
PRESSED = {f"{IN}bushing.guide.ream_after_press": False, f"{EX}bushing.guide.ream_after_press": False}


def edge(
    id_: str,
    quantity: str,
    at: dict[str, float],
    outward: int,
    limit: float,
    severity: str,
    why: str,
    **more: Any,
) -> Edge:
    """An edge of the fitted job that its first key leaves; about the intake's bushing unless said otherwise."""
    subject = more.pop("subject", "bushing_intake")
    change = {**APART, **more.pop("change", {})}
    key = next(iter(at))
    return Edge(id_, quantity, subject, FITTED, at, key, outward, limit, severity, why, change=change, **more)


def grip(
    case: str, head: float, bush: float, diameter: float = 16.0, subject: str = "bushing_intake", **more: Any
) -> Edge:
    """F02: the interference of which 0.002 is left at two temperatures, at the worst corner of both bands."""
    left = corners(*BANDS, lambda ah, ab: diameter * (ab * (bush - 20.0) - ah * (head - 20.0)))
    key = f"fits.body.interference.{subject.removeprefix('bushing_')}"
    why = f"i - 0.012 + {diameter:g} (ab ({bush:g} - 20) - ah ({head:g} - 20)) = 0.002 at the worst corner"
    return edge(
        "F02", "grip", {key: 0.002 + LOSS - left}, -1, 0.002, "FAIL", why, case=case, subject=subject, **more
    )


def shrunk(head: float, bush: float, diameter: float = 16.0) -> float:
    """How much interference the nominal expansions add at two temperatures."""
    return diameter * (AB * (bush - 20.0) - AH * (head - 20.0))


def running(head: float, bush: float, limit: float, why: str, **more: Any) -> Edge:
    """F05: the interference at which the hub's stress is the yield at the head's temperature."""
    temps = {"temps.running.head": head, "temps.running.intake_bush": bush}
    at = {BODY: WEB.interference_for(WEB.hub_tresca, limit) - BAND - shrunk(head, bush)}
    return edge(
        "F05", "hub_tresca", at, +1, limit, "WARN", why, case="running", change=temps, step=1e-12, **more
    )


def slip(head: float, bush: float, **more: Any) -> Edge:
    """F08: the interference whose tight end leaves 0.015 of the gap at assembly, at the worst corner."""
    gap = corners(*BANDS, lambda ah, ab: 16.0 * (ah * (head - 20.0) - ab * (bush - 20.0)))
    temps = {"fits.assembly.head_T": head, "fits.assembly.bush_T": bush}
    why = f"16 (ah ({head:g} - 20) - ab ({bush:g} - 20)) - (i + 0.003) = 0.015 at the worst corner"
    return edge(
        "F08", "assembly_slip", {BODY: gap - BAND - 0.015}, +1, 0.015, "FAIL", why, change=temps, **more
    )


MADE = {
    f"{IN}measured.body_bore": [[16.0, 16.001], [16.001, 16.002], [16.002, 16.003]],
    f"{IN}measured.body_od": [[16.03, 16.03], [16.03, 16.03], [16.03, 16.03]],
}
"""A bore and an outside as made."""
CLOSED = GUIDE.closure(GUIDE.pressure(0.012))
"""How much a guide of 4.03 closes at the shank's tight end, 0.008 + 0.004."""


def guide(limit: float, why: str, change: dict[str, Any] | None = None, **more: Any) -> Edge:
    """F09: the stem that has ``limit`` left once the guide of 4.03 has closed."""
    at = {f"{IN}valve.stem": 4.03 - CLOSED - limit}
    return edge(
        "F09",
        "clearance_after_press",
        at,
        +1,
        limit,
        "FAIL",
        why,
        change={**PRESSED, **(change or {})},
        **more,
    )


GUIDE_EX = Press(8.0, 4.04, 2.2 * 8.0, AL, CUBE)


def torque(port: float) -> float:
    """Twice the drill's 3 (port/12)^1.8 N m, a force of 2 T/port at 8 mm from the valve axis [N m]."""
    return 2.0 * 2.0 * 3.0 * (port / 12.0) ** 1.8 / port * 8.0


def held(port: float) -> float:
    """The pressure on 16 x 17 that holds it with the lower friction [MPa]."""
    return torque(port) * 1000.0 / (0.08 * pi * 16.0**2 * 17.0 / 2.0)


EDGES = [
    edge("F01", "loose_end", {BODY: 0.010 + LOSS}, -1, 0.010, "FAIL", "0.022 - 0.003 - 0.8 (6 + 4)/1000 - 0.001 = 0.010",
         drop="fits.body.rz_bush"),
    edge("F01", "loose_end", {"fits.body.measure_u": 0.009}, +1, 0.010, "FAIL", "0.030 - 0.003 - 0.008 - 0.009 = 0.010"),
    edge("F01", "loose_end", {f"{IN}measured.body_od.1.0": 16.022}, -1, 0.010, "FAIL",
         "as made, smallest outside in largest bore: 16.022 - 16.003 - 0.008 - 0.001", change=MADE),
    grip("cold", 20.0, 20.0, drop="fits.body.rz_bore"),
    grip("running", 110.0, 100.0),
    grip("heat_soak", 200.0, 200.0),
    grip("frost", -20.0, -30.0),
    grip("second_heating", 180.0, 180.0),
    grip("running", 110.0, 160.0, 14.0, "bushing_exhaust"),
    edge("F03", "hub_tresca", {BODY: WEB.interference_for(WEB.hub_tresca, 150.0) - BAND - shrunk(-20.0, -20.0)}, +1, 150.0,
         "WARN", "both at -20: 16 x 40 (22 - 17.5) um more than at 20; the yield at 20 is 150", case="cold_soak",
         step=1e-12, drop="materials.al.cte"),
    edge("F03", "hub_tresca", {"materials.al.yield20": WEB.hub_tresca(WEB.pressure(0.033 + shrunk(-20.0, -20.0)))}, -1,
         WEB.hub_tresca(WEB.pressure(0.033 + shrunk(-20.0, -20.0))), "WARN",
         "the limit is the yield: here that of the stress of 0.030", case="cold_soak"),
    edge("F04", "hub_tresca", {BODY: WEB.interference_for(WEB.hub_tresca, 150.0 / 1.12) - BAND}, +1, 150.0 / 1.12, "FAIL",
         "hub 16 + 2 x 3.0; the yield of 150 over 1.12", step=1e-12, drop="materials.cube.nu"),
    edge("F04", "hub_tresca",
         {"fits.body.interference.exhaust": WEB_EX.interference_for(WEB_EX.hub_tresca, 150.0 / 1.12) - BAND}, +1,
         150.0 / 1.12, "FAIL", "hub 14 + 2 x 3.0", step=1e-12, subject="bushing_exhaust"),
    edge("F04", "hub_tresca", {BODY: OPEN.interference_for(OPEN.hub_tresca, 150.0 / 1.12) - BAND}, +1, 150.0 / 1.12, "FAIL",
         "no second bushing: hub 1.8 x 16", step=1e-12, change=ALONE),
    running(110.0, 100.0, 125.0, "half way from 20 to 200: (150 + 100)/2", drop="materials.al.yield200"),
    running(200.0, 180.0, 100.0, "at 200 the yield at 200"),
    running(230.0, 200.0, 100.0, "held above 200"),
    running(-10.0, 15.0, 150.0, "held below 20"),
    edge("F06", "bush_hoop_over_yield", {BODY: OPEN.interference_for(OPEN.bush_hoop, 0.7 * 300.0) - BAND}, +1, 0.7, "FAIL",
         "hub 1.8 x 16; hoop stress at the throat 0.7 of a yield of 300", change={"materials.cube.yield20": 300},
         drop="materials.cube.yield20"),
    edge("F07", "press_force", {BODY: OPEN.interference_for(lambda p: 0.18 * p * pi * 16.0 * 17.0, 7000.0) - BAND}, +1,
         7000.0, "WARN", "0.18 p pi 16 x 17 = 0.7 x 10000 N", step=1e-12, drop="fits.assembly.press_limit"),
    edge("F07", "press_force", {"fits.assembly.press_limit": 0.18 * OPEN.pressure(0.033) * pi * 16.0 * 17.0 / 0.7}, -1,
         0.18 * OPEN.pressure(0.033) * pi * 16.0 * 17.0, "WARN", "the limit is 0.7 of the press: here the force of 0.030"),
    slip(180.0, -18.0, drop="materials.al.cte_band"),
    slip(180.0, 60.0),
    edge("F08", "assembly_slip", {f"{IN}measured.body_od.2.1": 16.0 + 16.0 * (21.0e-6 * 160.0 + 17.0e-6 * 38.0) - 0.015}, +1,
         0.015, "FAIL", "as made, largest outside in smallest bore of 16.000", change=MADE),
    edge("F09", "clearance_after_press", {f"{IN}valve.stem": 4.03 - CLOSED - 0.020}, +1, 0.020, "FAIL",
         "4.03 less what 0.012 on 8 closes it; B10's limit of the intake", change=PRESSED, drop="fits.shank.band"),
    edge("F09", "clearance_after_press",
         {f"{EX}valve.stem": 4.04 - GUIDE_EX.closure(GUIDE_EX.pressure(0.012)) - 0.030}, +1, 0.030, "FAIL",
         "4.04 less what 0.012 on 8 closes it; B10's limit of the exhaust", change=PRESSED, subject="bushing_exhaust"),
    guide(0.010, "B10's limit as the job scales it: 0.020 x 0.5", {"limits.scale": 0.5}),
    guide(0.015, "B10's limit as the job gives it", {"limits.B10": {"clearance_min": 0.015}}),
    guide(0.012, "its own limit goes before B10's", {"limits.B10": {"clearance_min": 0.015}, "limits.F09": 0.012}),
    edge("F10", "holding_torque", {BODY: OPEN.interference(held(10.0)) + LOSS}, -1, torque(10.0), "WARN",
         "loose end; 0.08 p pi 16^2 17/2 = twice 2 T/10 x 8 mm with T = 3 (10/12)^1.8", drop=f"{IN}port.dia"),
    edge("F10", "holding_torque", {f"{IN}port.dia": 11.0, BODY: OPEN.interference(held(11.0)) + LOSS}, +1, torque(11.0),
         "WARN", "the limit rises with the port: 2 x 2 x 3 (d/12)^1.8/d x 8"),
    edge("F11", "oven_temperature", {"fits.assembly.head_T": 200.0}, +1, 200.0, "WARN", "as given", subject="head",
         drop="fits.assembly.head_T"),
    edge("F12", "od_window", {f"{IN}measured.body_bore.2.1": 16.003}, +1, 0.003, "FAIL",
         "(16.000 + 0.033) - (16.003 + 0.027) = 0.003",
         change={f"{IN}measured.body_bore": [[16.0, 16.001], [16.001, 16.002], [16.002, 16.003]]},
         drop="fits.body.band"),
    edge("F12", "od_window", {"fits.body.local.intake.1": 0.029}, -1, 0.003, "FAIL",
         "(16.000 + 0.029) - (16.006 + 0.020) = 0.003, by the local window of the job",
         change={f"{IN}measured.body_bore": [[16.003, 16.0], [16.006, 16.002], [16.002, 16.003]],
                 "fits.body.local": {"intake": [0.020, 0.029]}}),
]  # fmt: skip

TOLD = [
    Told("F09", "closure", "bushing_intake", FITTED, CLOSED, "what 0.012 on 8 closes a guide of 4.03 in a hub of 17.6",
         name="closure"),
]  # fmt: skip


@pytest.mark.parametrize("each", EDGES, ids=str)
def test_both_sides_of_the_limit(each, tmp_path):
    each.holds(tmp_path)


@pytest.mark.parametrize("each", [each for each in EDGES if each.drop], ids=str)
def test_not_run_without_its_input(each, tmp_path):
    each.is_not_run(tmp_path)


@pytest.mark.parametrize("told", TOLD, ids=str)
def test_told_without_a_limit(told, tmp_path):
    told.holds(tmp_path)
