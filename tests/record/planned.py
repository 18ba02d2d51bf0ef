"""A record that says exactly what was planned: every number worked out here from the job file, not by the form."""

from __future__ import annotations

import re
from math import cos, radians, sin
from pathlib import Path

import yaml

from record.case import config

IT7 = {3: 0.010, 6: 0.012, 10: 0.015, 18: 0.018, 30: 0.021}
"""ISO 286-1 IT7 by the upper end of the range of sizes [mm]."""


def it7(size: float) -> float:
    return next(value for upper, value in IT7.items() if size <= upper)


def unmeasured(name: str, folder: Path) -> Path:
    """An example job before anything was measured in it."""
    text = re.sub(r"\n    measured: \{[^\n]*", "", config(name).read_text(encoding="utf-8"))
    path = folder / f"{name}.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def plain(value: object) -> float:
    return float(value["v"] if isinstance(value, dict) else value)


def planned_values(job: Path) -> dict[str, object]:
    """Readings by key with which nothing is other than planned: sizes as drawn, toleranced ones at both their ends."""
    text = re.sub(r"(\d)e-6", r"\1e-06", job.read_text(encoding="utf-8"))
    said = yaml.safe_load(text)
    made: dict[str, object] = {}
    for name, station in said["stations"].items():
        made |= _station(said, name, station)
    for repair in said["repairs"]:
        made |= _sleeve(said, repair)
    rocker = said["rocker"]
    rise = max(tip(s) - old_tip(s) for s in said["stations"].values())
    made |= {
        "train.rocker.spacer_thick": plain(rocker["spacer"]["thick"]),
        "train.rocker.parallel": plain(rocker["spacer"]["parallel"]),
        "train.rocker.pushrod_length": plain(rocker["pushrod"]["length"])
        + plain(rocker["pushrod"]["change"]),
        "train.rocker.cover_left": plain(rocker["cover_clearance"]) - rise,
    }
    for name, lash in rocker["lash_cold"].items():
        made[f"train.{name}.lash"] = plain(lash)
    for step in ("bores", "bushings", "ports", "seats", *(("sleeve",) if said["repairs"] else ())):
        made[f"{step}.temperature"] = 20.0
    return made


def tip_s(station: dict) -> float:
    seat = station["bushing"]["seat"]
    middle = seat["s_outer"] + seat["width"] * sin(radians(seat["angle"])) / 2.0
    return middle + plain(station["valve"]["gauge_to_tip"])


def tip(station: dict) -> float:
    """Height of the new tip in z."""
    axis = station["axis"]
    return axis["p"][2] + tip_s(station) * cos(radians(axis["tilt"]))


def old_tip(station: dict) -> float:
    old = station["old"]
    if "tip_z" in old:
        return plain(old["tip_z"])
    return old["axis"]["p"][2] + plain(old["tip_s"]) * cos(radians(old["axis"]["tilt"]))


def _station(said: dict, name: str, station: dict) -> dict[str, object]:
    bush, axis, fits = station["bushing"], station["axis"], said["fits"]
    body, shank, guide = bush["body"], bush["shank"], bush["guide"]
    made: dict[str, object] = {
        f"bores.{name}.body_bore": [body["dia"]] * 6,
        f"bores.{name}.shank_bore": [shank["dia"]] * 6,
        f"bores.{name}.step_depth": body["len"] + axis["p"][2] / cos(radians(axis["tilt"])),
        f"bushings.{name}.body_len": body["len"] - body["face_above_roof"],
        f"bushings.{name}.guide_bore": [guide["pre_bore"]] * 2,
        f"pressed.{name}.shoulder_gap": 0,
        f"ports.{name}.dia": [station["port"]["dia"]] * 2,
        f"ports.{name}.opening": "none",
        f"ports.{name}.leak_test": "no bubbles at 0.5 bar",
        f"seats.{name}.guide_bore": [guide["bore"], guide["bore"] + it7(guide["bore"])],
        f"seats.{name}.runout": 0.01,
        f"seats.{name}.width": bush["seat"]["width"],
    }
    for part, size in (("body", body["dia"]), ("shank", shank["dia"])):
        interference = fits[part]["interference"]
        wanted = interference[name] if isinstance(interference, dict) else interference
        ends = [size + wanted - fits[part]["band"], size + wanted + fits[part]["band"]]
        made[f"bushings.{name}.{part}_od"] = ends * 3
    spring = station["spring"]
    upright = axis["tilt"] == 0
    made[f"seats.{name}.tip_z" if upright else f"seats.{name}.tip_s"] = (
        tip(station) if upright else tip_s(station)
    )
    seat = spring["seat_z"] - axis["p"][2] if "seat_z" in spring else spring["seat_s"]
    made[f"seats.{name}.installed"] = tip_s(station) - spring["retainer_below_tip"] - seat - spring["shim"]
    return made


def _sleeve(said: dict, repair: dict) -> dict[str, object]:
    sleeve, bore, name = repair["sleeve"], repair["bore"]["dia"], repair["name"]
    made: dict[str, object] = {f"sleeve.{name}.bore": [bore, bore + it7(bore)]}
    for key in ("od", "id"):
        low, high = sleeve[f"{key}_tol"]
        made[f"sleeve.{name}.{key}"] = [sleeve[key] + low, sleeve[key] + high]
    return made
