"""Parts: frozen parameters in, solids with named features out. The CAD kernel loads at the first build.

>>> from headparts.parts import BushingParameters, bushing
"""

from headparts.parts.bushing import BushingParameters, bushing
from headparts.parts.part import Feature, Hint, Part, Placement, Size, wrap

__all__ = [
    "BushingParameters",
    "Feature",
    "Hint",
    "Part",
    "Placement",
    "Size",
    "bushing",
    "wrap",
]
