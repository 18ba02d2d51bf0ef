"""Rows of dimensions along one side of a view: order, depth and text places are searched by cost.

Every order of up to five dimensions is tried, more are taken shortest first; a text stands between the arrows
or beyond either end. Cost: a text crossed by an extension line 20, a dimension line crossed 6, a text off its
centre 0.6, depth 0.05 a mm; the first line lies 10 mm out, the next ones clear by 2 mm (own practice).
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from headparts.drafting.dimension import ARROW, GAP, Dimension, Laid, Side, Slot, label_size, lay_linear
from headparts.geometry.curves import Box

FIRST = 10.0
CLEAR = 2.0
_SLOTS: tuple[Slot, ...] = ("centre", "after", "before")


@dataclass(frozen=True)
class _Row:
    """A dimension seen along its side: ends u0 < u1, text size; all in paper mm."""

    dimension: Dimension
    u0: float
    u1: float
    width: float
    height: float

    def text_span(self, slot: Slot) -> tuple[float, float]:
        inside = self.u1 - self.u0 >= 2.0 * ARROW + 1.0
        beyond = 1.5 if inside else ARROW + 1.0
        if slot == "after":
            return self.u1 + beyond, self.u1 + beyond + self.width
        if slot == "before":
            return self.u0 - beyond - self.width, self.u0 - beyond
        middle = (self.u0 + self.u1) / 2.0
        return middle - self.width / 2.0, middle + self.width / 2.0

    def line_span(self, slot: Slot) -> tuple[float, float]:
        inside = self.u1 - self.u0 >= 2.0 * ARROW + 1.0
        a, b = (self.u0, self.u1) if inside else (self.u0 - ARROW - 3.0, self.u1 + ARROW + 3.0)
        t = self.text_span(slot)
        return min(a, t[0]), max(b, t[1])


def stack(
    dimensions: Sequence[Dimension], side: Side, scale: float, outline: Box, obstacles: Sequence[Box] = ()
) -> tuple[Laid, ...]:
    """Lay out linear and diameter dimensions along one side of a view.

    ``outline``: the view's box on paper [mm], the lines start FIRST outside it; ``obstacles``: boxes on paper that
    lines and texts keep clear of.
    """
    rows = [_row(d, side, scale) for d in dimensions]
    outward = side in ("top", "left")
    blocks = [_turned(box, side, outline) for box in obstacles]
    if len(rows) <= 5:
        orders = list(itertools.permutations(range(len(rows))))
    else:
        orders = [tuple(sorted(range(len(rows)), key=lambda i: rows[i].u1 - rows[i].u0))]
    best: tuple[float, list[tuple[_Row, Slot, float]]] | None = None
    for order in orders:
        placed = _place([rows[i] for i in order], outward, blocks)
        cost = _cost(placed, outward)
        if best is None or cost < best[0] - 1e-9:
            best = (cost, placed)
    if best is None:
        return ()
    laid = []
    for row, slot, v in best[1]:
        through = {
            "top": (0.0, outline[3] + v),
            "bottom": (0.0, outline[1] - v),
            "left": (outline[0] - v, 0.0),
            "right": (outline[2] + v, 0.0),
        }[side]
        laid.append(lay_linear(row.dimension, scale, through, slot))
    return tuple(laid)


def _row(d: Dimension, side: Side, scale: float) -> _Row:
    axis = 0 if side in ("top", "bottom") else 1
    u0, u1 = sorted(p[axis] * scale for p in d.points)
    return _Row(d, u0, u1, *label_size(d.label))


def _turned(box: Box, side: Side, outline: Box) -> Box:
    """A paper box as (u low, v low, u high, v high) of the side."""
    x0, y0, x1, y1 = box
    if side == "top":
        return x0, y0 - outline[3], x1, y1 - outline[3]
    if side == "bottom":
        return x0, outline[1] - y1, x1, outline[1] - y0
    if side == "left":
        return y0, outline[0] - x1, y1, outline[0] - x0
    return y0, x0 - outline[2], y1, x1 - outline[2]


def _bands(row: _Row, slot: Slot, v: float, outward: bool) -> list[Box]:
    """Boxes a laid row takes: its line with arrows, and its text."""
    a, b = row.line_span(slot)
    t0, t1 = row.text_span(slot)
    text = (v + GAP, v + GAP + row.height) if outward else (v - GAP - row.height, v - GAP)
    return [(a, v - 0.8, b, v + 0.8), (t0 - 0.6, text[0], t1 + 0.6, text[1])]


def _free(boxes: Sequence[Box], others: Sequence[Box], clear: float) -> bool:
    return not any(
        a[0] < b[2] and b[0] < a[2] and a[1] < b[3] + clear and b[1] < a[3] + clear
        for a in boxes
        for b in others
    )


def _shared(row: _Row, u: float) -> bool:
    """True when an extension line at u starts at the same edge as one of the row's own."""
    return min(abs(u - row.u0), abs(u - row.u1)) < 0.1


def _place(rows: list[_Row], outward: bool, blocks: list[Box]) -> list[tuple[_Row, Slot, float]]:
    placed: list[tuple[_Row, Slot, float]] = []
    taken: list[Box] = []
    for k, row in enumerate(rows):
        later = [u for other in rows[k + 1 :] for u in (other.u0, other.u1)]
        least = FIRST if outward else max(FIRST, GAP + row.height + 3.0)
        options = []
        for slot in _SLOTS:
            t0, t1 = row.text_span(slot)
            if slot == "centre" and row.width + 1.0 > row.u1 - row.u0:
                continue
            v = least
            while (
                not (
                    _free(_bands(row, slot, v, outward), taken, CLEAR)
                    and _free(_bands(row, slot, v, outward), blocks, 0.6)
                )
                and v < least + 120.0
            ):
                v += 0.5
            crossed = sum(20.0 for u in later if t0 - 0.5 < u < t1 + 0.5)
            a, b = row.line_span(slot)
            crossed += sum(6.0 for u in later if a + 0.2 < u < b - 0.2 and not _shared(row, u))
            options.append((crossed + (0.0 if slot == "centre" else 0.6) + 0.05 * v, _SLOTS.index(slot), v))
        _, index, v = min(options)
        slot = _SLOTS[index]
        placed.append((row, slot, v))
        taken.extend(_bands(row, slot, v, outward))
    return placed


def _cost(placed: list[tuple[_Row, Slot, float]], outward: bool) -> float:
    total = 0.0
    for row, slot, v in placed:
        (t0, t1), (a, b) = row.text_span(slot), row.line_span(slot)
        text_v = v + GAP + row.height / 2.0 if outward else v - GAP - row.height / 2.0
        for other, _, w in placed:
            if other is row:
                continue
            for u in (other.u0, other.u1):
                if w + 1.5 > text_v and t0 - 0.5 < u < t1 + 0.5:
                    total += 20.0
                if w > v and a + 0.2 < u < b - 0.2 and not _shared(row, u):
                    total += 6.0
        total += (0.0 if slot == "centre" else 0.6) + 0.05 * v
    return total
