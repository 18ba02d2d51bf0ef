"""The same head seen otherwise: turned about the bore, mirrored, scaled, shifted. Each gives a new job."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from math import cos, radians, sin
from typing import Any

from strategies.heads import Job

NOT_LENGTHS = {"tilt", "azim", "elev", "angle", "face_angle", "drill_wander", "schema", "rate", "date"}
"""Keys whose numbers a scale leaves alone: angles, ratios, what walls do not hang on."""


def _with_points(
    job: Job, place: Callable[[list[float]], list[float]], turn: Callable[[float], float]
) -> Job:
    """Every point and azimuth of the stations, ports and cavities replaced."""
    made = deepcopy(job)
    axes = [cavity["axis"] for cavity in made["head"]["cavities"]]
    for station in made["stations"].values():
        axes += [station["axis"], station["old"]["axis"]]
        port = station["port"]
        port["azim"] = turn(port["azim"])
        if isinstance(port["p"], list):
            port["p"] = place(port["p"])
    for axis in axes:
        axis["p"] = place(axis["p"])
        axis["azim"] = turn(axis["azim"])
    return made


def turned(job: Job, quarters: int) -> Job:
    """The head turned by quarter turns about the bore's axis; exact but for the rounding of cosines."""
    made = job
    for _ in range(quarters):
        made = _with_points(made, lambda p: [-p[1], p[0], p[2]], lambda a: (a + 90.0 + 180.0) % 360.0 - 180.0)
        head = made["head"]
        for box in (head[name] for name in ("outline", "core") if name in head):
            box["x"], box["y"] = [-box["y"][1], -box["y"][0]], box["x"]
        if head.get("chamber", {}).get("type") == "bathtub":
            tub = head["chamber"]
            tub["length"], tub["width"] = tub["width"], tub["length"]
    return made


def turned_freely(job: Job, angle: float) -> Job:
    """The head without its box turned by any angle [deg]: for round chambers, and walls not to the outside."""
    c, s = cos(radians(angle)), sin(radians(angle))
    made = _with_points(
        job,
        lambda p: [c * p[0] - s * p[1], s * p[0] + c * p[1], p[2]],
        lambda a: (a + angle + 180.0) % 360.0 - 180.0,
    )
    reach = 2.0 * max(abs(v) for key in "xy" for v in job["head"]["outline"][key])
    made["head"]["outline"] |= {"x": [-reach, reach], "y": [-reach, reach]}
    return made


def mirrored(job: Job) -> Job:
    """The head mirrored in the plane y = 0."""
    made = _with_points(job, lambda p: [p[0], -p[1], p[2]], lambda a: -a)
    head = made["head"]
    for box in (head[name] for name in ("outline", "core") if name in head):
        box["y"] = [-box["y"][1], -box["y"][0]]
    return made


def shifted(job: Job, x: float, y: float) -> Job:
    """A head without a chamber moved sideways (a chamber stands on the bore's axis and would stay)."""
    assert "chamber" not in job["head"]
    made = _with_points(job, lambda p: [p[0] + x, p[1] + y, p[2]], lambda a: a)
    head = made["head"]
    for box in (head[name] for name in ("outline", "core") if name in head):
        box["x"], box["y"] = [v + x for v in box["x"]], [v + y for v in box["y"]]
    return made


def scaled(job: Job, factor: float) -> Job:
    """Every length times the factor, and the scale of the limits with it."""

    def walk(value: Any, key: str) -> Any:
        if isinstance(value, dict):
            return {name: walk(item, name) for name, item in value.items()}
        if isinstance(value, list):
            return [walk(item, key) for item in value]
        scales = isinstance(value, int | float) and not isinstance(value, bool) and key not in NOT_LENGTHS
        return value * factor if scales else value

    own = job.get("limits", {}).get("scale", 1.0)
    return walk({**job, "limits": {}}, "") | {"limits": {"scale": own * factor}}
