"""The drawing engine: sheets, views, dimensions, symbols, layout, files. It knows nothing of valves.

``Drawing`` is a finished sheet, ``conflicts`` what overlaps on it, ``render`` its DXF, SVG and PDF bytes.
Neither the drawing library nor a font is loaded before the first sheet is made.
"""

from headparts.drafting.drawing import Drawing, conflicts
from headparts.drafting.render import Rendered, render
from headparts.drafting.tolerance import Tolerance

__all__ = ["Drawing", "Rendered", "Tolerance", "conflicts", "render"]
