"""Documents: one module a sheet. Each takes parts and a context and returns a Drawing."""

from headparts.drafting import Drawing, Rendered, conflicts, render
from headparts.sheets.bushing import bushing_sheet
from headparts.sheets.context import SheetContext, Tolerance
from headparts.sheets.head_bores import WallMark, head_bores_sheet
from headparts.sheets.picture import section_picture
from headparts.sheets.readback import differences, dimension_readback, missing_or_doubled
from headparts.sheets.sleeve import sleeve_sheet
from headparts.sheets.spacer import spacer_sheet

__all__ = [
    "Drawing",
    "Rendered",
    "SheetContext",
    "Tolerance",
    "WallMark",
    "bushing_sheet",
    "conflicts",
    "differences",
    "dimension_readback",
    "head_bores_sheet",
    "missing_or_doubled",
    "render",
    "section_picture",
    "sleeve_sheet",
    "spacer_sheet",
]
