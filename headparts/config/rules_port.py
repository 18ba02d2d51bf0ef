"""Rules of a port: its foot on the bushing, its face in front of the foot."""

from __future__ import annotations

from math import cos, radians

from .blocks_head import Vector3
from .blocks_station import OnAxis, Port, Station
from .judge import Judge, direction, dot, start


def judge_port(judge: Judge, name: str, station: Station) -> None:
    """Every rule of one station's port."""
    port = station.port
    if port is None:
        return
    path = f"stations.{name}.port"
    if port.face is not None:
        along, plane = judge.written(f"{path}.face.along"), judge.written(f"{path}.face.x")
        if along and plane:
            judge.fault(f"{path}.face.along", "x and along are two ways to give one face; write one of them")
        elif not along and not plane:
            judge.missing(f"{path}.face", "x", "required key is missing: x of the flange plane, or along")
    _foot(judge, path, name, station)
    _face(judge, path, name, station, port)
    if port.dia is not None and port.drill is not None and port.drill.spot_face is not None:
        spot = port.drill.spot_face.dia
        if spot is not None and spot < port.dia:
            judge.fault(
                f"{path}.drill.spot_face.dia", f"{spot:g} must be at least the port's diameter {port.dia:g}"
            )


def _foot(judge: Judge, path: str, name: str, station: Station) -> None:
    length = judge.num(f"stations.{name}.bushing.body.len")
    assert station.port is not None
    s, place = _foot_s(station, station.port)
    if s is None:
        return
    where = f"{path}.p.on_axis_s" if place == "s" else f"{path}.p"
    if s <= 0.0 or (length is not None and s >= length):
        upper = f"body.len = {length:g}" if length is not None else "body.len"
        judge.fault(
            where, f"the port's foot lies at s = {s:.4g} on the valve axis; it must be inside 0 to {upper}"
        )


def _foot_s(station: Station, port: Port) -> tuple[float | None, str]:
    if isinstance(port.p, OnAxis):
        return port.p.on_axis_s, "s"
    foot, vector = start(station.axis), direction(station.axis)
    if port.p is None or foot is None or vector is None:
        return None, "p"
    gap: Vector3 = (port.p[0] - foot[0], port.p[1] - foot[1], port.p[2] - foot[2])
    return dot(gap, vector), "p"


def _foot_x(station: Station, port: Port) -> float | None:
    if not isinstance(port.p, OnAxis):
        return port.p[0] if port.p is not None else None
    foot, vector = start(station.axis), direction(station.axis)
    if foot is None or vector is None or port.p.on_axis_s is None:
        return None
    return foot[0] + vector[0] * port.p.on_axis_s


def _face(judge: Judge, path: str, name: str, station: Station, port: Port) -> None:
    """The face lies in front of the foot and outside the bushing's body."""
    if port.face is None:
        return
    body = judge.num(f"stations.{name}.bushing.body.dia")
    where, length = f"{path}.face.along", port.face.along
    if port.face.x is not None and port.azim is not None and port.elev is not None:
        where, foot = f"{path}.face.x", _foot_x(station, port)
        run = cos(radians(port.elev)) * cos(radians(port.azim))
        if abs(run) < 1e-9 or abs(cos(radians(port.azim))) < 1e-9:
            judge.fault(
                where,
                f"a port at azimuth {port.azim:g} never reaches a plane of constant x; write face {{along}}",
            )
            return
        if foot is None:
            return
        length = (port.face.x - foot) / run
        if length <= 0.0:
            message = f"the face lies behind the port's foot at x = {foot:.4g} (length {length:.4g})"
            judge.fault(where, message)
            return
    if length is not None and body is not None and length < body / 2.0:
        least = f"it must be at least body.dia/2 = {body / 2.0:.4g}"
        judge.fault(where, f"the face is {length:.4g} from the foot along the port; {least}")
