"""Documents: one module a sheet. Each takes parts and a context and returns a Drawing."""

from headparts.drafting import Drawing, Rendered, conflicts, render
from headparts.sheets.bushing import bushing_sheet
from headparts.sheets.context import SheetContext, Tolerance
from headparts.sheets.readback import differences, dimension_readback, missing_or_doubled

__all__ = ["Drawing", "Rendered", "SheetContext", "Tolerance", "bushing_sheet", "conflicts", "differences",
           "dimension_readback", "missing_or_doubled", "render"]
