"""Sheet sizes, dimension layout, stacking, packing, and the conflict checker itself."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from headparts.drafting.blocks import TITLE_WIDTH, TitleFields, boxed, notes, stamp, table
from headparts.drafting.conflicts import conflicts_of, cross, polygons_meet, segment_meets
from headparts.drafting.dimension import Dimension, lay_angle, lay_linear, lay_radius
from headparts.drafting.drawing import Piece, compose, conflicts
from headparts.drafting.ink import HEIGHT, Hatch, Ink, Item, Stroke, Text
from headparts.drafting.sheet import Sheet
from headparts.drafting.stacking import FIRST, stack
from headparts.drafting.view import Cluster, View, scale_text
from headparts.errors import GeometryError, ParameterError
from headparts.geometry.curves import Line

RECTANGLE = tuple(
    Line(a, b)
    for a, b in (
        ((0.0, 0.0), (20.0, 0.0)),
        ((20.0, 0.0), (20.0, 10.0)),
        ((20.0, 10.0), (0.0, 10.0)),
        ((0.0, 10.0), (0.0, 0.0)),
    )
)


def view(scale: float = 2.0) -> Cluster:
    return Cluster(View("plate", scale, (("OUTLINE", RECTANGLE),)))


@pytest.mark.parametrize(
    ("name", "width", "height", "space"),
    [
        ("A4", 210.0, 297.0, (180.0, 277.0)),
        ("A3", 420.0, 297.0, (390.0, 277.0)),
        ("A2", 594.0, 420.0, (564.0, 400.0)),
    ],
)
def test_sheets_have_the_sizes_and_margins_of_iso_5457_1999(name, width, height, space):
    """A4 upright, A3 lying 297 x 420; drawing space 180 x 277 and 390 x 277 (margins 20 and 10)."""
    sheet = Sheet(name)
    assert (sheet.width, sheet.height) == (width, height)
    x0, y0, x1, y1 = sheet.space
    assert (x1 - x0, y1 - y0) == space
    assert x0 == 20.0
    letters = {t.text for t in sheet.frame().ink.texts}
    assert not letters & {"I", "O"}


def test_an_unknown_sheet_is_refused():
    with pytest.raises(ParameterError, match="A7"):
        Sheet("A7")


def test_the_number_is_measured_between_the_points():
    assert Dimension("p", "s", "linear", ((0.0, 0.0), (3.0, 4.0))).value == pytest.approx(3.0)
    assert Dimension("p", "s", "linear", ((0.0, 0.0), (3.0, 4.0)), 90.0).value == pytest.approx(4.0)
    slope = math.degrees(math.atan2(4.0, 3.0))
    assert Dimension("p", "s", "linear", ((3.0, 4.0), (0.0, 0.0)), slope).value == pytest.approx(5.0)
    assert Dimension("p", "s", "radius", ((0.0, 0.0), (3.0, 4.0))).value == pytest.approx(5.0)
    corner = Dimension("p", "s", "angle", ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)))
    assert corner.value == pytest.approx(45.0)
    assert corner.label.main == "45°"
    other_way = replace(corner, points=((0.0, 0.0), (1.0, 1.0), (1.0, 0.0)))
    assert other_way.value == pytest.approx(315.0)
    with pytest.raises(GeometryError):
        Dimension("p", "s", "angle", ((0.0, 0.0), (1.0, 0.0)))


def test_a_text_without_room_goes_beyond_the_line():
    narrow = Dimension("p", "s", "linear", ((0.0, 0.0), (1.234, 0.0)))
    laid = lay_linear(narrow, 5.0, (0.0, -10.0), "centre")
    assert laid.text_at[0] > 1.234 * 5.0
    wide = lay_linear(replace(narrow, points=((0.0, 0.0), (20.0, 0.0))), 5.0, (0.0, -10.0), "centre")
    assert wide.text_at[0] == pytest.approx(50.0)
    assert wide.text_at[1] > -10.0


def test_upright_dimensions_read_from_the_right():
    laid = lay_linear(Dimension("p", "s", "linear", ((0.0, 0.0), (0.0, 20.0)), -90.0), 2.0, (-12.0, 0.0))
    assert all(t.turn == 90.0 for t in laid.ink.texts)
    assert laid.text_at[0] < -12.0


def test_angles_and_radii_put_their_arrows_on_the_legs_and_the_arc():
    laid = lay_angle(Dimension("p", "s", "angle", ((0.0, 0.0), (5.0, 0.0), (0.0, 5.0))), 1.0, 20.0)
    tips = sorted(f.points[0] for f in laid.ink.fills)
    assert tips[0] == pytest.approx((0.0, 20.0), abs=1e-9)
    assert tips[1] == pytest.approx((20.0, 0.0), abs=1e-9)
    laid = lay_radius(Dimension("p", "s", "radius", ((0.0, 0.0), (3.0, 0.0))), 2.0, (12.0, 8.0))
    assert laid.ink.fills[0].points[0] == pytest.approx((6.0, 0.0))


def test_stacked_lengths_from_one_edge_lie_shortest_inside_without_crossing():
    sizes = [Dimension("p", f"l{n}", "linear", ((0.0, 0.0), (float(n), 0.0))) for n in (20, 5, 12, 9)]
    laid = stack(sizes, "bottom", 5.0, (0.0, 0.0, 100.0, 50.0))
    depth = {item.dimension.size: -item.line_at[1] for item in laid}
    assert depth["l5"] < depth["l9"] < depth["l12"] < depth["l20"]
    assert depth["l5"] >= FIRST
    items = [Item("dimension", item.dimension.size, item.ink, dimension=item) for item in laid]
    assert conflicts_of(items) == ()


def test_stacking_keeps_clear_of_obstacles():
    size = Dimension("p", "l", "linear", ((0.0, 0.0), (20.0, 0.0)))
    (free,) = stack([size], "top", 2.0, (0.0, 0.0, 40.0, 20.0))
    (moved,) = stack([size], "top", 2.0, (0.0, 0.0, 40.0, 20.0), [(10.0, 22.0, 30.0, 36.0)])
    assert free.line_at[1] < 36.0 < moved.line_at[1]


def words(text: str, x: float, y: float, **more: float) -> Item:
    return Item("label", f"label {text}", Ink(texts=(Text((x, y), text, **more),)))  # type: ignore[arg-type]


def test_the_checker_sees_each_kind_of_conflict():
    one = words("one", 50.0, 50.0)
    assert conflicts_of([one, words("two", 52.0, 51.0)])
    assert conflicts_of([one, words("two", 80.0, 51.0)]) == ()
    line = Item("symbol", "a line", Ink((Stroke(Line((45.0, 51.0), (70.0, 52.0))),)))
    assert "runs through 'one'" in conflicts_of([one, line])[0]
    square = (
        Line((40.0, 40.0), (70.0, 40.0)),
        Line((70.0, 40.0), (70.0, 70.0)),
        Line((70.0, 70.0), (40.0, 70.0)),
        Line((40.0, 70.0), (40.0, 40.0)),
    )
    assert (
        "hatching"
        in conflicts_of(
            [
                one,
                Item(
                    "view",
                    "metal",
                    Ink(hatches=(Hatch((square,)),), strokes=tuple(Stroke(c) for c in square)),
                ),
            ]
        )[0]
    )
    assert "leaves the drawing space" in conflicts_of([words("far", 199.0, 5.0)], Sheet("A4").space)[0]
    assert "only 1.8 mm high" in conflicts_of([words("small", 50.0, 50.0, height=1.8)])[0]
    block = Item("block", "notes", notes(["some text that stands here"], 60.0).moved((40.0, 40.0)))
    across = Item("symbol", "a line", Ink((Stroke(Line((30.0, 42.0), (70.0, 42.5))),)))
    assert conflicts_of([block, across]) == ("a line overlaps notes",)


def test_the_checker_sees_crossed_dimension_lines_but_not_shared_edges():
    outer = lay_linear(Dimension("p", "long", "linear", ((0.0, 0.0), (60.0, 0.0))), 1.0, (0.0, -12.0))
    inner = lay_linear(Dimension("p", "short", "linear", ((0.0, 0.0), (30.0, 0.0))), 1.0, (0.0, -22.0))
    items = [Item("dimension", laid.dimension.size, laid.ink, dimension=laid) for laid in (outer, inner)]
    assert any("cross" in text for text in conflicts_of(items))
    swapped = [
        lay_linear(laid.dimension, 1.0, (0.0, depth)) for laid, depth in ((outer, -22.0), (inner, -12.0))
    ]
    assert conflicts_of([Item("dimension", s.dimension.size, s.ink, dimension=s) for s in swapped]) == ()


def test_geometry_of_the_checker():
    assert cross(((0.0, 0.0), (10.0, 0.0)), ((5.0, -5.0), (5.0, 5.0)), 0.3)
    assert not cross(((0.0, 0.0), (10.0, 0.0)), ((5.0, 0.1), (5.0, 5.0)), 0.3)
    assert cross(((0.0, 0.0), (10.0, 0.0)), ((5.0, 0.0), (15.0, 0.0)), 0.3)
    assert not cross(((0.0, 0.0), (10.0, 0.0)), ((5.0, 1.0), (15.0, 1.0)), 0.3)
    square = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))
    turned = ((3.0, 1.0), (4.0, 2.0), (3.0, 3.0), (2.0, 2.0))
    assert not polygons_meet(square, turned)
    assert polygons_meet(square, tuple((x - 0.6, y - 0.6) for x, y in turned))
    assert segment_meets(((-1.0, 1.0), (3.0, 1.0)), square, (0.0, 0.0, 2.0, 2.0))
    assert not segment_meets(((-1.0, 1.5), (1.0, 3.5)), square, (0.0, 0.0, 2.0, 2.0))


def test_packing_leaves_no_overlap_and_says_what_found_no_room():
    pieces = [
        Piece("plate", [view(5.0)], (0.0, 1.0)),
        Piece("notes", [notes(["a note"] * 5, 80.0)], (1.0, 0.5)),
        Piece("stamp", [stamp(("PROPOSAL", "not measured"))], (1.0, 1.0)),
        Piece("caution", [boxed("CAUTION", ["mind the dust " * 10], w) for w in (120.0, 80.0)], (0.0, 0.0)),
    ]
    drawing = compose("d", Sheet("A3"), TitleFields(title="Plate"), pieces, 5.0)
    assert drawing.missing == ()
    assert conflicts(drawing) == ()
    assert drawing.main_width == pytest.approx(100.0)
    crowded = compose("d", Sheet("A4"), TitleFields(), [*pieces, Piece("more", [view(20.0)])], 5.0)
    assert "more" in crowded.missing
    assert "no room for more" in conflicts(crowded)


def test_the_title_block_shows_every_field_inside_itself():
    fields = TitleFields(
        **{
            name: f"{name} text"
            for name in TitleFields.__dataclass_fields__
            if name not in ("first_angle", "scale", "language", "revision", "sheet", "date")
        },
        scale="5:1",
        language="en",
        revision="B",
        sheet="1/2",
        date="2025-01-15",
    )
    drawing = compose("d", Sheet("A4"), fields, [], 1.0)
    shown = set(drawing.texts)
    for name in TitleFields.__dataclass_fields__:
        if name != "first_angle":
            assert getattr(fields, name) in shown, name
    assert conflicts(drawing) == ()
    assert drawing.sheet.space[2] - drawing.sheet.space[0] == TITLE_WIDTH


def test_first_and_third_angle_symbols_have_the_circles_on_opposite_sides():
    """ISO 5456-2: circles right of the cone for first angle, left for third; the cone's small end lies left."""
    from headparts.drafting.symbols import projection_symbol
    from headparts.geometry.curves import Arc

    for first, side in ((True, 1.0), (False, -1.0)):
        ink = projection_symbol((0.0, 0.0), first)
        rings = [s.curve for s in ink.strokes if isinstance(s.curve, Arc)]
        cone = [s.curve for s in ink.strokes if s.layer == "TEXT" and isinstance(s.curve, Line)]
        xs = [p[0] for c in cone for p in (c.start, c.end)]
        assert all(side * ring.centre[0] > side * sum(xs) / len(xs) for ring in rings)
        heights = {
            x: max(abs(p[1]) for c in cone for p in (c.start, c.end) if abs(p[0] - x) < 1e-9)
            for x in (min(xs), max(xs))
        }
        assert heights[min(xs)] < heights[max(xs)]


def test_scales_are_written_as_on_drawings():
    assert [scale_text(s) for s in (10.0, 1.0, 0.5, 0.2)] == ["10:1", "1:1", "1:2", "1:5"]


def test_a_text_that_does_not_fit_its_cell_is_reported():
    ink = table(("head",), [("far too long for so narrow a column of a table",)], (12.0,))
    assert conflicts_of([Item("block", "t", ink.moved((30.0, 100.0)))])
    assert HEIGHT == 3.5
