"""Symbols beside the sizes: surface texture, datum, tolerance frame, cutting plane, projection, leaders.

Shapes after ISO 21920-1 (surface texture), ISO 1101 and ISO 5459 (frames, datum letters), ISO 128-3 (cutting
planes), ISO 5456-2 (projection symbol); proportions from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from headparts.drafting.ink import HEIGHT, Fill, Ink, Stroke, Text, arrow, polyline
from headparts.drafting.metrics import text_width
from headparts.geometry.curves import Arc, Line, Point, circle

Characteristic = Literal[
    "run-out",
    "coaxiality",
    "perpendicularity",
    "parallelism",
    "position",
    "roundness",
    "flatness",
    "total run-out",
    "angularity",
]


def texture(at: Point, text: str, turn: float = 0.0) -> Ink:
    """Surface texture symbol (material removed) standing with its tip on ``at``: tick, bar, text under the bar."""
    h = HEIGHT
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def go(x: float, y: float) -> Point:
        return at[0] + x * c - y * s, at[1] + x * s + y * c

    low, high = 1.4 * h / math.tan(math.radians(60.0)), 3.0 * h / math.tan(math.radians(60.0))
    width = text_width(text, HEIGHT)
    strokes = [
        Stroke(Line(go(0, 0), go(-low, 1.4 * h))),
        Stroke(Line(go(-low, 1.4 * h), go(low, 1.4 * h))),
        Stroke(Line(go(0, 0), go(high, 3.0 * h))),
        Stroke(Line(go(high, 3.0 * h), go(high + width + 2.5, 3.0 * h))),
    ]
    return Ink(tuple(strokes), texts=(Text(go(high + 1.0, 1.65 * h), text, HEIGHT, turn=turn),))


def texture_on_leader(tip: Point, elbow: Point, text: str, right: bool = True) -> Ink:
    """Surface texture symbol on the shelf of a leader whose arrow touches ``tip``."""
    width = text_width(text, HEIGHT) + 10.0
    end = (elbow[0] + (width if right else -width), elbow[1])
    stand = (elbow[0] + 3.2, elbow[1]) if right else (end[0] + 3.2, elbow[1])
    return leader(tip, elbow) + Ink((Stroke(Line(elbow, end), "NARROW", "leader"),)) + texture(stand, text)


def leader(tip: Point, elbow: Point, dot: bool = False) -> Ink:
    """A leader line with an arrow on ``tip``, or a dot when it ends within a face."""
    angle = math.degrees(math.atan2(tip[1] - elbow[1], tip[0] - elbow[0]))
    end = _disc(tip, 0.6) if dot else arrow(tip, angle)
    return Ink((Stroke(Line(elbow, tip), "NARROW", "leader"),), (end,))


def note_on_leader(
    tip: Point, elbow: Point, lines: Sequence[str], right: bool = True, dot: bool = False
) -> Ink:
    """Text lines on the shelf of a leader, the last line standing on the shelf."""
    width = max(text_width(t, HEIGHT) for t in lines) + 1.0
    end = (elbow[0] + (width if right else -width), elbow[1])
    x = min(elbow[0], end[0]) + 0.5
    texts = tuple(
        Text((x, elbow[1] + 0.9 + (len(lines) - 1 - i) * 5.0), t, HEIGHT) for i, t in enumerate(lines)
    )
    return leader(tip, elbow, dot) + Ink((Stroke(Line(elbow, end), "NARROW", "leader"),), texts=texts)


def datum(foot: Point, letter: str, direction: float, length: float = 8.0) -> Ink:
    """Datum letter in a box, its filled triangle standing on ``foot``, the stem along ``direction`` [deg]."""
    c, s = math.cos(math.radians(direction)), math.sin(math.radians(direction))

    def go(along: float, across: float = 0.0) -> Point:
        return foot[0] + along * c - across * s, foot[1] + along * s + across * c

    half = HEIGHT
    reach = half / max(abs(c), abs(s), 0.708)
    middle = go(length + reach)
    strokes = [
        Stroke(Line(go(2.6), go(length)), "NARROW", "leader"),
        *polyline(
            [(middle[0] + i * half, middle[1] + j * half) for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))],
            closed=True,
            role="frame",
        ),
    ]
    return Ink(
        tuple(strokes),
        (Fill((go(0.0, 1.7), go(0.0, -1.7), go(2.9))),),
        (Text(middle, letter, HEIGHT, "centre", "middle"),),
    )


def tolerance_frame(left: Point, kind: Characteristic, value: str, datums: Sequence[str] = ()) -> Ink:
    """Geometrical tolerance frame, its left side's middle on ``left``; ``value`` may start with the sign Ø."""
    half = HEIGHT
    cells = [2.0 * half, text_width(value, HEIGHT) + 3.0, *([2.0 * half] * len(datums))]
    x, y = left
    total = sum(cells)
    corners = [(x, y - half), (x + total, y - half), (x + total, y + half), (x, y + half)]
    strokes = polyline(corners, closed=True, role="frame")
    edge = x
    for width in cells[:-1]:
        edge += width
        strokes.append(Stroke(Line((edge, y - half), (edge, y + half)), "NARROW", "frame"))
    texts = [Text((x + cells[0] + cells[1] / 2.0, y), value, HEIGHT, "centre", "middle")]
    edge = x + cells[0] + cells[1]
    for letter in datums:
        texts.append(Text((edge + half, y), letter, HEIGHT, "centre", "middle"))
        edge += 2.0 * half
    sign = _characteristic(kind, (x + half, y))
    return Ink(tuple(strokes), texts=tuple(texts)) + sign


def frame_width(value: str, datums: int) -> float:
    """Width of a tolerance frame [mm]."""
    return 2.0 * HEIGHT * (1 + datums) + text_width(value, HEIGHT) + 3.0


def frame_on_leader(
    tip: Point, elbow: Point, kind: Characteristic, value: str, datums: Sequence[str] = (), right: bool = True
) -> Ink:
    """A tolerance frame on a leader, right or left of the elbow."""
    left = elbow if right else (elbow[0] - frame_width(value, len(datums)), elbow[1])
    return leader(tip, elbow) + tolerance_frame(left, kind, value, datums)


def cutting_plane(a: Point, b: Point, letter: str, look: float, reach: float = 6.0) -> Ink:
    """Ends of a cutting plane beyond ``a`` and ``b``, arrows looking along ``look`` [deg], letters at the arrows."""
    length = math.dist(a, b)
    d = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    c, s = math.cos(math.radians(look)), math.sin(math.radians(look))
    strokes: list[Stroke] = []
    fills: list[Fill] = []
    texts: list[Text] = []
    for p, sign in ((a, -1.0), (b, 1.0)):
        start = (p[0] + sign * 1.5 * d[0], p[1] + sign * 1.5 * d[1])
        end = (start[0] + sign * reach * d[0], start[1] + sign * reach * d[1])
        middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
        tail = (middle[0] - 7.0 * c, middle[1] - 7.0 * s)
        strokes += [Stroke(Line(start, end), "CUT"), Stroke(Line(tail, middle))]
        fills.append(arrow(middle, look, 3.5, 0.7))
        texts.append(Text((tail[0] - 3.2 * c, tail[1] - 3.2 * s), letter, 5.0, "centre", "middle"))
    strokes.append(Stroke(Line(a, b), "CENTRE"))
    return Ink(tuple(strokes), tuple(fills), tuple(texts))


def view_arrow(tip: Point, angle: float, letter: str, length: float = 10.0) -> Ink:
    """Arrow of a viewing direction with its letter: the view looks along ``angle`` [deg] at ``tip``."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    tail = (tip[0] - length * c, tip[1] - length * s)
    middle = (tip[0] - (length / 2.0) * c, tip[1] - (length / 2.0) * s)
    side = (-s, c) if abs(c) > 0.5 else (abs(s), 0.0)
    up = 1.0 if abs(c) < 0.5 or -s * 0 + side[1] > 0 else -1.0
    where = (middle[0] + 4.2 * side[0] * up, middle[1] + 4.2 * side[1] * up)
    return Ink(
        (Stroke(Line(tail, tip), "NARROW", "leader"),),
        (arrow(tip, angle, 4.0, 0.9),),
        (Text(where, letter, 5.0, "centre", "middle"),),
    )


def detail_ring(centre: Point, radius: float, letter: str, angle: float) -> Ink:
    """Narrow circle round what a detail shows, its letter outside at ``angle`` [deg]."""
    reach = radius + 3.4
    at = (
        centre[0] + reach * math.cos(math.radians(angle)),
        centre[1] + reach * math.sin(math.radians(angle)),
    )
    return Ink((Stroke(circle(centre, radius)),), texts=(Text(at, letter, 5.0, "centre", "middle"),))


def projection_symbol(centre: Point, first_angle: bool, size: float = 4.0) -> Ink:
    """Truncated cone and its end view: circles right of it for first angle, left for third; the end view's
    circles are both visible, so the small end looks away from (first) or toward (third) the circles' side."""
    x, y = centre
    big, small, length, gap = size, size / 2.0, 1.6 * size, 0.9 * size
    whole = length + gap + 2.0 * big
    if first_angle:
        x0, ring = x - whole / 2.0, x + whole / 2.0 - big
        ends = (small, big)
    else:
        x0, ring = x + whole / 2.0 - length, x - whole / 2.0 + big
        ends = (small, big)
    cone = [(x0, y - ends[0]), (x0 + length, y - ends[1]), (x0 + length, y + ends[1]), (x0, y + ends[0])]
    strokes = polyline(cone, "TEXT", closed=True)
    strokes += [Stroke(circle((ring, y), big), "TEXT"), Stroke(circle((ring, y), small), "TEXT")]
    strokes += [
        Stroke(Line((x0 - 1.0, y), (x0 + length + 1.0, y)), "CENTRE"),
        Stroke(Line((ring - big - 1.0, y), (ring + big + 1.0, y)), "CENTRE"),
        Stroke(Line((ring, y - big - 1.0), (ring, y + big + 1.0)), "CENTRE"),
    ]
    return Ink(tuple(strokes))


def _disc(at: Point, radius: float) -> Fill:
    return Fill(tuple(Arc(at, radius, 0.0, 360.0).at(i / 16) for i in range(16)))


def _characteristic(kind: Characteristic, at: Point) -> Ink:
    x, y = at
    r = HEIGHT / 2.0
    lines: list[Stroke] = []
    fills: tuple[Fill, ...] = ()
    if kind in ("run-out", "total run-out"):
        shifts = (-1.1, 0.9) if kind == "total run-out" else (0.0,)
        heads = []
        for dx in shifts:
            tip = (x + dx + 1.0, y + 1.7)
            lines.append(Stroke(Line((x + dx - 1.0, y - 1.7), tip)))
            heads.append(arrow(tip, math.degrees(math.atan2(3.4, 2.0)), 2.0, 0.55))
        fills = tuple(heads)
        if kind == "total run-out":
            lines.append(Stroke(Line((x - 2.1, y - 1.7), (x - 0.1, y - 1.7))))
    elif kind == "coaxiality":
        lines = [Stroke(circle(at, r)), Stroke(circle(at, r * 0.5))]
    elif kind == "roundness":
        lines = [Stroke(circle(at, r))]
    elif kind == "position":
        lines = [
            Stroke(circle(at, r * 0.75)),
            Stroke(Line((x - r - 0.4, y), (x + r + 0.4, y))),
            Stroke(Line((x, y - r - 0.4), (x, y + r + 0.4))),
        ]
    elif kind == "perpendicularity":
        lines = [Stroke(Line((x - r, y - r), (x + r, y - r))), Stroke(Line((x, y - r), (x, y + r)))]
    elif kind == "parallelism":
        lines = [Stroke(Line((x + d - 0.9, y - r), (x + d + 0.9, y + r))) for d in (-0.8, 0.8)]
    elif kind == "angularity":
        lines = [Stroke(Line((x - r, y - r), (x + r, y - r))), Stroke(Line((x - r, y - r), (x + r, y + r)))]
    else:
        lines = polyline(
            [(x - r - 0.5, y - 1.0), (x + r - 0.6, y - 1.0), (x + r + 0.5, y + 1.0), (x - r + 0.6, y + 1.0)],
            closed=True,
        )
    return Ink(tuple(lines), fills)
