"""The casting: chamber types, boxes inside each other, cavities, names, files."""

from __future__ import annotations

import pytest

from headparts.config import read_job
from headparts.errors import JobFileError

C = "head.chamber"


@pytest.mark.parametrize(
    ("new", "key", "word"),
    [
        ("chamber: {type: disc, dia: 33.6, depth: §0}", f"{C}.depth", "0.001"),
        ("chamber: {type: disc, dia: 33.6, depth: §-1}", f"{C}.depth", "0.001"),
        ("chamber: {type: disc, dia: 33.6, depth: §30.0}", f"{C}.depth", "top"),
        ("§chamber: {type: disc, dia: 33.6}", f"{C}.depth", "required"),
        ("§chamber: {type: bathtub, length: 30, width: 20, depth: 3}", f"{C}.corner", "required"),
        ("chamber: {type: bathtub, length: 30, width: 20, depth: 3, corner: §10.1}", f"{C}.corner", "half"),
        ("chamber: {type: disc, dia: 33.6, depth: 3.3, corner: §1}", f"{C}.corner", "disc"),
        ("chamber: {type: dome, base_radius: 5, depth: §5.1}", f"{C}.depth", "base_radius"),
        ("§chamber: {dia: 33.6, depth: 3.3}", f"{C}.type", "required"),
        ("chamber: {type: §disk, dia: 33.6, depth: 3.3}", f"{C}.type", "disc"),
    ],
)
def test_chambers(one_fault, new, key, word):
    assert word in one_fault("pump", "chamber: {type: disc, dia: 33.6, depth: 3.30}", new, key).message


@pytest.mark.parametrize(
    "chamber",
    [
        "{type: disc, dia: 33.6, depth: 3.3}",
        "{type: dome, base_radius: 17, depth: 6}",
        "{type: bathtub, length: 30, width: 20, depth: 3, corner: 0}",
        "{type: bathtub, length: 30, width: 20, depth: 3, corner: 10}",
    ],
)
def test_sound_chambers(read, header, chamber):
    assert read(f"{header}head: {{material: a, chamber: {chamber}}}\n").head.chamber.depth is not None


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("core: {type: box, x: [-24, 26]", "core: {type: box, x: §[-31, 26]", "head.core.x"),
        ("y: [-26, 24]", "y: §[-26, 30]", "head.core.y"),
        ("fins: {z: [6.0, 27.0]", "fins: {z: §[6.0, 30.1]", "head.fins.z"),
        ("pitch: 4.2, thick: 1.6", "pitch: 4.2, thick: §4.2", "head.fins.thick"),
        ("bolt_dia: 5.0", "bolt_dia: §5.6", "head.cavities.stud_1.bolt_dia"),
        ("moving_dia: 4.0", "moving_dia: §7.1", "head.cavities.tunnel_in.moving_dia"),
        ("tilt: 20, azim: 90}", "tilt: 20}", "head.cavities.plug_hole.axis.azim"),
        ("{name: stud_2,", "{name: §Stud_1,", "head.cavities.Stud_1.name"),
        ("{name: stud_2,", "{name: §stud_1,", "head.cavities.2.name"),
        ("{name: stud_2,", "{name: §stud 2,", "head.cavities.2.name"),
    ],
)
def test_impossible_castings(faults, change, old, new, key):
    text, place = change("pump", old, new)
    found = faults(text)
    assert [fault.key for fault in found] == [key], [str(fault) for fault in found]
    if place:
        assert (found[0].line, found[0].column) == place


@pytest.mark.parametrize(
    "name",
    ["head", "engine", "datums", "job", "rocker", "spacer", "outside", "chamber", "intake", "exhaust", "Outside",
     "port_intake", "body_bore_exhaust", "sleeve_bore_x"],
)  # fmt: skip
def test_reserved_names(one_fault, name):
    fault = one_fault("pump", "{name: stud_1,", f"{{name: §{name},", f"head.cavities.{name}.name")
    assert "reserved" in fault.message


def test_reserved_names_of_repairs(one_fault, known):
    text = known["generator"].replace("exhaust, sleeve_intake, spacer", "exhaust, spacer")
    one_fault(text, "name: sleeve_intake", "name: §rocker", "repairs.rocker.name")


def test_a_repair_may_not_take_the_name_of_a_cavity(faults, known):
    text = known["generator"].replace("  - name: sleeve_intake", "  - name: Tunnel_In")
    text = text.replace("exhaust, sleeve_intake, spacer", "exhaust, Tunnel_In, spacer")
    (fault,) = faults(text)
    assert fault.key == "repairs.Tunnel_In.name"
    assert "tunnel_in" in fault.message


def test_materials_and_cases_are_unique_without_regard_to_case(faults, header):
    (fault,) = faults(header + "materials: {steel: {E: 200000}, Steel: {E: 210000}}\n")
    assert (fault.key, fault.column) == ("materials.Steel", 33)
    (fault,) = faults(header + "temps: {hot: {head: 200}, HOT: {head: 100}}\n")
    assert (fault.key, fault.column) == ("temps.HOT", 27)


@pytest.mark.parametrize(
    "file",
    [
        "../other.stl",
        "sub/../../other.stl",
        "/etc/hostname",
        "C:\\\\x.stl",
        "\\\\\\\\server\\\\x.stl",
        "none.stl",
        ".",
        "sub",
        "link.stl",
    ],
)
def test_files_lie_inside_the_job_s_folder(tmp_path, header, file):
    (tmp_path / "jobs" / "sub").mkdir(parents=True)
    (tmp_path / "other.stl").write_text("x")
    (tmp_path / "jobs" / "link.stl").symlink_to(tmp_path / "other.stl")
    path = tmp_path / "jobs" / "job.yaml"
    path.write_text(f'{header}head: {{material: a, chamber: {{type: mesh, file: "{file}"}}}}\n')
    with pytest.raises(JobFileError) as caught:
        read_job(path)
    (fault,) = caught.value.faults
    assert fault.key == "head.chamber.file"
    assert "folder" in fault.message


def test_a_file_that_is_there(tmp_path, header):
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "a.stl").write_text("x")
    path = tmp_path / "job.yaml"
    path.write_text(f"{header}head: {{material: a, chamber: {{type: mesh, file: sub/a.stl}}}}\n")
    job = read_job(path)
    assert job.head.chamber.file == "sub/a.stl"
    assert job.folder == tmp_path


def test_a_head_from_a_file_is_placed_by_three_pairs_of_points(read, faults, tmp_path, header):
    (tmp_path / "head.step").write_text("x")
    pairs = "[[[0, 0, 0], [1, 0, 0]], [[9, 0, 0], [10, 0, 0]], [[0, 9, 0], [1, 9, 0]]]"
    solid = read(f"{header}head: {{material: a, solid: {{file: head.step, place: {pairs}}}}}\n").head.solid
    assert solid.place[1] == ((9.0, 0.0, 0.0), (10.0, 0.0, 0.0))
    (fault,) = faults(
        f"{header}head: {{material: a, solid: {{file: head.step, place: [[[0, 0, 0], [1, 0, 0]]]}}}}\n"
    )
    assert (fault.key, "3 expected" in fault.message) == ("head.solid.place", True)
