"""One valve's place: axes old and new, seat, valve, tip heights, bores, worked out when asked."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from headparts.config import JobFile
from headparts.geometry.axis import Axis, direction_from_tilt, vector
from headparts.mechanics.valve_seat import head_underside, seat_inner_diameter, seat_inner_edge, tip_place
from headparts.plan.needs import Inputs, MissingInput
from headparts.plan.port import PortPlan

Vector = tuple[float, float, float]


def axis_of(block: Any) -> Axis:
    """Axis of a station or a cavity block: ``p, tilt, azim`` or two ``points`` (first is s = 0)."""
    if block.points is not None:
        first, second = (np.asarray(point, dtype=float) for point in block.points)
        step = second - first
        direction = step / np.linalg.norm(step)
        return Axis(vector(first), vector(direction))
    return Axis(vector(block.p), direction_from_tilt(block.tilt, block.azim or 0.0))


@dataclass(frozen=True)
class StationPlan:
    """Everything that follows from one station's block, by the definitions of the check table.

    Station length s runs along the valve axis, s = 0 at the axis point, + toward the rocker. Each
    property raises MissingInput naming the keys that it lacks.
    """

    name: str
    job: JobFile

    @cached_property
    def inputs(self) -> Inputs:
        """The job seen from this station's block."""
        return Inputs(self.job, f"stations.{self.name}")

    @cached_property
    def axis(self) -> Axis:
        """The new valve axis."""
        return axis_of(self.inputs.one("axis"))

    @cached_property
    def old_axis(self) -> Axis:
        """The valve axis as found."""
        return axis_of(self.inputs.one("old.axis"))

    @property
    def direction(self) -> np.ndarray:
        """Unit vector of the valve axis, shape (3,)."""
        return np.asarray(self.axis.direction)

    def point(self, s: float) -> np.ndarray:
        """The point of the valve axis at station length ``s`` [mm], shape (3,)."""
        return np.asarray(self.axis.point) + s * self.direction

    @cached_property
    def port(self) -> PortPlan:
        """The station's port."""
        return PortPlan(self.name, self.inputs, lambda: self.axis)

    @property
    def port_or_none(self) -> PortPlan | None:
        """The port, or None where the station has no axis to place it on."""
        return None if self.inputs.get("axis") is None else self.port

    # ---- seat and valve ---------------------------------------------------------------------
    @cached_property
    def seat_inner(self) -> float:
        """Seat inner diameter [mm] = outer - 2 width cos(angle)."""
        outer, width, angle = self.inputs("bushing.seat.outer", "bushing.seat.width", "bushing.seat.angle")
        return float(seat_inner_diameter(outer, width, angle))

    @cached_property
    def seat_inner_edge_s(self) -> float:
        """Station length of the seat's inner edge [mm] = s_outer + width sin(angle)."""
        s_outer, width, angle = self.inputs(
            "bushing.seat.s_outer", "bushing.seat.width", "bushing.seat.angle"
        )
        return float(seat_inner_edge(s_outer, width, angle))

    @cached_property
    def head_underside_s(self) -> float:
        """Station length of the valve head's combustion side, valve closed [mm]."""
        outer, s_outer, angle, head, margin = self.inputs(
            "bushing.seat.outer",
            "bushing.seat.s_outer",
            "bushing.seat.angle",
            "valve.head",
            "valve.margin",
        )
        return float(head_underside(s_outer, head, outer, angle, margin))

    @cached_property
    def tip_s(self) -> float:
        """Station length of the new stem tip [mm]: seat middle plus the gauge length."""
        s_outer, width, angle, gauge = self.inputs(
            "bushing.seat.s_outer", "bushing.seat.width", "bushing.seat.angle", "valve.gauge_to_tip"
        )
        return float(tip_place(s_outer, width, angle, gauge))

    @cached_property
    def old_tip(self) -> np.ndarray:
        """Where the old stem tip stood [mm], shape (3,); a ``tip_z`` is lowered by what was lapped off."""
        inputs = self.inputs
        tip_s, tip_z = inputs.get("old.tip_s"), inputs.get("old.tip_z")
        if tip_s is None and tip_z is None:
            raise MissingInput(inputs.path("old.tip_s" if self.tilted else "old.tip_z"))
        axis = self.old_axis
        start, direction = np.asarray(axis.point), np.asarray(axis.direction)
        if tip_s is None:
            faced = Inputs(self.job).get("datums.faced_off", 0.0)
            tip_s = (tip_z - faced - start[2]) / direction[2]
        return np.asarray(start + direction * tip_s)

    @property
    def drawn_upright(self) -> bool:
        """Whether a bushing's window is placed as on an upright valve because the job gives no axis."""
        return self.inputs.get("axis") is None and self.inputs.get("port") is not None

    @property
    def tilted(self) -> bool:
        """Whether the valve axis leans."""
        return abs(self.axis.direction[2] - 1.0) > 1e-12

    @cached_property
    def tip_rise(self) -> float:
        """Rise of the stem tip along the valve axis [mm]; tip_s - old.tip_s where no axis is given."""
        if self.inputs.get("axis") is None:
            return self._rise_without_axis()
        new = self.point(self.tip_s)
        return float((new - self.old_tip) @ self.direction)

    @cached_property
    def tip_rise_z(self) -> float:
        """Rise of the stem tip in z [mm] (dh of the rocker rules)."""
        if self.inputs.get("axis") is None:
            return self._rise_without_axis()
        return float(self.point(self.tip_s)[2] - self.old_tip[2])

    def _rise_without_axis(self) -> float:
        missing: list[str] = []
        tip: float | None = None
        try:
            tip = self.tip_s
        except MissingInput as gap:
            missing += gap.keys
        old = self.inputs.get("old.tip_s")
        if old is None:
            missing.append(self.inputs.path("old.tip_s"))
        if missing or tip is None:
            raise MissingInput(*missing)
        return float(tip - old)

    @cached_property
    def tip_shift(self) -> float:
        """Horizontal distance of the new and the old stem tip [mm] (R10)."""
        gap = self.point(self.tip_s) - self.old_tip
        return float(np.hypot(gap[0], gap[1]))

    # ---- heights that may be written in z or in s -------------------------------------------
    def _s_of(self, block: str, stem: str) -> float:
        s, z = self.inputs.get(f"{block}.{stem}_s"), self.inputs.get(f"{block}.{stem}_z")
        if s is not None:
            return float(s)
        if z is None:
            written = self.inputs.get("axis")
            suffix = "s" if written is None or self.tilted else "z"
            raise MissingInput(self.inputs.path(f"{block}.{stem}_{suffix}"))
        return float((z - self.axis.point[2]) / self.axis.direction[2])

    @cached_property
    def top_s(self) -> float:
        """Station length of the guide's top [mm]."""
        return self._s_of("bushing.shank", "top")

    @cached_property
    def spring_seat_s(self) -> float:
        """Station length of the spring seat [mm]."""
        return self._s_of("spring", "seat")

    # ---- old bores --------------------------------------------------------------------------
    def offset_over(self, s_from: float, s_to: float) -> float:
        """Greatest distance of the new and the old axis between two station lengths [mm] (M01)."""
        start, direction = np.asarray(self.old_axis.point), np.asarray(self.old_axis.direction)

        def gap(s: float) -> float:
            return float(np.linalg.norm(np.cross(self.point(s) - start, direction)))

        return max(gap(s_from), gap(s_to))

    @cached_property
    def step_gain(self) -> float:
        """New less old step, both along the new axis [mm] (M02)."""
        self.inputs("bushing.body.len", "old.body_len", "axis", "old.axis")
        old = np.asarray(self.old_axis.point) + self.inputs.one("old.body_len") * np.asarray(
            self.old_axis.direction
        )
        old_s = float((old - self.point(0.0)) @ self.direction)
        return float(self.inputs.one("bushing.body.len") - old_s)

    @cached_property
    def joint_face_s(self) -> float:
        """Station length at which the valve axis passes the joint face z = 0 [mm]."""
        return float(-self.axis.point[2] / self.axis.direction[2])
