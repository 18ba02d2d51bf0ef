"""Overlaps on a sheet: texts, lines, arrows, views, blocks. An empty answer is part of accepting a layout.

Rules: no text over another text, over foreign lines or over hatching; no dimension line crossed by another one
or by a foreign extension line; views and blocks (title, tables, notes, stamp) apart from everything else;
everything inside the frame; no text below 2.5 mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from headparts.drafting.ink import LEAST_HEIGHT, Item
from headparts.geometry.curves import Box, Point, outline_points

Segment = tuple[Point, Point]
_MARGIN = 0.25


@dataclass(frozen=True)
class Shape:
    """An item as the checker sees it: text boxes, segments by role, hatched polygons, boxes."""

    item: Item
    texts: tuple[tuple[Point, ...], ...]
    words: tuple[str, ...]
    segments: tuple[tuple[Segment, str], ...]
    hatches: tuple[tuple[tuple[Point, ...], ...], ...]
    box: Box | None
    outline: Box | None


def shape_of(item: Item) -> Shape:
    """Flatten an item for the checker."""
    ink = item.ink
    segments: list[tuple[Segment, str]] = []
    outline: list[Point] = []
    for stroke in ink.strokes:
        points = stroke.curve.points(0.1)
        segments.extend(((a, b), stroke.role) for a, b in pairwise(points))
        if stroke.layer == "OUTLINE":
            outline.extend(points)
    for fill in ink.fills:
        corners = fill.points
        segments.extend(((a, b), "arrow") for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    texts = tuple(grown(t.corners(), _MARGIN) for t in ink.texts)
    hatches = tuple(tuple(outline_points(loop, 0.1) for loop in h.loops) for h in ink.hatches)
    everything = [p for (a, b), _ in segments for p in (a, b)] + [p for t in texts for p in t]
    return Shape(
        item,
        texts,
        tuple(t.text for t in ink.texts),
        tuple(segments),
        hatches,
        _box(everything),
        _box(outline) if item.kind == "view" else None,
    )


def conflicts_between(a: Shape, b: Shape) -> list[str]:
    """What two items do to each other, in plain words."""
    if a.box is None or b.box is None or not _boxes_meet(a.box, b.box, 0.0):
        return []
    names = f"{a.item.name} and {b.item.name}"
    found: list[str] = []
    if "frame" in (a.item.kind, b.item.kind):
        return found
    blocks = [s for s in (a, b) if s.item.kind == "block"]
    if blocks:
        block, other = blocks[0], b if blocks[0] is a else a
        assert block.box is not None
        if len(blocks) == 2 or _touches(block.box, other):
            found.append(f"{other.item.name} overlaps {block.item.name}")
        return found
    for text, word in zip(a.texts, a.words, strict=True):
        for other_text, other_word in zip(b.texts, b.words, strict=True):
            if polygons_meet(text, other_text):
                found.append(f"texts '{word}' and '{other_word}' overlap ({names})")
    for one, two in ((a, b), (b, a)):
        for text, word in zip(one.texts, one.words, strict=True):
            reach = _box(text)
            assert reach is not None
            if any(segment_meets(segment, text, reach) for segment, _ in two.segments):
                found.append(f"a line of {two.item.name} runs through '{word}' of {one.item.name}")
            elif any(_in_hatch(text, loops) for loops in two.hatches):
                found.append(f"'{word}' of {one.item.name} stands in the hatching of {two.item.name}")
        if (
            one.outline is not None
            and two.item.kind != "view"
            and two.item.view != one.item.name
            and any(segment_meets(s, _corners(one.outline), one.outline) for s, _ in two.segments)
        ):
            found.append(f"{two.item.name} runs through the view {one.item.name}")
    if a.outline is not None and b.outline is not None and _boxes_meet(a.outline, b.outline, -2.0):
        found.append(f"views {names} overlap")
    found.extend(_crossed(a, b))
    return found


def conflicts_of(items: Iterable[Item], space: Box | None = None) -> tuple[str, ...]:
    """All conflicts of a set of items; ``space`` = the drawing space inside the frame [mm]."""
    shapes = [shape_of(item) for item in items]
    found: list[str] = []
    for i, a in enumerate(shapes):
        found.extend(_alone(a))
        if space is not None and a.box is not None and a.item.kind != "frame":
            x0, y0, x1, y1 = a.box
            if x0 < space[0] - 0.01 or y0 < space[1] - 0.01 or x1 > space[2] + 0.01 or y1 > space[3] + 0.01:
                found.append(f"{a.item.name} leaves the drawing space")
        for b in shapes[i + 1 :]:
            found.extend(conflicts_between(a, b))
    return tuple(dict.fromkeys(found))


def _alone(a: Shape) -> list[str]:
    found = [
        f"'{t.text}' of {a.item.name} is only {t.height:g} mm high"
        for t in a.item.ink.texts
        if t.height < LEAST_HEIGHT
    ]
    for i, text in enumerate(a.texts):
        for j in range(i + 1, len(a.texts)):
            if a.item.kind != "dimension" and polygons_meet(text, a.texts[j]):
                found.append(f"texts '{a.words[i]}' and '{a.words[j]}' of {a.item.name} overlap")
        if a.item.kind in ("block", "frame"):
            reach = _box(text)
            assert reach is not None
            if any(segment_meets(s, text, reach) for s, role in a.segments if role != "inside"):
                found.append(f"a line of {a.item.name} runs through its text '{a.words[i]}'")
    return found


def _crossed(a: Shape, b: Shape) -> list[str]:
    for one, two in ((a, b), (b, a)):
        foreign = [t for t, role in two.segments if role in ("dimension", "extension", "leader")]
        for line, role in one.segments:
            if role == "dimension" and any(cross(line, t, 0.3) and not _own(one, t) for t in foreign):
                return [f"lines of {a.item.name} and {b.item.name} cross"]
            if role == "frame" and any(cross(line, t, 0.0) for t, _ in two.segments):
                return [f"a line of {two.item.name} runs through the frame of {one.item.name}"]
    return []


def _own(item: Shape, line: Segment) -> bool:
    """True when a foreign line lies on one of the item's own extension lines (both start at one edge)."""
    (x0, y0), (x1, y1) = line
    length = math.dist(*line) or 1.0
    nx, ny = (y0 - y1) / length, (x1 - x0) / length
    return any(
        role == "extension" and all(abs((x - x0) * nx + (y - y0) * ny) < 0.1 for x, y in segment)
        for segment, role in item.segments
    )


def grown(corners: Sequence[Point], by: float) -> tuple[Point, ...]:
    """A (turned) rectangle grown by a margin on all sides [mm]."""
    a, b, _, d = corners
    u, v = _unit(a, b), _unit(a, d)
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple(
        (p[0] + by * (i * u[0] + j * v[0]), p[1] + by * (i * u[1] + j * v[1]))
        for p, (i, j) in zip(corners, signs, strict=True)
    )


def polygons_meet(a: Sequence[Point], b: Sequence[Point]) -> bool:
    """True when two convex polygons overlap (separating axes)."""
    for polygon in (a, b):
        for p, q in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
            n = (p[1] - q[1], q[0] - p[0])
            one = [x * n[0] + y * n[1] for x, y in a]
            two = [x * n[0] + y * n[1] for x, y in b]
            if max(one) <= min(two) + 1e-9 or max(two) <= min(one) + 1e-9:
                return False
    return True


def segment_meets(segment: Segment, polygon: Sequence[Point], reach: Box) -> bool:
    """True when a segment touches the inside of a convex polygon whose box is ``reach``."""
    (x0, y0), (x1, y1) = segment
    if (
        max(x0, x1) <= reach[0]
        or min(x0, x1) >= reach[2]
        or max(y0, y1) <= reach[1]
        or min(y0, y1) >= reach[3]
    ):
        return False
    return polygons_meet(segment, polygon) if segment[0] != segment[1] else False


def cross(s: Segment, t: Segment, clear: float) -> bool:
    """True when two segments cross more than ``clear`` inside both, or lie on each other for longer than it."""
    (ax, ay), (bx, by) = s
    (cx, cy), (dx, dy) = t
    ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
    lu, lv = math.hypot(ux, uy), math.hypot(vx, vy)
    if lu < 1e-9 or lv < 1e-9:
        return False
    det = ux * vy - uy * vx
    if abs(det) < 1e-9 * lu * lv:
        if abs((cx - ax) * uy - (cy - ay) * ux) / lu > 0.05:
            return False
        e = sorted(((x - ax) * ux + (y - ay) * uy) / lu for x, y in t)
        return min(e[1], lu) - max(e[0], 0.0) > clear
    i = ((cx - ax) * vy - (cy - ay) * vx) / det * lu
    j = ((cx - ax) * uy - (cy - ay) * ux) / det * lv
    return clear < i < lu - clear and clear < j < lv - clear


def _touches(box: Box, other: Shape) -> bool:
    corners = _corners(box)
    return any(segment_meets(s, corners, box) for s, _ in other.segments) or any(
        polygons_meet(t, corners) for t in other.texts
    )


def _in_hatch(text: Sequence[Point], loops: Sequence[Sequence[Point]]) -> bool:
    middle = (sum(p[0] for p in text) / len(text), sum(p[1] for p in text) / len(text))
    return any(_inside(p, loops) for p in [*text, middle])


def _inside(p: Point, loops: Sequence[Sequence[Point]]) -> bool:
    odd = False
    for loop in loops:
        for (x0, y0), (x1, y1) in zip(loop, [*loop[1:], loop[0]], strict=True):
            if (y0 > p[1]) != (y1 > p[1]) and p[0] < x0 + (p[1] - y0) / (y1 - y0) * (x1 - x0):
                odd = not odd
    return odd


def _unit(a: Point, b: Point) -> Point:
    length = math.dist(a, b) or 1.0
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def _box(points: Sequence[Point]) -> Box | None:
    if not points:
        return None
    return (
        min(p[0] for p in points),
        min(p[1] for p in points),
        max(p[0] for p in points),
        max(p[1] for p in points),
    )


def _corners(box: Box) -> tuple[Point, ...]:
    return (box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])


def _boxes_meet(a: Box, b: Box, clear: float) -> bool:
    return a[0] < b[2] - clear and b[0] < a[2] - clear and a[1] < b[3] - clear and b[1] < a[3] - clear
