"""Set-ups on the machine: where each one has its origin, its X and its spindle, in the frame of the head."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from headparts.geometry.axis import Frame
from headparts.plan.needs import MissingInput
from headparts.plan.plan import Plan
from headparts.plan.station import StationPlan

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class Setup:
    """One set-up: ``frame`` stands in the head's frame; ``features`` are the cuts made in it."""

    name: str
    station: str
    frame: Frame
    features: tuple[str, ...]
    says: str


def setups(plan: Plan) -> list[Setup]:
    """Every set-up the job is complete enough for: the two bores of a station, then its port."""
    made = []
    for station in plan.stations.values():
        for build in (_bore, _port):
            try:
                made.append(build(station))
            except MissingInput:
                continue
    return made


def _bore(station: StationPlan) -> Setup:
    """Origin at s = 0 of the valve axis, Z along it, Y of the head kept where the valve leans along X."""
    station.inputs("axis", "bushing.body.dia", "bushing.shank.dia")
    z = station.direction
    y = np.array([0.0, 1.0, 0.0])
    x = np.cross(y, z)
    frame = Frame.from_z_x(station.point(0.0), z, x)
    return Setup(
        f"setup_bore_{station.name}",
        station.name,
        frame,
        (f"body_bore_{station.name}", f"shank_bore_{station.name}"),
        "chamber side toward the spindle; both bores in one chucking; first cut in air 5 mm high",
    )


def _port(station: StationPlan) -> Setup:
    """Origin where the port axis meets the face, Z out along the port, X level."""
    station.inputs("axis", "port.dia")
    port = station.port
    x = np.cross([0.0, 0.0, 1.0], port.direction)
    frame = Frame.from_z_x(port.face_centre, port.direction, x)
    return Setup(
        f"setup_port_{station.name}",
        station.name,
        frame,
        (f"port_{station.name}",),
        "face toward the spindle; clamp the head; mind the depth window",
    )


def check_points(plan: Plan, setup: Setup) -> Iterator[tuple[str, Vector, Vector]]:
    """Three points to touch before cutting: name, in the head's frame, in the set-up's frame [mm]."""
    places: list[tuple[str, Vector]] = [("cylinder axis at the joint face", (0.0, 0.0, 0.0))]
    dowels = plan.inputs.get("datums.B.points")
    if dowels:
        places.append(
            ("datum B, first hole at the joint face", (float(dowels[0][0]), float(dowels[0][1]), 0.0))
        )
    for block in plan.voids.cavity_blocks:
        if len(places) == 3:
            break
        if block.kind == "bolt" and block.axis.p is not None:
            places.append((f"{block.name} at its start", tuple(float(value) for value in block.axis.p)))  # type: ignore[arg-type]
    for block in plan.voids.cavity_blocks:
        if len(places) == 3:
            break
        if block.kind != "bolt" and block.axis.p is not None:
            places.append((f"{block.name} at its start", tuple(float(value) for value in block.axis.p)))  # type: ignore[arg-type]
    for name, point in places:
        local = setup.frame.to_local(np.asarray(point))
        yield name, point, (float(local[0]), float(local[1]), float(local[2]))
