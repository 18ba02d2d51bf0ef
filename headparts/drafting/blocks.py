"""Blocks of text: title block, revision table, notes, cautions, warnings, stamp, tables.

The title block holds the data fields of ISO 7200:2004 (180 mm wide, lower right corner) and the general notes of
a machined part; its arrangement is this package's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headparts.drafting.ink import HEIGHT, SMALL, Ink, Stroke, Text, box_strokes
from headparts.drafting.metrics import squeezed, text_width, wrapped
from headparts.drafting.sheet import TITLE_WIDTH
from headparts.drafting.symbols import projection_symbol, texture
from headparts.geometry.curves import Line

ROW = 9.0


@dataclass(frozen=True)
class TitleFields:
    """What stands in the title block; every field is plain text, "" is drawn as a dash."""

    owner: str = ""
    number: str = ""
    date: str = ""
    sheet: str = "1/1"
    title: str = ""
    subtitle: str = ""
    approved: str = ""
    created: str = ""
    document_type: str = "Part drawing"
    status: str = ""
    revision: str = ""
    language: str = "en"
    scale: str = "1:1"
    first_angle: bool = True
    units: str = "mm, deg"
    general_tolerance: str = ""
    edges: str = ""
    surface: str = ""
    material: str = ""
    mass: str = ""
    quantity: str = ""
    model_file: str = ""
    model_volume: str = ""
    job: str = ""


_ROWS: tuple[tuple[tuple[float, str, str], ...], ...] = (
    (
        (74.0, "Material, condition", "material"),
        (36.0, "Model volume", "model_volume"),
        (36.0, "Mass (calculated)", "mass"),
        (34.0, "Quantity", "quantity"),
    ),
    (
        (50.0, "General tolerances", "general_tolerance"),
        (60.0, "Edges (ISO 13715)", "edges"),
        (36.0, "Surface (ISO 21920)", "*surface"),
        (34.0, "Units", "units"),
    ),
    ((110.0, "Model file", "model_file"), (36.0, "Scale", "scale"), (34.0, "Projection", "*projection")),
    (
        (50.0, "Created by", "created"),
        (60.0, "Checked, approved by", "approved"),
        (36.0, "Document type", "document_type"),
        (34.0, "Document status", "status"),
    ),
    ((50.0, "Legal owner", "owner"), (96.0, "Title", "title"), (34.0, "Identification no.", "number")),
    (
        (50.0, "Job", "job"),
        (60.0, "Supplementary title", "subtitle"),
        (14.0, "Rev.", "revision"),
        (28.0, "Date of issue", "date"),
        (13.0, "Lang.", "language"),
        (15.0, "Sheet", "sheet"),
    ),
)
TITLE_HEIGHT = ROW * len(_ROWS)


def title_block(fields: TitleFields) -> Ink:
    """The title block with its lower left corner at the origin, TITLE_WIDTH x TITLE_HEIGHT mm."""
    strokes = box_strokes(0.0, 0.0, TITLE_WIDTH, TITLE_HEIGHT, "FRAME")
    texts: list[Text] = []
    extra = Ink()
    for n, row in enumerate(_ROWS):
        y = TITLE_HEIGHT - (n + 1) * ROW
        if n:
            strokes.append(Stroke(Line((0.0, y + ROW), (TITLE_WIDTH, y + ROW))))
        x = 0.0
        for width, caption, key in row:
            if x:
                strokes.append(Stroke(Line((x, y), (x, y + ROW))))
            texts.append(
                Text(
                    (x + 1.0, y + ROW - 3.2),
                    caption,
                    SMALL,
                    squeeze=squeezed(caption, width - 2.0, SMALL, 0.75),
                )
            )
            if key == "*projection":
                extra = extra + projection_symbol((x + width * 0.62, y + 3.2), fields.first_angle, 2.4)
            elif key == "*surface":
                extra = extra + _shrunk(texture((x + 3.0, y + 0.8), ""), (x + 3.0, y + 0.8), 0.45)
                texts.extend(_value(fields.surface or "-", x + 7.0, y, width - 7.0))
            else:
                texts.extend(_value(getattr(fields, key) or "-", x, y, width))
            x += width
    return Ink(tuple(strokes), texts=tuple(texts)) + extra


def _value(text: str, x: float, y: float, width: float) -> list[Text]:
    for height in (HEIGHT, 3.0, SMALL):
        squeeze = squeezed(text, width - 2.0, height)
        if text_width(text, height, squeeze) <= width - 2.0 + 1e-6:
            return [Text((x + 1.0, y + 1.2), text, height, squeeze=squeeze)]
    return [Text((x + 1.0, y + 1.2), _cut(text, width), SMALL, squeeze=0.6)]


def _cut(text: str, width: float) -> str:
    """The text as far as a cell of ``width`` mm holds it, with an ellipsis where it was cut."""
    if text_width(text, SMALL, 0.6) <= width - 2.0:
        return text
    while text and text_width(text + "…", SMALL, 0.6) > width - 2.0:
        text = text[:-1]
    return text + "…"


def cut_fields(fields: TitleFields) -> tuple[str, ...]:
    """Title block texts too long for their cells, in full with their captions: a sheet lists them as notes."""
    found = []
    for row in _ROWS:
        for width, caption, key in row:
            text = fields.surface if key == "*surface" else getattr(fields, key, "")
            if isinstance(text, str) and _cut(text, width - (7.0 if key == "*surface" else 0.0)) != text:
                found.append(f"{caption}: {text}")
    return tuple(found)


def _shrunk(ink: Ink, about: tuple[float, float], factor: float) -> Ink:
    shift = (about[0] * (1.0 - factor), about[1] * (1.0 - factor))
    return Ink(tuple(Stroke(s.curve.moved(factor, shift), s.layer, s.role) for s in ink.strokes))


def revision_table(rows: Sequence[tuple[str, str, str, str]], width: float = TITLE_WIDTH) -> Ink:
    """Revision, what changed, date, by; newest row on top, its lower left corner at the origin."""
    return table(("Rev.", "Change", "Date", "By"), rows, (14.0, width - 14.0 - 28.0 - 28.0, 28.0, 28.0))


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[float], title: str = ""
) -> Ink:
    """A ruled table, its lower left corner at the origin; cells that do not fit are squeezed, then stick out
    (which the conflict checker reports)."""
    line = 5.6
    count = len(rows) + 1
    total, high = sum(widths), line * count
    strokes = box_strokes(0.0, 0.0, total, high, "OUTLINE")
    texts: list[Text] = []
    for i, cells in enumerate((head, *rows)):
        y = high - (i + 1) * line
        if i:
            strokes.append(Stroke(Line((0.0, y + line), (total, y + line))))
        x = 0.0
        for cell, width in zip(cells, widths, strict=True):
            texts.append(
                Text((x + 1.0, y + 1.5), cell, SMALL, squeeze=squeezed(cell, width - 2.0, SMALL), bold=i == 0)
            )
            x += width
    x = 0.0
    for width in list(widths)[:-1]:
        x += width
        strokes.append(Stroke(Line((x, 0.0), (x, high))))
    if title:
        texts.append(Text((0.0, high + 2.0), title, HEIGHT, bold=True))
    return Ink(tuple(strokes), texts=tuple(texts))


def table_widths(head: Sequence[str], rows: Sequence[Sequence[str]]) -> tuple[float, ...]:
    """Column widths that fit their widest cell [mm]."""
    return tuple(
        max(text_width(str(r[i]), SMALL, 0.85, n == 0) for n, r in enumerate((head, *rows))) + 2.6
        for i in range(len(head))
    )


def notes(
    lines: Sequence[str], width: float, heading: str = "Notes", height: float = 3.0, first: int = 1
) -> Ink:
    """Notes numbered from ``first`` within ``width`` mm, lower left corner at the origin."""
    rows = [
        (str(n) if i == 0 else "", piece)
        for n, note in enumerate(lines, start=first)
        for i, piece in enumerate(wrapped(note, width - 7.0, height))
    ]
    pitch = 1.55 * height
    high = pitch * len(rows)
    texts = [Text((0.0, high + 2.0), heading, HEIGHT, bold=True)]
    for i, (mark, piece) in enumerate(rows):
        y = high - (i + 1) * pitch + 0.8
        if mark:
            texts.append(Text((0.0, y), mark, height))
        texts.append(Text((7.0, y), piece, height))
    return Ink(texts=tuple(texts))


def boxed(heading: str, lines: Sequence[str], width: float, height: float = 3.0) -> Ink:
    """Heavy-framed block with a bold heading (cautions, warnings), lower left corner at the origin."""
    pieces = [piece for line in lines for piece in wrapped(line, width - 5.0, height)]
    pitch = 1.55 * height
    high = 9.0 + pitch * len(pieces)
    texts = [Text((2.5, high - 5.8), heading, HEIGHT, bold=True)]
    texts += [
        Text((2.5, high - 8.0 - (i + 1) * pitch + 0.8), piece, height) for i, piece in enumerate(pieces)
    ]
    return Ink(tuple(box_strokes(0.0, 0.0, width, high, "STAMP")), texts=tuple(texts))


def stamp(lines: Sequence[str], width: float | None = None) -> Ink:
    """Large stamp in a double frame, lower left corner at the origin; the first line 7 mm high, others 3.5."""
    first = lines[0]
    rest: list[str] = []
    wide = text_width(first, 7.0, 0.85, True) + 8.0
    wide = max(wide, min(max((text_width(t, HEIGHT) + 8.0 for t in lines[1:]), default=0.0), 120.0))
    if width is not None:
        wide = max(wide, width)
    for line in lines[1:]:
        rest.extend(wrapped(line, wide - 8.0, HEIGHT))
    high = 12.0 + 5.2 * len(rest) + (1.0 if rest else 0.0)
    texts = [Text((wide / 2.0, high - 9.5), first, 7.0, "centre", bold=True, layer="STAMP")]
    texts += [
        Text((wide / 2.0, high - 10.5 - (i + 1) * 5.2), t, HEIGHT, "centre", layer="STAMP")
        for i, t in enumerate(rest)
    ]
    strokes = box_strokes(0.0, 0.0, wide, high, "STAMP") + box_strokes(
        0.8, 0.8, wide - 0.8, high - 0.8, "NARROW"
    )
    return Ink(tuple(strokes), texts=tuple(texts))
