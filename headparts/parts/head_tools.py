"""The cuts of a cylinder head as plain data: what each tool removes, named and with its role.

World frame: joint face at z = 0, z up toward the rockers, origin on the cylinder's axis.
Lengths in mm; directions are unit vectors. Nothing here loads the kernel.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from headparts.errors import ParameterError
from headparts.parts.outline import UP, finite, inside, positive
from headparts.parts.part import Vector

ROLES = (
    "cavity",
    "chamber",
    "body_bore",
    "shank_bore",
    "pocket",
    "port",
    "sleeve_bore",
    "port_clearance",
    "thread",
)
SHAPES = ("cylinder", "cone", "ball", "rounded_box")
BEYOND = 1.0
"""How far a tool is carried on outside the casting where its end would lie in a face of it [mm]."""


@dataclass(frozen=True)
class Tool:
    """One convex body that is taken out of the casting.

    name, role : what reports call it; one of ROLES.
    shape : "cylinder" or "cone" from ``point`` along ``direction`` for ``length`` (a cone from ``radius`` to
        ``radius_end``), "ball" (``point``, ``radius``), "rounded_box" (``point`` in the middle of its bottom,
        upright, ``size`` = length along x, width along y, corner radius).
    beyond : (point, normal) of a plane: only what lies on its normal's side is cut.
    spares : (point, direction, radius) of an endless cylinder that the tool does not touch.
    """

    name: str
    role: str
    shape: str
    point: Vector
    direction: Vector = UP
    radius: float = 0.0
    length: float = 0.0
    radius_end: float = 0.0
    size: Vector = (0.0, 0.0, 0.0)
    beyond: tuple[Vector, Vector] | None = None
    spares: tuple[Vector, Vector, float] | None = None

    def __post_init__(self) -> None:
        if self.role not in ROLES:
            raise ParameterError(f"{self.name}.role", self.role, f"must be one of {', '.join(ROLES)}")
        if self.shape not in SHAPES:
            raise ParameterError(f"{self.name}.shape", self.shape, f"must be one of {', '.join(SHAPES)}")
        if self.shape != "rounded_box":
            positive(f"{self.name}.radius", self.radius)
        if self.shape != "ball":
            positive(f"{self.name}.length", self.length)
        for value in (*self.point, *self.direction):
            finite(f"{self.name}.point", value)
        if abs(math.hypot(*self.direction) - 1.0) > 1e-9:
            raise ParameterError(f"{self.name}.direction", self.direction, "must be a unit vector")
        if self.shape == "cone":
            finite(f"{self.name}.radius_end", self.radius_end)
            if self.radius_end < 0.0:
                raise ParameterError(f"{self.name}.radius_end", self.radius_end, "must not be negative")


def along(point: Sequence[float], direction: Sequence[float], s: float) -> Vector:
    """The point at length ``s`` on an axis."""
    x, y, z = (p + s * d for p, d in zip(point, direction, strict=True))
    return x, y, z


def chamber_disc(diameter: float, depth: float) -> Tool:
    """A flat round chamber about the cylinder's axis."""
    positive("chamber.diameter", diameter)
    positive("chamber.depth", depth)
    return Tool("chamber", "chamber", "cylinder", (0.0, 0.0, -BEYOND), UP, diameter / 2.0, depth + BEYOND)


def chamber_dome(base_radius: float, depth: float) -> Tool:
    """A dome: the cap of a ball, ``base_radius`` at the joint face and ``depth`` high."""
    positive("chamber.base_radius", base_radius)
    positive("chamber.depth", depth)
    radius = (base_radius**2 + depth**2) / (2.0 * depth)
    return Tool("chamber", "chamber", "ball", (0.0, 0.0, depth - radius), UP, radius)


def chamber_bathtub(length: float, width: float, depth: float, corner: float) -> Tool:
    """A bathtub: upright walls with rounded corners and a flat roof, ``length`` along x."""
    for key, value in (("length", length), ("width", width), ("depth", depth)):
        positive(f"chamber.{key}", value)
    finite("chamber.corner", corner)
    if not 0.0 <= corner < min(length, width) / 2.0:
        raise ParameterError("chamber.corner", corner, f"must be 0 to below {min(length, width) / 2.0:g}")
    size = (length, width, corner)
    return Tool("chamber", "chamber", "rounded_box", (0.0, 0.0, -BEYOND), length=depth + BEYOND, size=size)


def body_bore(
    station: str, point: Vector, direction: Vector, diameter: float, length: float, joint_z: float = 0.0
) -> Tool:
    """The bore of a bushing's body: from wholly below the joint face up to s = ``length``.

    The boring tool comes from the chamber, so where the roof hangs over the bore it is cut too.
    """
    positive(f"body_bore_{station}.diameter", diameter)
    positive(f"body_bore_{station}.length", length)
    start = _start_below(point, direction, diameter / 2.0, joint_z)
    foot = along(point, direction, start)
    return Tool(
        f"body_bore_{station}", "body_bore", "cylinder", foot, direction, diameter / 2.0, length - start
    )


def shank_bore(
    station: str, point: Vector, direction: Vector, diameter: float, body_length: float, top_z: float
) -> Tool:
    """The bore of a bushing's shank: from inside the body bore up through the head's top."""
    positive(f"shank_bore_{station}.diameter", diameter)
    start = body_length - min(1.0, body_length / 4.0)
    end = _end_above(point, direction, diameter / 2.0, top_z)
    foot = along(point, direction, start)
    return Tool(
        f"shank_bore_{station}", "shank_bore", "cylinder", foot, direction, diameter / 2.0, end - start
    )


def pocket(
    station: str, point: Vector, direction: Vector, diameter: float, floor_s: float, top_z: float
) -> Tool:
    """A spring pocket from its floor at s = ``floor_s`` up through the head's top."""
    positive(f"pocket_{station}.diameter", diameter)
    end = _end_above(point, direction, diameter / 2.0, top_z)
    foot = along(point, direction, floor_s)
    return Tool(f"pocket_{station}", "pocket", "cylinder", foot, direction, diameter / 2.0, end - floor_s)


def port(
    station: str,
    foot: Vector,
    direction: Vector,
    diameter: float,
    length: float,
    body: tuple[Vector, Vector, float, float] | None = None,
    *,
    name: str | None = None,
    role: str = "port",
) -> Tool:
    """A port: a cylinder from its foot on the valve axis, going outward to the face.

    body : (point at s = 0, direction, bore diameter, length) of the bushing's bore. When the flat end at the
        foot does not lie wholly inside it, the tool is trimmed by the endless cylinder of the bore.
    name, role : for a sleeve's bore ("sleeve_bore_NAME", "sleeve_bore").
    """
    key = name or f"port_{station}"
    positive(f"{key}.diameter", diameter)
    positive(f"{key}.length", length)
    spares = None
    if body is not None and not _end_inside(foot, direction, diameter / 2.0, body):
        spares = (body[0], body[1], body[2] / 2.0)
    return Tool(key, role, "cylinder", foot, direction, diameter / 2.0, length, spares=spares)


def sleeve_bore(
    name: str,
    foot: Vector,
    direction: Vector,
    diameter: float,
    length: float,
    body: tuple[Vector, Vector, float, float] | None = None,
) -> Tool:
    """The bore for a repair sleeve: as a port, with the repair's bore."""
    key = f"sleeve_bore_{name}"
    return port(name, foot, direction, diameter, length, body, name=key, role="sleeve_bore")


def port_clearance(
    station: str, face_centre: Vector, direction: Vector, diameter: float, normal: Vector, reach: float
) -> Tool:
    """What is cleared round a port beyond its face, so that a face inside the outline is no blind port.

    normal : of the face, going outward: the port's own direction for a face square to it (or a spot face).
    reach : how far the clearing goes; past the casting.
    """
    positive(f"port_clearance_{station}.diameter", diameter)
    rise = sum(a * b for a, b in zip(direction, normal, strict=True))
    inside(f"port_{station}.face", rise, 0.0, 1.0 + 1e-9)
    if rise > 1.0 - 1e-12:
        return Tool(
            f"port_clearance_{station}",
            "port_clearance",
            "cylinder",
            face_centre,
            direction,
            diameter / 2.0,
            reach,
        )
    back = diameter / 2.0 * math.sqrt(1.0 / rise**2 - 1.0) + BEYOND
    return Tool(
        f"port_clearance_{station}",
        "port_clearance",
        "cylinder",
        along(face_centre, direction, -back),
        direction,
        diameter / 2.0,
        reach + back,
        beyond=(face_centre, normal),
    )


def cavity(
    name: str, point: Vector, direction: Vector, diameter: float, length: float, role: str = "cavity"
) -> Tool:
    """A round cavity of its own length: a hole, a tunnel, a threaded hole (its major diameter)."""
    positive(f"{name}.diameter", diameter)
    return Tool(name, role, "cylinder", point, direction, diameter / 2.0, length)


def drill_point(name: str, point: Vector, direction: Vector, diameter: float, angle: float = 118.0) -> Tool:
    """The cone that a drill leaves at the bottom of its hole; ``point`` is where the full diameter ends."""
    inside(f"{name}.angle", angle, 0.0, 180.0)
    height = diameter / 2.0 / math.tan(math.radians(angle) / 2.0)
    return Tool(name, "cavity", "cone", point, direction, diameter / 2.0, height, 0.0)


def _start_below(point: Vector, direction: Vector, radius: float, z: float) -> float:
    """s at which a disc of this radius about the axis lies wholly below a height."""
    _upright(direction)
    return (z - BEYOND - point[2] - radius * math.sqrt(1.0 - direction[2] ** 2)) / direction[2]


def _end_above(point: Vector, direction: Vector, radius: float, z: float) -> float:
    _upright(direction)
    return (z + BEYOND - point[2] + radius * math.sqrt(1.0 - min(1.0, direction[2]) ** 2)) / direction[2]


def _upright(direction: Vector) -> None:
    if direction[2] < math.cos(math.radians(60.0)):
        raise ParameterError("direction", direction, "a valve axis must rise, tilted by less than 60 deg")


def _end_inside(
    foot: Vector, direction: Vector, radius: float, body: tuple[Vector, Vector, float, float]
) -> bool:
    """Whether the disc at a port's foot lies inside a bushing's bore (a sure bound on every side)."""
    point, axis, diameter, length = body
    offset = tuple(f - p for f, p in zip(foot, point, strict=True))
    s = sum(o * a for o, a in zip(offset, axis, strict=True))
    aside = math.sqrt(max(sum(o * o for o in offset) - s * s, 0.0))
    tilt = sum(d * a for d, a in zip(direction, axis, strict=True))
    upward = radius * math.sqrt(max(1.0 - tilt * tilt, 0.0))
    return aside + radius < diameter / 2.0 and s + upward < length
