"""What all sheets share: readings of a part's features, fixed blocks, choice of scale and sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from headparts.drafting.blocks import boxed, cut_fields, notes, revision_table, stamp
from headparts.drafting.dimension import Dimension
from headparts.drafting.drawing import Drawing, Piece, choose, compose
from headparts.drafting.ink import Ink
from headparts.drafting.sheet import TITLE_WIDTH, Sheet
from headparts.drafting.tolerance import Tolerance
from headparts.drafting.view import Cluster, scale_text
from headparts.sheets.context import SheetContext

SCALES = (20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1)
#: more notes than this are set in two blocks
NOTES_IN_ONE = 6
_SHEETS = ("A4", "A3", "A2", "A1")


class Readings:
    """Features of one part, probed once each, in the part's own frame."""

    def __init__(self, part: Any) -> None:
        self.part = part
        self._found: dict[str, Any] = {}

    def __contains__(self, name: str) -> bool:
        return name in self.part.features

    def __getitem__(self, name: str) -> Any:
        if name not in self._found:
            self._found[name] = self.part.features[name].probe(self.part.shape)
        return self._found[name]

    def radius(self, name: str) -> float:
        """Radius of a cylinder or circle [mm]."""
        return float(self[name].radius)

    def z(self, name: str) -> float:
        """Height along the part's z of a plane, circle or axis point [mm]."""
        return float(self[name].point[2])


def dimension(
    part: Any,
    context: SheetContext,
    size: str,
    kind: Any,
    points: Sequence[tuple[float, float]],
    direction: float = 0.0,
    default: Tolerance | None = None,
) -> Dimension:
    """A dimension of a part's size with the tolerance that the context or the sheet gives it."""
    return Dimension(part.name, size, kind, tuple(points), direction, context.tolerance(size, default))


def text_pieces(context: SheetContext, lines: Sequence[str], part: Any = None) -> list[Piece]:
    """Stamp, cautions, warnings and notes as pieces to place."""
    long = cut_fields(context.fields(part, "1:1"))
    forms = [(w, h) for h in (3.0, 2.5) for w in (120.0, 90.0, 170.0, 75.0, 60.0, 105.0, 140.0)]
    forms += [(50.0, 2.5), (41.0, 2.5)]
    pieces = [Piece("stamp", [stamp(context.stamp_lines)], (1.0, 1.0))]
    if context.cautions:
        pieces.append(
            Piece("cautions", [boxed("CAUTION", context.cautions, w, h) for w, h in forms], (1.0, 0.3))
        )
    if context.warnings:
        pieces.append(
            Piece("warnings", [boxed("WARNING", context.warnings, w, h) for w, h in forms], (1.0, 0.35))
        )
    everything = [*context.notes, *lines, *long]
    half = len(everything) if len(everything) <= NOTES_IN_ONE else (len(everything) + 1) // 2
    for first, part_of in ((1, everything[:half]), (half + 1, everything[half:])):
        if part_of:
            heading = "Notes" if first == 1 else "Notes, continued"
            shapes = [notes(part_of, w, heading, h, first) for w, h in forms]
            pieces.append(Piece(heading.lower(), shapes, (1.0, 0.7 if first == 1 else 0.4)))
    return pieces


def build(
    name: str,
    context: SheetContext,
    part: Any,
    size: float,
    make: Callable[[float, int], tuple[list[Piece], str]],
    variants: int = 1,
    extra_rows: Sequence[Ink] = (),
) -> Drawing:
    """Choose sheet and scale and compose. ``size``: the main view's greatest extent [mm of the part];
    ``make(scale, variant)`` returns the pieces, the main view first, and the scales as the title block writes
    them; variants are arrangements of the secondary views, tried in order."""
    rows = context.revisions or (
        (context.rev or "-", "first issue", context.date or "-", context.drawn or "-"),
    )
    over = [revision_table(rows), *extra_rows]
    made: dict[tuple[float, int], tuple[list[Piece], str]] = {}

    def drawing(sheet: Sheet, scale: float, variant: int) -> Drawing:
        if (scale, variant) not in made:
            made[scale, variant] = make(scale, variant)
        pieces, scales = made[scale, variant]
        return compose(name, sheet, context.fields(part, scales), pieces, scale, over)

    first = context.sheet_size if context.sheet_size in _SHEETS else "A3"
    sheets = _SHEETS[_SHEETS.index(first) :]
    scales = [s for s in SCALES if 40.0 <= s * size <= 205.0] or [1.0]
    wanted = context.scale_wanted
    if wanted is not None and wanted * size >= 80.0:
        scales = [wanted, *(s for s in scales if s != wanted)]
    return choose(drawing, sheets, scales, variants)


def smaller(scale: float) -> float:
    """The next smaller standard scale, or the same below 1:1."""
    return next((s for s in SCALES if s < scale), scale) if scale > 1.0 else scale


def scales_written(main: float, others: Sequence[float]) -> str:
    """Main scale, the others in brackets: 5:1 (10:1)."""
    rest = sorted({o for o in others if o != main}, reverse=True)
    return scale_text(main) + (f" ({', '.join(scale_text(o) for o in rest)})" if rest else "")


def titled(cluster: Cluster, text: str, main: float) -> None:
    """Write a view's name over it, with its scale when it differs from the main one."""
    cluster.title(text if cluster.scale == main else f"{text} ({scale_text(cluster.scale)})")


__all__ = [
    "TITLE_WIDTH",
    "Readings",
    "build",
    "dimension",
    "scales_written",
    "smaller",
    "text_pieces",
    "titled",
]
