"""Parts: frozen parameters in, solids with named features out. The CAD kernel loads at the first build.

>>> from headparts.parts import SpacerParameters
>>> SpacerParameters(length=26.0, width=10.0, thickness=2.0, hole_diameter=6.4).thickness
2.0
"""

from headparts.parts.assembly import ClashResult, clashes
from headparts.parts.bushing import BushingParameters, bushing
from headparts.parts.head import head
from headparts.parts.head_parameters import HeadParameters
from headparts.parts.head_tools import Tool
from headparts.parts.part import Feature, Hint, Part, Placement, Size, wrap
from headparts.parts.sleeve import SleeveParameters, sleeve
from headparts.parts.spacer import SpacerParameters, spacer
from headparts.parts.valve import ValveParameters, valve

__all__ = [
    "BushingParameters",
    "ClashResult",
    "Feature",
    "HeadParameters",
    "Hint",
    "Part",
    "Placement",
    "Size",
    "SleeveParameters",
    "SpacerParameters",
    "Tool",
    "ValveParameters",
    "bushing",
    "clashes",
    "head",
    "sleeve",
    "spacer",
    "valve",
    "wrap",
]
