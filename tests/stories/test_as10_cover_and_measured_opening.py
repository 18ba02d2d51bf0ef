"""AS10 on the whole generator job: bare area by a lattice of points, and what S05 says of the measured opening."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.plan import MissingInput, plan_job
from headparts.plan.derived import derived
from headparts.plan.sleeve_cover import sleeve_cover, worst_shift

ROOT = Path(__file__).resolve().parents[2]
MEASURED = "measured_opening: {along_port: 4.6, around: 5.1}"


def job(tmp_path, *changes):
    text = (ROOT / "configs" / "generator_62cc.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return plan_job(read_job(path))


def s05(plan):
    return {(f.case, f.quantity): f for f in run_checks(Context(plan), ("S05",))}


def numbers(plan):
    return {quantity: value for subject, quantity, value, _ in derived(plan) if subject == "sleeve_intake"}


def lattice(saddle, nearer, od=15.79, bore=15.85):
    """Bare and whole opening [mm2]: points of the bore's wall in the tunnel, 0.01 mm along, 1/3000 turn round; bare are
    those that lie before the sleeve's outside leaves the saddle's cylinder on the same line of the port.
    """
    t15, e = math.radians(15.0), math.radians(12.0)
    valve = np.array([math.sin(t15), 0.0, math.cos(t15)])
    point = np.array([10.9, -0.5, 4.6])
    foot = point + 8.5 * valve
    a = math.radians(-40.0)
    out = np.array([math.cos(a) * math.cos(e), math.sin(a) * math.cos(e), math.sin(e)])
    u = np.cross(out, [0, 0, 1]) / np.linalg.norm(np.cross(out, [0, 0, 1]))
    v = np.cross(out, u)
    q = (np.arange(3000) + 0.5) / 3000 * 2 * math.pi
    radial = np.cos(q)[:, None] * u + np.sin(q)[:, None] * v
    # the tunnel stands along z: its distance from the port's axis is that of their common perpendicular
    across = np.cross(out, [0, 0, 1])
    across /= np.linalg.norm(across)
    gap = float((foot - [22.9, -24.5, 0.0]) @ across)
    tunnel = np.array([22.9, -24.5, 0.0]) + nearer * math.copysign(1.0, gap) * across
    offset = foot - point + od / 2.0 * radial
    side, rate = offset - (offset @ valve)[:, None] * valve, out - (out @ valve) * valve
    b, c, k = side @ rate, np.einsum("ij,ij->i", side, side) - saddle**2, rate @ rate
    leaves = (-b + np.sqrt(b * b - k * c)) / k
    t = np.arange(10.0, 34.0, 0.01) + 0.005
    wall = foot + bore / 2.0 * radial[:, None, :] + t[None, :, None] * out
    inside = np.hypot(wall[..., 0] - tunnel[0], wall[..., 1] - tunnel[1]) <= 5.0
    cell = bore / 2.0 * 2 * math.pi / 3000 * 0.01
    return np.count_nonzero(inside & (t[None, :] < leaves[:, None])) * cell, np.count_nonzero(inside) * cell


def test_the_job_as_it_stands_is_covered(tmp_path):
    plan = job(tmp_path)
    found = numbers(plan)
    assert found["uncovered_area"] == 0.0
    assert found["uncovered_area_worst"] == 0.0
    bare, whole = lattice(11.0, 0.0)
    assert bare == 0.0
    assert sleeve_cover(plan.repairs["sleeve_intake"]).area == pytest.approx(whole, rel=2e-3)
    rows = s05(plan)
    for key in (("nominal", "cover_inner"), ("worst", "cover_outer")):
        assert "of the opening are covered" in rows[key].note
        assert "whole tube" in rows[key].note


@pytest.mark.parametrize("saddle", [22.5, 24.0])
def test_a_saddle_cut_too_wide_leaves_it_bare(tmp_path, saddle):
    plan = job(tmp_path, ("saddle_radius: 11.00", f"saddle_radius: {saddle}"))
    repair = plan.repairs["sleeve_intake"]
    found = numbers(plan)
    for key, shift in (("uncovered_area", 0.0), ("uncovered_area_worst", 0.20)):
        bare, _ = lattice(saddle, shift)
        assert bare > 1.0
        assert found[key] == pytest.approx(bare, rel=5e-3)
    assert worst_shift(repair) == pytest.approx(0.20, abs=1e-12)
    rows = s05(plan)
    assert f"{found['uncovered_area']:.3f} of the" in rows["nominal", "cover_inner"].note
    assert rows["nominal", "cover_inner"].verdict == "fail"


def test_what_was_measured_is_put_beside_what_is_drawn(tmp_path):
    """12.003 by the length (the story), 5 + sqrt(7.5^2 - 2.55^2) = 12.0532 by the width; there it would be
    2 sqrt(7.5^2 - 7.003^2) = 5.37 wide.
    """
    plan = job(tmp_path)
    note = s05(plan)["nominal", "cover_inner"].note
    assert "puts the cavity 0.083 nearer than drawn, within the 0.200 of the worst case" in note
    assert "5.370 wide there, 5.1 was measured" in note
    assert "by its width alone the axes are 12.053 apart; by its length 12.003: measure again" in note
    found = numbers(plan)
    assert found["axis_gap_by_width"] == pytest.approx(5 + math.sqrt(7.5**2 - 2.55**2), abs=1e-9)
    assert found["opening_around_there"] == pytest.approx(2 * math.sqrt(7.5**2 - 7.0030**2), abs=2e-3)


def test_a_width_that_agrees_asks_for_nothing(tmp_path):
    note = s05(job(tmp_path, (MEASURED, "measured_opening: {along_port: 4.6, around: 5.36}")))
    assert "measure again" not in note["nominal", "cover_inner"].note


def test_a_cavity_farther_off_than_the_worst_case_takes(tmp_path):
    note = s05(job(tmp_path, (MEASURED, "measured_opening: {along_port: 7.5}")))[
        "nominal", "cover_inner"
    ].note
    assert "nearer than drawn, beyond the 0.200 of the worst case: correct the cavity" in note


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("along_port: 34.0", "the measured opening of 34 is not explained: no distance of the axes gives"),
        ("around: 15.5", "the measured width of 15.5 is not explained"),
    ],
)
def test_what_no_distance_explains_is_said(tmp_path, given, said):
    plan = job(tmp_path, (MEASURED, f"measured_opening: {{{given}}}"))
    assert said in s05(plan)["nominal", "cover_inner"].note
    assert "axis_gap_measured" not in numbers(plan)


def test_a_width_alone_is_told(tmp_path):
    plan = job(tmp_path, (MEASURED, "measured_opening: {around: 5.1}"))
    assert "by its width alone the axes are 12.053 apart" in s05(plan)["nominal", "cover_inner"].note


@pytest.mark.parametrize(
    ("kind", "said"),
    [("gas", "never glue"), ("oil", "oil gets into the port"), ("bolt", "leaks along the bolt")],
)
def test_what_the_kind_of_passage_means_is_said(tmp_path, kind, said):
    text = (ROOT / "configs" / "generator_62cc.yaml").read_text(encoding="utf-8")
    repairs = text[text.index("repairs:") : text.index("rocker:")]
    plan = job(tmp_path, (repairs, ""), ("name: tunnel_in, kind: oil,", f"name: tunnel_in, kind: {kind},"))
    rows = [f for f in run_checks(Context(plan), ("W08",)) if f.subject == "port_intake~tunnel_in"]
    assert rows
    assert all(said in f.advice for f in rows)
    if kind == "gas":
        assert all("repair sleeve" not in f.advice for f in rows)


def test_a_cause_that_the_job_does_not_list_is_missing():
    """A repair may name a cavity while the head lists none: what depends on its place names the key."""
    whole = read_job(ROOT / "configs" / "generator_62cc.yaml")
    plan = plan_job(replace(whole, head=replace(whole.head, cavities=())))
    (repair,) = plan.repairs.values()
    name = repair.inputs.one("cause.cavity")
    with pytest.raises(MissingInput, match=f"head.cavities.{name}"):
        worst_shift(repair)
    assert numbers(plan).get("uncovered_area_worst") is None
    assert numbers(plan_job(whole))["uncovered_area_worst"] >= 0.0
