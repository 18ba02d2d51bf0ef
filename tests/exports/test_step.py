"""STEP files: names, colours, mm, place; the same bytes everywhere; never believed unread."""

from __future__ import annotations

import hashlib
import math
import re
import subprocess
import sys
from pathlib import Path

import cadquery as cq
import pytest

from headparts.errors import GeometryError, KernelError, ParameterError
from headparts.exports.frames import point_in, seen_from
from headparts.exports.step import assembly_step, part_step, setup_step
from headparts.parts.part import Part, Placement
from headparts.solids.step_file import Body, Header, is_complete, read_step, write_step
from headparts.solids.step_proof import reread
from headparts.solids.verify import bounds, volume

ROOT = Path(__file__).resolve().parents[2]
HEAD = {"tool": "headparts test", "job_id": "J1", "date": "2025-01-15"}


def test_one_part_comes_back_with_name_colour_volume_and_box(ring: Part) -> None:
    model = part_step(ring, **HEAD)
    (again,) = read_step(model.data)
    assert again.name == "ring"
    assert again.colour == pytest.approx((0.8, 0.55, 0.25), abs=1e-4)
    assert volume(again.solid) == pytest.approx(ring.volume, rel=1e-9)
    assert bounds(again.solid)[1] == pytest.approx((10.0, 10.0, 8.0), abs=1e-6)
    assert model.proven
    assert model.proof.volume_error < 1e-9
    assert model.proof.box_error < 1e-6
    assert model.proof.point_error is None


def test_the_file_is_in_millimetres(pin: Part) -> None:
    """Read by the kernel's plain reader, which scales to mm: the pin is 6 mm across and 20 mm long."""
    text = part_step(pin, **HEAD).data.decode("ascii")
    assert len(re.findall(r"SI_UNIT\(\.MILLI\.,\.METRE\.\)", text)) >= 1
    assert "SI_UNIT($,.METRE.)" not in text
    assert "CYLINDRICAL_SURFACE('',#" in text
    assert re.search(r"CYLINDRICAL_SURFACE\('',#\d+,3\.\)", text)


def test_the_head_of_the_file_says_the_jobs_date_not_the_clocks(ring: Part) -> None:
    text = part_step(ring, **HEAD).data.decode("ascii")
    head = text[: text.index("DATA;")]
    assert "'2025-01-15T00:00:00'" in head
    assert "'J1: ring; mm'" in head
    assert "headparts test" in head
    assert "AUTOMOTIVE_DESIGN" in head
    undated = part_step(ring, tool="t", job_id="J1").data.decode("ascii")
    assert "'1970-01-01T00:00:00'" in undated


def test_an_assembly_holds_every_part_in_its_place(ring: Part, pin: Part) -> None:
    model = assembly_step([ring, pin], **HEAD)
    found = {body.name: body for body in read_step(model.data)}
    assert set(found) == {"ring", "pin"}
    assert model.proven
    lean = math.radians(15.0)
    low, high = bounds(found["pin"].solid)
    # A leaning cylinder r 3, length 20: its ends are discs, half a width of r cos(lean) along x.
    assert low[0] == pytest.approx(30.0 - 3 * math.cos(lean), abs=1e-4)
    assert high[0] == pytest.approx(30.0 + 20 * math.sin(lean) + 3 * math.cos(lean), abs=1e-4)
    assert (low[1], high[1]) == pytest.approx((-7.0, -1.0), abs=1e-4)
    assert low[2] == pytest.approx(7.0 - 3 * math.sin(lean), abs=1e-4)
    assert model.entry.volume == pytest.approx(ring.volume + 20 * 9 * math.pi, rel=1e-9)
    assert model.entry.part == "ring, pin"
    assert model.entry.mass == pytest.approx((ring.volume * 7.6 + 180 * math.pi * 7.85) / 1000, rel=1e-9)


def test_a_setup_is_seen_from_its_datum(pin: Part, ring: Part) -> None:
    """Seen from its own frame the leaning pin stands upright on the origin."""
    model = setup_step(
        [pin], pin.placement, name="setup_pin", check_points=[(0.0, 0.0, 25.0), (10.0, 0.0, 5.0)], **HEAD
    )
    (again,) = read_step(model.data)
    low, high = bounds(again.solid)
    assert low == pytest.approx((-3.0, -3.0, 0.0), abs=1e-6)
    assert high == pytest.approx((3.0, 3.0, 20.0), abs=1e-6)
    assert model.proven
    assert model.proof.point_error == pytest.approx(0.0, abs=1e-9)
    assert model.entry.origin == (30.0, -4.0, 7.0)
    assert model.entry.setup == "setup_pin"


def test_points_and_solids_agree_on_the_frame(pin: Part) -> None:
    back = seen_from(pin.placement)
    assert point_in(pin.placement, pin.placement.origin) == pytest.approx((0, 0, 0), abs=1e-12)
    assert point_in(pin.placement, (0.0, 0.0, 0.0)) == pytest.approx(back.origin, abs=1e-12)
    tip = tuple(o + 20 * d for o, d in zip(pin.placement.origin, pin.placement.z, strict=True))
    assert point_in(pin.placement, tip) == pytest.approx((0, 0, 20), abs=1e-12)


def test_a_skew_frame_is_refused() -> None:
    with pytest.raises(GeometryError, match="square to each other"):
        seen_from(Placement(x=(1.0, 0.0, 0.0), z=(0.6, 0.0, 0.8)))


def test_letters_outside_ascii_survive() -> None:
    cube = cq.Workplane().box(1, 1, 1).val()
    data = write_step([Body("Büchse µ '1'", cube)], Header("ü", "d", "2025-01-15", "t"))
    assert data.isascii()
    assert b"\\X2\\00FC\\X0\\" in data
    assert read_step(data)[0].name == "Büchse µ '1'"


def test_ap242_is_written_when_asked(ring: Part) -> None:
    data = write_step([Body("r", ring.solid)], Header("r", "d", "2025-01-15", "t"), schema="AP242")
    assert b"AP242_MANAGED_MODEL_BASED_3D_ENGINEERING" in data
    with pytest.raises(ParameterError, match="AP203"):
        write_step([Body("r", ring.solid)], Header("r", "d", "2025-01-15", "t"), schema="AP203")


def test_two_bodies_of_one_name_are_refused(ring: Part) -> None:
    with pytest.raises(ParameterError, match="name of its own"):
        assembly_step([ring, ring], **HEAD)
    with pytest.raises(ParameterError, match="at least two"):
        assembly_step([ring], **HEAD)


def test_a_torn_file_is_never_read(ring: Part) -> None:
    data = part_step(ring, **HEAD).data
    assert is_complete(data)
    for cut in (100, len(data) // 2, len(data) - 20):
        assert not is_complete(data[:cut])
        with pytest.raises(KernelError, match="torn"):
            read_step(data[:cut])


def test_the_proof_sees_a_changed_size_a_lost_name_and_a_lost_colour(ring: Part) -> None:
    bigger = cq.Workplane().circle(10.02).circle(5).extrude(8).val()
    plain = cq.Workplane().circle(10).circle(5).extrude(8).val()
    data = write_step([Body("ring", bigger)], Header("r", "d", "2025-01-15", "t"))
    proof = reread(data, [Body("ring", plain, (0.1, 0.2, 0.3))], points=[(12.0, 0.0, 4.0)])
    assert proof.box_error == pytest.approx(0.02, abs=1e-6)
    assert proof.point_error == pytest.approx(0.02, abs=1e-6)
    assert proof.volume_error == pytest.approx((10.02**2 - 100) / 75, rel=1e-6)
    assert proof.faults == ("ring: its colour is lost",)
    lost = reread(data, [Body("other", plain)])
    assert lost.faults == ("other: not found again by its name",)
    assert lost.volume_error == 1.0


CODE = """
import hashlib, random, sys
import cadquery as cq
seed = int(sys.argv[1])
junk = [cq.Workplane().box(1, 1, 1 + k) for k in range(random.Random(seed).randrange(60))]  # moves addresses
from headparts.exports.step import assembly_step, part_step
from headparts.exports.stl import part_stl
from headparts.parts.part import Part, Placement
head = dict(tool="t", job_id="J1", date="2025-01-15")
parts = []
for k in range(6):
    solid = cq.Workplane().circle(5 + k).circle(2).extrude(9).faces(">Z").edges().chamfer(0.3).val()
    place = Placement(origin=(25.0 * k, 1.0, 0.0))
    parts.append(Part(f"part_{k}", solid, placement=place, colour=(0.1 * (k % 3), 0.5, 1 - 0.1 * (k % 3))))
if seed % 2:
    part_step(parts[3], **head)  # counters of the kernel stand elsewhere
for data in (assembly_step(parts, **head).data, part_step(parts[1], **head).data, part_stl(parts[2]).data):
    print(hashlib.sha256(data).hexdigest())
"""


def test_the_same_bytes_in_every_process() -> None:
    """Two processes whose memory and whose kernel counters differ write the same three files."""
    printed = [
        subprocess.run(
            [sys.executable, "-c", CODE, seed], cwd=ROOT, capture_output=True, text=True, check=True
        ).stdout.split()
        for seed in ("0", "5")
    ]
    assert len(printed[0]) == 3
    assert printed[0] == printed[1]


def test_the_entry_holds_what_a_shop_needs(ring: Part) -> None:
    model = part_step(ring, **HEAD)
    line = model.entry
    assert line.sha256 == hashlib.sha256(model.data).hexdigest()
    assert (line.format, line.kind, line.units, line.material) == ("STEP", "model", "mm", "al_bronze")
    assert line.box is not None
    assert line.box[0] == pytest.approx((-10, -10, 0), abs=1e-6)
    assert line.mass == pytest.approx(ring.volume * 7.6 / 1000)
