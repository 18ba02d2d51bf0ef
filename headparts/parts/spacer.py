"""The rocker-post spacer: a flat plate under the rocker post, with the stud's hole and perhaps an oil hole.

Own frame: bottom face at z = 0, z up, origin at the middle of the stud hole, sides along x and y.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from headparts.errors import ParameterError
from headparts.parts.outline import DOWN, UP, below, finite, positive
from headparts.parts.part import Feature, Hint, Part, Placement, Size


@dataclass(frozen=True)
class SpacerParameters:
    """Sizes of a spacer [mm].

    length, width, thickness : of the plate along x, y, z; the stud hole is in its middle.
    hole_diameter : for the stud.
    oil_hole_diameter, oil_hole_at : oil hole and its (x, y) from the stud hole's centre; both or neither.
    chamfer : 45 deg chamfer round the bottom and the top outline; 0: none.

    Impossible values raise ParameterError when the object is made, before the kernel is loaded.
    """

    length: float
    width: float
    thickness: float
    hole_diameter: float
    oil_hole_diameter: float | None = None
    oil_hole_at: tuple[float, float] | None = None
    chamfer: float = 0.0

    def __post_init__(self) -> None:
        for key in ("length", "width", "thickness", "hole_diameter"):
            positive(key, getattr(self, key))
        if self.chamfer != 0.0:
            positive("chamfer", self.chamfer)
        below("chamfer", self.chamfer, "half the thickness", self.thickness / 2.0)
        room = min(self.length, self.width) - 2.0 * self.chamfer
        below("hole_diameter", self.hole_diameter, "the flat width of the plate", room)
        if (self.oil_hole_diameter is None) != (self.oil_hole_at is None):
            raise ParameterError(
                "oil_hole_at", self.oil_hole_at, "oil_hole_diameter and oil_hole_at go together"
            )
        if self.oil_hole_diameter is None or self.oil_hole_at is None:
            return
        positive("oil_hole_diameter", self.oil_hole_diameter)
        radius = self.oil_hole_diameter / 2.0
        for axis, at, side in zip("xy", self.oil_hole_at, (self.length, self.width), strict=True):
            finite("oil_hole_at", at)
            if abs(at) + radius >= side / 2.0 - self.chamfer:
                raise ParameterError("oil_hole_at", self.oil_hole_at, f"breaks out of the plate along {axis}")
        if math.hypot(*self.oil_hole_at) <= radius + self.hole_diameter / 2.0:
            raise ParameterError("oil_hole_at", self.oil_hole_at, "the oil hole runs into the stud hole")

    @property
    def volume(self) -> float:
        """Volume in closed form [mm3]: plate less holes less the two bevels' rims."""
        a, b, c = self.length, self.width, self.chamfer
        rim = a * b * c - (a * b * c - (a + b) * c * c + 4.0 * c**3 / 3.0)
        holes = self.hole_diameter**2 + (self.oil_hole_diameter or 0.0) ** 2
        return a * b * self.thickness - 2.0 * rim - math.pi / 4.0 * holes * self.thickness


def spacer(
    p: SpacerParameters,
    name: str = "spacer",
    material: str | None = None,
    density: float | None = None,
    placement: Placement | None = None,
) -> Part:
    """Build a spacer and prove it against its closed-form volume (1e-9 of it).

    Raises KernelError when the solid could not be proven.
    """
    from headparts.solids.cut import cut
    from headparts.solids.primitives import bevelled_box, cylinder
    from headparts.solids.verify import prove

    a, b = p.length / 2.0, p.width / 2.0
    plate = bevelled_box((-a, -b, 0.0), (a, b, p.thickness), p.chamfer)
    drill = [cylinder((0.0, 0.0, -1.0), UP, p.hole_diameter / 2.0, p.thickness + 2.0)]
    if p.oil_hole_diameter is not None and p.oil_hole_at is not None:
        foot = (*p.oil_hole_at, -1.0)
        drill.append(cylinder(foot, UP, p.oil_hole_diameter / 2.0, p.thickness + 2.0))
    solid = cut(plate, drill)
    prove(solid, name, p.volume, 1e-9 * p.volume)
    return Part(
        name=name,
        shape=solid,
        features={feature.name: feature for feature in _features(p)},
        sizes={size.name: size for size in _ALL if {f.name for f in _features(p)}.issuperset(size.of)},
        material=material,
        density=density,
        placement=placement or Placement(),
        colour=(0.62, 0.72, 0.62),
        volume_expected=p.volume,
    )


def _features(p: SpacerParameters) -> Iterator[Feature]:
    a, b, t = p.length / 2.0, p.width / 2.0, p.thickness
    hole = p.hole_diameter / 2.0
    corner = (0.5 * (hole / math.sqrt(2.0) + a - p.chamfer), 0.5 * (hole / math.sqrt(2.0) + b - p.chamfer))
    yield Feature("bottom", "plane", Hint((0.0, 0.0, 0.0), DOWN, (*corner, 0.0)))
    yield Feature("top", "plane", Hint((0.0, 0.0, t), UP, (*corner, t)))
    for name, normal, at in (
        ("side_minus_x", (-1.0, 0.0, 0.0), (-a, 0.0, t / 2.0)),
        ("side_plus_x", (1.0, 0.0, 0.0), (a, 0.0, t / 2.0)),
        ("side_minus_y", (0.0, -1.0, 0.0), (0.0, -b, t / 2.0)),
        ("side_plus_y", (0.0, 1.0, 0.0), (0.0, b, t / 2.0)),
    ):
        yield Feature(name, "plane", Hint(at, normal, at))
    yield Feature("hole", "cylinder", Hint((0.0, 0.0, 0.0), UP, (hole, 0.0, t / 2.0), "hollow"))
    if p.oil_hole_diameter is not None and p.oil_hole_at is not None:
        x, y = p.oil_hole_at
        at = (x + p.oil_hole_diameter / 2.0, y, t / 2.0)
        yield Feature("oil_hole", "cylinder", Hint((x, y, 0.0), UP, at, "hollow"))
    if p.chamfer > 0.0:
        c = p.chamfer / 2.0
        slope = math.sqrt(0.5)
        at = (a - c, 0.0, t - c)
        yield Feature("chamfer", "plane", Hint(at, (slope, 0.0, slope), at, None, 0.1))


_ALL = (
    Size("length", "length", ("side_minus_x", "side_plus_x"), "between"),
    Size("width", "length", ("side_minus_y", "side_plus_y"), "between"),
    Size("thickness", "length", ("bottom", "top"), "between"),
    Size("hole_diameter", "diameter", ("hole",), "radius"),
    Size("hole_x", "length", ("hole", "side_minus_x"), "from_axis"),
    Size("hole_y", "length", ("hole", "side_minus_y"), "from_axis"),
    Size("oil_hole_diameter", "diameter", ("oil_hole",), "radius"),
    Size("oil_hole_x", "length", ("side_plus_x", "hole", "oil_hole"), "offset"),
    Size("oil_hole_y", "length", ("side_plus_y", "hole", "oil_hole"), "offset"),
    Size("chamfer", "length", ("side_plus_x", "top", "chamfer"), "bevel"),
)
