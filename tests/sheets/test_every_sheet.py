"""What every sheet of the three example jobs must satisfy."""

from __future__ import annotations

import io

import ezdxf
import pytest

from headparts.sheets import conflicts, differences, dimension_readback, missing_or_doubled, render
from headparts.sheets.readback import derived_sizes


def test_every_dimension_equals_the_size_measured_on_the_solid(kit, job, name):
    part, dxf = kit.part(job, name), kit.files(job, name).dxf
    found = dimension_readback(dxf)
    assert found
    for owner, size, value, _ in found:
        assert owner == part.name
        assert abs(value) == pytest.approx(abs(part.measure(size)), abs=1e-6), size


def test_the_library_itself_measures_the_same(kit, job, name):
    """Second route: the DXF library's measurement, times DIMLFAC; angles in degrees."""
    doc = ezdxf.read(io.StringIO(kit.files(job, name).dxf.decode("utf-8")))
    values = {(p, s): v for p, s, v, _ in dimension_readback(kit.files(job, name).dxf)}
    for entity in doc.modelspace().query("DIMENSION"):
        part, size = (tag.value for tag in entity.get_xdata("HEADPARTS")[:2])
        factor = 1.0 if entity.dxf.dimtype & 15 == 5 else entity.override().get("dimlfac")
        assert abs(entity.get_measurement()) * factor == pytest.approx(values[part, size], abs=1e-6)


def test_every_size_stands_on_the_sheet_once(kit, job, name):
    assert missing_or_doubled(kit.part(job, name), kit.files(job, name).dxf) == ([], [])


def test_nothing_overlaps(kit, job, name):
    assert conflicts(kit.drawing(job, name)) == ()


def test_the_dxf_passes_its_audit(kit, job, name):
    audit = ezdxf.read(io.StringIO(kit.files(job, name).dxf.decode("utf-8"))).audit()
    assert (audit.errors, audit.fixes) == ([], [])


def test_texts_are_legible_in_the_file(kit, job, name):
    doc = ezdxf.read(io.StringIO(kit.files(job, name).dxf.decode("utf-8")))
    texts = list(doc.modelspace().query("TEXT"))
    texts += [
        t for d in doc.modelspace().query("DIMENSION") for t in doc.blocks.get(d.dxf.geometry).query("TEXT")
    ]
    assert len(texts) > 40
    assert min(t.dxf.height for t in texts) >= 2.5


def test_title_block_status_and_projection_are_filled(kit, job, name):
    drawing, part, context = kit.drawing(job, name), kit.part(job, name), kit.context(job, name)
    shown = set(drawing.texts)
    status = {"proposal": "PROPOSAL", "measured": "MEASURED"}[context.status]
    for text in (
        context.job_id,
        context.part_title,
        context.number,
        context.model_file,
        context.general_tolerance,
        f"{part.volume:.2f} mm³",
        f"{part.mass:.2f} g",
        status,
    ):
        assert text in shown, text


def test_the_main_view_is_large_enough_or_the_sheet_is_the_largest_that_helps(kit, job, name):
    assert kit.drawing(job, name).main_width >= 80.0


def test_other_views_lie_beside_the_main_one_and_hatching_is_there(kit, job, name):
    doc = ezdxf.read(io.StringIO(kit.files(job, name).dxf.decode("utf-8")))
    hatches = [h for h in doc.modelspace().query("HATCH") if h.dxf.layer == "HATCH"]
    assert bool(hatches) == (not name.startswith("spacer"))


@pytest.mark.parametrize(
    ("who", "size", "by"),
    [
        ("bushing_intake", "body_diameter", 0.01),
        ("spacer", "hole_diameter", 0.01),
        ("sleeve_intake", "inner_diameter", 0.01),
    ],
)
def test_a_changed_radius_shows_as_a_difference(kit, who, size, by):
    """The sheet of the part as planned, set against a solid one radius of which is 0.005 larger."""
    from dataclasses import replace

    from headparts.parts import bushing, sleeve, spacer
    from headparts.parts.from_plan import bushing_parameters, sleeve_parameters

    job = "generator_62cc"
    plan, part = kit.plan(job), kit.part(job, who)
    if who == "spacer":
        from headparts.parts import SpacerParameters

        changed = spacer(SpacerParameters(18.0, 14.0, 2.4, 8.4 + by), who)
    elif who == "sleeve_intake":
        wanted = sleeve_parameters(plan.repairs[who])
        changed = sleeve(replace(wanted, inner_diameter=wanted.inner_diameter + by), who)
    else:
        wanted = bushing_parameters(plan.stations["intake"])
        changed = bushing(replace(wanted, body_diameter=wanted.body_diameter + by), who)
    same = differences(part, kit.files(job, who).dxf)
    assert max(abs(v) for v in same.values()) < 1e-6
    other = differences(part, kit.files(job, who).dxf, changed.solid)
    assert other[size] == pytest.approx(-by, abs=1e-6)
    assert size not in derived_sizes(part)


def test_making_a_sheet_again_gives_the_same_bytes(kit):
    from headparts.sheets import bushing_sheet

    part, context = kit.part("pump_26cc", "bushing_intake"), kit.context("pump_26cc", "bushing_intake")
    assert render(bushing_sheet(part, context)) == kit.files("pump_26cc", "bushing_intake")
