"""Symbols whose number no single key of the job file gives: a fit's interference, a growth of several pieces."""

from __future__ import annotations

from collections.abc import Callable
from math import radians, sqrt, tan
from typing import TYPE_CHECKING

import numpy as np

from headparts.checks.finding import Value
from headparts.errors import ParameterError
from headparts.plan import MissingInput
from headparts.plan.sizes import measured_ends, wanted_interference
from headparts.plan.station import StationPlan

if TYPE_CHECKING:
    from headparts.checks.explained import Scope

Found = tuple[Value | None, str, str] | None
"""(number, dotted key, formula): a number from a key, or a formula; None where the job has neither."""


def _fit(which: str, end: int) -> Callable[[Scope, str], Found]:
    def found(scope: Scope, station: str) -> Found:
        try:
            value = wanted_interference(StationPlan(station, scope.job), which)[end]
        except MissingInput:
            return None
        fits = f"fits.{which}"
        if scope.job.get(f"{fits}.mode") == "limits":
            return value, f"{fits}.class", ""
        return value, f"{fits}.interference.{station}" if end == 0 else f"{fits}.band", ""

    return found


def _reading(best: Callable[..., float], what: str) -> Callable[[Scope, str], Found]:
    def found(scope: Scope, station: str) -> Found:
        key = f"stations.{station}.measured.{what}"
        made = scope.job.get(key)
        if made is None:
            return None
        return float(best(np.ravel(made))), key, ""

    return found


def _growth(part: str) -> Callable[[Scope, str], Found]:
    def found(scope: Scope, _: str) -> Found:
        pieces = scope.job.get(f"rocker.warm.{part}")
        if pieces is None:
            return None
        one = "{p}_len_{n}*{p}_cte_{n}*{p}_dT_{n}"
        return None, "", " + ".join(one.format(p=part, n=n + 1) for n in range(len(pieces)))

    return found


def _axis_point(block: str) -> Callable[[Scope, str], Found]:
    def found(scope: Scope, station: str) -> Found:
        key = f"stations.{station}.{block}"
        for name in ("p", "points.0"):
            value = scope.job.get(f"{key}.{name}")
            if value is not None:
                return tuple(float(v) for v in value), f"{key}.{name}", ""  # type: ignore[return-value]
        return None

    return found


def _unit_between(block: str) -> Callable[[Scope, str], Found]:
    """Direction of an axis that is given by two points."""

    def found(scope: Scope, station: str) -> Found:
        key = f"stations.{station}.{block}.points"
        points = scope.job.get(key)
        if points is None:
            return None
        step = np.asarray(points[1], dtype=float) - np.asarray(points[0], dtype=float)
        x, y, z = step / np.linalg.norm(step)
        return (float(x), float(y), float(z)), key, ""

    return found


def _witness(end: int) -> Callable[[Scope, str], Found]:
    def found(scope: Scope, _: str) -> Found:
        at = scope.finding.at
        return None if at is None else (at[end], "", "")

    return found


def _narrowest_sleeve(scope: Scope, station: str) -> Found:
    keys = [f"repairs.{each.name}.sleeve.id" for each in scope.job.repairs or () if each.in_port == station]
    inner: list[Found] = [
        (float(scope.job.get(key)), key, "") for key in keys if scope.job.get(key) is not None
    ]
    return min(inner, key=lambda each: each[0] if each else 0.0, default=None)  # type: ignore[arg-type,return-value]


def _made_bore(scope: Scope, _: str) -> Found:
    key = f"repairs.{getattr(scope.repair, 'name', '')}.measured.bore"
    made = scope.job.get(key)
    return None if made is None else (float(min(made)), key, "")


def _hottest(scope: Scope, _: str) -> Found:
    heads = [(float(case.head), f"temps.{name}.head", "") for name, case in (scope.job.temps or {}).items()]
    return max(heads, key=lambda each: each[0], default=None)


SPECIAL: dict[str, Callable[[Scope, str], Found]] = {
    "body_interference": _fit("body", 0),
    "body_band": _fit("body", 1),
    "shank_interference": _fit("shank", 0),
    "shank_band": _fit("shank", 1),
    "least_reading": _reading(min, "body_bore"),
    "greatest_reading": _reading(max, "body_bore"),
    "least_od": _reading(min, "body_od"),
    "greatest_od": _reading(max, "body_od"),
    "least_shank": _reading(min, "shank_bore"),
    "greatest_shank_od": _reading(max, "shank_od"),
    "least_guide": _reading(min, "guide_bore"),
    "greatest_guide": _reading(max, "guide_bore"),
    "pivot_growth": _growth("pivot"),
    "pushrod_growth": _growth("pushrod"),
    "valve_growth": _growth("valve"),
    "axis_point": _axis_point("axis"),
    "axis_between": _unit_between("axis"),
    "old_point": _axis_point("old.axis"),
    "old_between": _unit_between("old.axis"),
    "first_point": _witness(0),
    "second_point": _witness(1),
    "narrowest_sleeve": _narrowest_sleeve,
    "hottest": _hottest,
    "made_bore": _made_bore,
}


def _axis_upright(scope: Scope, station: str) -> bool:
    return bool(scope.job.get(f"stations.{station}.axis.tilt") == 0.0)


def _upright(scope: Scope, station: str) -> bool:
    return _axis_upright(scope, station) and scope.job.get(f"stations.{station}.old.axis.tilt") == 0.0


def _by_height(scope: Scope, station: str) -> bool:
    return _upright(scope, station) and scope.job.get(f"stations.{station}.old.tip_s") is None


def _on_axis(scope: Scope, station: str) -> bool:
    return scope.job.get(f"stations.{station}.port.p.on_axis_s") is not None


def _narrower(scope: Scope, station: str) -> bool:
    """Where the drill's last and first contacts have a closed form: a port of middling width, not too steep."""
    try:
        rise, port, throat = (scope.term(name, station).value for name in ("port_rise", "port", "throat"))
    except ParameterError:
        return False
    assert isinstance(rise, float)
    assert isinstance(port, float)
    assert isinstance(throat, float)
    steep = abs(tan(radians(rise))) * sqrt(max(throat**2 - port**2, 0.0))
    return _on_axis(scope, station) and port < throat and bool(steep <= port)


def _as_made(which: str) -> Callable[[Scope, str], bool]:
    def made(scope: Scope, station: str) -> bool:
        return measured_ends(StationPlan(station, scope.job), which) is not None

    return made


def _parallel(scope: Scope, station: str) -> bool:
    try:
        new, old = (np.array(scope.term(name, station).value) for name in ("axis_d", "old_d"))
    except ParameterError:
        return False
    return bool(np.linalg.norm(np.cross(new, old)) < 1e-9)


CONDITIONS: dict[str, Callable[[Scope, str], bool]] = {
    "axis upright": _axis_upright,
    "upright": _upright,
    "upright by height": _by_height,
    "port on axis": _on_axis,
    "port on axis, upright": lambda scope, station: (
        _on_axis(scope, station) and _axis_upright(scope, station)
    ),
    "port on axis, narrower": _narrower,
    "parallel": _parallel,
    "body as made": _as_made("body"),
    "shank as made": _as_made("shank"),
}
"""When a way to work out a symbol holds: valve axes without tilt, a port that meets the valve axis, and so on."""
