"""A finished drawing, and the packing of views and blocks onto a sheet.

Packing: fixed blocks first, then each piece takes the free place nearest to where it would like to be (2 mm
grid); a piece with several shapes (notes of different widths) tries them all. Scale and sheet are chosen by
conflicts first, then by a main view of at least 80 mm on the paper, then the smallest sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from headparts.drafting.blocks import TITLE_HEIGHT, TitleFields, title_block
from headparts.drafting.conflicts import conflicts_of
from headparts.drafting.dimension import Laid
from headparts.drafting.ink import Ink, Item
from headparts.drafting.sheet import TITLE_WIDTH, Sheet
from headparts.drafting.view import Cluster
from headparts.geometry.curves import Box, Point

_GRID = 2.0
_CLEAR = 4.0
LEAST_MAIN = 80.0


@dataclass
class Piece:
    """Something to place: a cluster, or a block in one or more shapes.

    wish: where it would like its middle, as fractions of the drawing space (0 left/low, 1 right/high).
    level_with / above: name of a piece whose origin it shares in height / in x if it can.
    """

    name: str
    shapes: Sequence[Cluster | Ink]
    wish: Point = (0.5, 0.5)
    level_with: str = ""
    upright_with: str = ""


@dataclass(frozen=True)
class Drawing:
    """All ink of one sheet, by item. ``missing``: pieces that found no room; ``name`` is the file stem."""

    name: str
    sheet: Sheet
    fields: TitleFields
    items: tuple[Item, ...]
    missing: tuple[str, ...] = ()
    main_width: float = 0.0
    scale: float = 1.0
    places: dict[str, Point] = field(default_factory=dict, repr=False)

    @property
    def dimensions(self) -> tuple[Laid, ...]:
        """Every dimension of the sheet as it was laid out."""
        return tuple(i.dimension for i in self.items if isinstance(i.dimension, Laid))

    @property
    def texts(self) -> tuple[str, ...]:
        """Every line of text on the sheet."""
        return tuple(t.text for item in self.items for t in item.ink.texts)


def conflicts(drawing: Drawing) -> tuple[str, ...]:
    """Everything that overlaps, is crossed, leaves the frame, found no room or is too small to read."""
    return (
        *(f"no room for {name}" for name in drawing.missing),
        *conflicts_of(drawing.items, drawing.sheet.space),
    )


def compose(
    name: str,
    sheet: Sheet,
    fields: TitleFields,
    pieces: Sequence[Piece],
    scale: float,
    over_title: Sequence[Ink] = (),
) -> Drawing:
    """Place everything on one sheet. The first piece is the main view; ``over_title`` blocks stand on the title
    block (revision table)."""
    _, y0, x1, _ = sheet.space
    items: list[Item] = [sheet.frame()]
    left, low = x1 - TITLE_WIDTH, y0
    items.append(Item("block", "title block", title_block(fields).moved((left, low))))
    taken: list[Box] = [(left, low, x1, low + TITLE_HEIGHT)]
    taken += sheet.marks
    height = low + TITLE_HEIGHT
    for n, ink in enumerate(over_title):
        box = ink.box()
        assert box is not None
        items.append(
            Item(
                "block",
                f"table {n + 1} over the title",
                ink.moved((left - box[0] if n else left, height - 0.0)),
            )
        )
        taken.append((left, height, x1, height + box[3]))
        height += box[3]
    places: dict[str, Point] = {}
    missing: list[str] = []
    for piece in pieces:
        found = _best_place(piece, sheet.space, taken, places)
        if found is None:
            missing.append(piece.name)
            continue
        shape, at = found
        places[piece.name] = at
        box = _box(shape)
        taken.append((box[0] + at[0], box[1] + at[1], box[2] + at[0], box[3] + at[1]))
        if isinstance(shape, Cluster):
            items.extend(shape.placed(at))
        else:
            items.append(Item("block", piece.name, shape.moved(at)))
    main = pieces[0].shapes[0] if pieces else None
    width = 0.0
    if isinstance(main, Cluster):
        outline = main.view.outline()
        width = max(outline[2] - outline[0], outline[3] - outline[1])
    return Drawing(name, sheet, fields, tuple(items), tuple(missing), width, scale, places)


def choose(
    make: Callable[[Sheet, float, int], Drawing],
    sheets: Iterable[str],
    scales: Sequence[float],
    variants: int = 1,
) -> Drawing:
    """The best of the makeable drawings: no conflict, then a main view of 80 mm or more, then the first sheet,
    scale and variant (0, 1, ...: arrangements of the secondary views). Building stops at the first that has both."""
    best: tuple[tuple[int, bool], Drawing] | None = None
    for name in sheets:
        if best is not None and best[0][0] < 1000 and not best[0][1]:
            break  # everything had room on a smaller sheet; what clashes there clashes on a larger one too
        for scale in scales:
            for variant in range(variants):
                drawing = make(Sheet(name), scale, variant)
                small = drawing.main_width < LEAST_MAIN
                if drawing.missing:
                    rank = (1000 + len(drawing.missing), small)
                else:
                    rank = (len(conflicts(drawing)), small)
                if best is None or rank < best[0]:
                    best = (rank, drawing)
                if rank == (0, False):
                    return drawing
    assert best is not None, "no sheet or no scale to choose from"
    return best[1]


def _box(shape: Cluster | Ink) -> Box:
    box = shape.box()
    assert box is not None, "an empty block cannot be placed"
    return box


def _best_place(
    piece: Piece, space: Box, taken: Sequence[Box], places: dict[str, Point]
) -> tuple[Cluster | Ink, Point] | None:
    import numpy as np

    best: tuple[float, Cluster | Ink, Point] | None = None
    wish = (
        space[0] + piece.wish[0] * (space[2] - space[0]),
        space[1] + piece.wish[1] * (space[3] - space[1]),
    )
    level, upright = places.get(piece.level_with), places.get(piece.upright_with)
    for n, shape in enumerate(piece.shapes):
        box = _box(shape)
        xs = _spots(space[0] + 2.0 - box[0], space[2] - 2.0 - box[2], None if upright is None else upright[0])
        ys = _spots(space[1] + 2.0 - box[1], space[3] - 2.0 - box[3], None if level is None else level[1])
        if not xs or not ys:
            continue
        x, y = np.array(xs), np.array(ys)
        across = np.abs(x + (box[0] + box[2]) / 2.0 - wish[0])
        along = np.abs(y + (box[1] + box[3]) / 2.0 - wish[1])
        if upright is not None:
            across = across + np.where(x == upright[0], 0.0, 60.0)
        if level is not None:
            along = along + np.where(y == level[1], 0.0, 60.0)
        cost = across[:, None] + along[None, :] + 2.0 * n
        for t in taken:
            hit_x = (x + box[0] - _CLEAR < t[2]) & (x + box[2] + _CLEAR > t[0])
            hit_y = (y + box[1] - _CLEAR < t[3]) & (y + box[3] + _CLEAR > t[1])
            cost[np.outer(hit_x, hit_y)] = np.inf
        i, j = np.unravel_index(int(np.argmin(cost)), cost.shape)
        if np.isfinite(cost[i, j]) and (best is None or cost[i, j] < best[0] - 1e-9):
            best = (float(cost[i, j]), shape, (float(x[i]), float(y[j])))
    return None if best is None else (best[1], best[2])


def _spots(low: float, high: float, wanted: float | None) -> list[float]:
    """Places of an origin along one direction: a grid, the far end, and the wanted line when it lies between."""
    if high < low:
        return []
    spots = [low + i * _GRID for i in range(int((high - low) / _GRID) + 1)] + [high]
    if wanted is not None and low <= wanted <= high:
        spots.append(wanted)
    return spots
