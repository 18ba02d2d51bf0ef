"""What a sheet is made of: strokes, filled shapes, texts and hatched faces, in paper mm.

Everything that layout places ends up as these four, so the conflict checker and the file writers see the
same thing. Line widths follow ISO 128-2 (0.25 narrow, 0.5 wide), frames 0.7 (ISO 5457; from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Literal

from headparts.geometry.curves import Curve, Line, Point

Layer = Literal["OUTLINE", "NARROW", "HATCH", "CENTRE", "HIDDEN", "PHANTOM", "CUT", "FRAME", "TEXT", "STAMP"]
#: layer -> (line width mm, line type)
LAYERS: dict[str, tuple[float, str]] = {
    "OUTLINE": (0.50, "CONTINUOUS"),
    "NARROW": (0.25, "CONTINUOUS"),
    "HATCH": (0.18, "CONTINUOUS"),
    "CENTRE": (0.25, "LONG_DASH_DOT"),
    "HIDDEN": (0.25, "SHORT_DASH"),
    "PHANTOM": (0.25, "LONG_DASH_TWO_DOTS"),
    "CUT": (0.50, "CONTINUOUS"),
    "FRAME": (0.70, "CONTINUOUS"),
    "TEXT": (0.25, "CONTINUOUS"),
    "STAMP": (0.50, "CONTINUOUS"),
}
#: line type -> lengths of dash (+) and gap (-) [mm on paper]
LINE_TYPES: dict[str, tuple[float, ...]] = {
    "LONG_DASH_DOT": (6.0, -0.8, 0.4, -0.8),
    "SHORT_DASH": (3.0, -0.8),
    "LONG_DASH_TWO_DOTS": (6.0, -0.8, 0.4, -0.8, 0.4, -0.8),
}
#: least height of any text [mm]
LEAST_HEIGHT = 2.5
HEIGHT = 3.5
SMALL = 2.5


@dataclass(frozen=True)
class Stroke:
    """One curve drawn on a layer."""

    curve: Curve
    layer: Layer = "NARROW"
    #: role for the conflict checker: "dimension", "extension", "leader", "frame" or "" for plain ink
    role: str = ""


@dataclass(frozen=True)
class Fill:
    """A filled polygon (arrow head, datum triangle)."""

    points: tuple[Point, ...]
    layer: Layer = "NARROW"


@dataclass(frozen=True)
class Text:
    """One line of text. ``at`` is the anchor; ``height`` the capital height [mm]; ``turn`` in degrees."""

    at: Point
    text: str
    height: float = HEIGHT
    across: Literal["left", "centre", "right"] = "left"
    up: Literal["base", "middle"] = "base"
    turn: float = 0.0
    squeeze: float = 0.85
    bold: bool = False
    layer: Layer = "TEXT"

    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Corners of the text's box [mm], baseline left first, counter-clockwise."""
        from headparts.drafting.metrics import text_width

        w = text_width(self.text, self.height, self.squeeze, self.bold)
        x0 = {"left": 0.0, "centre": -w / 2.0, "right": -w}[self.across]
        y0 = -self.height / 2.0 if self.up == "middle" else 0.0
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        x1, y1 = x0 + w, y0 + self.height
        a, b = self.at

        def world(x: float, y: float) -> Point:
            return a + x * c - y * s, b + x * s + y * c

        return world(x0, y0), world(x1, y0), world(x1, y1), world(x0, y1)


@dataclass(frozen=True)
class Hatch:
    """A hatched face: closed chains of curves, the first the outer one."""

    loops: tuple[tuple[Curve, ...], ...]
    angle: float = 45.0
    spacing: float = 2.0


@dataclass(frozen=True)
class Ink:
    """A bundle of strokes, fills, texts and hatches that moves as one."""

    strokes: tuple[Stroke, ...] = ()
    fills: tuple[Fill, ...] = ()
    texts: tuple[Text, ...] = ()
    hatches: tuple[Hatch, ...] = ()

    def __add__(self, other: Ink) -> Ink:
        return Ink(
            self.strokes + other.strokes,
            self.fills + other.fills,
            self.texts + other.texts,
            self.hatches + other.hatches,
        )

    def moved(self, shift: Point) -> Ink:
        """The same ink shifted on the paper [mm]."""
        return Ink(
            tuple(replace(s, curve=s.curve.moved(1.0, shift)) for s in self.strokes),
            tuple(
                replace(f, points=tuple((x + shift[0], y + shift[1]) for x, y in f.points))
                for f in self.fills
            ),
            tuple(replace(t, at=(t.at[0] + shift[0], t.at[1] + shift[1])) for t in self.texts),
            tuple(
                replace(h, loops=tuple(tuple(c.moved(1.0, shift) for c in loop) for loop in h.loops))
                for h in self.hatches
            ),
        )

    def box(self) -> tuple[float, float, float, float] | None:
        """Upright box of everything (x low, y low, x high, y high) [mm]; None when there is nothing."""
        points = [p for s in self.strokes for p in s.curve.points(0.05)]
        points += [p for f in self.fills for p in f.points]
        points += [p for t in self.texts for p in t.corners()]
        points += [p for h in self.hatches for loop in h.loops for c in loop for p in c.points(0.05)]
        if not points:
            return None
        return (
            min(p[0] for p in points),
            min(p[1] for p in points),
            max(p[0] for p in points),
            max(p[1] for p in points),
        )


def polyline(
    points: list[Point], layer: Layer = "NARROW", closed: bool = False, role: str = ""
) -> list[Stroke]:
    """Straight strokes through the points."""
    run = [*points, points[0]] if closed else points
    return [Stroke(Line(a, b), layer, role) for a, b in pairwise(run)]


def box_strokes(x0: float, y0: float, x1: float, y1: float, layer: Layer = "NARROW") -> list[Stroke]:
    """The four sides of an upright rectangle."""
    return polyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], layer, closed=True)


def arrow(tip: Point, angle: float, length: float = 3.0, half: float = 0.5, layer: Layer = "NARROW") -> Fill:
    """Closed filled arrow head with its tip at ``tip``, pointing along ``angle`` [deg]."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    x, y = tip
    return Fill(
        (
            tip,
            (x - length * c - half * s, y - length * s + half * c),
            (x - length * c + half * s, y - length * s - half * c),
        ),
        layer,
    )


@dataclass
class Item:
    """A named piece of a drawing. ``kind`` decides how the conflict checker treats it."""

    kind: Literal["frame", "block", "view", "dimension", "symbol", "label"]
    name: str
    ink: Ink
    #: the view it belongs to, if any
    view: str = ""
    dimension: object | None = field(default=None, repr=False)
