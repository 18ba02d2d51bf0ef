"""A side port: where its axis starts on the valve axis, where it goes, and where it meets the face."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from math import acos, asin, degrees

import numpy as np

from headparts.geometry.axis import Axis, common_perpendicular, direction_from_elevation
from headparts.plan.needs import Inputs, MissingInput

Vector = tuple[float, float, float]

CLEARANCE_BEYOND_FACE = 8.0
"""Beyond a port's face the casting is cleared to the port's diameter plus this [mm] (job file rule)."""


def _vector(array: np.ndarray) -> Vector:
    return float(array[0]), float(array[1]), float(array[2])


@dataclass(frozen=True)
class PortPlan:
    """The planned port of one station, worked out from the job file when asked.

    Every property raises MissingInput naming the keys that it lacks. ``axis_of_valve`` is only asked by those that
    need it: sizes and directions do not.
    """

    station: str
    inputs: Inputs
    axis_of_valve: Callable[[], Axis]

    @cached_property
    def valve_axis(self) -> Axis:
        """The axis of the valve that the port belongs to."""
        return self.axis_of_valve()

    @cached_property
    def direction(self) -> Vector:
        """Unit vector outward along the port, from ``azim`` and ``elev`` [deg]."""
        azimuth, elevation = self.inputs("port.azim", "port.elev")
        return _vector(np.asarray(direction_from_elevation(azimuth, elevation)))

    @cached_property
    def foot(self) -> Vector:
        """Start of the port axis [mm]: the point ``on_axis_s`` of the valve axis, or the point given."""
        place = self.inputs.one("port.p")
        on_axis = getattr(place, "on_axis_s", None)
        if on_axis is not None:
            point = np.asarray(self.valve_axis.point) + on_axis * np.asarray(self.valve_axis.direction)
            return _vector(point)
        return _vector(np.asarray(place, dtype=float))

    @cached_property
    def foot_s(self) -> float:
        """Station length of the foot [mm]."""
        offset = np.asarray(self.foot) - np.asarray(self.valve_axis.point)
        return float(offset @ np.asarray(self.valve_axis.direction))

    @cached_property
    def axis_miss(self) -> float:
        """Distance of the port axis and the valve axis [mm] (P05)."""
        return float(common_perpendicular(self.axis_endless, self.valve_axis)[0])

    @property
    def axis_endless(self) -> Axis:
        """The port axis without an end."""
        return Axis(self.foot, self.direction, float("inf"))

    @cached_property
    def diameter(self) -> float:
        """Finished port diameter [mm]."""
        return float(self.inputs.one("port.dia"))

    @cached_property
    def length(self) -> float:
        """Foot to face along the port [mm]."""
        along = self.inputs.get("port.face.along")
        if along is not None:
            return float(along)
        plane = self.inputs.get("port.face.x")
        if plane is None:
            raise MissingInput(self.inputs.path("port.face"))
        return float((plane - self.foot[0]) / self.direction[0])

    @cached_property
    def nearest(self) -> float:
        """Where the port's axis passes the valve axis, along the port from its foot [mm]; 0 for ``on_axis_s``."""
        if getattr(self.inputs.one("port.p"), "on_axis_s", None) is not None:
            return 0.0
        return float(common_perpendicular(self.axis_endless, self.valve_axis)[2])

    @cached_property
    def start(self) -> float:
        """Where the bore is taken to begin, along the port from its foot [mm]: at the valve axis at the latest.

        A foot that is given further out would else leave out metal that is cut.
        """
        return min(0.0, self.nearest)

    @cached_property
    def depth(self) -> float:
        """Face to the valve axis along the port [mm]."""
        return self.length - self.nearest

    @cached_property
    def axis(self) -> Axis:
        """The port axis from its foot to the face."""
        return Axis(self.foot, self.direction, self.length)

    @cached_property
    def face_centre(self) -> Vector:
        """Where the port axis meets the face [mm]."""
        return _vector(np.asarray(self.foot) + self.length * np.asarray(self.direction))

    @cached_property
    def face_normal(self) -> Vector:
        """Outward normal of the face: the X axis for ``face.x``, else square to the port."""
        if self.inputs.get("port.face.x") is not None:
            return (1.0 if self.direction[0] >= 0 else -1.0), 0.0, 0.0
        return self.direction

    @cached_property
    def entry_angle(self) -> float:
        """Angle between the port and the face's normal [deg] (P02)."""
        cosine = float(np.dot(self.direction, self.face_normal))
        return degrees(acos(min(1.0, max(-1.0, cosine))))

    @cached_property
    def angle_to_valve_axis(self) -> float:
        """Angle between the port's direction and the valve axis [deg]."""
        cosine = float(np.dot(self.direction, self.valve_axis.direction))
        return degrees(acos(min(1.0, max(-1.0, cosine))))

    @cached_property
    def rise(self) -> float:
        """How far the port rises against the plane square to the valve axis [deg]; + outward and up."""
        return degrees(asin(min(1.0, max(-1.0, float(np.dot(self.direction, self.valve_axis.direction))))))

    @cached_property
    def clearing_diameter(self) -> float:
        """Diameter to which the casting is cleared beyond the face [mm]."""
        spot = self.inputs.get("port.drill.spot_face.dia")
        return float(spot) if spot is not None else self.diameter + CLEARANCE_BEYOND_FACE
