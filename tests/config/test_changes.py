"""Keys in which two job files differ, told as a person would who lays the two files side by side."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from headparts.config import read_job
from headparts.config.changes import ParameterChange, parameters_changed, written
from headparts.config.varied import VariedJob

ROOT = Path(__file__).resolve().parents[2]
JOBS = ("pump_26cc", "generator_62cc", "sprayer_10cc")
SMALL = """
schema: 1
job: {id: P1, status: proposal}
head:
  material: cast
  cavities:
    - {name: tunnel, kind: oil, axis: {p: [22.9, -24.5, 0], tilt: 0, azim: 0}, dia: 10.0, len: 40, u: 0.10}
    - {name: stud, kind: bolt, axis: {p: [2.9, -24.5, 0], tilt: 0, azim: 0}, dia: 5.5, len: 40}
fits: {shank: {interference: 0.008}}
engine: {bore: {v: 34.0, u: 0.01, by: gauge}, stroke: 28.0}
accept:
  - {id: W04, subject: port_intake~tunnel, reason: blanked off}
  - {id: W05, subject: outside~port_intake, reason: boss welded on}
limits: {W04: 1.2, V06: [0.8, 0.9], W05: {pocket_floor: 1.8}}
"""


@pytest.fixture
def changed(read):
    """What differs between the small job and the same with replacements, each of which must hit."""

    def run(*changes: tuple[str, str]) -> tuple[ParameterChange, ...]:
        text = SMALL
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        return parameters_changed(read(SMALL), read(text))

    return run


@pytest.mark.parametrize("name", JOBS)
def test_a_job_has_nothing_differently_from_itself(name):
    path = ROOT / "configs" / f"{name}.yaml"
    assert parameters_changed(read_job(path), read_job(path)) == ()


@pytest.mark.parametrize("name", JOBS)
def test_every_number_changed_alone_is_told_alone(name):
    """Every fourth number of the file, a thousandth larger, whatever the reader would say to it."""
    varied = VariedJob(ROOT / "configs" / f"{name}.yaml")
    for key, quantity in list(varied.job.quantities.items())[JOBS.index(name) :: 4]:
        value = quantity.value * 1.001 + (0.001 if quantity.value == 0.0 else 0.0)
        other = varied.unjudged({key: value})
        if other.get(key) is None:
            continue  # the reader refuses it and reads nothing there
        if isinstance(varied.job.get(key), dict):  # one number for both stations
            assert {each.key for each in parameters_changed(varied.job, other)} == {
                f"{key}.{station}" for station in ("intake", "exhaust")
            }
            continue
        (change,) = parameters_changed(varied.job, other)
        assert (change.key, change.kind) == (key, "changed")
        assert (change.before, change.after) == (quantity.value, pytest.approx(value, rel=1e-11, abs=1e-11))
        assert change.difference == pytest.approx(value - quantity.value, rel=1e-6, abs=1e-11)
        (back,) = parameters_changed(other, varied.job)
        assert (back.before, back.after) == (change.after, change.before)
        assert back.difference == -change.difference


@pytest.mark.parametrize("name", JOBS)
def test_every_leaf_of_the_file_is_a_key(name):
    """The same file read as plain YAML, walked here: as many keys, and the same numbers."""
    path = ROOT / "configs" / f"{name}.yaml"
    data = yaml.safe_load(path.read_text(encoding="utf-8"))

    def walk(value, steps):
        if isinstance(value, dict):
            if "v" in value:
                yield steps, value["v"]
                yield from (((*steps, key), value[key]) for key in ("u", "by") if key in value)
                return
            for key, item in value.items():
                yield from walk(item, (*steps, key))
        elif isinstance(value, list):
            for place, item in enumerate(value):
                named = isinstance(item, dict) and "name" in item
                yield from walk(item, (*steps, item["name"] if named else str(place)))
        else:
            yield steps, value

    plain = {".".join(steps): value for steps, value in walk(data, ())}
    known = written(read_job(path))
    both_stations = {key for key in plain if key.startswith("fits.") and key.endswith("interference")}
    assert set(known) - {f"{key}.{name}" for key in both_stations for name in ("intake", "exhaust")} == (
        set(plain) - both_stations
    )
    for key, value in known.items():
        if key in plain and isinstance(plain[key], float):
            assert value == plain[key]


@pytest.mark.parametrize("name", JOBS)
def test_order_and_comments_are_no_change(tmp_path, name):
    """All blocks and keys in the order of the alphabet, cavities turned round, comments gone."""
    path = ROOT / "configs" / f"{name}.yaml"
    text = path.read_text(encoding="utf-8")
    data = yaml.safe_load(text.replace("2:1", "'2:1'").replace("1:1", "'1:1'").replace("5:1", "'5:1'"))
    data["head"]["cavities"].reverse()
    other = tmp_path / "other.yaml"
    other.write_text(yaml.safe_dump(data, sort_keys=True), encoding="utf-8")
    assert parameters_changed(read_job(path), read_job(other)) == ()


def test_a_length_in_another_unit_is_the_same_length(changed):
    """0.2362 in is 0.2362 * 25.4 = 5.99948 mm exactly."""
    assert changed(("dia: 5.5", "dia: 0.2362 in")) == (
        ParameterChange("head.cavities.stud.dia", 5.5, 5.99948),
    )
    assert changed(("dia: 5.5", "dia: 5500 um")) == ()


def test_half_width_and_instrument_are_keys(changed):
    assert changed(
        ("{v: 34.0, u: 0.01, by: gauge}", "{v: 34.0, u: 0.02}"), ("stroke: 28.0", "stroke: {v: 28, u: 0.1}")
    ) == (
        ParameterChange("engine.bore.u", 0.01, 0.02),
        ParameterChange("engine.bore.by", "gauge", None),
        ParameterChange("engine.stroke.u", None, 0.1),
    )


def test_what_is_added_and_removed_names_every_key(changed):
    stud = "    - {name: stud, kind: bolt, axis: {p: [2.9, -24.5, 0], tilt: 0, azim: 0}, dia: 5.5, len: 40}\n"
    removed = changed((stud, ""))
    assert {each.key: each.before for each in removed} == {
        "head.cavities.stud.name": "stud",
        "head.cavities.stud.kind": "bolt",
        "head.cavities.stud.axis.p.0": 2.9,
        "head.cavities.stud.axis.p.1": -24.5,
        "head.cavities.stud.axis.p.2": 0.0,
        "head.cavities.stud.axis.tilt": 0.0,
        "head.cavities.stud.axis.azim": 0.0,
        "head.cavities.stud.dia": 5.5,
        "head.cavities.stud.len": 40.0,
    }
    assert {each.kind for each in removed} == {"removed"}
    assert {each.difference for each in removed} == {None}


def test_a_cavity_put_before_the_others_is_one_more_and_moves_none(changed):
    tunnel = "    - {name: tunnel,"
    new = "    - {name: gallery, kind: oil, axis: {p: [0, 9, 0], tilt: 0, azim: 0}, dia: 3.0, len: 9}\n"
    made = changed((tunnel, new + tunnel))
    assert {each.kind for each in made} == {"added"}
    assert {each.key.split(".")[2] for each in made} == {"gallery"}
    assert len(made) == 9


def test_acceptances_go_by_check_and_subject(changed):
    first = "  - {id: W04, subject: port_intake~tunnel, reason: blanked off}\n"
    second = "  - {id: W05, subject: outside~port_intake, reason: boss welded on}\n"
    assert changed((first + second, second + first)) == ()
    assert changed((second, "")) == (
        ParameterChange("accept.W05.outside~port_intake.reason", "boss welded on", None),
    )


def test_limits_by_number_and_by_the_first_name_are_the_same(changed):
    assert changed(("W04: 1.2", "W04: {wall: 1.2}")) == ()
    assert changed(("W04: 1.2", "W04: {wall: 1.3, oil_return: 0.9}, scale: 0.9")) == (
        ParameterChange("limits.scale", None, 0.9),
        ParameterChange("limits.W04", 1.2, 1.3),
        ParameterChange("limits.W04.oil_return", None, 0.9),
    )
    assert changed(("V06: [0.8, 0.9]", "V06: [0.8, 0.95]")) == (ParameterChange("limits.V06.1", 0.9, 0.95),)


def test_one_interference_for_both_is_the_same_as_one_each(changed):
    assert changed(("interference: 0.008", "interference: {intake: 0.008, exhaust: 0.008}")) == ()
    (only,) = changed(("interference: 0.008", "interference: {intake: 0.008, exhaust: 0.009}"))
    assert (only.key, only.difference) == ("fits.shank.interference.exhaust", 0.001)
