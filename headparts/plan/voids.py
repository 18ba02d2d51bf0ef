"""What is cut and what is there already, as the voids that walls are measured between."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import radians, tan
from typing import TYPE_CHECKING, Any

import numpy as np

from headparts.config import JobFile
from headparts.geometry.convex import Convex, cylinder, frustum
from headparts.geometry.holes import Hole
from headparts.geometry.void import Void, above_joint, port_void, round_void
from headparts.plan.chamber import ChamberPlan
from headparts.plan.given_head import given_head
from headparts.plan.needs import Inputs, MissingInput, gather
from headparts.plan.station import StationPlan, axis_of

if TYPE_CHECKING:  # skins of triangles are loaded for the jobs that have some
    from headparts.plan.chamber_mesh import ChamberMesh

POINT_ANGLE = 118.0
"""Included angle of a twist drill's point [deg] (common practice; ISO 5419 calls 118 the usual one, from memory)."""

PORT_KEYS = ("axis", "bushing.body.dia", "port.p", "port.azim", "port.elev", "port.face")
"""Keys of a station that place a bore along its port."""
CUT_ROLES = ("body_bore", "shank_bore", "port", "pocket")


@dataclass(frozen=True)
class Cut:
    """A planned cut of one station: its role, its void, and what its surface is."""

    role: str
    station: str
    void: Void

    @property
    def name(self) -> str:
        """Subject name, as ``body_bore_intake``."""
        return self.void.name


@dataclass(frozen=True)
class VoidsPlan:
    """Cuts, cavities and chamber of one job. Each raises MissingInput naming what it lacks."""

    job: JobFile
    stations: dict[str, StationPlan]

    @cached_property
    def inputs(self) -> Inputs:
        """The job file."""
        return Inputs(self.job)

    @cached_property
    def chamber_mesh(self) -> ChamberMesh | None:
        """The chamber's skin where a file gives it, else None."""
        if self.job.get("head.chamber.type") != "mesh":
            return None
        from headparts.plan.chamber_mesh import chamber_mesh

        return chamber_mesh(self.job)

    @cached_property
    def chamber(self) -> ChamberPlan:
        """The chamber; MissingInput when the job has none."""
        return ChamberPlan(self.inputs.one("head.chamber"), self.chamber_mesh)

    @cached_property
    def chamber_holes(self) -> tuple[Hole, ...]:
        """What the chamber removes from every void: nothing when the job has no chamber, or a mesh for it."""
        if self.inputs.get("head.chamber") is None or self.chamber_mesh is not None:
            return ()
        return (self.chamber.hole,)

    @cached_property
    def top(self) -> float:
        """Height of the head's top plane [mm]."""
        return float(self.inputs.one("head.outline").z[1])

    def top_over(self, plan: StationPlan) -> float:
        """Height up to which a station's shank is bored [mm].

        The outline's top; of a head given as a solid without an outline, the highest place of its surface within
        one shank diameter of the valve axis (a rocker box may stand higher).
        """
        given = given_head(self.job)
        if given is None or self.inputs.get("head.outline") is not None:
            return self.top
        axis, (diameter,) = plan.axis, plan.inputs("bushing.shank.dia")
        points = given.skin.vertices
        near = points[axis.distance_to(points) <= diameter]
        if not len(near):
            raise MissingInput("head.outline", note="the given head has no surface round the valve axis")
        return float(near[:, 2].max())

    # ---- cuts -------------------------------------------------------------------------------
    def cut(self, role: str, station: str) -> Cut:
        """The cut ``role`` of a station; the same object at every call."""
        key = (role, station)
        if key not in self._cuts:
            self._cuts[key] = self._make_cut(role, station)
        return self._cuts[key]

    @cached_property
    def _cuts(self) -> dict[tuple[str, str], Cut]:
        return {}

    def _make_cut(self, role: str, station: str) -> Cut:
        maker = {
            "body_bore": self._body_bore,
            "shank_bore": self._shank_bore,
            "port": self._port,
            "pocket": self._pocket,
        }[role]
        return Cut(role, station, maker(self.stations[station]))

    def has_pocket(self, station: str) -> bool:
        """Whether the job gives this station a spring pocket."""
        return self.stations[station].inputs.get("spring.pocket") is not None

    def _body_bore(self, plan: StationPlan) -> Void:
        diameter, length, _ = plan.inputs("bushing.body.dia", "bushing.body.len", "axis")
        start = plan.joint_face_s - diameter - 1.0
        return round_void(
            f"body_bore_{plan.name}",
            "bore",
            plan.point(start),
            plan.direction,
            diameter,
            length - start,
            holes=self.chamber_holes,
        )

    def _shank_bore(self, plan: StationPlan) -> Void:
        (diameter, length, _), (top,) = gather(
            lambda: plan.inputs("bushing.shank.dia", "bushing.body.len", "axis"),
            lambda: (self.top_over(plan),),
        )
        reach = (top - plan.point(length)[2]) / plan.direction[2] + diameter
        if reach <= diameter:
            raise MissingInput(
                plan.inputs.path("bushing.body.len"), note="the body bore reaches through the head's top"
            )
        return round_void(
            f"shank_bore_{plan.name}",
            "bore",
            plan.point(length),
            plan.direction,
            diameter,
            reach,
            holes=self.chamber_holes,
            top=top,
        )

    def _pocket(self, plan: StationPlan) -> Void:
        (diameter, floor, _), (top,) = gather(
            lambda: plan.inputs("spring.pocket.dia", "spring.pocket.floor_s", "axis"),
            lambda: (self.top_over(plan),),
        )
        reach = (top - plan.point(floor)[2]) / plan.direction[2] + diameter
        return round_void(
            f"pocket_{plan.name}",
            "pocket",
            plan.point(floor),
            plan.direction,
            diameter,
            reach,
            holes=self.chamber_holes,
            top=top,
        )

    def _port(self, plan: StationPlan) -> Void:
        plan.inputs(*PORT_KEYS, "port.dia")
        return self.port_like(plan, f"port_{plan.name}", "port", plan.port.diameter)

    def port_like(
        self, plan: StationPlan, name: str, kind: str, diameter: float, trimmed: bool = True
    ) -> Void:
        """A bore along the port, from the curved outside of the bushing's body to the face.

        ``trimmed`` False leaves the chamber in (P03 measures to it).
        """
        _, body, *_ = plan.inputs(*PORT_KEYS)
        port = plan.port
        return port_void(
            name,
            np.asarray(port.foot) + port.start * np.asarray(port.direction),
            port.direction,
            diameter,
            port.length - port.start,
            plan.axis.point,
            plan.axis.direction,
            body,
            holes=self.chamber_holes if trimmed else (),
            kind=kind,
        )

    # ---- cavities ---------------------------------------------------------------------------
    def cavity(self, name: str) -> Void:
        """The cavity ``name`` as found. Raises MissingInput where the job has none of that name."""
        if name not in self._cavities:
            raise MissingInput(f"head.cavities.{name}")
        return self._cavities[name]

    @cached_property
    def _cavities(self) -> dict[str, Void]:
        head = self.job.head
        return {block.name: self._cavity(block) for block in (head.cavities if head is not None else ())}

    def _cavity(self, block: Any) -> Void:
        axis = axis_of(block.axis)
        u = self.cavity_u(block)
        plain = round_void(
            block.name,
            block.kind,
            axis.point,
            axis.direction,
            block.dia,
            block.len,
            holes=self.chamber_holes,
            u=u or 0.0,
            core_group=block.core_group,
        )
        if block.kind != "thread" or block.tap_dia is None or block.drill_depth is None:
            return plain
        drilled = tuple(above_joint(core) for core in self._tapped_hole(block))
        return Void(block.name, "thread", (*plain.cores, *drilled), plain.holes, plain.u, plain.core_group)

    def _tapped_hole(self, block: Any) -> tuple[Convex, Convex]:
        """Drilled hole and its 118 deg point, from the thread's end that lies on the casting's outside."""
        start, direction = self.drilled_from(block)
        radius = block.tap_dia / 2.0
        tip = radius / tan(radians(POINT_ANGLE / 2.0))
        return (
            cylinder(start, direction, radius, block.drill_depth),
            frustum(start + block.drill_depth * direction, direction, radius, 0.0, tip),
        )

    def drilled_from(self, block: Any) -> tuple[np.ndarray, np.ndarray]:
        """Where a thread's hole is drilled from, and which way: the end that lies on the casting's outside."""
        axis = axis_of(block.axis)
        start, direction = np.asarray(axis.point), np.asarray(axis.direction)
        end = start + block.len * direction
        if self._depth_inside(start) > self._depth_inside(end):
            return end, -direction
        return start, direction

    def _depth_inside(self, point: np.ndarray) -> float:
        """How deep a point lies inside the outline box [mm]; the nearest side counts."""
        outline = self.inputs.one("head.outline")
        sides = [
            (point[k] - low, high - point[k])
            for k, (low, high) in enumerate((outline.x, outline.y, outline.z))
        ]
        return float(min(min(pair) for pair in sides))

    def cavity_u(self, block: Any) -> float | None:
        """Half-width of a cavity [mm]: its own ``u``, else ``datums.cast_u``, else None (not known)."""
        if block.u is not None:
            return float(block.u)
        cast = self.inputs.get("datums.cast_u")
        return None if cast is None else float(cast)

    @property
    def cavity_blocks(self) -> tuple[Any, ...]:
        """The job's cavities, in file order."""
        return self.job.head.cavities if self.job.head is not None else ()
