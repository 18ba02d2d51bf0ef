"""DXF, SVG and PDF of a drawing: entities, scale, same bytes, audit."""

from __future__ import annotations

import io
import math
import random
import re
import subprocess
import sys
import zlib

import ezdxf
import pytest

from headparts.drafting.blocks import TitleFields
from headparts.drafting.dimension import Dimension, lay_angle, lay_linear, lay_radius
from headparts.drafting.drawing import Drawing, Piece, compose
from headparts.drafting.ink import Item
from headparts.drafting.render import Rendered, render
from headparts.drafting.sheet import Sheet
from headparts.drafting.tolerance import Tolerance
from headparts.drafting.view import Cluster, View
from headparts.geometry.curves import Arc, Line, circle

OUTER = (
    Line((0.0, 0.0), (20.0, 0.0)),
    Arc((20.0, 5.0), 5.0, -90.0, 180.0),
    Line((0.0, 10.0), (20.0, 10.0)),
    Line((0.0, 10.0), (0.0, 0.0)),
)
HOLE = (circle((8.0, 5.0), 2.0),)
SCALE = 5.0


def drawing() -> Drawing:
    cluster = Cluster(
        View(
            "plate",
            SCALE,
            (("OUTLINE", (*OUTER, *HOLE)), ("CENTRE", (Line((-2.0, 5.0), (27.0, 5.0)),))),
            ((OUTER, HOLE),),
        )
    )
    rows = [
        lay_linear(
            Dimension(
                "plate", "length", "linear", ((0.0, 0.0), (25.0, 5.0)), 0.0, Tolerance(upper=0.0, lower=-0.02)
            ),
            SCALE,
            (0.0, -14.0),
        ),
        lay_linear(
            Dimension(
                "plate", "width", "diameter", ((0.0, 0.0), (0.0, 10.0)), 90.0, Tolerance("s6", 0.039, 0.028)
            ),
            SCALE,
            (-14.0, 0.0),
        ),
        lay_radius(Dimension("plate", "end", "radius", ((20.0, 5.0), (25.0, 5.0))), SCALE, (140.0, 60.0)),
        lay_radius(Dimension("plate", "hole", "circle", ((6.0, 5.0), (10.0, 5.0))), SCALE, (60.0, 66.0)),
        lay_angle(
            Dimension("plate", "corner", "angle", ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0))), SCALE, 130.0
        ),
    ]
    for laid in rows:
        cluster.put(Item("dimension", laid.dimension.size, laid.ink, dimension=laid))
    return compose(
        "plate", Sheet("A3"), TitleFields(title="Plate"), [Piece("plate", [cluster], (0.1, 0.9))], SCALE
    )


@pytest.fixture(scope="module")
def files() -> Rendered:
    return render(drawing())


@pytest.fixture(scope="module")
def doc(files):
    return ezdxf.read(io.StringIO(files.dxf.decode("utf-8")))


def test_the_dxf_passes_the_audit_and_is_in_millimetres(doc):
    audit = doc.audit()
    assert not audit.errors
    assert not audit.fixes
    assert doc.header["$INSUNITS"] == 4


def test_dimensions_carry_measurement_scale_names_and_tolerances(doc):
    found = {d.get_xdata("HEADPARTS")[1].value: d for d in doc.modelspace().query("DIMENSION")}
    assert set(found) == {"length", "width", "end", "hole", "corner"}
    for size, value in (("length", 25.0), ("width", 10.0), ("end", 5.0), ("hole", 4.0)):
        entity = found[size]
        assert entity.override().get("dimlfac") == pytest.approx(1.0 / SCALE)
        # two routes: the library's own measurement from the definition points, and what is stored
        assert entity.get_measurement() / SCALE == pytest.approx(value, abs=1e-9)
        assert entity.dxf.actual_measurement / SCALE == pytest.approx(value, abs=1e-9)
    assert found["corner"].get_measurement() == pytest.approx(45.0, abs=1e-9)
    assert found["corner"].dxf.actual_measurement == pytest.approx(math.pi / 4.0, abs=1e-12)
    style = found["width"].override()
    assert (style.get("dimtol"), style.get("dimtp"), style.get("dimtm")) == (1, 0.039, -0.028)
    assert style.get("dimpost") == "%%c<> s6"
    assert style.get("dimtdec") == 3
    assert [d.get_xdata("HEADPARTS")[0].value for d in found.values()] == ["plate"] * 5
    for entity in found.values():
        assert len(doc.blocks.get(entity.dxf.geometry)) >= 4


def test_curves_stay_exact(doc):
    space = doc.modelspace()
    assert any(a.dxf.radius == pytest.approx(25.0) for a in space.query("ARC[layer=='OUTLINE']"))
    assert [c.dxf.radius for c in space.query("CIRCLE[layer=='OUTLINE']")] == [pytest.approx(10.0)]


def test_the_hatch_has_its_hole_and_its_area(doc):
    """Rectangle 20 x 10 with a half disc of radius 5, less a hole of radius 2, times the scale squared."""
    (hatch,) = [h for h in doc.modelspace().query("HATCH") if h.dxf.layer == "HATCH"]
    areas = []
    for path in hatch.paths.rendering_paths():
        from ezdxf.math import area
        from ezdxf.path import from_hatch_boundary_path

        areas.append(area(list(from_hatch_boundary_path(path).flattening(0.001))))
    outer, inner = sorted(areas, reverse=True)
    assert outer == pytest.approx((200.0 + 12.5 * math.pi) * 25.0, rel=1e-4)
    # the reading library turns a circle into four cubics, whose radius is up to 2.7e-4 too large
    assert inner == pytest.approx(4.0 * math.pi * 25.0, rel=6e-4)


def test_svg_and_pdf_are_true_to_scale(files):
    svg = files.svg.decode("utf-8")
    assert 'width="420mm" height="297mm" viewBox="0 0 42000 29700"' in svg
    box = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", files.pdf)
    assert [float(v) for v in box.groups()] == pytest.approx(
        [420.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0], abs=1e-3
    )


def test_the_pdf_holds_the_strokes_where_the_dxf_has_them(files):
    """The frame's lower left corner (20, 10) and upper right one (410, 287) in millimetres of the page."""
    data = re.search(rb"stream\n(.*?)\nendstream", files.pdf, re.S).group(1)
    content = zlib.decompress(data).decode("latin-1")
    assert content.startswith("2.834646 0 0 2.834646 0 0 cm")
    assert re.search(r"20\.000 10\.000 m 410\.000 10\.000 l", content)
    offsets = [int(n) for n in re.findall(rb"(\d{10}) 00000 n", files.pdf)]
    assert all(files.pdf[at:].startswith(f"{n} 0 obj".encode()) for n, at in enumerate(offsets, start=1))


def test_texts_can_be_searched_in_pdf_and_svg(files):
    data = re.search(rb"stream\n(.*?)\nendstream", files.pdf, re.S).group(1)
    content = zlib.decompress(data).decode("latin-1")
    assert "(Ø10 s6) Tj" in content
    assert "(+0.039) Tj" in content
    assert "\nØ10 s6\n" in files.svg.decode("utf-8")


def test_the_same_drawing_gives_the_same_bytes_and_leaves_random_alone(files):
    random.seed(7)
    before = random.getstate()
    assert render(drawing()) == files
    assert random.getstate() == before
    assert ezdxf.options.write_fixed_meta_data_for_testing is False


def test_bytes_do_not_depend_on_the_process():
    code = (
        "import sys, hashlib; sys.path.insert(0, {folder!r}); import test_files as t; r = t.render(t.drawing());"
        "print(hashlib.sha256(r.dxf + r.svg + r.pdf).hexdigest())"
    )
    folder = __file__.rsplit("test_files.py", 1)[0]
    runs = {
        subprocess.run(
            [sys.executable, "-c", code.format(folder=folder)],
            capture_output=True,
            text=True,
            check=True,
            env={"PYTHONHASHSEED": seed, "PATH": ""},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(runs) == 1


def test_drafting_loads_no_library_before_the_first_sheet():
    code = "import sys, headparts.drafting; print([m for m in ('ezdxf', 'matplotlib', 'OCP', 'numpy') if m in sys.modules])"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
