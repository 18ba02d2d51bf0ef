"""Sleeve, spacer, head bore plan and section picture."""

from __future__ import annotations

import io
import math

import ezdxf
import pytest

from headparts.errors import GeometryError
from headparts.parts import SleeveParameters, SpacerParameters, sleeve, spacer
from headparts.parts.head_from_plan import head_part
from headparts.parts.sleeve import saddle_height
from headparts.sheets import (
    SheetContext,
    Tolerance,
    WallMark,
    conflicts,
    differences,
    head_bores_sheet,
    missing_or_doubled,
    render,
    section_picture,
    sleeve_sheet,
    spacer_sheet,
)
from headparts.sheets.common import Readings
from headparts.sheets.sleeve import Edge


def test_the_developed_edge_is_the_saddles_own(kit):
    """Against the closed form z = (r cos a cos t + sqrt(R^2 - (r sin a)^2)) / sin t, and the generator lengths
    18.636 ... 26.340 that an independent calculation gives for this sleeve."""
    edge = Edge(Readings(kit.part("generator_62cc", "sleeve_intake")))
    turn = math.degrees(math.acos(edge.saddle.direction[2]))
    for angle in range(0, 360, 7):
        for radius in (edge.outer, edge.inner):
            wanted = saddle_height(radius, math.radians(angle), 11.0, turn, 0.0)
            assert edge.height(radius, angle) == pytest.approx(wanted, abs=1e-9)
    assert edge.length(edge.outer, edge.extreme(False)) == pytest.approx(18.636, abs=2e-3)
    assert edge.length(edge.outer, edge.extreme(True)) == pytest.approx(26.340, abs=2e-3)


def test_the_sleeve_sheet_tells_how_to_file_and_bond(kit):
    part = kit.part("generator_62cc", "sleeve_intake")
    sheet = sleeve_sheet(
        part,
        kit.context(
            "generator_62cc",
            "sleeve_intake",
            notes=("Bond gap 0.05 to 0.10 on the diameter.",),
            cautions=("Gloves.",),
        ),
    )
    assert conflicts(sheet) == ()
    assert {i.name for i in sheet.items if i.kind == "view"} == {"section", "developed view"}
    joined = " ".join(sheet.texts)
    for text in ("Bond gap", "CAUTION", "clock line", "(0.395)", "R11", "18.64", "Outside: face to edge"):
        assert text in joined, text


@pytest.mark.parametrize(
    "change",
    [
        {"inner_end": "square"},
        {"inner_end": "chamfer", "inner_chamfer": 0.3},
        {"axis_offset": 0.8},
        {"outer_end": "flange", "flange_diameter": 19.0, "flange_thickness": 0.5},
        {"axis_angle": 100.0},
    ],
    ids=["square", "chamfer", "offset", "flange", "falling"],
)
def test_other_sleeves_are_complete_and_true(change):
    sizes = {
        "outer_diameter": 15.79,
        "inner_diameter": 15.0,
        "face_distance": 34.0,
        "saddle_radius": 11.0,
        "axis_angle": 66.75,
    }
    part = sleeve(SleeveParameters(**(sizes | change)), "odd")
    sheet = sleeve_sheet(part, SheetContext())
    assert sheet.missing == ()
    dxf = render(sheet).dxf
    assert missing_or_doubled(part, dxf) == ([], [])
    assert max(abs(v) for v in differences(part, dxf).values()) < 1e-6


@pytest.mark.parametrize("projection", ["first_angle", "third_angle"])
def test_spacers_with_and_without_extras(projection):
    part = spacer(SpacerParameters(26.0, 10.0, 2.0, 6.4, 2.5, (8.0, -1.2), 0.3), "plate", density=2.7)
    sheet = spacer_sheet(part, SheetContext(projection=projection, quantity=2))
    dxf = render(sheet).dxf
    assert missing_or_doubled(part, dxf) == ([], [])
    assert max(abs(v) for v in differences(part, dxf).values()) < 1e-6
    assert conflicts(sheet) == ()
    labels = {laid.dimension.size: laid.dimension.label for laid in sheet.dimensions}
    assert labels["thickness"].main == "2 ±0.01"
    assert labels["chamfer"].plain == "0.3 × 45°"
    plan, side = sheet.places["plan"], sheet.places["side view"]
    assert (side[1] < plan[1]) == (projection == "first_angle")


@pytest.fixture(scope="module")
def head(kit):
    return head_part(kit.plan("sprayer_10cc"))


def test_the_bore_plan_places_every_bore(kit, head):
    tolerances = {f"body_bore_{s}_diameter": Tolerance("H7", 0.018, 0.0) for s in ("intake", "exhaust")}
    walls = (WallMark("body_bore_exhaust~body_bore_intake", 0.75, (0.0, 0.0, 8.0), (0.75, 0.0, 8.0)),)
    sheet = head_bores_sheet(head, kit.context("sprayer_10cc", "head", tolerances=tolerances), walls)
    assert conflicts(sheet) == ()
    dxf = render(sheet).dxf
    found = differences(head, dxf)
    assert max(abs(v) for v in found.values()) < 1e-6
    for station in ("intake", "exhaust"):
        for size in ("x", "y", "tilt", "diameter", "step_depth"):
            assert f"body_bore_{station}_{size}" in found
        assert f"shank_bore_{station}_diameter" in found
    shown = set(sheet.texts)
    # axis (6.10, 0.80, 3.45) at tilt 5, azimuth 0 passes the joint face at x = 6.1 - 3.45 tan 5 = 5.798
    assert "5.798" in shown
    for cavity in ("tunnel in", "tunnel ex", "stud 1", "plug hole", "intake", "exhaust"):
        assert cavity in shown, cavity
    assert "body_bore_exhaust~body_bore_intake" in shown
    assert not ezdxf.read(io.StringIO(dxf.decode("utf-8"))).audit().errors


def test_a_section_picture_shows_hatching_names_and_walls(head):
    svg = section_picture(
        head,
        (0.0, 0.8, 0.0),
        (0.0, -1.0, 0.0),
        (1.0, 0.0, 0.0),
        {"intake": (6.1, 0.8, 8.0)},
        [WallMark("web", 0.75, (-0.4, 0.8, 8.0), (0.35, 0.8, 8.0))],
    )
    text = svg.decode("utf-8")
    assert text.startswith("<?xml")
    bare = section_picture(head, (0.0, 0.8, 0.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
    assert len(svg) > len(bare) > 3000
    with pytest.raises(GeometryError, match="misses"):
        section_picture(head, (0.0, 99.0, 0.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
