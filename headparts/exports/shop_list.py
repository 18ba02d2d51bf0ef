"""The shop list: every cut with its place, direction, size, tolerance and depth, one row each."""

from __future__ import annotations

import csv
import io
from math import acos, atan2, degrees

import numpy as np

from headparts.plan import MissingInput, Plan
from headparts.plan.station import StationPlan
from headparts.tables.iso286 import deviations

COLUMNS = (
    "feature",
    "x",
    "y",
    "z",
    "tilt",
    "azimuth",
    "diameter",
    "lower",
    "upper",
    "depth",
    "remark",
)
UNITS = ("-", "mm", "mm", "mm", "deg", "deg", "mm", "mm", "mm", "mm", "-")


def shop_list(plan: Plan, stamp: str | None = None) -> str:
    """CSV text: a name row, a unit row, one row a cut; what the job lacks is left out.

    x, y, z: where the axis starts, in the head's frame. depth: along the axis from there.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerow(UNITS)
    if stamp:
        writer.writerow([stamp, *[""] * (len(COLUMNS) - 1)])
    for station in plan.stations.values():
        for make in (_body, _shank, _port):
            try:
                writer.writerow(make(station))
            except MissingInput:
                continue
    return out.getvalue()


def _row(
    name: str,
    point: np.ndarray,
    direction: np.ndarray,
    diameter: float,
    depth: float,
    tolerance: str,
    remark: str,
) -> list[str]:
    lower, upper = deviations(diameter, tolerance) if tolerance else (None, None)
    tilt = degrees(acos(max(-1.0, min(1.0, float(direction[2])))))
    azimuth = degrees(atan2(direction[1], direction[0])) if tilt > 1e-9 else 0.0
    numbers = [*point, tilt, azimuth, diameter]
    texts = [f"{value + 0.0:.3f}" for value in numbers]
    limits = ["" if value is None else f"{value:+.3f}" for value in (lower, upper)]
    return [name, *texts, *limits, f"{depth:.3f}", remark]


def _body(station: StationPlan) -> list[str]:
    diameter, length, _ = station.inputs("bushing.body.dia", "bushing.body.len", "axis")
    remark = "from the chamber, past s = 0; square step"
    corner = station.inputs.get("bushing.shoulder.head_corner_r")
    if corner is not None:
        remark += f", corner radius at most {corner:g}"
    return _row(
        f"body_bore_{station.name}", station.point(0.0), station.direction, diameter, length, "H7", remark
    )


def _shank(station: StationPlan) -> list[str]:
    diameter, length, _ = station.inputs("bushing.shank.dia", "bushing.body.len", "axis")
    depth = station.top_s - length
    remark = "same chucking as the body bore; through the head's top"
    return _row(
        f"shank_bore_{station.name}", station.point(length), station.direction, diameter, depth, "H7", remark
    )


def _port(station: StationPlan) -> list[str]:
    port = station.port
    station.inputs("axis", "port.dia")
    remark = f"from the face inward; foot on the valve axis at {port.length:.3f}"
    inward = -np.asarray(port.direction)
    return _row(
        f"port_{station.name}", np.asarray(port.face_centre), inward, port.diameter, port.length, "", remark
    )
