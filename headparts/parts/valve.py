"""The valve, simplified, for clearances: head with its margin and 45 deg face, stem, tip.

Own frame: z is s along the valve axis, as for the bushing; the valve is closed unless a lift is given. The
fillet under the head and the collet groove are left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from headparts.errors import ParameterError
from headparts.parts.outline import DOWN, UP, below, finite, inside, positive, turned, turned_volume
from headparts.parts.part import Feature, Hint, Part, Placement, Size


@dataclass(frozen=True)
class ValveParameters:
    """Sizes of a valve [mm, deg].

    head_diameter, margin : the head's cylindrical land.
    stem_diameter, tip_s : the stem and the place of its tip, closed.
    seat_outer_diameter, seat_outer_s : outer edge of the seat on which the face rests.
    face_angle : of the seat face, from the plane square to the axis. The face runs up to the stem.
    lift : how far the valve is open (moved toward -z).

    The head's underside, closed: s = seat_outer_s - (head - seat outer)/2 tan(face_angle) - margin.
    Impossible values raise ParameterError when the object is made, before the kernel is loaded.
    """

    head_diameter: float
    margin: float
    stem_diameter: float
    tip_s: float
    seat_outer_diameter: float
    seat_outer_s: float = 0.3
    face_angle: float = 45.0
    lift: float = 0.0

    def __post_init__(self) -> None:
        for key in ("head_diameter", "margin", "stem_diameter", "seat_outer_diameter"):
            positive(key, getattr(self, key))
        for key in ("tip_s", "seat_outer_s", "lift"):
            finite(key, getattr(self, key))
        inside("face_angle", self.face_angle, 0.0, 90.0)
        below("stem_diameter", self.stem_diameter, "seat_outer_diameter", self.seat_outer_diameter)
        if self.seat_outer_diameter > self.head_diameter:
            raise ParameterError(
                "seat_outer_diameter",
                self.seat_outer_diameter,
                f"must not be above head_diameter ({self.head_diameter:g})",
            )
        if self.lift < 0.0:
            raise ParameterError("lift", self.lift, "must not be negative")
        if self.tip_s - self.lift <= self.face_top_s:
            raise ParameterError("tip_s", self.tip_s, f"must lie above the head ({self.face_top_s:.3f})")

    @property
    def under_s(self) -> float:
        """s of the head's underside at the given lift [mm]."""
        rise = (self.head_diameter - self.seat_outer_diameter) / 2.0 * math.tan(math.radians(self.face_angle))
        return self.seat_outer_s - rise - self.margin - self.lift

    @property
    def face_top_s(self) -> float:
        """s where the face meets the stem [mm]."""
        rise = (self.head_diameter - self.stem_diameter) / 2.0 * math.tan(math.radians(self.face_angle))
        return self.under_s + self.margin + rise

    @property
    def outline(self) -> tuple[tuple[float, float], ...]:
        """Closed (radius, s) outline, from the axis round."""
        head, stem, low = self.head_diameter / 2.0, self.stem_diameter / 2.0, self.under_s
        tip = self.tip_s - self.lift
        return (
            (0.0, low),
            (head, low),
            (head, low + self.margin),
            (stem, self.face_top_s),
            (stem, tip),
            (0.0, tip),
        )

    @property
    def volume(self) -> float:
        """Volume in closed form [mm3]."""
        return turned_volume(self.outline)


def valve(
    p: ValveParameters,
    name: str = "valve",
    material: str | None = None,
    density: float | None = None,
    placement: Placement | None = None,
) -> Part:
    """Build a valve and prove it against its closed-form volume (1e-9 of it)."""
    from headparts.solids.primitives import revolve
    from headparts.solids.verify import prove

    solid = revolve(p.outline)
    prove(solid, name, p.volume, 1e-9 * p.volume)
    return Part(
        name=name,
        shape=solid,
        features={feature.name: feature for feature in _features(p)},
        sizes={size.name: size for size in _ALL},
        material=material,
        density=density,
        placement=placement or Placement(),
        colour=(0.60, 0.60, 0.66),
        volume_expected=p.volume,
        outline=p.outline,
    )


def _features(p: ValveParameters) -> Iterator[Feature]:
    head, stem, low, tip = p.head_diameter / 2.0, p.stem_diameter / 2.0, p.under_s, p.tip_s - p.lift
    face = low + p.margin
    yield Feature("underside", "plane", Hint((0.0, 0.0, low), DOWN, (-head / 2.0, 0.0, low)))
    yield turned("head", "cylinder", head, low + p.margin / 2.0, "solid")
    yield turned("face_edge", "circle", head, face, None)
    yield turned("face", "cone", (head + stem) / 2.0, (face + p.face_top_s) / 2.0, "solid")
    yield turned("stem", "cylinder", stem, (p.face_top_s + tip) / 2.0, "solid")
    yield Feature("tip", "plane", Hint((0.0, 0.0, tip), UP, (-stem / 2.0, 0.0, tip)))


_ALL = (
    Size("head_diameter", "diameter", ("head",), "radius"),
    Size("stem_diameter", "diameter", ("stem",), "radius"),
    Size("margin", "length", ("underside", "face_edge"), "between"),
    Size("face_angle", "angle", ("face",), "to_plane"),
    Size("overall_length", "length", ("underside", "tip"), "between"),
)
