"""DXF, SVG and PDF bytes of a drawing; SVG and PDF are both drawn from the DXF by one pass of its own renderer.

Both are true to scale: one millimetre on the sheet is one millimetre in the file. The PDF writer below takes the
recorded strokes and filled outlines straight into page content, in black, with no date in it.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from headparts.drafting.drawing import Drawing
from headparts.drafting.dxf import document, dxf_bytes, reproducible
from headparts.drafting.ink import Text
from headparts.drafting.metrics import use_fonts

_POINTS = 72.0 / 25.4


@dataclass(frozen=True)
class Rendered:
    """The three files of one sheet, as bytes."""

    dxf: bytes
    svg: bytes
    pdf: bytes


def render(drawing: Drawing) -> Rendered:
    """DXF, SVG and PDF of a drawing; the same drawing always gives the same bytes."""
    doc = document(drawing)
    dxf = dxf_bytes(doc)
    recording = _record(doc)
    size = (drawing.sheet.width, drawing.sheet.height)
    title = drawing.fields.title or drawing.name
    texts = [t for item in drawing.items for t in item.ink.texts]
    pdf = pdf_of(recording, size, title, texts)
    return Rendered(dxf, svg_of(recording, size, title, [t.text for t in texts]), pdf)


def _record(doc: Any) -> Any:
    from ezdxf.addons.drawing import Frontend, RenderContext, config, svg

    use_fonts()
    backend = svg.SVGBackend()
    settings = config.Configuration(
        background_policy=config.BackgroundPolicy.WHITE,
        color_policy=config.ColorPolicy.BLACK,
        lineweight_policy=config.LineweightPolicy.ABSOLUTE,
        min_lineweight=0.05,
        max_flattening_distance=0.01,
        measurement=1,
    )
    with reproducible():  # hatching draws random offsets
        Frontend(RenderContext(doc), backend, config=settings).draw_layout(doc.modelspace(), finalize=True)
    return backend


def svg_of(recording: Any, size: tuple[float, float], title: str, texts: Sequence[str]) -> bytes:
    """SVG of a recording at 1:1 mm, coordinates to 0.01 mm; letters are outlines, their texts stand in its description.

    Changes the recording: take the PDF first.
    """
    from xml.sax.saxutils import escape

    from ezdxf.addons.drawing import layout
    from ezdxf.math import BoundingBox2d

    page = layout.Page(size[0], size[1], layout.Units.mm)
    settings = layout.Settings(fit_page=False, scale=1, output_coordinate_space=max(size) * 100.0)
    box = BoundingBox2d([(0.0, 0.0), size])
    text: str = recording.get_string(page, settings=settings, render_box=box)
    head, close, body = text.partition("<defs>")
    said = escape("\n".join(_visible(t) for t in texts))
    return f"{head}<title>{escape(_visible(title))}</title><desc>{said}</desc>{close}{body}\n".encode()


def _visible(text: str) -> str:
    return "".join(c if c >= " " else " " for c in text)


def pdf_of(recording: Any, size: tuple[float, float], title: str, texts: Sequence[Text] = ()) -> bytes:
    """One-page PDF of a recording at 1:1 mm; ``texts`` lie on it unseen, so that they can be searched and copied."""
    content = [f"{_POINTS:.6f} 0 0 {_POINTS:.6f} 0 0 cm", "1 J 1 j 0 G 0 g"]
    width = -1.0
    for record, properties in recording.player().recordings():
        if abs(properties.lineweight - width) > 1e-9:
            width = properties.lineweight
            content.append(f"{width:.3f} w")
        content.append(_content(record))
    content.append("".join(_unseen(t) for t in texts))
    stream = zlib.compress("\n".join(c for c in content if c).encode("latin-1"), 9)
    w, h = (f"{v * _POINTS:.3f}" for v in size)
    name = b"<FEFF" + title.encode("utf-16-be").hex().upper().encode("ascii") + b">"
    fonts = "/Resources << /Font << /F1 6 0 R >> >>"
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {w} {h}] {fonts} /Contents 4 0 R >>".encode(),
        f"<< /Length {len(stream)} /Filter /FlateDecode >>\nstream\n".encode() + stream + b"\nendstream",
        b"<< /Title " + name + b" >>",
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>",
    ]
    out = bytearray(b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n")
    offsets = []
    for n, body in enumerate(objects, start=1):
        offsets.append(len(out))
        out += f"{n} 0 obj\n".encode() + body + b"\nendobj\n"
    start = len(out)
    out += f"xref\n0 {len(objects) + 1}\n0000000000 65535 f \n".encode()
    out += b"".join(f"{offset:010d} 00000 n \n".encode() for offset in offsets)
    ends = f"trailer\n<< /Size {len(objects) + 1} /Root 1 0 R /Info 5 0 R >>\nstartxref\n{start}\n%%EOF\n"
    out += ends.encode()
    return bytes(out)


def _unseen(text: Text) -> str:
    """One text in the invisible mode of PDF, at its place, in the Windows character set that such fonts know."""
    x, y = text.corners()[0]
    c, s = math.cos(math.radians(text.turn)), math.sin(math.radians(text.turn))
    shown = _visible(text.text).encode("cp1252", "replace").decode("latin-1")
    for mark in "\\()":
        shown = shown.replace(mark, f"\\{mark}")
    size = text.height / 0.72
    return f"BT /F1 {size:.3f} Tf 3 Tr {c:.5f} {s:.5f} {-s:.5f} {c:.5f} {x:.3f} {y:.3f} Tm ({shown}) Tj ET\n"


def _content(record: Any) -> str:
    from ezdxf.addons.drawing import recorder

    if isinstance(record, recorder.PointsRecord):
        points = record.points.vertices()
        if len(points) < 3:
            return f"{_run(points if len(points) == 2 else [points[0], points[0]])} S"
        return f"{_run(points)} h f*"
    if isinstance(record, recorder.SolidLinesRecord):
        points = record.lines.vertices()
        return "".join(f"{_run(points[i : i + 2])} S\n" for i in range(0, len(points) - 1, 2)).strip()
    if isinstance(record, recorder.PathRecord):
        return f"{_path(record.path)} S" if len(record.path) else ""
    if isinstance(record, recorder.FilledPathsRecord):
        runs = [f"{_path(p)} h" for p in record.paths if len(p)]
        return f"{' '.join(runs)} f*" if runs else ""
    return ""


def _run(points: Sequence[Any]) -> str:
    first, *rest = points
    return " ".join([f"{first.x:.3f} {first.y:.3f} m", *(f"{p.x:.3f} {p.y:.3f} l" for p in rest)])


def _path(path: Any) -> str:
    from ezdxf.path import Command

    at = path.start
    parts = [f"{at.x:.3f} {at.y:.3f} m"]
    for command in path.commands():
        end = command.end
        if command.type == Command.LINE_TO:
            parts.append(f"{end.x:.3f} {end.y:.3f} l")
        elif command.type == Command.CURVE4_TO:
            a, b = command.ctrl1, command.ctrl2
            parts.append(f"{a.x:.3f} {a.y:.3f} {b.x:.3f} {b.y:.3f} {end.x:.3f} {end.y:.3f} c")
        elif command.type == Command.CURVE3_TO:
            q = command.ctrl
            a = (at.x + 2.0 * (q.x - at.x) / 3.0, at.y + 2.0 * (q.y - at.y) / 3.0)
            b = (end.x + 2.0 * (q.x - end.x) / 3.0, end.y + 2.0 * (q.y - end.y) / 3.0)
            parts.append(f"{a[0]:.3f} {a[1]:.3f} {b[0]:.3f} {b[1]:.3f} {end.x:.3f} {end.y:.3f} c")
        else:
            parts.append(f"{end.x:.3f} {end.y:.3f} m")
        at = end
    return " ".join(parts)
