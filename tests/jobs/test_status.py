"""proposal, measured, as_built: what each demands, what it stamps, and what a missing ``old:`` blocks and what not."""

from __future__ import annotations

from pathlib import Path

import ezdxf
import pytest
from edges.case import context, judged

import headparts
from headparts.checks.run import run_checks
from headparts.config import new_job, read_job
from headparts.errors import JobFileError
from headparts.plan.derived import derived

ROOT = Path(__file__).resolve().parents[2]
PUMP = "pump_26cc"
BOTH = ("intake", "exhaust")


# ---- what was found in the head -------------------------------------------------------------------
def needs_the_old_tip(*stations):
    """Where the old tip stood: rise of the tip, so spacer, adjuster, pad and cover, and the spring as it was."""
    rocker = {
        ("R01", "rocker", "above_lower"),
        ("R01", "rocker", "below_upper"),
        ("R06", "rocker", "cover_left"),
    }
    own = (("R02", "adjuster_need"), ("R03", "half_sweep_over_stem"), ("K03", "seat_force_ratio"))
    return rocker | {(id_, name, quantity) for name in stations for id_, quantity in own}


def needs_the_old_axis(*stations):
    """How far the axis moved: clean-up of both bores, the step, the tip under the rocker, and where the tip stood."""
    own = (
        ("M01", "body_cleanup"),
        ("M01", "shank_cleanup"),
        ("M02", "step_gain"),
        ("R10", "tip_offset_over_stem"),
    )
    return needs_the_old_tip(*stations) | {
        (id_, name, quantity) for name in stations for id_, quantity in own
    }


BODY = {
    ("M01", "intake", "body_cleanup"),
    ("M03", "intake", "reach_over_bar"),
}  # M03: bar 0.8 of the old bore
SHANK = {("M01", "intake", "shank_cleanup")}
STEP = {("M02", "intake", "step_gain")}
GONE = [
    # what the job lacks, what is not run for it, and what that names
    (
        ["stations.intake.old"],
        needs_the_old_axis("intake") | BODY,
        {
            "M01": {"axis", "body_bore", "shank_bore"},
            "M02": {"axis", "body_len"},
            "M03": {"body_bore"},
            **{key: {"axis", "tip_z"} for key in ("R01", "R02", "R03", "R06", "R10", "K03")},
        },
    ),
    (
        ["stations.intake.old", "stations.exhaust.old"],
        needs_the_old_axis(*BOTH) | {(id_, name, q) for id_, _, q in BODY for name in BOTH},
        {},
    ),
    (
        ["stations.intake.old.axis"],
        needs_the_old_axis("intake"),
        {key: {"axis"} for key in ("M01", "M02", "R01", "R02", "R03", "R06", "R10", "K03")},
    ),
    (["stations.intake.old.body_bore"], BODY, {key: {"body_bore"} for key in ("M01", "M03")}),
    (["stations.intake.old.shank_bore"], SHANK, {"M01": {"shank_bore"}}),
    (["stations.intake.old.body_len"], STEP, {"M02": {"body_len"}}),
]


@pytest.mark.parametrize(
    ("lacking", "not_run", "named"), GONE, ids=lambda value: value[0] if isinstance(value, list) else ""
)
def test_a_missing_old_blocks_what_depends_on_it_and_nothing_else(checked, tmp_path, lacking, not_run, named):
    before = {finding.key: (finding.verdict, finding.value) for finding in checked(PUMP).findings}
    found = run_checks(context(tmp_path, PUMP, dict.fromkeys(lacking)))
    changed = [finding for finding in found if before.get(finding.key) != (finding.verdict, finding.value)]
    assert {finding.key for finding in found} == set(before)
    assert {(each.id, each.subject, each.quantity) for each in changed} == not_run
    for each in changed:
        assert (each.verdict, each.value) == ("not_run", None)
        if named:
            prefix = "stations.intake.old."
            keys = named[each.id]
            if each.id == "M01" and len(keys) > 1:  # each bore asks for its own
                keys = keys - {"shank_bore" if each.quantity == "body_cleanup" else "body_bore"}
            assert set(each.missing) == {prefix + key for key in keys}, each.key


def test_a_boring_bar_that_is_given_needs_no_old_bore(tmp_path):
    """Reach of the pump job: 3.3 + 17 + 5 = 25.3 on a bar of 10."""
    lacking = {"stations.intake.old": None, "process.bar_dia": 10.0}
    reach = next(each for each in judged(tmp_path, PUMP, lacking, "M03") if each.subject == "intake")
    assert reach.value == pytest.approx(2.53, abs=1e-9)


def test_derived_numbers_without_the_old_tip(checked, tmp_path):
    """Rises, and the pushrod that goes with the mean rise, are left out; everything else stays."""
    whole = {row[:2] for row in derived(checked(PUMP).plan)}
    without = {row[:2] for row in derived(context(tmp_path, PUMP, {"stations.intake.old": None}).plan)}
    assert whole - without == {
        ("intake", "tip_rise"),
        ("intake", "tip_rise_z"),
        ("rocker", "pushrod_change_needed"),
    }
    assert without <= whole


def test_an_old_block_without_its_tip_is_a_fault(tmp_path):
    """It cannot be measured any more once the bushing is out, so that it is not let pass."""
    with pytest.raises(JobFileError) as caught:
        context(tmp_path, PUMP, {"stations.intake.old.tip_z": None})
    assert [fault.key for fault in caught.value.faults] == ["stations.intake.old.tip_z"]


# ---- how well it was measured ---------------------------------------------------------------------
UNSTATED = {
    # counted in the three files by eye: what was measured and carries no half-width or no instrument
    "pump_26cc": 0,
    "generator_62cc": 6,  # bore, stroke, and both stations' old tip_s and gauge_to_tip
    "sprayer_10cc": 2,  # both old tip_s
}


@pytest.mark.parametrize("name", UNSTATED)
@pytest.mark.parametrize("status", ["proposal", "measured"])
def test_values_that_are_not_stated_are_counted_and_told(tmp_path, name, status):
    (found,) = judged(tmp_path, name, {"job.status": status}, "Q01")
    assert (found.value, found.verdict) == (UNSTATED[name], "info")
    assert found.note.count(".") >= UNSTATED[name]


MADE = {"v": 1.0, "u": 0.003, "by": "micrometer"}
FIT = ("bushing.body.dia", "bushing.shank.dia", "bushing.guide.bore", "valve.stem")


def as_built(name, **more):
    """The changes that make a job as built: every dimension of a fit with its half-width and instrument."""
    job = read_job(ROOT / "configs" / f"{name}.yaml")
    keys = [f"stations.{station}.{key}" for station in BOTH for key in FIT]
    keys += [
        f"repairs.{each.name}.{key}" for each in job.repairs for key in ("bore.dia", "sleeve.od", "sleeve.id")
    ]
    values = {key: {**MADE, "v": job.get(key)} for key in keys}
    for fit in ("body", "shank"):
        for station in BOTH:
            value = job.get(f"fits.{fit}.interference.{station}")
            values.setdefault(f"fits.{fit}.interference", {})[station] = {**MADE, "v": value}
    return {"job.status": "as_built", **values, **more}


@pytest.mark.parametrize("name", UNSTATED)
def test_as_built_with_every_fit_dimension_stated_counts_the_rest_as_a_fail(tmp_path, name):
    (found,) = judged(tmp_path, name, as_built(name), "Q01")
    assert found.value == UNSTATED[name]
    assert found.verdict == ("fail" if UNSTATED[name] else "pass")
    assert found.limit == 0.0


def test_a_half_width_without_an_instrument_is_not_stated(tmp_path):
    half = {"engine.bore": {"v": 34.0, "u": 0.01}, "engine.stroke": {"v": 28.6, "by": "depth gauge"}}
    (found,) = judged(tmp_path, PUMP, as_built(PUMP, **half), "Q01")
    assert (found.value, found.verdict) == (2.0, "fail")
    assert "engine.bore, engine.stroke" in found.note


@pytest.mark.parametrize("name", UNSTATED)
def test_as_built_demands_half_width_and_instrument_of_each_fit_dimension(tmp_path, name):
    """Take one away at a time from a job that has them all: one fault, at that key."""
    whole = as_built(name)
    waived = (
        {"fits.body"} if name == "sprayer_10cc" else set()
    )  # measure_u: bore and bushing measured as a pair
    for key, value in whole.items():
        if key == "job.status":
            continue
        expected = [key]
        if key.startswith("fits."):
            bare = {station: each["v"] for station, each in value.items()}
            expected = (
                [] if key.removesuffix(".interference") in waived else [f"{key}.{each}" for each in bare]
            )
        else:
            bare = {"v": value["v"], "u": value["u"]}
        if not expected:
            context(tmp_path, name, {**whole, key: bare})
            continue
        with pytest.raises(JobFileError, match="status as_built needs") as caught:
            context(tmp_path, name, {**whole, key: bare})
        assert sorted(fault.key for fault in caught.value.faults) == sorted(expected)


@pytest.mark.parametrize("status", ["proposal", "measured"])
def test_other_states_demand_none_of_it(tmp_path, status):
    bare = {
        f"stations.intake.{key}": read_job(ROOT / "configs" / f"{PUMP}.yaml").get(f"stations.intake.{key}")
        for key in FIT
    }
    bare["stations.intake.valve.stem"] = {"v": 3.97}
    assert context(tmp_path, PUMP, {"job.status": status, **bare}).job.job.status == status


# ---- what the drawings say ------------------------------------------------------------------------
def texts(path):
    """Every text of a DXF file, blocks included."""
    document = ezdxf.readfile(path)
    spaces = [document.modelspace(), *document.blocks]
    return [
        each.dxf.text if each.dxftype() == "TEXT" else each.text
        for space in spaces
        for each in space
        if each.dxftype() in ("TEXT", "MTEXT")
    ]


STAMPS = {
    "proposal": ("PROPOSAL", "sizes planned, not yet measured on the head"),
    "measured": ("MEASURED",),
    "as_built": ("AS BUILT",),
}


@pytest.mark.parametrize("status", STAMPS)
def test_every_drawing_carries_the_state_of_its_job(tmp_path, status):
    path = tmp_path / "job.yaml"
    path.write_text(new_job("spacer").replace("status: proposal", f"status: {status}"), encoding="utf-8")
    if status == "as_built":
        path.write_text(stated(path.read_text(encoding="utf-8")), encoding="utf-8")
    headparts.draw(path, (), tmp_path / "out")
    said = texts(tmp_path / "out" / "spacer.dxf")
    for line in STAMPS[status]:
        assert any(line in text for text in said)
    for other, lines in STAMPS.items():
        if other != status:
            assert not any(lines[0] in text for text in said)


def stated(text: str) -> str:
    """A spacer job with its stems stated, as a job as built must."""
    for stem in ("3.971", "3.961"):
        text = text.replace(f"stem: {stem}", f"stem: {{v: {stem}, u: 0.002, by: micrometer}}")
    return text


def test_a_failing_proposal_is_stamped_not_released_with_its_ids_and_its_state(tmp_path):
    """A thread of 8 in place of 12 mm on a 6 mm stud is 1.333 d, below 1.5."""
    path = tmp_path / "job.yaml"
    path.write_text(
        new_job("spacer").replace("thread_in_head: 12.0", "thread_in_head: 8.0"), encoding="utf-8"
    )
    result = headparts.draw(path, (), tmp_path / "out")
    assert result.failed
    said = texts(tmp_path / "out" / "spacer.dxf")
    for line in ("NOT RELEASED", "R05", "status: PROPOSAL"):
        assert any(line in text for text in said), line


def test_a_step_depth_in_the_job_file_is_said_to_move_nothing(tmp_path):
    """Only a record's reading moves shoulder, seat and tip; written into the job file it must not look used."""
    text = (ROOT / "configs" / f"{PUMP}.yaml").read_text(encoding="utf-8")
    path = tmp_path / "job.yaml"
    old = "  exhaust:\n    axis: {p: [-9.00"
    assert text.count(old) == 1
    path.write_text(text.replace(old, "    measured: {step_depth: 20.35}\n" + old), encoding="utf-8")
    told = headparts.check(path, solids=False).report.remarks
    assert [each for each in told if "step_depth" in each and each.startswith("stations.intake.")]
    plain = headparts.check(ROOT / "configs" / f"{PUMP}.yaml", solids=False).report.remarks
    assert not [each for each in plain if "step_depth" in each]
