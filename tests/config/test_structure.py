"""Keys: unknown, missing, written twice; words, names, dates; every fault at once and in file order."""

from __future__ import annotations

import json
from dataclasses import asdict

import pytest

from headparts.config import Fault


@pytest.mark.parametrize(
    ("job", "old", "new", "key", "near"),
    [
        ("pump", "engine:", "§engin:", "engin", "engine"),
        ("pump", "repairs: []", "§repair: []", "repair", "repairs"),
        ("pump", "    port:\n", "    §prot:\n", "stations.intake.prot", "port"),
        ("pump", "top_cut: 30", "§topcut: 30", "stations.intake.bushing.seat.topcut", "top_cut"),
        ("pump", "  W01: 1.5", "  §W1: 1.5", "limits.W1", "W01"),
        ("pump", "yield200: 105", "§yield_200: 105", "materials.al_die_cast.yield_200", "yield200"),
        ("pump", "    lift: 3.20", "    §Lift: 3.20", "stations.intake.valve.Lift", "lift"),
        ("generator", "wall_min: 0.30", "§wallmin: 0.30", "repairs.sleeve_intake.sleeve.wallmin", "wall_min"),
        (
            "sprayer",
            "moving_play: 0.3",
            "§moving_ply: 0.3",
            "head.cavities.tunnel_in.moving_ply",
            "moving_play",
        ),
    ],
)
def test_an_unknown_key_names_the_nearest(change, faults, job, old, new, key, near):
    text, place = change(job, old, new)
    found = [fault for fault in faults(text) if fault.key == key]
    assert len(found) == 1
    line, column = (found[0].line, found[0].column)
    if not key.startswith("limits"):
        assert (line, column) == place
        assert "unknown key" in found[0].message
    assert line == place[0]
    assert found[0].near == near
    assert f"did you mean {near}?" in str(found[0])


def test_an_unknown_key_like_nothing_lists_what_is_allowed(faults, header):
    (fault,) = faults(header + "engine: {bore: 30, stroke: 20, xyzzy: 1}\n")
    assert fault.near is None
    assert "bore, stroke, gasket, deck, rated_rpm" in fault.message


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("schema: 1\n", "", "schema"),
        ("  id: WPS26-H1\n", "", "job.id"),
        ("  status: proposal ", "  #", "job.status"),
        ("compressed: 0.70, ", "", "engine.gasket.compressed"),
        ("  bore: {v: 34.00", "  # {v: 34.00", "engine.bore"),
        ("\nhead:\n  material: al_die_cast\n", "\n§head:\n", "head.material"),
        ("kind: gas,  ", "", "head.cavities.plug_hole.kind"),
        ("      tip_z: {v: 50.00, u: 0.03, by: \"height gauge", "      # {", "stations.intake.old.tip_z"),
        ("      face: {x: 26.0}", "      §face: {}", "stations.intake.port.face.x"),
        ("arm: {valve: 11.40, ", "§arm: {", "rocker.arm.valve"),
        (" friction: {low: 0.08, ", " §friction: {", "fits.friction.low"),
        ("spindle: {nose_dia: 60.0, ", "§spindle: {", "process.spindle.nose_dia"),
        ("len: 55, cte: 22.0e-6, dT: 110", "len: 55, dT: 110", "rocker.warm.pivot.0.cte"),
        (", oil_hole: {dia: 2.5, at: [8.0, 0.2]}", ", §oil_hole: {dia: 2.5}", "rocker.post.oil_hole.at"),
    ],
)  # fmt: skip
def test_a_missing_key_is_reported_at_its_block(one_fault, old, new, key):
    fault = one_fault("pump", old, new, key)
    assert "required key is missing" in fault.message


def test_the_line_of_a_block_is_that_of_its_own_key(known, faults):
    text = known["pump"].replace('      tip_z: {v: 50.00, u: 0.03, by: "height gauge', "      # {", 1)
    (fault,) = faults(text)
    lines = text.splitlines()
    first_old = next(i for i, line in enumerate(lines, start=1) if line.startswith("    old:"))
    assert (fault.line, fault.column) == (first_old, 5)


def test_a_key_written_twice(faults, header):
    (fault,) = faults(header + "engine:\n  bore: 30\n  stroke: 20\n  bore: 31\n")
    assert (fault.key, fault.line, fault.column) == ("engine.bore", 6, 3)
    assert "line 4" in fault.message
    (fault,) = faults(header + "schema: 1\n")
    assert (fault.key, fault.line) == ("schema", 3)


@pytest.mark.parametrize(
    ("old", "new", "key", "near"),
    [
        ("status: proposal", "status: §Proposal", "job.status", "proposal"),
        ("kind: gas", "kind: §gaz", "head.cavities.plug_hole.kind", "gas"),
        ("sheet: A3", "sheet: §A33", "drawing.sheet", "A3"),
        ("projection: first_angle", "projection: §first angle", "drawing.projection", "first_angle"),
        ("method: heat_and_freeze", "method: §heat_and_freez", "fits.assembly.method", "heat_and_freeze"),
        ("where: pushrod end", "where: §pushrod", "rocker.adjuster.where", "pushrod end"),
        ("hazard: beryllium", "hazard: §berylium", "materials.cu_be.hazard", "beryllium"),
        ("units: mm", "units: §inch", "job.units", None),
    ],
)
def test_words_of_a_fixed_list(one_fault, old, new, key, near):
    fault = one_fault("pump", old, new, key)
    assert fault.near == near
    assert "allowed: " in fault.message


@pytest.mark.parametrize("word", ["yes", "no", "True", "FALSE", "on", "1", "0", "'true'", "maybe"])
def test_switches_are_only_true_and_false(one_fault, word):
    fault = one_fault("pump", "relief: true", f"relief: §{word}", "stations.intake.bushing.shoulder.relief")
    assert "true or false" in fault.message


@pytest.mark.parametrize(
    "name", ["-a", ".a", "_a", "a b", "a/b", "a\\\\b", "ä", "", "a" * 65, "a:b", "..", "CON/x"]
)
def test_names_that_are_none(faults, name):
    (fault,) = faults(f'schema: 1\njob: {{id: "{name}", status: proposal}}\n')
    assert fault.key == "job.id"


@pytest.mark.parametrize("name", ["a", "1", "A.b-c_d", "a" * 64, "1e-3", "007", "no"])
def test_names_are_the_text_as_written(read, name):
    assert read(f"schema: 1\njob: {{id: {name}, status: proposal}}\n").job.id == name


@pytest.mark.parametrize(
    "date", ["2025-02-30", "2025-13-01", "2025-1-1", "01.02.2025", "20250102", "2025-02-03T00:00"]
)
def test_dates_that_are_none(faults, date):
    (fault,) = faults(f"schema: 1\njob: {{id: J, status: proposal, date: {date}}}\n")
    assert fault.key == "job.date"


def test_a_date_stays_text(read):
    assert read("schema: 1\njob: {id: J, status: proposal, date: 2024-02-29}\n").job.date == "2024-02-29"


@pytest.mark.parametrize(
    ("old", "new", "key", "word"),
    [
        ("points: [[21.0, 0.0], [-21.0, 0.0]]", "points: §[]", "datums.B.points", "at least 1"),
        ("origin: [0, 0, 0]", "origin: §[0, 0]", "datums.setup.origin", "3 expected"),
        ("origin: [0, 0, 0]", "origin: §[0, 0, 0, 0]", "datums.setup.origin", "3 expected"),
        ("origin: [0, 0, 0]", "origin: §0", "datums.setup.origin", "list"),
        ("chamber: {type: disc, dia: 33.6, depth: 3.30}", "chamber: §disc", "head.chamber", "block"),
        ("gasket: {compressed: 0.70, bore: 35.0}", "gasket: §[0.7]", "engine.gasket", "block"),
        ("title: Larger", "title: §[Larger]  #", "job.title", "list"),
        ("  A: {what", "  A:§\n  # {what", "datums.A", "empty"),
        ("step: [9.0, 10.2, 10.5]", "step: [9.0, §8.2, 10.5]", "stations.intake.port.drill.step", "must rise"),
        ("pre_drill: 9.50", "pre_drill: §nine", "stations.intake.bushing.window.pre_drill", "not a number"),
        ("p: {on_axis_s: 7.0}", "p: §7.0", "stations.intake.port.p", "on_axis_s"),
        ("oil_hole: {dia: 2.5, at: [8.0, 0.2]}", "oil_hole: §no", "rocker.post.oil_hole", "none"),
    ],
)  # fmt: skip
def test_a_value_of_the_wrong_form(one_fault, old, new, key, word):
    assert word in one_fault("pump", old, new, key).message


def test_all_faults_at_once_in_file_order_and_in_any_order_of_keys(known, faults):
    text = known["pump"]
    for old, new in (
        ("  rev: A", "  revision: A"),
        ("rated_rpm: 7000", "rated_rpm: 7_000"),
        ("depth: 3.30}", "depth: 1e-3}"),
        ("throat: 12.60", "throat: 14.20"),
        ("stem: {v: 3.960", "stem: {v: 4.100"),
        ("material: al_6082, hole", "material: al_6028, hole"),
        ("friction: {low: 0.08, high: 0.18}", "friction: {low: 0.28, high: 0.18}"),
        ("  W01: 1.5", "  W91: 1.5"),
        ("projection: first_angle", "projection: firstangle"),
    ):
        assert old in text
        text = text.replace(old, new, 1)
    found = faults(text)
    assert [fault.key for fault in found] == [
        "job.revision", "engine.rated_rpm", "head.chamber.depth", "stations.intake.bushing.bowl.throat",
        "stations.exhaust.valve.stem", "rocker.spacer.material", "fits.friction.low", "limits.W91",
        "drawing.projection",
    ]  # fmt: skip
    assert [(f.line, f.column) for f in found] == sorted((f.line, f.column) for f in found)
    blocks = [f"{part}" for part in text.split("\n\n")]
    turned = "\n\n".join(reversed(blocks)) + "\n"
    again = faults(turned)
    assert sorted(fault.key for fault in again) == sorted(fault.key for fault in found)
    assert {fault.key: fault.message for fault in again} == {fault.key: fault.message for fault in found}


def test_how_a_fault_reads_and_that_it_can_be_written_as_json(tmp_path, read, header):
    fault = Fault("j.yaml", 3, 9, "engine.bor", "30", "unknown key", "bore")
    assert str(fault) == "j.yaml:3:9: engine.bor: unknown key (did you mean bore?)"
    assert str(Fault("j.yaml", 3, 9, "", None, "broken")) == "j.yaml:3:9: broken"
    assert json.loads(json.dumps(asdict(fault)))["near"] == "bore"


def test_hostile_values_do_not_reach_the_terminal_raw(faults, header):
    found = faults(header + 'engine: {bore: "\\e[31m", stroke: "' + "9" * 5000 + '"}\n')
    for fault in found:
        assert str(fault).isprintable()
        assert len(str(fault)) < 400


def test_wide_spaces_are_text_but_never_numbers(read, faults):
    text = "schema: 1\njob: {id: J, status: proposal, title: 62\u00a0cc\u2009single}\n"
    assert read(text).job.title == "62\u00a0cc\u2009single"
    (fault,) = faults(text + "engine: {bore: 62\u00a0mm, stroke: 20}\n")
    assert fault.key == "engine.bore"
