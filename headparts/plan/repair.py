"""A repair sleeve in a port: its bore, its place, and what it was put there for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from headparts.config import JobFile
from headparts.geometry.axis import Array
from headparts.geometry.chords import hole_chord
from headparts.geometry.holes import endless_cylinder_hole
from headparts.geometry.quadrature import SaddleSleeve, saddle_sleeve
from headparts.geometry.void import Void
from headparts.geometry.window import PortInBody
from headparts.plan.needs import Inputs, MissingInput, gather
from headparts.plan.station import StationPlan
from headparts.plan.voids import PORT_KEYS, VoidsPlan
from headparts.tables.iso286 import it_grade

BONDED = ("bonded", "bonded_pressed")
PRESSED = ("pressed", "bonded_pressed", "shrunk_flanged")


@dataclass(frozen=True)
class RepairPlan:
    """One repair of the job, lengths in mm. Properties raise MissingInput naming what they lack."""

    job: JobFile
    block: Any
    stations: dict[str, StationPlan]
    voids: VoidsPlan

    @property
    def name(self) -> str:
        """Name of the repair and of its sleeve."""
        return str(self.block.name)

    @cached_property
    def inputs(self) -> Inputs:
        """The job seen from this repair."""
        return Inputs(self.job, f"repairs.{self.name}")

    @cached_property
    def station(self) -> StationPlan:
        """The station whose port is sleeved."""
        name = self.inputs.one("in_port")
        if name not in self.stations:
            raise MissingInput(f"stations.{name}")
        return self.stations[name]

    @property
    def bore_subject(self) -> str:
        """Subject name of the sleeve's bore."""
        return f"sleeve_bore_{self.name}"

    @cached_property
    def cause(self) -> str | None:
        """Name of the cavity that the port broke into."""
        cause = self.inputs.get("cause.cavity")
        return None if cause is None else str(cause)

    @cached_property
    def bonded(self) -> bool:
        """Whether an adhesive holds it."""
        return self.inputs.one("mode") in BONDED

    @cached_property
    def pressed(self) -> bool:
        """Whether a press holds it."""
        return self.inputs.one("mode") in PRESSED

    @cached_property
    def bore_diameter(self) -> float:
        """Bore for the sleeve [mm]: the smaller reading where it has been measured."""
        made = self.inputs.get("measured.bore")
        return float(min(made) if made is not None else self.inputs.one("bore.dia"))

    @cached_property
    def bore_tolerance(self) -> float:
        """Width of the bore's tolerance [mm]: from its class (bore to bore + IT), or of its two readings."""
        made = self.inputs.get("measured.bore")
        if made is not None:
            return float(max(made) - min(made))
        diameter, grade = self.inputs("bore.dia", "bore.tol")
        return float(it_grade(diameter, "IT" + "".join(ch for ch in grade if ch.isdigit())))

    @cached_property
    def od(self) -> tuple[float, float, float]:
        """Outer diameter of the sleeve: nominal, lower, upper [mm]."""
        nominal, (low, high) = self.inputs("sleeve.od", "sleeve.od_tol")
        return float(nominal), float(nominal + low), float(nominal + high)

    @cached_property
    def id(self) -> tuple[float, float, float]:
        """Inner diameter of the sleeve: nominal, lower, upper [mm]."""
        nominal, (low, high) = self.inputs("sleeve.id", "sleeve.id_tol")
        return float(nominal), float(nominal + low), float(nominal + high)

    @cached_property
    def bore_void(self) -> Void:
        """The sleeve's bore as a cut."""
        return self.along_the_port(self.bore_subject, "bore.dia")

    @cached_property
    def sleeve_void(self) -> Void:
        """The sleeve's outside with its ends (nominal outer diameter), to measure against what passes by."""
        return self.along_the_port(self.name, "sleeve.od")

    def along_the_port(self, name: str, key: str, trimmed: bool = True) -> Void:
        """A bore along the port, of the diameter at a key of the repair; see ``VoidsPlan.port_like``."""
        (diameter,), *_ = gather(lambda: self.inputs(key), lambda: self.station.inputs(*PORT_KEYS))
        return self.voids.port_like(self.station, name, "sleeve_bore", float(diameter), trimmed)

    @cached_property
    def port_in_body(self) -> PortInBody:
        """The sleeve's bore seen from the valve axis."""
        port = self.station.port
        return PortInBody.of(self.station.axis, port.axis_endless, self.bore_diameter / 2.0)

    @cached_property
    def saddle(self) -> SaddleSleeve:
        """Generator lengths and volume of the sleeve with its saddle end, nominal sizes (AS29)."""
        if self.inputs.one("sleeve.inner_end") == "saddle":
            radius = float(self.inputs.one("sleeve.saddle_radius"))
        else:
            radius = float(self.station.inputs.one("bushing.body.dia")) / 2.0
        outer, inner = self.inputs("sleeve.od", "sleeve.id")
        self.station.inputs.one("axis")
        return saddle_sleeve(self.port_in_body, outer / 2.0, inner / 2.0, radius, self.station.port.length)

    @cached_property
    def inner_end(self) -> float:
        """Where the sleeve covers all round, along the port from its foot [mm]: face less shortest generator."""
        return self.station.port.length - self.saddle.length_min

    def begins(self, radials: Array) -> Array:
        """Where the sleeve begins on its outside, along its bore from the bore's foot [mm], shape (n,).

        ``radials``: unit vectors square to the port, shape (n, 3), that point from its axis to the generators asked
        for. A saddle begins where a generator leaves the saddle's cylinder about the valve axis.
        """
        axis = self.bore_void.cores[0].axis
        assert axis is not None
        if self.inputs.one("sleeve.inner_end") != "saddle":
            return np.full(len(radials), self.inner_end - self.station.port.start)
        radius = float(self.inputs.one("sleeve.saddle_radius"))
        valve = self.station.axis
        hole = endless_cylinder_hole(valve.point, valve.direction, radius)
        points = np.asarray(axis.point) + self.od[0] / 2.0 * radials
        return hole_chord(hole, points, np.asarray(axis.direction))[1]

    @cached_property
    def hottest(self) -> float | None:
        """The hottest head temperature of any case of ``temps`` [degC]; None without cases."""
        cases = self.job.temps or {}
        return max((float(case.head) for case in cases.values()), default=None)

    @cached_property
    def service_head_temperature(self) -> float:
        """Head temperature for the sleeve's fit [degC]: ``temps.running.head``, else ``bond.service_T``."""
        running = (self.job.temps or {}).get("running")
        if running is not None:
            return float(running.head)
        service = self.inputs.get("bond.service_T")
        if service is None:
            raise MissingInput("temps.running.head", self.inputs.path("bond.service_T"))
        return float(service)
