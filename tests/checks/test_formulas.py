"""Every value that a check gives follows from its formula and the numbers beside it, and from each of them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from edges.case import context

from headparts.checks.context import Context
from headparts.checks.explained import Worked, formula_row, worked, worked_limit
from headparts.checks.finding import Finding
from headparts.checks.formula import evaluate, names
from headparts.checks.run import run_checks
from headparts.checks.symbols import base_of, formulas, page, symbols
from headparts.checks.table import rows
from headparts.errors import ParameterError

JOBS = ("pump_26cc", "generator_62cc", "sprayer_10cc")
SLEEVE = "repairs.sleeve_intake"
IN, EX = "stations.intake", "stations.exhaust"

ALTERED: dict[str, tuple[str, dict[str, Any], str]] = {
    "guide bored to size before pressing": (
        "pump_26cc",
        {f"{IN}.bushing.guide.ream_after_press": False},
        "F",
    ),
    "fits by tolerance classes": (
        "pump_26cc",
        {
            "fits.body": {"mode": "limits", "class": "H7/s6", "rz_bore": 4.0, "rz_bush": 3.0},
            "fits.shank": {"mode": "limits", "class": "H7/p6", "rz_bore": 4.0, "rz_bush": 3.0},
            f"{IN}.measured.body_bore": [[16.5, 16.503], [16.501, 16.502], [16.5, 16.504]],
        },
        "F",
    ),
    "pairs as made": (
        "pump_26cc",
        {
            f"{IN}.measured.body_bore": [[16.5, 16.503], [16.501, 16.502], [16.5, 16.504]],
            f"{IN}.measured.body_od": [[16.535, 16.536], [16.534, 16.536], [16.535, 16.537]],
            f"{IN}.measured.shank_bore": [[8.0, 8.003], [8.001, 8.002], [8.0, 8.004]],
            f"{IN}.measured.shank_od": [[8.009, 8.01], [8.01, 8.011], [8.01, 8.009]],
            f"{IN}.measured.guide_bore": [4.002, 4.007],
        },
        "F,B10",
    ),
    "adjuster at the valve": ("pump_26cc", {"rocker.adjuster.where": "valve end"}, "R02"),
    "oil holes that nearly miss": ("pump_26cc", {"rocker.post.oil_hole.at": [9.1, 1.2]}, "R09"),
    "oil holes that miss": ("pump_26cc", {"rocker.post.oil_hole.at": [12.0, 0.0]}, "R09"),
    "oil hole within the other": ("pump_26cc", {"rocker.post.oil_hole.dia": 4.0}, "R09"),
    "no oil hole in the spacer": ("pump_26cc", {"rocker.spacer.oil_hole": "none"}, "R09"),
    "guide boss": (
        "pump_26cc",
        {f"{IN}.bushing.bowl.boss_dia": 7.0, f"{IN}.bushing.bowl.boss_len": 3.0},
        "B",
    ),
    "no relief": ("pump_26cc", {f"{IN}.bushing.shoulder.relief": False}, "B16"),
    "deep undercut": ("pump_26cc", {f"{IN}.bushing.body.undercut": {"w": 0.5, "d": 0.8}}, "B16"),
    "frost": ("pump_26cc", {"temps.cold": {"head": -20, "intake_bush": -25, "exhaust_bush": -20}}, "F02"),
    "head below the room's temperature": (
        "pump_26cc",
        {"fits.assembly.head_T": 20.5, "fits.assembly.bush_T": 40},
        "F08",
    ),
    "runout measured": ("pump_26cc", {f"{IN}.measured.seat_runout": 0.015}, "B13"),
    "old tip along the axis": ("pump_26cc", {f"{IN}.old.tip_z": None, f"{IN}.old.tip_s": 46.5}, "R,K"),
    "joint face lapped": ("pump_26cc", {"datums.faced_off": 0.12}, "R,K"),
    "heads that meet": ("pump_26cc", {f"{EX}.axis.p": [-3.0, -1.2, 3.3]}, "V,W01,W11,M"),
    "plug that reaches a valve": (
        "pump_26cc",
        {"head.cavities.plug_hole.axis.p": [6.0, 5.0, 3.3], "head.cavities.plug_hole.plug_reach": 3.0},
        "V02",
    ),
    "port through the chamber": (
        "pump_26cc",
        {f"{IN}.port.p": {"on_axis_s": 2.0}, f"{IN}.port.elev": 0},
        "P,B",
    ),
    "spindle into the head": ("pump_26cc", {"process.spindle.tool_len": 10.0}, "M06"),
    "port beside the valve axis": ("pump_26cc", {f"{IN}.port.p": [8.9, -0.9, 10.3]}, "P,B,W07"),
    "wide port": ("pump_26cc", {f"{IN}.port.dia": 12.9}, "P,B"),
    "steep port": (
        "pump_26cc",
        {f"{IN}.port.elev": 60, f"{IN}.port.dia": 6.0, f"{IN}.port.face": {"along": 30}},
        "P",
    ),
    "falling port": ("pump_26cc", {f"{IN}.port.elev": -8, f"{IN}.port.p": {"on_axis_s": 9.0}}, "P,B"),
    "bathtub": (
        "pump_26cc",
        {"head.chamber": {"type": "bathtub", "length": 34, "width": 26, "depth": 3.3, "corner": 9}},
        "V,M05,B17,W02",
    ),
    "sunk faces": (
        "pump_26cc",
        {f"{IN}.bushing.body.face_above_roof": 0.3, f"{EX}.bushing.body.face_above_roof": 0.2},
        "V12",
    ),
    "one valve": ("pump_26cc", {"stations.exhaust": None}, "F,V12,R,W07"),
    "axis by two points": (
        "generator_62cc",
        {f"{IN}.axis": {"points": [[10.9, -0.5, 4.6], [20.9, -1.5, 40.0]], "u": 0.05}},
        "R,K,M,V,P,B",
    ),
    "leaning anew": (
        "pump_26cc",
        {
            f"{IN}.axis.tilt": 4.0,
            f"{IN}.axis.azim": 20.0,
            f"{IN}.bushing.shank.top_z": None,
            f"{IN}.bushing.shank.top_s": 35.0,
            f"{IN}.spring.seat_z": None,
            f"{IN}.spring.seat_s": 26.5,
        },
        "R,K,M,V,P,B",
    ),
    "pressed sleeve": (
        "generator_62cc",
        {f"{SLEEVE}.mode": "pressed", f"{SLEEVE}.sleeve.od": 15.88, f"{SLEEVE}.anti_rotation": "pin"},
        "S",
    ),
    "sleeve bore as made": (
        "generator_62cc",
        {
            f"{SLEEVE}.mode": "pressed",
            f"{SLEEVE}.measured.bore": [15.852, 15.86],
            f"{SLEEVE}.sleeve.od": 15.89,
        },
        "S02,S03,S04,S12",
    ),
    "sleeve without cases of temperature": ("generator_62cc", {"temps": None}, "S"),
    "sleeve across what moves": ("generator_62cc", {"head.cavities.tunnel_in.moving_dia": 8.5}, "S07"),
    "wide cavities": (
        "sprayer_10cc",
        {
            "head.cavities.plug_hole.dia": 14,
            "head.cavities.stud_1.dia": 14,
            "head.cavities.post_thread.dia": 15,
        },
        "W02,W03,W06,W07",
    ),
    "sleeve bore into a stud": ("sprayer_10cc", {"head.cavities.stud_1.axis.p": [14.0, 5.0, 0]}, "S08,W03"),
    "unknown zone cut": ("generator_62cc", {"head.cavities.cast_pocket.axis.p": [-13.0, 5.0, 15.0]}, "W09"),
    "low casting": ("pump_26cc", {"head.outline.x": [-13, 14], "head.core.x": [-13, 14]}, "W05,W07,W07r"),
    "small engine": ("pump_26cc", {"limits": {"scale": 0.65}}, "W07,W07r,F,R,B01"),
}


@dataclass(frozen=True)
class Told:
    """One finding with a value and how it is worked out."""

    finding: Finding
    value: Worked
    limit: Worked | None

    @property
    def tolerance(self) -> float:
        """Distances are read from two points, which are told to a millionth of a millimetre."""
        formulas_of = [self.value.formula, *(term.formula for term in self.value.terms)]
        if any("distance(" in text for text in formulas_of):
            return 1e-6
        return 1e-9 * max(abs(self.finding.value or 0.0), 1e-3)


def told(findings: list[Finding]) -> Iterator[Told]:
    """Every finding with a value; one that has no formula fails here."""
    for finding in findings:
        if finding.value is not None:
            value = worked(finding)
            assert value is not None, finding.key
            yield Told(finding, value, worked_limit(finding))


@pytest.fixture(scope="module")
def every(checked_jobs, tmp_path_factory) -> dict[str, list[Told]]:
    """All findings of the examples and of the altered jobs."""
    made = {name: list(told(checked_jobs(name).findings)) for name in JOBS}
    for name, (job, changes, only) in ALTERED.items():
        plan = context(tmp_path_factory.mktemp("job"), job, changes).plan
        made[name] = list(told(run_checks(Context(plan, brief=True), only.split(","))))
    return made


@pytest.mark.parametrize("job", [*JOBS, *ALTERED])
def test_the_formula_with_its_numbers_gives_the_value(every, job):
    assert every[job]
    for each in every[job]:
        known = each.value.values()
        again = evaluate(each.value.formula, known)
        assert again == pytest.approx(each.finding.value, rel=0, abs=each.tolerance), each.finding.key
        assert set(names(each.value.formula)) <= set(known)
        for term in each.value.terms:
            if term.formula:
                assert evaluate(term.formula, known) == pytest.approx(term.value, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("job", [*JOBS, *ALTERED])
def test_a_limit_that_a_rule_makes_follows_from_its_formula(every, job):
    for each in every[job]:
        if each.limit is not None:
            assert each.limit.result == pytest.approx(each.finding.limit, rel=1e-9), each.finding.key


def moved(value: Any) -> list[Any]:
    """A number 1 % larger and smaller, a nought and each coordinate of a place by a hundredth."""
    if isinstance(value, tuple):
        return [tuple(v + (0.01 if k == j else 0.0) for j, v in enumerate(value)) for k in range(3)]
    return [value * 1.01, value * 0.99] if value else [0.01, -0.01]


def result_with(each: Worked, symbol: str, value: Any) -> float:
    """The result with another number for one term, through all steps; infinite where it has none."""
    known: dict[str, Any] = {}
    for term in each.terms:
        known[term.symbol] = evaluate(term.formula, known) if term.formula else term.value
        if term.symbol == symbol:
            known[symbol] = value
    try:
        result = evaluate(each.formula, known)
    except ParameterError:
        return math.inf
    assert isinstance(result, float)
    return result


@pytest.mark.parametrize("job", [*JOBS, *ALTERED])
def test_each_number_tells_in_the_result_or_is_said_to_be_without_effect(every, job):
    for each in every[job]:
        for part in (each.value, each.limit):
            for term in part.terms if part is not None else ():
                if term.used and not term.formula:
                    changes = [result_with(part, term.symbol, v) - part.result for v in moved(term.value)]
                    assert term.binds == (max(map(abs, changes)) > 1e-12), (each.finding.key, term)


NEVER = {
    "azim": "a height along an axis does not depend on where the axis leans to",
    "old_azim": "the same",
    ("F12", "interference"): "both ends move by it, the width between them does not",
    ("F08", "a_h_high"): "a head that is heated grows least by the low end of its band",
    ("P06", "face_x"): "both depths count from the face, the room between them does not",
    ("P06", "axis_x"): "the same",
    ("P06", "axis_p"): "the same",
    ("P06", "port_length"): "the same",
    ("P06", "on_axis"): "the same",
    ("P06", "axis_d"): "a port that is narrower than the throat comes free at the same depth at any slope",
    ("W07", "port_p"): "a port that meets the face is as deep wherever on its axis it is drawn from",
    ("P05", "port_elev"): "beside an upright valve axis the distance does not depend on the port's slope",
    ("P05", "tilt"): "the same, as far as 0.01 degree tells",
    ("P05", "azim"): "the same",
    ("V12", "chamber_length"): "no face is sunk in that job",
    ("V12", "chamber_width"): "the same",
    ("V12", "chamber_corner"): "the same",
    ("M01", "body_len"): "the axes of that job spread toward the top",
    ("R10", "old_tip_z"): "the old axis of that job is upright",
    ("R10", "faced_off"): "the same",
    ("S08", "floor_scale"): "no limit of a wall in those jobs is so low that the floor counts",
}
"""Numbers that change no result in any of the jobs, and why."""


def test_each_number_of_a_formula_tells_in_some_job(every):
    tells: dict[tuple[str, str, str, str], bool] = {}
    for each in (one for found in every.values() for one in found):
        row = formula_row(each.finding)
        assert row is not None
        for part in (each.value, each.limit):
            for term in part.terms if part is not None else ():
                if term.used and not term.formula:
                    key = (row.id, row.quantity, row.variant, base_of(term.symbol)[0])
                    tells[key] = tells.get(key, False) or term.binds
    silent = {key for key, felt in tells.items() if not felt}
    assert {key for key in silent if key[3] not in NEVER and (key[0], key[3]) not in NEVER} == set()


def test_every_row_of_the_table_of_formulas_is_met(every):
    met = set()
    for each in (one for found in every.values() for one in found):
        row = formula_row(each.finding)
        assert row is not None
        met.add((row.id, row.quantity, row.variant))
    assert {(row.id, row.quantity, row.variant) for row in formulas()} - met == set()


def test_every_quantity_of_every_check_has_a_formula():
    by_other_runs = {"Q05", "Q06"}  # sheets and files are looked at by draw, export and build
    wanted = {(row.id, row.quantity) for row in rows()} - {("Q05", "dimensions"), ("Q06", "reread")}
    assert wanted == {(row.id, row.quantity) for row in formulas()}
    assert {row.id for row in rows()} - {row.id for row in formulas()} == by_other_runs


def test_every_symbol_is_used_and_every_used_symbol_is_known(every):
    used = {name for name, _, _ in page()}
    used.add("placing_off")  # of a head given as a file whose three points do not fit: no example has one
    for each in (one for found in every.values() for one in found):
        for part in (each.value, each.limit):
            for term in part.terms if part is not None else ():
                used.add(base_of(term.symbol)[0])
                assert term.meaning, term
    assert used == set(symbols())
