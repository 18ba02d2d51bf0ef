"""References, fits, temperatures, rocker, repairs, exports, limits and the as-built demand."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

R = "repairs.sleeve_intake"
OIL = "oil_hole: {dia: 2.5, at: [8.0, 0.0]}"


@pytest.mark.parametrize(
    ("job", "old", "new", "key", "near"),
    [
        (
            "pump",
            "head:\n  material: al_die_cast",
            "head:\n  material: §al_diecast",
            "head.material",
            "al_die_cast",
        ),
        (
            "pump",
            "      material: cu_be",
            "      material: §cube",
            "stations.intake.bushing.material",
            "cu_be",
        ),
        ("pump", "material: al_6082, hole", "material: §al_6028, hole", "rocker.spacer.material", "al_6082"),
        (
            "generator",
            "sleeve: {material: al_6082",
            "sleeve: {material: §AL_6082",
            f"{R}.sleeve.material",
            "al_6082",
        ),
        ("generator", "cavity: tunnel_in", "cavity: §tunel_in", f"{R}.cause.cavity", "tunnel_in"),
        ("generator", "cavity: tunnel_in", "cavity: §well", f"{R}.cause.cavity", None),
        ("generator", "in_port: intake", "in_port: §intak", f"{R}.in_port", "intake"),
        ("generator", "head_section]", "§head_secton]", "export.step.4", "head_section"),
        ("generator", "sleeve_intake, spacer", "§sleeve_intke, spacer", "export.step.2", "sleeve_intake"),
    ],
)
def test_what_is_named_must_exist(one_fault, job, old, new, key, near):
    assert one_fault(job, old, new, key).near == near


def test_an_export_of_a_part_that_was_taken_out_is_no_fault(read, header):
    job = read(header + "export: {step: [sleeve_intake], stl: [my_part]}\n")
    assert job.export.step == ("sleeve_intake",)


def test_references_into_blocks_that_are_absent_are_no_faults(read, header):
    assert read(header + "head: {material: al_die_cast}\n").head.material == "al_die_cast"
    job = read(
        header + "repairs: [{name: s, in_port: intake, cause: {cavity: tunnel}, sleeve: {material: a}}]\n"
    )
    assert job.repairs[0].in_port == "intake"


def test_a_list_of_exports_may_name_a_repair_that_was_taken_out(read, known):
    text = known["generator"]
    start, end = text.index("repairs:\n"), text.index("rocker:\n")
    job = read(text[:start] + text[end:])
    assert job.repairs == ()
    assert "sleeve_intake" in job.export.step


def test_the_port_of_a_repair_must_exist(faults, header):
    repair = "repairs:\n  - {name: s, in_port: intake}\n"
    (fault,) = faults(header + repair + "stations: {exhaust: {port: {azim: 0}}}\n")
    assert (fault.key, fault.line) == ("repairs.s.in_port", 4)
    (fault,) = faults(header + repair + "stations: {intake: {spring: {shim: 0}}}\n")
    assert "no port" in fault.message


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("od: 15.79", "od: 15.00", f"{R}.sleeve.id"),
        ("outer_end: {type: flush, flange: none}", "outer_end: {type: flush, flange: §{dia: 20, thick: 1}}",
         f"{R}.sleeve.outer_end.flange"),
        ("outer_end: {type: flush, flange: none}", "§outer_end: {type: flange}", f"{R}.sleeve.outer_end.flange"),
        ("outer_end: {type: flush, flange: none}", "outer_end: {type: flange, flange: §none}",
         f"{R}.sleeve.outer_end.flange"),
        ("outer_end: {type: flush, flange: none}", "outer_end: {type: flange, flange: {dia: 15, thick: 1}}",
         f"{R}.sleeve.od"),
        ("    bond: {gap_dia", "    # bond: {gap_dia", f"{R}.bond"),
        ("mode: bonded ", "mode: §glued ", f"{R}.mode"),
    ],
)  # fmt: skip
def test_repairs(one_fault, old, new, key):
    one_fault("generator", old, new, key)


@pytest.mark.parametrize(
    ("mode", "needed"),
    [("bonded", True), ("bonded_pressed", True), ("pressed", False), ("shrunk_flanged", False)],
)
def test_only_a_bonded_mode_needs_bond(read, faults, header, mode, needed):
    text = f"{header}repairs:\n  - name: s\n    mode: {mode}\n"
    if needed:
        (fault,) = faults(text)
        assert (fault.key, fault.line, fault.column) == ("repairs.s.bond", 4, 5)
    else:
        assert read(text).repairs[0].bond is None


@pytest.mark.parametrize(
    ("new", "key", "word"),
    [
        ("oil_hole: {dia: 2.5, at: §[11.75, 0.0]}", "rocker.spacer.oil_hole.at", "inside the spacer"),
        ("oil_hole: {dia: 2.5, at: §[0.0, -3.75]}", "rocker.spacer.oil_hole.at", "inside the spacer"),
        ("oil_hole: {dia: 2.5, at: §[4.45, 0.0]}", "rocker.spacer.oil_hole.at", "stud hole"),
    ],
)
def test_the_oil_hole_of_the_spacer(faults, change, new, key, word):
    text, place = change("pump", OIL, new)
    found = faults(text)
    assert any(word in fault.message for fault in found)
    assert {(fault.key, fault.line, fault.column) for fault in found} == {(key, *place)}


@pytest.mark.parametrize("at", ["[11.74, 0.0]", "[4.46, 0.0]", "[-8.0, 3.74]"])
def test_the_last_legal_places_of_the_oil_hole(read, change, at):
    read(change("pump", OIL, f"oil_hole: {{dia: 2.5, at: {at}}}")[0])


@pytest.mark.parametrize(("hole", "word"), [("10.0", "smaller than the spacer"), ("5.9", "stud")])
def test_the_stud_hole_of_the_spacer(one_fault, known, hole, word):
    text = known["pump"].replace(OIL, "oil_hole: none")
    assert word in one_fault(text, "hole: 6.4, ", f"hole: §{hole}, ", "rocker.spacer.hole").message


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("friction: {low: 0.08, high: 0.18}", "friction: {low: §0.19, high: 0.18}", "fits.friction.low"),
        ("mode: turn_to_measured_bore, interference: 0.008", "class: §H7/s6, mode: turn_to_measured_bore",
         "fits.shank.class"),
        ("  shank: {mode: turn_to_measured_bore, interference: 0.008", "  §shank: {mode: limits",
         "fits.shank.class"),
        ("mode: turn_to_measured_bore, interference: 0.008", "mode: limits, class: §h7/s6", "fits.shank.class"),
        ("cte: 22.0e-6, cte_band: [21.1e-6, 22.7e-6]", "cte: §22.8e-6, cte_band: [21.1e-6, 22.7e-6]",
         "materials.al_die_cast.cte"),
        ("  running:   {head: 180, intake_bush: 160, exhaust_bush: 230}", "  §running: {head: 180, exhaust_bush: 230}",
         "temps.running.intake_bush"),
        ("  running:   {head: 180", "  §second_heating: {head: 180", "temps.second_heating"),
    ],
)  # fmt: skip
def test_fits_materials_temperatures(faults, change, old, new, key):
    text, place = change("pump", old, new)
    found = faults(text)
    assert [fault.key for fault in found] == [key]
    if not key.endswith("second_heating"):
        assert (found[0].line, found[0].column) == place
    assert found[0].line == place[0]


def test_one_bushing_temperature_suffices_when_there_is_one_bushing(read, header):
    text = (
        header
        + "temps: {hot: {head: 200, intake_bush: 180}}\nstations: {intake: {bushing: {guide: {bore: 5}}}}\n"
    )
    case = read(text).temps["hot"]
    assert (case.head, case.intake_bush, case.exhaust_bush) == (200.0, 180.0, None)


def test_a_fit_by_limits(read, change):
    text, _ = change("pump", "mode: turn_to_measured_bore, interference: 0.008", "mode: limits, class: H7/s6")
    assert read(text).fits.shank.class_ == "H7/s6"


FIT = ["bushing.body.dia", "bushing.shank.dia", "bushing.guide.bore", "valve.stem"]


def test_as_built_demands_half_width_and_instrument_on_every_fit_dimension(faults, known):
    text = known["generator"].replace("status: measured", "status: as_built")
    found = {fault.key for fault in faults(text)}
    assert found == {
        *(f"stations.{s}.{key}" for s in ("intake", "exhaust") for key in FIT if key != "valve.stem"),
        *(f"{R}.{key}" for key in ("bore.dia", "sleeve.od", "sleeve.id")),
        *(f"fits.body.interference.{s}" for s in ("intake", "exhaust")),
        "fits.shank.interference",
    }
    lacking = text.replace("stem: {v: 5.465, u: 0.002, by: micrometer}", "stem: {v: 5.465, u: 0.002}")
    stem = [fault for fault in faults(lacking) if fault.key == "stations.intake.valve.stem"]
    assert "needs by" in stem[0].message


def test_an_as_built_job_with_all_it_needs(read, header):
    text = header.replace("proposal", "as_built") + (
        "stations:\n  intake:\n    valve: {stem: {v: 3.97, u: 0.002, by: micrometer}}\n"
        "    bushing: {body: {dia: {v: 16.5, u: 0.01, by: g}}, shank: {dia: {v: 8, u: 0.01, by: g}},"
        " guide: {bore: {v: 4, u: 0.01, by: g}}}\n"
    )
    assert read(text).job.status == "as_built"


@pytest.mark.parametrize(
    ("written", "key", "near", "word"),
    [
        ("{W1: 1.5}", "limits.W1", "W01", "not the id of a check"),
        ("{w04: 1.5}", "limits.w04", "W04", "not the id of a check"),
        ("{X99: 1.5}", "limits.X99", None, "not the id of a check"),
        ("{P04: 1.5}", "limits.P04", "P02", "not the id of a check"),
        ("{W01: [1.0, 2.0]}", "limits.W01", None, "one number"),
        ("{V04: 0.5}", "limits.V04", None, "range"),
        ("{W04: {oil_retur: 0.9}}", "limits.W04.oil_retur", "oil_return", "oil_return"),
        ("{V09: {exhaust: [0.9, 1]}}", "limits.V09.exhaust", None, "one number"),
        ("{B04: {exhaust: 1}}", "limits.B04.exhaust", None, "range"),
        ("{W08: 3}", "limits.W08", None, "no limit"),
        ("{W01: 1e0}", "limits.W01", None, "1.0e+0"),
        ("{W01: }", "limits.W01", None, "empty"),
        ("[1.5]", "limits", None, "ids"),
    ],
)
def test_limits_that_are_faults(faults, header, written, key, near, word):
    (fault,) = faults(f"{header}limits: {written}\n")
    assert (fault.key, fault.line) == (key, 3)
    if key != "limits.P04":
        assert fault.near == near
    assert word in fault.message


def test_limits_in_their_three_forms(read, header):
    text = "{scale: 0.65, W01: 1.8, V04: [0.40, 0.55], W04: {oil_return: 0.9}, V01: {overlap: 0.7}, "
    text += "B15: {lead_angle: 20}, V09: {exhaust: 0.9}, B10: [0.02, 0.05], P09: {port_speed: [50, 110]}}"
    limits = read(f"{header}limits: {text}\n").limits
    assert limits.scale == 0.65
    assert limits.by_id == {
        "W01": 1.8, "V04": (0.4, 0.55), "W04": {"oil_return": 0.9}, "V01": {"overlap": 0.7},
        "B15": {"lead_angle": 20.0}, "V09": {"exhaust": 0.9},
        "B10": {"clearance_min": 0.02, "clearance_max": 0.05}, "P09": {"port_speed": (50.0, 110.0)},
    }  # fmt: skip


def test_every_limit_of_the_table_of_checks_can_be_set(read, header):
    path = Path(__file__).parents[2] / "headparts" / "checks" / "data" / "checks.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        rows = [row for row in csv.DictReader(stream) if row["id"] != "text" and row["compare"] != "none"]
    assert len({row["id"] for row in rows}) > 90
    for row in rows:
        value = "[0.5, 0.6]" if row["compare"] == "in" else "0.5"
        if row["id"] in ("Q01", "S10", "W07", "W07r"):
            continue
        written = (
            f"{{{row['id']}: {{{row['name']}: {value}}}}}" if row["name"] else f"{{{row['id']}: {value}}}"
        )
        assert row["id"] in read(f"{header}limits: {written}\n").limits.by_id


def test_accept_names_a_check(faults, read, header):
    accept = "accept:\n  - {id: W1, subject: a~b, reason: known}\n  - {id: W01, reason: known}\n"
    found = faults(header + accept)
    assert [(f.key, f.line, f.near) for f in found] == [
        ("accept.0.id", 4, "W01"),
        ("accept.1.subject", 5, None),
    ]
    job = read(header + "accept: [{id: W01, subject: a~b, reason: known}]\n")
    assert (job.accept[0].id, job.accept[0].subject) == ("W01", "a~b")
