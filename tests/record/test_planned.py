"""A record that says exactly what was planned leaves every finding as it was; a step beyond a limit is told."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import headparts
from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.geometry.opening import opening
from headparts.job.record import recorded
from headparts.plan import plan_job
from record.case import JOBS, by_key, config, filled, whole, written
from record.planned import it7, planned_values, unmeasured

STEP = 1e-7
"""Smallest step looked at [mm]; what is written has twelve decimals, equal within 1e-9 is inside."""
NEW = {("F12", "od_window"), ("B13", "seat_runout"), ("M07", "temperature")}
"""Checks that ask for readings and did not run without them."""


class Case:
    """An example job before measuring, its planned findings, and the readings that say what is planned."""

    def __init__(self, name: str, folder: Path) -> None:
        self.job, self.folder = unmeasured(name, folder), folder
        self.plan = plan_job(read_job(self.job))
        self.planned = run_checks(Context(self.plan))
        self.form = whole(self.job)
        self.values = planned_values(self.job) | self._openings()

    def _openings(self) -> dict[str, object]:
        """What is to be read where a repair is for a breakthrough: the opening as drawn, and the sleeve's length."""
        found: dict[str, object] = {}
        for name, repair in self.plan.repairs.items():
            port = self.plan.voids.cut("port", repair.station.name).void
            seen = opening(port, self.plan.voids.cavity(repair.cause), with_volume=False)
            ends = {"along_port": f"{seen.along:.12f}", "around": f"{seen.around:.12f}"}
            found[f"ports.{repair.station.name}.opening"] = ends
            found[f"sleeve.{name}.length"] = repair.saddle.length_max
        return found

    def record(self, **other: object) -> Path:
        values = self.values | {key.replace("__", "."): value for key, value in other.items()}
        return written(self.folder, filled(self.form, values))


@pytest.fixture(scope="module")
def case(tmp_path_factory):
    known: dict[str, Case] = {}

    def get(name: str) -> Case:
        if name not in known:
            known[name] = Case(name, tmp_path_factory.mktemp(name))
        return known[name]

    return get


def _bare_gauge(one: Case, name: str) -> bool:
    gauge = one.plan.job.quantities[f"stations.{name}.valve.gauge_to_tip"]
    return gauge.u is None or gauge.by is None


@pytest.mark.parametrize("name", JOBS)
def test_exactly_as_planned_changes_nothing(case, name):
    one = case(name)
    made = recorded(one.job, one.record())
    before, after = by_key(one.planned), by_key(run_checks(Context(made.plan)))
    assert before.keys() == after.keys()
    for key, old in before.items():
        new = after[key]
        if (old.id, old.quantity) in NEW and old.verdict == "not_run":
            assert new.verdict == "pass", key
            continue
        if old.id == "Q01":  # a tip that was read states how well it is known
            bare = [name for name in one.plan.stations if _bare_gauge(one, name)]
            assert new.value == old.value - len(bare)
            continue
        if old.id == "M07":
            assert (new.value, new.verdict) == (20.0, "pass")
            continue
        assert new.verdict == old.verdict, (key, old.value, new.value)
        if old.value is None:
            assert new.value is None, key
        else:
            assert new.value == pytest.approx(old.value, rel=1e-9, abs=2e-9), key
    assert {row.verdict for row in made.rows} == {"within", "recorded"}


@pytest.mark.parametrize("name", JOBS)
def test_a_blank_form_changes_nothing_at_all(case, name):
    """Not the example jobs either, in which something was measured before."""
    for job in (case(name).job, config(name)):
        made = recorded(job, written(case(name).folder, whole(job), "blank.yaml"))
        assert made.plan.job == read_job(job)
        assert {row.verdict for row in made.rows} == {"not measured"}


def test_what_check_says_of_a_blank_form(case):
    one = case("pump_26cc")
    made = headparts.check(one.job, solids=False, record=written(one.folder, one.form, "blank.yaml"))
    assert made.findings == headparts.check(one.job, solids=False).findings
    assert made.report.record.changes == ()
    assert made.failed is False


def limits(said: dict) -> list[tuple[str, float, int]]:
    """Key, limit and outward side of every reading of the pump job that has one, by hand from its drawings' rules."""
    found: list[tuple[str, float, int]] = []
    for name, body, length, depth in (("intake", 16.5, 17.0, 20.3), ("exhaust", 14.5, 16.0, 19.3)):
        found += [
            (f"bores.{name}.body_bore", body, -1),
            (f"bores.{name}.body_bore", body + 0.018, +1),
            (f"bores.{name}.shank_bore", 8.0, -1),
            (f"bores.{name}.shank_bore", 8.015, +1),
            (f"bores.{name}.step_depth", depth - 0.02, -1),
            (f"bores.{name}.step_depth", depth + 0.02, +1),
            (f"bushings.{name}.body_len", length - 0.02, -1),
            (f"bushings.{name}.body_len", length, +1),
            (f"ports.{name}.dia", said[name] - 0.2, -1),
            (f"ports.{name}.dia", said[name] + 0.2, +1),
            (f"seats.{name}.guide_bore", 4.0, -1),
            (f"seats.{name}.guide_bore", 4.0 + it7(4.0), +1),
            (f"seats.{name}.runout", 0.02, +1),
            (f"seats.{name}.width", {"intake": 1.0, "exhaust": 1.1}[name] - 0.1, -1),
            (f"seats.{name}.width", {"intake": 1.0, "exhaust": 1.1}[name] + 0.1, +1),
        ]
    found += [
        ("bushings.intake.body_od", 16.5 + 0.031, -1),
        ("bushings.intake.body_od", 16.5 + 0.037, +1),
        ("bushings.exhaust.shank_od", 8.0 + 0.004, -1),
        ("bushings.exhaust.shank_od", 8.0 + 0.012, +1),
        ("train.rocker.spacer_thick", 1.99, -1),
        ("train.rocker.spacer_thick", 2.01, +1),
        ("train.rocker.parallel", 0.01, +1),
        ("train.rocker.cover_left", 0.8, -1),
    ]
    return found


@pytest.mark.parametrize(("key", "limit", "outward"), limits({"intake": 10.5, "exhaust": 9.0}))
def test_one_step_beyond_a_limit_flips_the_verdict(case, key, limit, outward):
    one = case("pump_26cc")
    step, _, name = key.split(".")
    count = {"body_bore": 6, "shank_bore": 6, "body_od": 6, "shank_od": 6, "dia": 2, "guide_bore": 2}.get(
        name, 1
    )
    verdicts = []
    for size in (limit, limit + outward * STEP):
        values = {key: [size] * count if count > 1 else size, f"{step}.temperature": 20.0}
        if step in ("train", "pressed"):
            values.pop(f"{step}.temperature")
        record = written(one.folder, filled(one.form, values), "step.yaml")
        made = headparts.check(one.job, only=["Q02"], record=record)
        (row,) = [row for row in made.report.record.rows if row.key == key]
        assert row.made == pytest.approx([size] * count, abs=1e-12)
        verdicts.append(row.verdict)
        assert made.failed is (row.verdict == "outside")
    assert verdicts == ["within", "outside"]


def test_a_feeler_of_two_hundredths_must_not_enter(case):
    """Below 0.02, not at it: the leaf of 0.02 is the one that is tried."""
    one = case("pump_26cc")
    for gap, verdict in ((0.0199, "within"), (0.02, "outside")):
        record = written(one.folder, filled(one.form, {"pressed.intake.shoulder_gap": gap}), "feeler.yaml")
        rows = headparts.check(one.job, only=["Q02"], record=record).report.record.rows
        assert [row.verdict for row in rows if row.key == "pressed.intake.shoulder_gap"] == [verdict]


def test_json_has_the_record_with_every_reading(case):
    from headparts.job.results import to_json

    one = case("pump_26cc")
    made = headparts.check(one.job, only=["F12"], record=one.record(bores__intake__step_depth=20.33))
    said = json.loads(to_json(made))["record"]
    assert set(said) == {
        "file",
        "sha256",
        "date",
        "measured_by",
        "readings",
        "changed",
        "spacer_window",
        "remarks",
        "counts",
    }
    (row,) = [row for row in said["readings"] if row["key"] == "bores.intake.step_depth"]
    assert (row["planned"], row["verdict"]) == ([20.3], "outside")
    assert row["deviation"] == pytest.approx(0.03, abs=1e-12)
    assert said["counts"]["outside"] == 1
    assert {
        (each["id"], each["before"]["verdict"], each["after"]["verdict"]) for each in said["changed"]
    } == {("F12", "not_run", "pass")}
