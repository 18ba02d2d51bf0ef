"""Sheets (Q05) and models (Q06) of a spacer, altered by the smallest step that tells, on both sides of each limit.

The spacer is a plate 30 x 20 x 4 with a hole r 3.2 in its middle: 2400 - 4 pi 3.2^2 mm3.
"""

from __future__ import annotations

import io
from dataclasses import replace
from math import copysign, pi, sqrt

import pytest

from edges.case import context, judged
from headparts.exports import step as step_files
from headparts.exports.step import setup_step
from headparts.job import drawing
from headparts.job.bodies import Bodies, build_parts
from headparts.job.models import model_files
from headparts.parts.part import Placement

JOB = """\
schema: 1
job: {id: PLATE, status: proposal}
rocker:
  post: {base: [30.0, 20.0], stud: M6, stud_dia: 6.0}
  spacer: {thick: 4.0, material: steel, hole: 6.4, oil_hole: none, parallel: 0.01}
materials:
  steel: {E: 210000, nu: 0.30, yield20: 300}
"""
HOLE, THICK = 3.2, 4.0
VOLUME = 2400.0 - THICK * pi * HOLE**2
STEP = 1e-6


@pytest.fixture(scope="module")
def plate(tmp_path_factory):
    """The plan and its one body."""
    plan = context(tmp_path_factory.mktemp("plate"), JOB, {}).plan
    parts, _ = build_parts(plan)
    return plan, Bodies(parts, None)


def test_the_plate_is_what_its_numbers_say(plate):
    (part,) = plate[1].parts
    assert part.volume == pytest.approx(VOLUME, rel=1e-9)


# ---- Q05 --------------------------------------------------------------------------------------


def q05(plate, monkeypatch, alter=None):
    """The finding on the plate's sheet, with ``alter`` done to its DXF document before it is read back."""
    import ezdxf

    made = drawing.render

    def altered(sheet):
        rendered = made(sheet)
        if alter is None:
            return rendered
        document = ezdxf.read(io.StringIO(rendered.dxf.decode("utf-8")))
        alter(document.modelspace())
        text = io.StringIO()
        document.write(text)
        return replace(rendered, dxf=text.getvalue().encode("utf-8"))

    monkeypatch.setattr(drawing, "render", altered)
    (row,) = drawing.drawn_files(*plate, [])[1]
    assert (row.id, row.subject, row.severity, row.limit) == ("Q05", "spacer", "FAIL", 0.0)
    return row


def of_size(space, size):
    """The dimension that names a size."""
    (found,) = [
        each
        for each in space.query("DIMENSION")
        if [tag.value for tag in each.get_xdata("HEADPARTS")][1] == size
    ]
    return found


def taken_away(space):
    space.delete_entity(of_size(space, "thickness"))


def doubled(space):
    space.add_entity(of_size(space, "thickness").copy())


def longer(by):
    """The thickness measured between points ``by`` mm further apart, and written so."""

    def alter(space):
        from ezdxf.math import Vec3

        entity = of_size(space, "thickness")
        on_paper = by / float(entity.override().get("dimlfac", 1.0))
        first, second = entity.dxf.defpoint2, entity.dxf.defpoint3
        along = Vec3.from_deg_angle(entity.dxf.angle)
        entity.dxf.defpoint3 = second + along * copysign(on_paper, (second - first).dot(along))
        entity.dxf.actual_measurement = float(entity.dxf.actual_measurement) + on_paper

    return alter


def test_every_dimension_once_passes(plate, monkeypatch):
    row = q05(plate, monkeypatch)
    assert (row.value, row.verdict) == (0.0, "pass")


@pytest.mark.parametrize(
    ("alter", "says"), [(taken_away, "missing: thickness"), (doubled, "twice: thickness")]
)
def test_a_dimension_less_or_more_fails(alter, says, plate, monkeypatch):
    row = q05(plate, monkeypatch, alter)
    assert (row.value, row.verdict, row.note) == (1.0, "fail", says)
    assert row.advice


def test_a_dimension_may_be_off_by_a_millionth(plate, monkeypatch):
    inside = q05(plate, monkeypatch, longer(0.9e-6))
    assert (inside.value, inside.verdict) == (0.0, "pass")
    monkeypatch.undo()
    outside = q05(plate, monkeypatch, longer(1.1e-6))
    assert (outside.value, outside.verdict, outside.note) == (1.0, "fail", "not as the solid: thickness")


# ---- Q06 --------------------------------------------------------------------------------------


def q06(plate, monkeypatch, alter):
    """The finding on the plate's STEP file, written with ``alter`` done to its solid (CadQuery's)."""
    import cadquery as cq

    written = step_files.write_step

    def altered(bodies, header):
        return written([replace(body, solid=alter(cq.Solid(body.solid)).wrapped) for body in bodies], header)

    monkeypatch.setattr(step_files, "write_step", altered)
    (row,) = model_files(*plate, [], ("spacer",))[1]
    assert (row.id, row.subject, row.severity, row.limit) == ("Q06", "spacer.step", "FAIL", 1e-3)
    return row


def with_less(share):
    """The hole opened until ``share`` of the volume is gone: pi (r^2 - 3.2^2) 4 = share x volume; the box stays."""
    import cadquery as cq

    radius = sqrt(HOLE**2 + share * VOLUME / (pi * THICK))
    return lambda solid: solid.cut(cq.Workplane().circle(radius).extrude(2.0 * THICK, both=True).val())


def moved(x, y=0.0):
    return lambda solid: solid.translate((x, y, 0.0))


def test_a_model_as_it_is_passes(plate, monkeypatch):
    assert q06(plate, monkeypatch, lambda solid: solid).verdict == "pass"


@pytest.mark.parametrize(
    ("share", "verdict"), [(1e-3 - STEP, "pass"), (1e-3 + STEP, "fail"), (1.1e-3, "fail")]
)
def test_both_sides_of_the_volume(share, verdict, plate, monkeypatch):
    row = q06(plate, monkeypatch, with_less(share))
    assert row.value == pytest.approx(share, rel=0, abs=1e-9)
    assert row.verdict == verdict
    assert verdict == "pass" or row.advice


@pytest.mark.parametrize(
    ("shift", "verdict"), [(0.01 - STEP, "pass"), (0.01 + STEP, "fail"), (0.011, "fail")]
)
def test_both_sides_of_the_box(shift, verdict, plate, monkeypatch):
    row = q06(plate, monkeypatch, moved(shift))
    assert row.value == pytest.approx(0.0, abs=1e-9)  # the volume is the same
    assert row.verdict == verdict
    assert f"box within {shift:.2g} mm" in row.note


@pytest.mark.parametrize(("shift", "verdict"), [(0.01 - STEP, True), (0.01 + STEP, False)])
def test_both_sides_of_a_check_point(shift, verdict, plate, monkeypatch):
    """The hole is written off its place: volume and box are the same, a point in the hole is nearer to its wall."""
    import cadquery as cq

    (part,) = plate[1].parts
    written = step_files.write_step

    def off(bodies, header):
        box = cq.Workplane().box(30.0, 20.0, THICK, centered=(True, True, False))
        solid = box.cut(cq.Workplane().center(shift, 0.0).circle(HOLE).extrude(THICK)).val()
        return written([replace(body, solid=solid.wrapped) for body in bodies], header)

    monkeypatch.setattr(step_files, "write_step", off)
    model = setup_step(
        [part], Placement(), name="s", tool="t", job_id="PLATE", check_points=[(1.0, 0.0, THICK / 2.0)]
    )
    assert model.proof.point_error == pytest.approx(shift, rel=0, abs=1e-8)
    assert model.proof.box_error < 1e-6
    assert model.proof.volume_error < 1e-9
    assert model.proven is verdict


@pytest.mark.parametrize("check", ["Q05", "Q06"])
def test_not_run_where_nothing_is_drawn_or_written(check, tmp_path):
    (row,) = judged(tmp_path, JOB, {}, check)
    assert (row.verdict, row.value) == ("not_run", None)
    assert row.note.startswith("run by ")
