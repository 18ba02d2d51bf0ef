"""Dimensions: what is measured, between which points, and the ink of each on the paper.

A dimension is defined by points taken from the part's features, in the view's own mm; its number is computed
from those points and nothing else. The writer makes a real DIMENSION entity of it that carries the names of
part and size.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from headparts.drafting.ink import HEIGHT, SMALL, Fill, Ink, Stroke, Text, arrow
from headparts.drafting.metrics import text_width
from headparts.drafting.tolerance import Label, Tolerance, label
from headparts.errors import GeometryError
from headparts.geometry.curves import Arc, Line, Point

Side = Literal["top", "bottom", "left", "right"]
Slot = Literal["centre", "after", "before"]
ARROW = 3.0
GAP = 0.9  # from the dimension line to its text
PAST = 1.5  # extension line beyond the dimension line
START = 0.8  # extension line starts this far from the point


@dataclass(frozen=True)
class Dimension:
    """One size on the sheet.

    kind: "linear" (two points, measured along ``direction``), "diameter" (the same on a side view, with the
    diameter sign), "circle" (two opposite points of a circle seen face-on), "radius" (centre, point on the arc),
    "angle" (vertex, then a point on each leg, swept
    counter-clockwise from the first to the second).
    points: in the view's mm. direction: of the dimension line [deg]. part, size: the names under which the
    size is measured on the solid.
    """

    part: str
    size: str
    kind: Literal["linear", "diameter", "circle", "radius", "angle"]
    points: tuple[Point, ...]
    direction: float = 0.0
    tolerance: Tolerance | None = None
    prefix: str = ""

    def __post_init__(self) -> None:
        wanted = 3 if self.kind == "angle" else 2
        if len(self.points) != wanted:
            raise GeometryError(
                f"a {self.kind} dimension needs {wanted} points, {self.size} has {len(self.points)}"
            )

    @property
    def value(self) -> float:
        """Measured between the points: mm, or degrees for an angle."""
        if self.kind == "angle":
            v, a, b = self.points
            turn = math.degrees(math.atan2(b[1] - v[1], b[0] - v[0]) - math.atan2(a[1] - v[1], a[0] - v[0]))
            return turn % 360.0
        p, q = self.points
        if self.kind in ("radius", "circle"):
            return math.dist(p, q)
        c, s = math.cos(math.radians(self.direction)), math.sin(math.radians(self.direction))
        return abs((q[0] - p[0]) * c + (q[1] - p[1]) * s)

    @property
    def label(self) -> Label:
        """The text that is written."""
        sign = self.prefix or {"diameter": "Ø", "circle": "Ø", "radius": "R"}.get(self.kind, "")
        return label(self.value, self.tolerance, sign, "°" if self.kind == "angle" else "")


@dataclass(frozen=True)
class Laid:
    """A dimension laid out on the paper: definition points in paper mm, the scale it was drawn at, its ink.

    ``line_at``: a point on the dimension line (or on the arc of an angle); ``text_at``: middle of the text.
    """

    dimension: Dimension
    scale: float
    points: tuple[Point, ...]
    line_at: Point
    text_at: Point
    ink: Ink

    def moved(self, shift: Point) -> Laid:
        """The same, shifted on the paper [mm]."""

        def go(p: Point) -> Point:
            return p[0] + shift[0], p[1] + shift[1]

        return replace(
            self,
            points=tuple(go(p) for p in self.points),
            line_at=go(self.line_at),
            text_at=go(self.text_at),
            ink=self.ink.moved(shift),
        )


def label_size(text: Label) -> Point:
    """Width and height of a written size on the paper [mm]."""
    width = text_width(text.main, HEIGHT)
    height = HEIGHT
    if text.upper:
        width += 0.8 + max(text_width(text.upper, SMALL), text_width(text.lower, SMALL))
        height = 2 * SMALL + 1.0
    if text.after:
        width += text_width(text.after, HEIGHT)
    return width, height


def label_ink(text: Label, foot: Point, turn: float) -> tuple[Text, ...]:
    """Texts of a size whose box stands with the middle of its lower side on ``foot``, turned by ``turn`` deg."""
    width, height = label_size(text)
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def at(x: float, y: float) -> Point:
        return foot[0] + x * c - y * s, foot[1] + x * s + y * c

    x = -width / 2.0
    texts = [Text(at(x, (height - HEIGHT) / 2.0), text.main, HEIGHT, turn=turn)]
    x += text_width(text.main, HEIGHT)
    if text.upper:
        x += 0.8
        texts.append(Text(at(x, SMALL + 1.0), text.upper, SMALL, turn=turn))
        texts.append(Text(at(x, 0.0), text.lower, SMALL, turn=turn))
        x += max(text_width(text.upper, SMALL), text_width(text.lower, SMALL))
    if text.after:
        texts.append(Text(at(x, (height - HEIGHT) / 2.0), text.after, HEIGHT, turn=turn))
    return tuple(texts)


def lay_linear(d: Dimension, scale: float, through: Point, slot: Slot = "centre", slide: float = 0.0) -> Laid:
    """Lay out a linear or diameter dimension whose line runs through the paper point ``through`` [mm].

    slot: text between the arrows, beyond the far end ("after", along the reading direction) or before the near one;
    without room between the arrows it goes beyond the far end. slide shifts a centred text along the line [mm].
    """
    p, q = ((x * scale, y * scale) for x, y in d.points)
    turn = reading(d.direction)
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def foot(r: Point) -> Point:
        off = -(through[0] - r[0]) * s + (through[1] - r[1]) * c
        return r[0] - off * s, r[1] + off * c

    if (q[0] - p[0]) * c + (q[1] - p[1]) * s < 0.0:
        p, q = q, p
    a, b = foot(p), foot(q)
    span = math.dist(a, b)
    text = d.label
    width, height = label_size(text)
    if slot == "centre" and width + 1.0 > span:
        slot = "after"
    strokes = [_extension(p, a), _extension(q, b)]
    inside = span >= 2.0 * ARROW + 1.0
    fills = _arrows(a, b, turn, inside)
    u0, u1 = 0.0, span
    if not inside:
        u0, u1 = -ARROW - 3.0, span + ARROW + 3.0
    if slot == "centre":
        middle = span / 2.0 + slide
    elif slot == "after":
        middle = span + (1.5 if inside else ARROW + 1.0) + width / 2.0
        u1 = max(u1, middle + width / 2.0)
    else:
        middle = -(1.5 if inside else ARROW + 1.0) - width / 2.0
        u0 = min(u0, middle - width / 2.0)

    def along(u: float, up: float = 0.0) -> Point:
        return a[0] + u * c - up * s, a[1] + u * s + up * c

    strokes.append(Stroke(Line(along(u0), along(u1)), "NARROW", "dimension"))
    ink = Ink(
        tuple(k for k in strokes if k is not None), tuple(fills), label_ink(text, along(middle, GAP), turn)
    )
    return Laid(d, scale, (p, q), a, along(middle, GAP + height / 2.0), ink)


def lay_angle(d: Dimension, scale: float, radius: float, slot: Slot = "centre", extend: bool = True) -> Laid:
    """Lay out an angle with its arc at ``radius`` paper mm round the vertex, text on the arc or beyond an end."""
    v, p, q = ((x * scale, y * scale) for x, y in d.points)
    begin = math.degrees(math.atan2(p[1] - v[1], p[0] - v[0]))
    sweep = d.value

    def at(angle: float, r: float = radius) -> Point:
        return v[0] + r * math.cos(math.radians(angle)), v[1] + r * math.sin(math.radians(angle))

    text = d.label
    width, height = label_size(text)
    span = math.radians(sweep) * radius
    inside = span >= 2.0 * ARROW + 1.0
    tip = math.degrees(ARROW / radius)
    tail = 0.0 if inside else tip + math.degrees(3.0 / radius)
    strokes: list[Stroke | None] = [
        Stroke(Arc(v, radius, begin - tail, sweep + 2 * tail), "NARROW", "dimension")
    ]
    lean = tip / 2.0
    if inside:
        fills = [arrow(at(begin), begin - 90.0 + lean), arrow(at(begin + sweep), begin + sweep + 90.0 - lean)]
    else:
        fills = [arrow(at(begin), begin + 90.0 - lean), arrow(at(begin + sweep), begin + sweep - 90.0 + lean)]
    if extend:
        for angle, leg in ((begin, p), (begin + sweep, q)):
            reach = math.dist(v, leg)
            if reach + START < radius:
                strokes.append(
                    Stroke(Line(at(angle, reach + START), at(angle, radius + PAST)), "NARROW", "extension")
                )
    if slot == "centre":
        middle = begin + sweep / 2.0
    elif slot == "after":
        middle = begin + sweep + tail + math.degrees((width / 2.0 + 1.0) / radius)
    else:
        middle = begin - tail - math.degrees((width / 2.0 + 1.0) / radius)
    # text stands level beside the arc, moved out until its box clears the arc
    c, s = math.cos(math.radians(middle)), math.sin(math.radians(middle))
    away = radius + GAP + abs(c) * width / 2.0 + abs(s) * height / 2.0
    centre = (v[0] + away * c, v[1] + away * s)
    texts = label_ink(text, (centre[0], centre[1] - height / 2.0), 0.0)
    ink = Ink(tuple(k for k in strokes if k is not None), tuple(fills), texts)
    return Laid(d, scale, (v, p, q), at(begin + sweep / 2.0), centre, ink)


def lay_radius(d: Dimension, scale: float, elbow: Point, right: bool = True) -> Laid:
    """Lay out a radius, or the diameter of a circle: arrow on the arc, leader to ``elbow`` (paper mm), text on a
    level shelf. The arrow touches the second point."""
    centre, on = ((x * scale, y * scale) for x, y in d.points)
    text = d.label
    width, height = label_size(text)
    end = elbow[0] + (width + 1.0 if right else -width - 1.0)
    angle = math.degrees(math.atan2(on[1] - elbow[1], on[0] - elbow[0]))
    middle = (elbow[0] + end) / 2.0
    ink = Ink(
        (
            Stroke(Line(elbow, on), "NARROW", "leader"),
            Stroke(Line(elbow, (end, elbow[1])), "NARROW", "leader"),
        ),
        (arrow(on, angle),),
        label_ink(text, (middle, elbow[1] + GAP), 0.0),
    )
    return Laid(d, scale, (centre, on), on, (middle, elbow[1] + GAP + height / 2.0), ink)


def reading(direction: float) -> float:
    """Direction of the dimension line turned so that its text reads from the bottom or the right [deg]."""
    turn = direction % 180.0
    return turn - 180.0 if turn > 90.0 + 1e-9 else turn


def _extension(point: Point, foot: Point) -> Stroke | None:
    length = math.dist(point, foot)
    if length <= START:
        return None
    d = ((foot[0] - point[0]) / length, (foot[1] - point[1]) / length)
    return Stroke(
        Line(
            (point[0] + START * d[0], point[1] + START * d[1]), (foot[0] + PAST * d[0], foot[1] + PAST * d[1])
        ),
        "NARROW",
        "extension",
    )


def _arrows(a: Point, b: Point, turn: float, inside: bool) -> list[Fill]:
    return [arrow(a, turn + 180.0 if inside else turn), arrow(b, turn if inside else turn + 180.0)]
