"""The sheet of paper: sizes, frame, centring marks and grid letters after ISO 5457:1999.

Trimmed sizes and the filing margin of 20 mm (10 on the other sides): A4 upright, larger ones lying; grid fields
of 50 mm counted from the centre lines (1999 edition, from memory; the 1980 edition differs).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from headparts.drafting.ink import Ink, Item, Stroke, Text, box_strokes
from headparts.errors import ParameterError
from headparts.geometry.curves import Box, Line, Point

_SIZES = {"A4": (210.0, 297.0), "A3": (420.0, 297.0), "A2": (594.0, 420.0), "A1": (841.0, 594.0)}
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_BORDER = 5.0
#: width of the title block, lower right (ISO 7200) [mm]
TITLE_WIDTH = 180.0


@dataclass(frozen=True)
class Sheet:
    """A trimmed sheet by its ISO name: A4, A3, A2 or A1, or one of any ``size`` (width, height) [mm] for a picture.

    Raises ParameterError for another name without a size.
    """

    name: str
    size: Point | None = None

    def __post_init__(self) -> None:
        if self.size is None and self.name not in _SIZES:
            raise ParameterError("sheet", self.name, f"must be one of {', '.join(_SIZES)}")

    @property
    def width(self) -> float:
        """Trimmed width [mm]."""
        return self.size[0] if self.size else _SIZES[self.name][0]

    @property
    def height(self) -> float:
        """Trimmed height [mm]."""
        return self.size[1] if self.size else _SIZES[self.name][1]

    @property
    def space(self) -> Box:
        """Drawing space inside the frame: 20 mm filing margin left, 10 mm elsewhere [mm]."""
        return 20.0, 10.0, self.width - 10.0, self.height - 10.0

    @property
    def marks(self) -> list[Box]:
        """Boxes of the centring marks inside the frame, which nothing should cover [mm]."""
        x0, y0, x1, y1 = self.space
        cx, cy = self.width / 2.0, self.height / 2.0
        return [
            (cx - 1.0, y0, cx + 1.0, y0 + 1.0),
            (cx - 1.0, y1 - 1.0, cx + 1.0, y1),
            (x0, cy - 1.0, x0 + 1.0, cy + 1.0),
            (x1 - 1.0, cy - 1.0, x1, cy + 1.0),
        ]

    def frame(self) -> Item:
        """Frame, grid reference border, centring marks and grid letters."""
        x0, y0, x1, y1 = self.space
        outer = (x0 - _BORDER, y0 - _BORDER, x1 + _BORDER, y1 + _BORDER)
        strokes = [
            *box_strokes(x0, y0, x1, y1, "FRAME"),
            *box_strokes(*outer, "NARROW"),
            *box_strokes(0.0, 0.0, self.width, self.height, "NARROW"),
        ]
        texts: list[Text] = []
        cx, cy = self.width / 2.0, self.height / 2.0
        xs, ys = _fields(outer[0], outer[2], cx), _fields(outer[1], outer[3], cy)
        for x in xs[1:-1]:
            for a, b in ((outer[1], y0), (y1, outer[3])):
                strokes.append(Stroke(Line((x, a), (x, b)), "NARROW"))
        for y in ys[1:-1]:
            for a, b in ((outer[0], x0), (x1, outer[2])):
                strokes.append(Stroke(Line((a, y), (b, y)), "NARROW"))
        for n, (a, b) in enumerate(pairwise(xs), start=1):
            for y in ((outer[1] + y0) / 2.0, (outer[3] + y1) / 2.0):
                texts.append(Text(((a + b) / 2.0, y), str(n), 2.5, "centre", "middle"))
        for letter, a, b in zip(_LETTERS, ys[::-1], ys[::-1][1:], strict=False):
            for x in ((outer[0] + x0) / 2.0, (outer[2] + x1) / 2.0):
                texts.append(Text((x, (a + b) / 2.0), letter, 2.5, "centre", "middle"))
        foot = y0 + 5.0 if x1 - x0 > TITLE_WIDTH else y0  # on A4 the title block takes the whole lower side
        for p, q in (
            ((cx, outer[1]), (cx, foot)),
            ((cx, outer[3]), (cx, y1 - 5.0)),
            ((outer[0], cy), (x0 + 5.0, cy)),
            ((outer[2], cy), (x1 - 5.0, cy)),
        ):
            strokes.append(Stroke(Line(p, q), "FRAME"))
        return Item("frame", "frame", Ink(tuple(strokes), texts=tuple(texts)))


def _fields(low: float, high: float, centre: float) -> list[float]:
    """Limits of the grid fields: 50 mm steps from the centre; a rest shorter than 25 mm joins its neighbour."""
    steps = [centre]
    while steps[-1] + 50.0 < high - 25.0:
        steps.append(steps[-1] + 50.0)
    down = [centre]
    while down[-1] - 50.0 > low + 25.0:
        down.append(down[-1] - 50.0)
    return [low, *down[:0:-1], *steps, high]
