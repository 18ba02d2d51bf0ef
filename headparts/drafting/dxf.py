"""Writes a drawing as DXF: real DIMENSION entities, hatches from wires, text, all in mm at paper scale.

Each DIMENSION carries extended data under the id HEADPARTS: part name, size name, and kind; its definition
points lie on the paper, DIMLFAC is 1/scale, so measurement x DIMLFAC is the size. Text, limits and class stand in
the dimension's own overrides too, so a CAD program that redraws it writes the same. The bytes of one drawing are
always the same.
"""

from __future__ import annotations

import io
import math
import random
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from typing import Any

from headparts.drafting.dimension import ARROW, GAP, PAST, START, Laid
from headparts.drafting.drawing import Drawing
from headparts.drafting.ink import HEIGHT, LAYERS, LINE_TYPES, SMALL, Fill, Hatch, Stroke, Text
from headparts.drafting.metrics import BOLD, REGULAR, use_fonts
from headparts.geometry.curves import Arc, Ellipse, Line, chained

APP = "HEADPARTS"


def document(drawing: Drawing) -> Any:
    """The drawing as a document of the DXF library."""
    import ezdxf

    use_fonts()
    with reproducible():
        doc = ezdxf.new("R2010", setup=False, units=4)
        doc.header["$MEASUREMENT"] = 1
        doc.header["$LTSCALE"] = 1.0
        doc.appids.add(APP)
        for name, pattern in LINE_TYPES.items():
            total = sum(abs(v) for v in pattern)
            doc.linetypes.add(name, [total, *pattern], description=name.replace("_", " ").lower())
        for name, (width, line_type) in LAYERS.items():
            doc.layers.add(name, color=7, linetype=line_type, lineweight=round(width * 100))
        doc.styles.add("REGULAR", font=REGULAR)
        doc.styles.add("BOLD", font=BOLD)
        space = doc.modelspace()
        for item in drawing.items:
            if isinstance(item.dimension, Laid):
                _dimension(doc, space, item.dimension)
                continue
            for hatch in item.ink.hatches:
                _hatch(space, hatch)
            for stroke in item.ink.strokes:
                _stroke(space, stroke)
            for fill in item.ink.fills:
                _fill(space, fill)
            for text in item.ink.texts:
                _text(space, text)
        doc.header["$EXTMIN"] = (0.0, 0.0, 0.0)
        doc.header["$EXTMAX"] = (drawing.sheet.width, drawing.sheet.height, 0.0)
    return doc


def dxf_bytes(doc: Any) -> bytes:
    """The document as a file's bytes (UTF-8), the same for the same drawing."""
    with reproducible():
        stream = io.StringIO()
        doc.write(stream)
    return stream.getvalue().encode("utf-8")


@contextmanager
def reproducible() -> Iterator[None]:
    """Fixed meta data and a seeded random source while a file is made; both as they were afterwards."""
    import ezdxf

    before, state = ezdxf.options.write_fixed_meta_data_for_testing, random.getstate()
    ezdxf.options.write_fixed_meta_data_for_testing = True
    random.seed(20)
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
        random.setstate(state)


def _stroke(space: Any, stroke: Stroke) -> None:
    curve, look = stroke.curve, {"layer": stroke.layer}
    if isinstance(curve, Line):
        space.add_line(curve.start, curve.end, dxfattribs=look)
    elif isinstance(curve, Arc):
        if curve.sweep >= 360.0:
            space.add_circle(curve.centre, curve.radius, dxfattribs=look)
        else:
            space.add_arc(curve.centre, curve.radius, curve.begin, curve.begin + curve.sweep, dxfattribs=look)
    elif isinstance(curve, Ellipse):
        space.add_ellipse(
            curve.centre,
            curve.major,
            curve.ratio,
            math.radians(curve.begin),
            math.radians(curve.begin + curve.sweep),
            dxfattribs=look,
        )
    else:
        space.add_lwpolyline(curve.vertices, dxfattribs=look)


def _fill(space: Any, fill: Fill) -> None:
    if len(fill.points) <= 4:
        points = list(fill.points)
        if len(points) == 4:
            points[2], points[3] = points[3], points[2]
        space.add_solid(points, dxfattribs={"layer": fill.layer})
        return
    hatch = space.add_hatch(dxfattribs={"layer": fill.layer})
    hatch.paths.add_polyline_path(fill.points, is_closed=True)


def _text(space: Any, text: Text) -> None:
    from ezdxf.enums import TextEntityAlignment as Align

    where = {
        ("left", "base"): Align.LEFT,
        ("centre", "base"): Align.CENTER,
        ("right", "base"): Align.RIGHT,
        ("left", "middle"): Align.MIDDLE_LEFT,
        ("centre", "middle"): Align.MIDDLE_CENTER,
        ("right", "middle"): Align.MIDDLE_RIGHT,
    }[(text.across, text.up)]
    entity = space.add_text(
        _plain(text.text),
        height=text.height,
        rotation=text.turn,
        dxfattribs={"layer": text.layer, "style": "BOLD" if text.bold else "REGULAR", "width": text.squeeze},
    )
    entity.set_placement(text.at, align=where)


def _plain(text: str) -> str:
    """Text that the format shows as it stands: its codes (%% and ^) doubled, control characters as spaces."""
    shown = "".join(c if c >= " " else " " for c in text)
    return shown.replace("%%", "%%%%%%").replace("^", "^ ")


def _hatch(space: Any, hatch: Hatch) -> None:
    entity = space.add_hatch(dxfattribs={"layer": "HATCH"})
    entity.set_pattern_fill(
        "ISO_LINES",
        scale=1.0,
        angle=0.0,
        definition=[
            [
                hatch.angle,
                (0.0, 0.0),
                (
                    -math.sin(math.radians(hatch.angle)) * hatch.spacing,
                    math.cos(math.radians(hatch.angle)) * hatch.spacing,
                ),
                [],
            ]
        ],
    )
    for n, loop in enumerate(hatch.loops):
        path = entity.paths.add_edge_path(flags=1 if n == 0 else 16)
        for curve, forward in chained(loop):
            if isinstance(curve, Line):
                ends = (curve.start, curve.end) if forward else (curve.end, curve.start)
                path.add_line(*ends)
            elif isinstance(curve, Arc):
                path.add_arc(curve.centre, curve.radius, curve.begin, curve.begin + curve.sweep, ccw=forward)
            elif isinstance(curve, Ellipse):
                path.add_ellipse(
                    curve.centre,
                    curve.major,
                    curve.ratio,
                    curve.begin,
                    curve.begin + curve.sweep,
                    ccw=forward,
                )
            else:
                run = curve.vertices if forward else curve.vertices[::-1]
                for a, b in pairwise(run):
                    path.add_line(a, b)


def _style(doc: Any, scale: float) -> str:
    """One dimension style a scale, named after it."""
    name = f"SCALE_{scale:g}".replace(".", "_")
    if name not in doc.dimstyles:
        style = doc.dimstyles.add(name)
        style.dxf.dimtxt, style.dxf.dimasz, style.dxf.dimexe, style.dxf.dimexo = HEIGHT, ARROW, PAST, START
        style.dxf.dimgap, style.dxf.dimtad, style.dxf.dimtih, style.dxf.dimtoh = GAP, 1, 0, 0
        style.dxf.dimdec, style.dxf.dimtdec, style.dxf.dimzin, style.dxf.dimtzin = 3, 3, 8, 8
        style.dxf.dimadec, style.dxf.dimazin, style.dxf.dimdsep = 2, 2, ord(".")
        style.dxf.dimlfac = 1.0 / scale
        style.dxf.dimtxsty = "REGULAR"
    return name


def _dimension(doc: Any, space: Any, laid: Laid) -> None:
    from ezdxf.entities.dimstyleoverride import DimStyleOverride

    d, text = laid.dimension, laid.dimension.label
    block = doc.blocks.new_anonymous_block(type_char="D")
    for stroke in laid.ink.strokes:
        _stroke(block, stroke)
    for fill in laid.ink.fills:
        _fill(block, fill)
    for line in laid.ink.texts:
        _text(block, line)
    look: dict[str, Any] = {
        "layer": "NARROW",
        "dimstyle": _style(doc, laid.scale),
        "geometry": block.name,
        "text_midpoint": laid.text_at,
        "attachment_point": 5,
    }
    if d.kind in ("linear", "diameter"):
        look |= {
            "dimtype": 0 | 32,
            "defpoint": laid.line_at,
            "defpoint2": laid.points[0],
            "defpoint3": laid.points[1],
            "angle": d.direction,
            "actual_measurement": d.value * laid.scale,
        }
    elif d.kind in ("radius", "circle"):
        look |= {
            "dimtype": (4 if d.kind == "radius" else 3) | 32,
            "defpoint": laid.points[0],
            "defpoint4": laid.points[1],
            "actual_measurement": d.value * laid.scale,
        }
    else:
        look |= {
            "dimtype": 5 | 32,
            "defpoint": laid.line_at,
            "defpoint2": laid.points[1],
            "defpoint3": laid.points[2],
            "defpoint4": laid.points[0],
            "actual_measurement": math.radians(d.value),
        }
    entity = space.new_entity("DIMENSION", dxfattribs=look)
    entity.set_xdata(APP, [(1000, d.part), (1000, d.size), (1000, d.kind), (1000, text.plain)])
    override = DimStyleOverride(entity, override=_overrides(laid))
    override.commit()


def _overrides(laid: Laid) -> dict[str, Any]:
    d = laid.dimension
    t = d.tolerance
    sign = d.prefix or {"diameter": "Ø", "circle": "Ø", "radius": "R"}.get(d.kind, "")
    sign = sign.replace("Ø", "%%c")
    after = f" {t.note}" if t is not None and t.note else ""
    core = f"{sign}<> {t.fit}" if t is not None and t.fit else f"{sign}<>"
    if t is not None and t.bracketed:
        core = f"({core})"
    wanted: dict[str, Any] = {"dimpost": core + after}
    if t is not None and t.places is not None:
        wanted |= {"dimdec": t.places, "dimadec": t.places, "dimzin": 0}
    if t is not None and t.upper is not None and t.lower is not None and not t.bracketed:
        wanted |= {"dimtol": 1, "dimtp": t.upper, "dimtm": -t.lower, "dimtfac": SMALL / HEIGHT, "dimtolj": 1}
    return wanted
