"""Small changes of the three example jobs turn exactly the findings that they should, and no other.

Each row: what is changed, every finding whose verdict is another than before (a finding that was not there before, or
is not any more, included), the hand calculation, and values worked out by it. A dash stands for "no such finding".
Sizes that the calculations start from: pump job, intake bore r 8.25 at (8.2, -1.2), exhaust bore r 7.25 at
(-9.0, -1.2), both upright; chamber r 16.8 about the origin, its roof at 3.3. Stresses by Lame's formulas.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest
from edges.case import context

from headparts.checks.run import run_checks
from headparts.checks.table import ids

PUMP, GENERATOR, SPRAYER = "pump_26cc", "generator_62cc", "sprayer_10cc"
Key = tuple[str, ...]
NO_WALLS = tuple(id_ for id_ in ids() if id_[0] != "W")


@dataclass(frozen=True)
class Mutation:
    """``turned``: verdict by (id, subject, quantity) or (id, subject, quantity, case); ``values`` the same way."""

    name: str
    job: str
    change: Mapping[str, Any]
    turned: Mapping[Key, str]
    why: str
    values: Mapping[Key, float] = field(default_factory=dict)

    @property
    def moves_metal(self) -> bool:
        """Whether it changes a cut, a cavity or a repair: by their definitions walls depend on nothing else of these."""
        return any(
            key.startswith(("head.", "repairs.")) or key.endswith(("body.dia", "port.azim", "port.elev"))
            for key in self.change
        )


WEB = "body_bore_exhaust~body_bore_intake"
BROKEN = "port_intake~tunnel_in"
ALL_W08 = (
    "overlap_volume",
    "opening_along",
    "opening_area",
    "opening_around",
    "opening_centre",
    "axis_gap",
    "axis_angle",
)
UNREPAIRED: dict[Key, str] = {
    # a breakthrough whose repair fails is a breakthrough again: the port's and the sleeve bore's
    ("W04", BROKEN, "wall"): "fail",
    **{
        ("W08", pair, quantity): "fail"
        for pair in (BROKEN, "sleeve_bore_sleeve_intake~tunnel_in")
        for quantity in ALL_W08
    },
}
S, E = "stations.intake", "stations.exhaust"
CAVITY = "head.cavities"

MUTATIONS = [
    # ---- W ----------------------------------------------------------------------------------------
    Mutation(
        "tunnel nearer to the bore",
        PUMP,
        {f"{CAVITY}.tunnel_in.axis.p.1": -13.6},
        {
            ("W04", "body_bore_intake~tunnel_in", "wall"): "fail",
            ("W07", "body_bore_intake~tunnel_in", "worst_case"): "fail",
            ("W07r", "body_bore_intake~tunnel_in", "rss_case"): "warn",
            ("W10", "body_bore_intake~tunnel_in", "thin_area"): "info",
            ("W10", "head", "thin_area"): "-",
            ("W12", "tunnel_in", "cavity_u"): "warn",
        },
        "hypot(3.2, 12.4) - 8.25 - 3.5 = 1.0562 below 1.2; less 0.05 + 0.03 + 0.35 = 0.6262 below 0.72, less the root "
        "of their squares 0.3548 = 0.7014 below 0.96; within 8 mm of a cut now, and its u is 0.35; the strip nearer "
        "than 1.2 is about 1.7 wide and 17 high, above 10 mm2",
        {
            ("W04", "body_bore_intake~tunnel_in", "wall"): 1.05625,
            ("W07", "body_bore_intake~tunnel_in", "worst_case"): 0.62625,
            ("W07r", "body_bore_intake~tunnel_in", "rss_case"): 0.70143,
        },
    ),
    Mutation(
        "plug hole wider",
        PUMP,
        {f"{CAVITY}.plug_hole.dia": 11.5},
        {
            ("W02", "body_bore_intake~plug_hole", "wall"): "fail",
            ("W07r", "body_bore_intake~plug_hole", "rss_case"): "warn",
            ("W10", "body_bore_intake~plug_hole", "thin_area"): "pass",
            ("W10", "head", "thin_area"): "-",
        },
        "the hole begins as an ellipse, 5.75 by 5.75 cos 20: two million points of it lie 1.27187 or more from the bore, "
        "below 1.5; less the root of 0.05, 0.03, 0.05 squared 0.0768 = 1.1951 below 1.2, less their sum 0.13 = 1.1419 "
        "above 0.9; the hole leans away, so that the spot is less than a millimetre high and 3 wide, below 10 mm2",
        {
            ("W02", "body_bore_intake~plug_hole", "wall"): 1.27187,
            ("W07r", "body_bore_intake~plug_hole", "rss_case"): 1.19505,
        },
    ),
    Mutation(
        "azimuth of the exhaust port turned by 20 deg",
        PUMP,
        {f"{E}.port.azim": 200},
        {("P02", "port_exhaust", "entry_angle"): "warn", ("W12", "stud_4", "cavity_u"): "pass"},
        "acos(cos 10 cos 20) = 22.27 deg to the face's normal, above 10, and no spot face; stud_4 stands 13.3 from "
        "the port's end, less 4.5 + 2.75 about 6: within 8 mm of a cut now, and measured to 0.05",
        {("P02", "port_exhaust", "entry_angle"): 22.2676},
    ),
    # ---- V ----------------------------------------------------------------------------------------
    Mutation(
        "intake valve head larger",
        PUMP,
        {f"{S}.valve.head": 15.2},
        {("V06", "intake", "throat_over_head"): "warn", ("V08", "intake", "overhang"): "warn"},
        "12.6/15.2 = 0.8289 below 0.83; (15.2 - 14.1)/2 = 0.55 above 0.35; rim 16.8 - 8.2873 - 7.6 = 0.913 above 0.8, "
        "body less head 1.3, below the joint 17 - 8.2873 - 7.6 = 1.113 above 0.8",
        {("V06", "intake", "throat_over_head"): 12.6 / 15.2, ("V11", "intake", "bore_gap"): 1.1127},
    ),
    Mutation(
        "more lift at the overlap",
        PUMP,
        {f"{S}.valve.lift_tdc": 2.5},
        {("V10", "intake", "piston_gap"): "fail"},
        "2.57 - (2.5 - 0.9) = 0.97 below 1.0; the heads stay 17.2 - 7.25 - 6.25 = 3.7 apart at least",
        {("V10", "intake", "piston_gap"): 0.97},
    ),
    Mutation(
        "thicker gasket",
        PUMP,
        {"engine.gasket.compressed": 1.0},
        {},
        "every piston gap grows by 0.3; the chamber grows old and new alike, so that the compression does not change",
        {("V10", "intake", "piston_gap"): 2.87, ("V12", "engine", "compression_change"): 0.0},
    ),
    Mutation(
        "throat larger than the seat leaves",
        PUMP,
        {f"{S}.bushing.bowl.throat": 12.7},
        {("V07", "intake", "seat_inner_minus_throat"): "fail"},
        "14.1 - 2 cos 45 - 12.7 = -0.0142; throat over head 0.876 below 0.90, wall (16.5 - 12.7)/2 = 1.9 above 1.5",
        {("V07", "intake", "seat_inner_minus_throat"): -0.014214},
    ),
    # ---- B ----------------------------------------------------------------------------------------
    Mutation(
        "bushing 0.4 larger",
        PUMP,
        {f"{S}.bushing.body.dia": 16.9},
        {("M05", "intake", "sweep_to_mouth"): "fail"},
        "16.8 - 8.2873 - 8.45 = 0.0627 below 0.2; the web 17.2 - 8.45 - 7.25 is 1.5 exactly and passes; hub stress at "
        "19.9 round 16.9: 134.0 below 155/1.12 = 138.4",
        {("M05", "intake", "sweep_to_mouth"): 0.06265, ("W01", WEB, "wall"): 1.5},
    ),
    Mutation(
        "bushing 0.5 larger",
        PUMP,
        {f"{S}.bushing.body.dia": 17.0},
        {
            ("M05", "intake", "sweep_to_mouth"): "fail",
            ("W01", WEB, "wall"): "fail",
            ("W10", WEB, "thin_area"): "info",
            ("W10", "head", "thin_area"): "-",
        },
        "17.2 - 8.5 - 7.25 = 1.45 below 1.5, less 0.06 still above 0.9; 16.8 - 8.2873 - 8.5 = 0.0127 below 0.2; hub "
        "stress 134.3 and 135.4, below 138.4; nearer than 1.5: a strip 1.25 wide and 16 high, above 10 mm2",
        {("W01", WEB, "wall"): 1.45, ("F04", "bushing_intake", "hub_tresca"): 134.34},
    ),
    Mutation(
        "elevation of the exhaust port with the wrong sign",
        PUMP,
        {f"{E}.port.elev": -10},
        {("B05", "bushing_exhaust", "ring_to_window"): "fail", ("P03", "port_exhaust", "wall"): "fail"},
        "story AS26: the falling port cuts the seat, -0.626; its lower edge passes the chamber's corner, 16.757 out, "
        "at z = 9.6 - 7.757 tan 10 - 4.5/cos 10 = 3.663, so 0.363 cos 10 = 0.357 is left, below 2.0",
        {("B05", "bushing_exhaust", "ring_to_window"): -0.6256},
    ),
    Mutation(
        "stem a hundredth and a half thicker",
        PUMP,
        {f"{S}.valve.stem": 3.985},
        {("B10", "bushing_intake", "clearance_min"): "fail"},
        "4.000 - 3.985 = 0.015 below 0.020; with the IT7 of 0.012 it is 0.027; guide 20.7/3.985 = 5.19 stems",
        {
            ("B10", "bushing_intake", "clearance_min"): 0.015,
            ("B09", "bushing_intake", "guide_over_stem"): 20.7 / 3.985,
        },
    ),
    Mutation(
        "corner left rounder by the boring tool",
        PUMP,
        {f"{S}.bushing.shoulder.head_corner_r": 0.45},
        {("B16", "bushing_intake", "corner_spare"): "fail"},
        "min(0.8, 0.5) - 0.45 = 0.05 below 0.1",
        {("B16", "bushing_intake", "corner_spare"): 0.05},
    ),
    Mutation(
        "run-out of the finished seat measured",
        PUMP,
        {f"{S}.measured": {"seat_runout": 0.03}},
        {("B13", "bushing_intake", "seat_runout"): "fail"},
        "0.03 above 0.02; it was not run before",
        {("B13", "bushing_intake", "seat_runout"): 0.03},
    ),
    # ---- F ----------------------------------------------------------------------------------------
    Mutation(
        "bushings of cast iron",
        PUMP,
        {f"{S}.bushing.material": "cast_iron", f"{E}.bushing.material": "cast_iron"},
        {
            **{("H01", f"bushing_{name}", "hazard"): "pass" for name in ("intake", "exhaust")},
            **{
                ("F02", f"bushing_{name}", "grip", case): "fail"
                for name in ("intake", "exhaust")
                for case in ("running", "heat_soak", "second_heating")
            },
            ("F05", "bushing_exhaust", "hub_tresca", "running"): "pass",
            **{("F06", f"bushing_{name}", "bush_hoop_over_yield"): "fail" for name in ("intake", "exhaust")},
        },
        "no beryllium; loose ends 0.0254 and 0.0204 less 16.5 and 14.5 times 200 (22.7 - 10.5)e-6 = 0.0403 and 0.0354 in "
        "the heat soak, less 0.0357 and 0.0207 running, less 0.0322 and 0.0283 at 180: none is left; running, the "
        "exhaust grips with 0.0145 only: 57.9 MPa below 110.6; cold soak 152.1 and 153.8 below 155; "
        "in a hub of 1.8 d pressures of 35.3 and 37.5, hoop 169.5 and 160.9 over a yield of 200, above 0.7",
        {
            ("F02", "bushing_intake", "grip", "heat_soak"): -0.01486,
            ("F02", "bushing_exhaust", "grip", "running"): -0.00029,
            ("F05", "bushing_exhaust", "hub_tresca", "running"): 57.9,
            ("F03", "bushing_exhaust", "hub_tresca", "cold_soak"): 153.8,
            ("F06", "bushing_intake", "bush_hoop_over_yield"): 0.8475,
            ("F06", "bushing_exhaust", "bush_hoop_over_yield"): 0.8048,
        },
    ),
    Mutation(
        "six thousandths more interference",
        PUMP,
        {"fits.body.interference.intake": 0.040},
        {
            ("F04", "bushing_intake", "hub_tresca"): "fail",
            ("F03", "bushing_intake", "hub_tresca", "cold_soak"): "warn",
        },
        "stress goes with the tight end: 132.04 x 43/37 = 153.5 above 138.4; at -20 16.5 x 40 x 4.5e-6 more: 0.04597 "
        "in place of 0.03997, 164.0 above 155; press force 5999 x 43/37 = 6972 below 7000",
        {
            ("F04", "bushing_intake", "hub_tresca"): 153.45,
            ("F03", "bushing_intake", "hub_tresca", "cold_soak"): 164.05,
            ("F07", "bushing_intake", "press_force"): 6972.0,
        },
    ),
    Mutation(
        "oven hotter",
        PUMP,
        {"fits.assembly.head_T": 210},
        {("F11", "head", "oven_temperature"): "warn"},
        "210 above 200; the first bushing keeps 0.0254 - 16.5 x 190 x 5.7e-6 = 0.0075 while the second goes in",
        {("F02", "bushing_intake", "grip", "second_heating"): 0.00753},
    ),
    Mutation(
        "slippery press",
        PUMP,
        {"fits.friction.low": 0.03},
        {("F10", f"bushing_{name}", "holding_torque"): "warn" for name in ("intake", "exhaust")},
        "15.10 and 10.76 N m x 0.03/0.08 = 5.66 and 4.04, below 7.41 and 5.76",
        {
            ("F10", "bushing_intake", "holding_torque"): 5.663,
            ("F10", "bushing_exhaust", "holding_torque"): 4.035,
        },
    ),
    # ---- P ----------------------------------------------------------------------------------------
    Mutation(
        "carburettor stub wider than the port",
        PUMP,
        {f"{S}.port.mate.bore": 10.9},
        {("P08", "port_intake", "lip"): "warn"},
        "the flow meets a step: 0.15 - (5.25 - 5.45) = 0.35 above 0.2",
        {("P08", "port_intake", "lip"): 0.35},
    ),
    Mutation(
        "window pre-drilled too large",
        PUMP,
        {f"{S}.bushing.window.pre_drill": 10.1},
        {("P10", "port_intake", "stock_left"): "fail"},
        "(10.5 - 10.1)/2 - 0.10 - 8.25 sin 1 deg = -0.0440",
        {("P10", "port_intake", "stock_left"): -0.04398},
    ),
    # ---- S ----------------------------------------------------------------------------------------
    Mutation(
        "sleeve reamed wider",
        GENERATOR,
        {"repairs.sleeve_intake.sleeve.id": 15.2},
        {("S01", "sleeve_intake", "wall_least"): "fail", **UNREPAIRED},
        "(15.78 - 15.22)/2 = 0.28 below 0.30, and what the sleeve repaired is a breakthrough again",
        {
            ("S01", "sleeve_intake", "wall_least"): 0.28,
            ("S11", "sleeve_intake", "area_ratio"): (15.2 / 15.0) ** 2,
        },
    ),
    Mutation(
        "tunnel 0.5 nearer to the sleeved port",
        GENERATOR,
        {f"{CAVITY}.tunnel_in.axis.p.0": 23.22139, f"{CAVITY}.tunnel_in.axis.p.1": -24.11698},
        {},
        "moved square to the port by 0.5 (sin 40, cos 40): the pushrod's clearance 0.8907 - 0.5 = 0.3907 is above 0.3, "
        "and the sleeve still covers the longer opening by more than 3",
        {("S07", "sleeve_intake~tunnel_in", "clearance"): 0.39072, ("W08", BROKEN, "axis_gap"): 11.5857},
    ),
    Mutation(
        "tunnel 0.6 nearer to the sleeved port",
        GENERATOR,
        {f"{CAVITY}.tunnel_in.axis.p.0": 23.28567, f"{CAVITY}.tunnel_in.axis.p.1": -24.04037},
        {("S07", "sleeve_intake~tunnel_in", "clearance"): "fail", **UNREPAIRED},
        "0.8907 - 0.6 = 0.2907 below 0.3: the pushrod would touch the sleeve",
        {("S07", "sleeve_intake~tunnel_in", "clearance"): 0.29072},
    ),
    Mutation(
        "adhesive of a lower rating",
        SPRAYER,
        {"repairs.sleeve_intake.bond.rated_T": 218},
        {("S09", "sleeve_intake", "temperature_reserve"): "fail", **UNREPAIRED},
        "218 less the hottest head, 200 in the heat soak, is 18, below 20",
        {("S09", "sleeve_intake", "temperature_reserve"): 18.0},
    ),
    # ---- R, K, L ----------------------------------------------------------------------------------
    Mutation(
        "spacer of the whole tip rise",
        PUMP,
        {"rocker.spacer.thick": 3.2},
        {
            ("R02", "intake", "adjuster_need"): "fail",
            ("R02", "exhaust", "adjuster_need"): "fail",
            ("R04", "rocker", "past_nut"): "fail",
        },
        "(3.2 x 2.2 - 3.2036)/1.2 - 1.0 = 2.197 and with 3.2389 2.168, above 0.75; 24 - 3.2 - 14 - 1.2 - 5 = 0.6 past "
        "the nut, below the pitch; 3.2213 - 3.2 = 0.021 below the upper bound",
        {
            ("R02", "intake", "adjuster_need"): 2.1970,
            ("R04", "rocker", "past_nut"): 0.6,
            ("R01", "rocker", "below_upper"): 0.0212,
        },
    ),
    Mutation(
        "cover nearer",
        PUMP,
        {"rocker.cover_clearance": 4.3},
        {("R06", "rocker", "cover_left"): "fail"},
        "4.3 - 0.3 - 3.2389 = 0.7611 below 0.8",
        {("R06", "rocker", "cover_left"): 0.76109},
    ),
    Mutation(
        "oil hole of the post drilled aside",
        PUMP,
        {"rocker.post.oil_hole.at.1": 1.2},
        {("R09", "spacer", "oil_hole_overlap"): "fail"},
        "two circles r 1.25, 1.2 apart: (2 r2 acos 0.48 - 0.6 sqrt(6.25 - 1.44))/(pi r2) = 2.0282/4.9087 = 0.413",
        {("R09", "spacer", "oil_hole_overlap"): 0.41318},
    ),
    Mutation(
        "stem seal higher",
        PUMP,
        {f"{S}.spring.seal_h": 3.8},
        {("K02", "intake", "retainer_gap"): "fail"},
        "3.0036 - 2.3 = 0.7036 below 0.8",
        {("K02", "intake", "retainer_gap"): 0.70355},
    ),
    Mutation(
        "longer spring, coil bound",
        PUMP,
        {f"{S}.spring.solid": 12.6},
        {("K01", "intake", "coil_bind"): "fail"},
        "2.5036 - 1.8 = 0.7036 below 1.0",
        {("K01", "intake", "coil_bind"): 0.70355},
    ),
    Mutation(
        "pushrods that grow more",
        PUMP,
        {"rocker.warm.pushrod_extra": 0.2},
        {("L01", "intake", "lash_warm"): "info", ("L01", "exhaust", "lash_warm"): "info"},
        "story AS21: +0.077 on the cold lash with 0.010 extra; 1.2 x 0.19 = 0.228 less leaves 0.08 + 0.077 - 0.228 = "
        "-0.071 and 0.12 + 0.077 - 0.228 = -0.031: tight when warm",
    ),
    # ---- M, Q -------------------------------------------------------------------------------------
    Mutation(
        "old bore larger than thought",
        PUMP,
        {f"{S}.old.body_bore": 16.0},
        {("M01", "intake", "body_cleanup"): "fail"},
        "8.25 - 8.0 - hypot(0.2, 0.2) - 0.05 - 0.03 = -0.1128: a crescent of the old bore stays",
        {("M01", "intake", "body_cleanup"): -0.11284},
    ),
    Mutation(
        "measured in a warm shop",
        PUMP,
        {"datums.temperature": 25.0},
        {("M07", "datums", "temperature"): "warn"},
        "25 outside 18 to 22; it was not run before",
        {("M07", "datums", "temperature"): 25.0},
    ),
    Mutation(
        "pins that do not repeat",
        PUMP,
        {"datums.pin_repeat": 0.03},
        {("Q03", "datums", "pin_repeat"): "fail"},
        "0.03 above 0.02",
        {("Q03", "datums", "pin_repeat"): 0.03},
    ),
]


def full(key: Key) -> Key:
    """(id, subject, case, quantity) as a finding has it."""
    id_, subject, quantity, *case = key
    return id_, subject, case[0] if case else "nominal", quantity


def test_there_are_twenty_of_all_families():
    assert len(MUTATIONS) >= 20
    assert {key[0][0] for each in MUTATIONS for key in each.turned} == set("WVBFPSRKMQHL")


@pytest.mark.parametrize("mutation", MUTATIONS, ids=lambda each: each.name.replace(" ", "_"))
def test_exactly_these_findings_turn(checked, tmp_path, mutation):
    asked = ids() if mutation.moves_metal else NO_WALLS
    before = {each.key: each.verdict for each in checked(mutation.job).findings if each.id in asked}
    found = {each.key: each for each in run_checks(context(tmp_path, mutation.job, mutation.change), asked)}
    turned = {
        key: found[key].verdict if key in found else "-"
        for key in {*before, *found}
        if before.get(key) != (found[key].verdict if key in found else None)
    }
    assert turned == {full(key): verdict for key, verdict in mutation.turned.items()}, mutation.why
    for key, value in mutation.values.items():
        assert found[full(key)].value == pytest.approx(value, rel=1e-3, abs=2e-4), (key, mutation.why)


def test_what_moves_no_metal_leaves_every_wall_as_it_is(checked, tmp_path):
    """All those changes of the pump job at once: the same walls to the last digit, so that each alone is as harmless."""
    change = {key: value for each in MUTATIONS if not each.moves_metal for key, value in each.change.items()}
    walls = [id_ for id_ in ids() if id_ not in NO_WALLS]
    found = run_checks(context(tmp_path, PUMP, change), walls)
    before = [each for each in checked(PUMP).findings if each.id in walls]
    # a web, 6 cuts with 9 cavities and the outside, 8 pairs across, each three times; W08, W09, W10, and W12 of three
    assert len(found) == 3 * (1 + 6 * 9 + 6 + 8) + 6
    assert [(each.key, each.value, each.verdict) for each in found] == [
        (each.key, each.value, each.verdict) for each in before
    ]
