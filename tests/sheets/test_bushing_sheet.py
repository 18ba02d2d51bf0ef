"""The bushing's sheet: views, tolerances, marks, notes, refusals."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import ezdxf
import pytest

from headparts.errors import OutputError, ParameterError
from headparts.parts import BushingParameters, bushing
from headparts.sheets import (
    SheetContext,
    Tolerance,
    bushing_sheet,
    conflicts,
    dimension_readback,
    missing_or_doubled,
    render,
)


@pytest.fixture(scope="module")
def sheet(kit):
    return kit.drawing("pump_26cc", "bushing_intake")


def test_views_section_gas_face_from_above_and_details(sheet):
    views = {i.name for i in sheet.items if i.kind == "view"}
    assert views == {"section A-A", "gas face C", "view D", "detail B", "detail F"}
    shown = list(sheet.texts)
    assert shown.count("A") >= 2  # both ends of the cutting plane
    for letter in ("A-A", "D", "E", "G"):
        assert letter in shown


def test_the_section_goes_through_both_axes_and_its_hatch_has_the_exact_area(kit):
    """The hatch's area on the paper against the kernel's own area of the section, times the scale squared."""
    from headparts.geometry.curves import area_of
    from headparts.solids.section import Plane, section

    part = kit.part("pump_26cc", "bushing_intake")
    (view,) = [i for i in kit.drawing("pump_26cc", "bushing_intake").items if i.name == "section A-A"]
    drawn = sum(area_of(h.loops[0]) - sum(area_of(hole) for hole in h.loops[1:]) for h in view.ink.hatches)
    scale = kit.drawing("pump_26cc", "bushing_intake").scale
    cut = sum(f.area for f in section(part.solid, Plane((0, 0, 0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))))
    assert scale == 5.0
    assert drawn == pytest.approx(cut * scale * scale, rel=1e-6)


def test_tolerances_are_written_as_asked(sheet):
    labels = {laid.dimension.size: laid.dimension.label for laid in sheet.dimensions}
    assert labels["body_diameter"].main == "Ø16.534 ±0.003"
    assert (labels["guide_bore"].main, labels["guide_bore"].upper, labels["guide_bore"].lower) == (
        "Ø4 H7",
        "+0.012",
        "0",
    )
    assert (labels["gas_face_to_shoulder"].upper, labels["gas_face_to_shoulder"].lower) == ("0", "-0.02")
    assert labels["shank_length"].main == "(17.7)"
    assert labels["seat_angle"].main == "45° ±0.25°"
    assert labels["seat_width"].main == "1 ±0.1"


def test_stamp_cautions_warnings_and_notes_stand_on_the_sheet(kit):
    part = kit.part("pump_26cc", "bushing_intake")
    context = kit.context(
        "pump_26cc",
        "bushing_intake",
        stamp="NOT RELEASED: W04, S05",
        warnings=("F05: bridge hot",),
        cautions=("Beryllium: no dry grinding, no sanding.",),
        notes=("Press with the mark at C.",),
    )
    sheet = bushing_sheet(part, context)
    assert conflicts(sheet) == ()
    for text in ("NOT RELEASED", "W04, S05", "status: PROPOSAL", "CAUTION", "WARNING", "F05: bridge hot"):
        assert text in sheet.texts, text
    big = [t for i in sheet.items for t in i.ink.texts if t.text == "NOT RELEASED"]
    assert big[0].height >= 7.0
    joined = " ".join(sheet.texts)
    assert "no dry grinding" in joined
    assert "Ø3.85" in joined
    assert "(0.707)" in joined


def test_without_a_fit_the_sheet_says_so(kit):
    part = kit.part("pump_26cc", "bushing_intake")
    sheet = bushing_sheet(part, SheetContext(sheet_size="A3"))
    assert "no fit is given" in " ".join(sheet.texts)


SIZES = BushingParameters(
    body_diameter=22.05,
    body_length=24.0,
    shank_diameter=10.01,
    top_s=49.0,
    guide_bore=5.5,
    throat_diameter=17.2,
    roof_s=20.5,
    seat_outer_diameter=19.1,
    seat_width=1.2,
)


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"window_diameter": 15.0, "window_s": 8.5},
        {
            "window_diameter": 15.0,
            "window_s": 9.5,
            "window_elevation": -10.0,
            "relief_width": 1.0,
            "relief_depth": 0.5,
        },
        {"window_diameter": 13.0, "window_s": 9.5, "window_elevation": 20.0, "window_offset": 1.0},
        {"boss_diameter": 10.0, "boss_length": 8.0, "boss_cone_angle": 20.0},
        {"body_lead_length": 2.0, "face_above_datum": 0.2, "clock_flat": False},
    ],
    ids=["bare", "square window", "falling port", "offset port", "boss", "no flat"],
)
def test_other_bushings_are_complete_and_true_too(change):
    part = bushing(replace(SIZES, **change), "odd")
    sheet = bushing_sheet(part, SheetContext(clock_azimuth=-40.0))
    dxf = render(sheet).dxf
    assert missing_or_doubled(part, dxf) == ([], [])
    for _, size, value, _ in dimension_readback(dxf):
        assert value == pytest.approx(abs(part.measure(size)), abs=1e-6)


def test_the_azimuth_of_the_window_is_drawn_counter_clockwise_from_c(kit):
    """Window at azimuth 40 from C, drawn upward: C lies 40 degrees clockwise of it, seen from above."""
    sheet = kit.drawing("sprayer_10cc", "bushing_intake")
    (mark,) = [i for i in sheet.items if i.name == "azimuth zero"]
    line = mark.ink.strokes[0].curve
    angle = math.degrees(math.atan2(line.end[1] - line.start[1], line.end[0] - line.start[0]))
    assert angle == pytest.approx(50.0)
    assert "at azimuth 40°" in sheet.texts


def test_a_dimension_without_a_name_is_refused(kit):
    doc = ezdxf.read(io.StringIO(kit.files("pump_26cc", "spacer").dxf.decode("utf-8")))
    doc.modelspace().query("DIMENSION")[0].discard_xdata("HEADPARTS")
    stream = io.StringIO()
    doc.write(stream)
    with pytest.raises(OutputError, match="does not name"):
        dimension_readback(stream.getvalue().encode("utf-8"))


def test_a_moved_definition_point_is_noticed(kit):
    doc = ezdxf.read(io.StringIO(kit.files("pump_26cc", "spacer").dxf.decode("utf-8")))
    entity = next(d for d in doc.modelspace().query("DIMENSION") if d.dxf.dimtype & 15 == 0)
    entity.dxf.defpoint2 = entity.dxf.defpoint2 + ezdxf.math.Vec3(0.01, 0.01, 0.0)
    stream = io.StringIO()
    doc.write(stream)
    with pytest.raises(OutputError, match="stored measurement"):
        dimension_readback(stream.getvalue().encode("utf-8"))


@pytest.mark.parametrize(
    "wrong", [{"status": "draft"}, {"projection": "sideways"}, {"scale_hint": "large"}, {"scale_hint": "0:1"}]
)
def test_a_bad_context_is_refused(wrong):
    with pytest.raises(ParameterError, match=next(iter(wrong))):
        SheetContext(**wrong)


def test_a_scale_hint_is_followed_where_the_view_stays_large_enough(kit):
    part = kit.part("generator_62cc", "bushing_intake")
    hinted = bushing_sheet(part, kit.context("generator_62cc", "bushing_intake", scale_hint="2:1"))
    assert any(t.startswith("2:1") for t in hinted.texts)
    assert Tolerance().symmetric is False


def test_overlong_and_hostile_texts_spoil_nothing(kit):
    """A title of 90 letters, one word of 120, and the format's own codes: all shown, nothing overlaps, file intact."""
    part = kit.part("pump_26cc", "bushing_intake")
    title = "A title block can not hold a title of this length, whoever wrote it meant well all the same"
    context = kit.context(
        "pump_26cc",
        "bushing_intake",
        part_title=title,
        job_title="bore %%c 10 ^I\nEOF\n0\nSECTION",
        warnings=("W" * 120,),
        corner_radius_max=0.2,
        head_corner_radius=0.4,
    )
    sheet = bushing_sheet(part, context)
    assert conflicts(sheet) == ()
    joined = " ".join(sheet.texts)
    assert "whoever wrote it meant well all the same" in joined.replace("  ", " ")
    assert "R 0.2 at most; the head's step has R 0.4 at most." in joined
    doc = ezdxf.read(io.StringIO(render(sheet).dxf.decode("utf-8")))
    assert not doc.audit().errors
    assert any(t.plain_text() == "bore %%c 10 ^I EOF 0 SECTION" for t in doc.modelspace().query("TEXT"))
