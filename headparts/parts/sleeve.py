"""The repair sleeve: a thin tube in the head's part of a port, its inner end trimmed to the bushing.

Own frame: origin where the port axis passes the valve axis (its foot), z along the port going outward, the
valve axis in the x-z plane, rising toward +x.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from headparts.errors import ParameterError
from headparts.parts.outline import DOWN, UP, ZERO, below, finite, inside, positive, turned_volume
from headparts.parts.part import Feature, Hint, Part, Placement, Size, Vector

INNER_ENDS = ("saddle", "chamfer", "square")
OUTER_ENDS = ("flush", "flange")


@dataclass(frozen=True)
class SleeveParameters:
    """Sizes of a repair sleeve [mm, deg].

    outer_diameter, inner_diameter : of the tube.
    face_distance : from the port's foot on the valve axis to the port's face, along the port.
    saddle_radius : of the bushing's body, to which the inner end is trimmed.
    axis_angle : between port axis and valve axis, above 0 and up to 90 or beyond.
    axis_offset : how far the port axis passes beside the valve axis (the valve axis lies at y = offset).
    inner_end : "saddle" (cut to the bushing's round side), "square" (ends square where the sleeve is
        shortest, so it never reaches the bushing), "chamfer" (square with a 45 deg chamfer outside).
    inner_chamfer : size of that chamfer; None: half the wall (common practice, no source).
    outer_end : "flush" or "flange"; a flange sits in a counterbore, flush with the face.
    flange_diameter, flange_thickness : of the flange, both or neither.

    Impossible values raise ParameterError when the object is made, before the kernel is loaded.
    """

    outer_diameter: float
    inner_diameter: float
    face_distance: float
    saddle_radius: float
    axis_angle: float
    axis_offset: float = 0.0
    inner_end: str = "saddle"
    inner_chamfer: float | None = None
    outer_end: str = "flush"
    flange_diameter: float | None = None
    flange_thickness: float | None = None

    def __post_init__(self) -> None:
        for key in ("outer_diameter", "inner_diameter", "face_distance", "saddle_radius"):
            positive(key, getattr(self, key))
        below("inner_diameter", self.inner_diameter, "outer_diameter", self.outer_diameter)
        inside("axis_angle", self.axis_angle, 15.0, 165.0)
        finite("axis_offset", self.axis_offset)
        if self.inner_end not in INNER_ENDS:
            raise ParameterError("inner_end", self.inner_end, f"must be one of {', '.join(INNER_ENDS)}")
        if self.outer_end not in OUTER_ENDS:
            raise ParameterError("outer_end", self.outer_end, f"must be one of {', '.join(OUTER_ENDS)}")
        if self.outer_diameter / 2.0 + abs(self.axis_offset) >= self.saddle_radius:
            raise ParameterError(
                "saddle_radius",
                self.saddle_radius,
                f"the sleeve ({self.outer_diameter:g} across) does not end on so small a bushing",
            )
        if self.length_min <= 0.0:
            raise ParameterError("face_distance", self.face_distance, "leaves a sleeve of no length")
        wall = (self.outer_diameter - self.inner_diameter) / 2.0
        if self.inner_chamfer is not None:
            inside("inner_chamfer", self.inner_chamfer, 0.0, min(wall, self.length_min))
        self._check_flange()

    def _check_flange(self) -> None:
        if (self.flange_diameter is None) != (self.flange_thickness is None):
            raise ParameterError(
                "flange_diameter", self.flange_diameter, "flange_diameter and flange_thickness go together"
            )
        if self.outer_end == "flush":
            if self.flange_diameter is not None:
                raise ParameterError("flange_diameter", self.flange_diameter, "a flush end has no flange")
            return
        if self.flange_diameter is None or self.flange_thickness is None:
            raise ParameterError("flange_diameter", None, "is missing: outer_end is a flange")
        positive("flange_diameter", self.flange_diameter)
        below("outer_diameter", self.outer_diameter, "flange_diameter", self.flange_diameter)
        inside("flange_thickness", self.flange_thickness, 0.0, self.length_min)

    @property
    def wall(self) -> float:
        """Wall of the tube [mm]."""
        return (self.outer_diameter - self.inner_diameter) / 2.0

    @property
    def length_min(self) -> float:
        """Shortest generator on the outside, from the saddle to the face [mm]."""
        return self.face_distance - self._saddle(self.outer_diameter / 2.0, largest=True)

    @property
    def length_max(self) -> float:
        """Longest generator on the outside [mm]; with a square or chamfered end the same as the shortest."""
        if self.inner_end != "saddle":
            return self.length_min
        return self.face_distance - self._saddle(self.outer_diameter / 2.0, largest=False)

    def _saddle(self, radius: float, *, largest: bool) -> float:
        return saddle_extreme(radius, self.saddle_radius, self.axis_angle, self.axis_offset, largest=largest)

    @property
    def chamfer(self) -> float:
        """Size of the chamfer at the inner end [mm]; 0 for the other ends."""
        if self.inner_end != "chamfer":
            return 0.0
        return self.wall / 2.0 if self.inner_chamfer is None else self.inner_chamfer

    @property
    def volume(self) -> float:
        """Volume without the kernel [mm3]: tube lengths integrated over the wall, and the flange."""
        return _volume(self)


def saddle_height(radius: float, azimuth: float, saddle: float, angle: float, offset: float) -> float:
    """Where a generator of a tube meets the saddle's cylinder: z along the tube [mm].

    The generator at (radius, azimuth [rad]) lies at x = r cos, y = r sin. The saddle's axis passes
    (0, offset, 0), turned ``angle`` [deg] from z toward x. Distance from that axis = saddle gives
    z = (x cos(angle) + sqrt(saddle^2 - (y - offset)^2))/sin(angle).
    """
    turn = math.radians(angle)
    y = radius * math.sin(azimuth) - offset
    x = radius * math.cos(azimuth)
    return (x * math.cos(turn) + math.sqrt(saddle * saddle - y * y)) / math.sin(turn)


def saddle_extreme(radius: float, saddle: float, angle: float, offset: float, *, largest: bool) -> float:
    """Largest or smallest ``saddle_height`` over all azimuths: scan, then golden section, to 1e-12 mm."""
    sign = -1.0 if largest else 1.0

    def height(azimuth: float) -> float:
        return sign * saddle_height(radius, azimuth, saddle, angle, offset)

    step = math.pi / 180.0
    best = min((i * step for i in range(360)), key=height)
    low, high, ratio = best - step, best + step, (math.sqrt(5.0) - 1.0) / 2.0
    for _ in range(60):
        a, b = high - ratio * (high - low), low + ratio * (high - low)
        if height(a) < height(b):
            high = b
        else:
            low = a
    return sign * min(height((low + high) / 2.0), height(best))


def sleeve(
    p: SleeveParameters,
    name: str = "sleeve",
    material: str | None = None,
    density: float | None = None,
    placement: Placement | None = None,
) -> Part:
    """Build a repair sleeve and prove it against the volume by integration (1e-5 of it).

    Raises KernelError when the solid could not be proven.
    """
    from headparts.solids.cut import cut
    from headparts.solids.primitives import cylinder, revolve
    from headparts.solids.verify import prove

    solid = revolve(_outline(p))
    if p.inner_end == "saddle":
        turn = math.radians(p.axis_angle)
        v = (math.sin(turn), 0.0, math.cos(turn))
        half = p.face_distance + 2.0 * p.saddle_radius
        start = (-half * v[0], p.axis_offset, -half * v[2])
        solid = cut(solid, [cylinder(start, v, p.saddle_radius, 2.0 * half)])
    prove(solid, name, p.volume, 1e-5 * p.volume)
    return Part(
        name=name,
        shape=solid,
        features={feature.name: feature for feature in _features(p)},
        sizes={size.name: size for size in _sizes(p)},
        material=material,
        density=density,
        placement=placement or Placement(),
        colour=(0.55, 0.70, 0.85),
        volume_expected=p.volume,
        outline=tuple(_outline(p)),
    )


def _outline(p: SleeveParameters) -> list[tuple[float, float]]:
    """Tube (and flange) before the saddle is cut; a saddled tube starts inside the saddle's cylinder."""
    inner, outer, top = p.inner_diameter / 2.0, p.outer_diameter / 2.0, p.face_distance
    # a tube that gets a saddle starts at the foot, where all of it lies inside the saddle's cylinder
    bottom = 0.0 if p.inner_end == "saddle" else top - p.length_min
    points = [(inner, bottom), (outer - p.chamfer, bottom)]
    if p.chamfer > 0.0:
        points.append((outer, bottom + p.chamfer))
    if p.flange_diameter is not None and p.flange_thickness is not None:
        edge = p.flange_diameter / 2.0
        points += [(outer, top - p.flange_thickness), (edge, top - p.flange_thickness), (edge, top)]
    else:
        points.append((outer, top))
    return [*points, (inner, top)]


def _volume(p: SleeveParameters) -> float:
    if p.inner_end != "saddle":
        return turned_volume(_outline(p))
    import numpy as np

    nodes, weights = np.polynomial.legendre.leggauss(40)
    inner, outer = p.inner_diameter / 2.0, p.outer_diameter / 2.0
    r = (inner + (outer - inner) * (nodes + 1.0) / 2.0)[:, None]
    azimuth = (np.arange(720) * (2.0 * math.pi / 720))[None, :]
    turn = math.radians(p.axis_angle)
    y = r * np.sin(azimuth) - p.axis_offset
    saddle = (r * np.cos(azimuth) * math.cos(turn) + np.sqrt(p.saddle_radius**2 - y * y)) / math.sin(turn)
    lengths = ((p.face_distance - saddle) * r).mean(axis=1) * 2.0 * math.pi
    tube = float(weights @ lengths) * (outer - inner) / 2.0
    if p.flange_diameter is None or p.flange_thickness is None:
        return tube
    return tube + math.pi * ((p.flange_diameter / 2.0) ** 2 - outer**2) * p.flange_thickness


def _features(p: SleeveParameters) -> Iterator[Feature]:
    inner, outer, top = p.inner_diameter / 2.0, p.outer_diameter / 2.0, p.face_distance
    flange = p.flange_thickness or 0.0
    middle = top - flange - 0.5 * (p.length_min - flange)
    reach = 0.45 * p.wall
    at: Vector = (outer, 0.0, middle)
    yield Feature("outside", "cylinder", Hint(ZERO, UP, at, "solid", reach))
    yield Feature("inside", "cylinder", Hint(ZERO, UP, (inner, 0.0, middle), "hollow", reach))
    edge = outer if p.flange_diameter is None else p.flange_diameter / 2.0
    at = ((inner + edge) / 2.0, 0.0, top)
    yield Feature("outer_face", "plane", Hint(at, UP, at))
    if p.flange_diameter is not None:
        yield Feature("flange", "cylinder", Hint(ZERO, UP, (edge, 0.0, top - flange / 2.0), "solid"))
        at = ((outer + edge) / 2.0, 0.0, top - flange)
        yield Feature("flange_back", "plane", Hint(at, DOWN, at))
    if p.inner_end == "saddle":
        turn = math.radians(p.axis_angle)
        r = (inner + outer) / 2.0
        z = saddle_height(r, 0.0, p.saddle_radius, p.axis_angle, p.axis_offset)
        axis = (math.sin(turn), 0.0, math.cos(turn))
        # the saddle is a hollow in the tube's end: metal lies outside its cylinder
        yield Feature("saddle", "cylinder", Hint((0.0, p.axis_offset, 0.0), axis, (r, 0.0, z), "hollow"))
        return
    end = top - p.length_min
    at = ((inner + outer - p.chamfer) / 2.0, 0.0, end)
    yield Feature("inner_end", "plane", Hint(at, DOWN, at, None, 0.1))
    if p.chamfer > 0.0:
        at = (outer - p.chamfer / 2.0, 0.0, end + p.chamfer / 2.0)
        yield Feature("inner_chamfer", "cone", Hint(ZERO, UP, at, "solid", 0.1))
        at = (outer, 0.0, end + p.chamfer)
        yield Feature("inner_chamfer_edge", "circle", Hint(ZERO, UP, at, None, 0.1))


def _sizes(p: SleeveParameters) -> Iterator[Size]:
    names = {feature.name for feature in _features(p)}
    for size in _ALL:
        if names.issuperset(size.of):
            yield size


_ALL = (
    Size("outer_diameter", "diameter", ("outside",), "radius"),
    Size("inner_diameter", "diameter", ("inside",), "radius"),
    Size("wall", "length", ("outside", "inside"), "step"),
    Size("saddle_radius", "radius", ("saddle",), "radius"),
    Size("axis_angle", "angle", ("saddle", "outside"), "tilt"),
    Size("length_min", "length", ("outer_face", "outside", "saddle"), "shortest"),
    Size("length_max", "length", ("outer_face", "outside", "saddle"), "longest"),
    Size("length", "length", ("inner_end", "outer_face"), "between"),
    Size("inner_chamfer", "length", ("inner_end", "inner_chamfer_edge"), "between"),
    Size("inner_chamfer_angle", "angle", ("inner_chamfer",), "to_axis"),
    Size("flange_diameter", "diameter", ("flange",), "radius"),
    Size("flange_thickness", "length", ("flange_back", "outer_face"), "between"),
)
