"""Rules of the casting: chamber, boxes inside each other, cavities, and the files that a job names."""

from __future__ import annotations

from math import dist
from pathlib import Path, PurePosixPath, PureWindowsPath

from .blocks_head import CHAMBER_KEYS, Cavity, Chamber, Head, Vector3
from .judge import Judge

PLACE_WITHIN = 0.2
"""Distances of the three points of `place` may differ by this between file and head [mm]."""
LEAST_BASE = 1.0
"""The three points of `place` are at least this far apart, and the third from the line of the others [mm]."""
SOLID_ENDINGS = (".step", ".stp", ".stl")


def judge_head(judge: Judge, head: Head) -> None:
    """Chamber keys by type, boxes inside each other, fins, cavities."""
    if head.chamber is not None:
        _chamber(judge, head.chamber)
    for inner, outer in (("core.x", "outline.x"), ("core.y", "outline.y"), ("fins.z", "outline.z")):
        _inside_of(judge, f"head.{inner}", f"head.{outer}")
    top, depth = judge.num("head.outline.z.1"), judge.num("head.chamber.depth")
    if top is not None and depth is not None and depth >= top:
        judge.fault("head.chamber.depth", f"{depth:g} reaches the casting's top z = {top:g}")
    judge.below("head.fins.thick", "head.fins.pitch", what="the pitch")
    if head.solid is not None:
        _solid(judge)
    for cavity in head.cavities:
        _cavity(judge, judge.path_of(cavity), cavity)


def _solid(judge: Judge) -> None:
    """The ending of the file, and whether its three points and the head's can be laid on each other."""
    file, place = judge.get("head.solid.file"), judge.get("head.solid.place")
    if file is not None and Path(file).suffix.lower() not in SOLID_ENDINGS:
        judge.fault("head.solid.file", f"the file must end with {', '.join(SOLID_ENDINGS)}")
    if place is None:
        return
    for where, points in zip(("file", "head"), zip(*place, strict=True), strict=True):
        if _height(*points) < LEAST_BASE:
            judge.fault(
                "head.solid.place",
                f"the three points in the {where} must lie at least {LEAST_BASE:g} apart and not on one line",
            )
            return
    for i, j in ((0, 1), (0, 2), (1, 2)):
        (file_i, head_i), (file_j, head_j) = place[i], place[j]
        in_file, in_head = dist(file_i, file_j), dist(head_i, head_j)
        if abs(in_file - in_head) > PLACE_WITHIN:
            ratio = in_head / in_file
            inch = " (is the file in inches? it is taken as mm)" if abs(ratio / 25.4 - 1.0) < 0.01 else ""
            judge.fault(
                "head.solid.place",
                f"points {i + 1} and {j + 1} are {in_file:.4g} apart in the file, {in_head:.4g} in the head; at "
                f"most {PLACE_WITHIN:g} difference is allowed, nothing is scaled{inch}",
            )
            return


def _height(a: Vector3, b: Vector3, c: Vector3) -> float:
    """The least height of the triangle of three points [mm], or its shortest side if that is less."""
    sides = sorted((dist(a, b), dist(b, c), dist(c, a)))
    half = sum(sides) / 2.0
    square = half * (half - sides[0]) * (half - sides[1]) * (half - sides[2])
    return min(sides[0], 2.0 * max(square, 0.0) ** 0.5 / sides[2]) if sides[2] > 0.0 else 0.0


def _inside_of(judge: Judge, path: str, other: str) -> None:
    inner, outer = judge.get(path), judge.get(other)
    if inner is not None and outer is not None and (inner[0] < outer[0] or inner[1] > outer[1]):
        within = f"the outline's [{outer[0]:g}, {outer[1]:g}]"
        judge.fault(path, f"[{inner[0]:g}, {inner[1]:g}] must lie inside {within}")


def _cavity(judge: Judge, path: str, cavity: Cavity) -> None:
    leaning = cavity.axis is not None and cavity.axis.tilt not in (None, 0.0, 180.0)
    if leaning and not judge.written(f"{path}.axis.azim"):
        judge.missing(f"{path}.axis", "azim", "required key is missing: azimuth of a leaning axis")
    for key, what in (
        ("bolt_dia", "the bolt"),
        ("moving_dia", "what moves"),
        ("tap_dia", "the tapping drill"),
    ):
        value = getattr(cavity, key)
        if value is not None and cavity.dia is not None and value > cavity.dia:
            judge.fault(f"{path}.{key}", f"{what} of {value:g} does not fit into dia = {cavity.dia:g}")


def _chamber(judge: Judge, chamber: Chamber) -> None:
    own = CHAMBER_KEYS.get(chamber.type)
    if own is None:
        return
    for key in sorted({key for keys in CHAMBER_KEYS.values() for key in keys}):
        written = judge.written(f"head.chamber.{key}")
        if key in own and not written:
            judge.missing(
                "head.chamber",
                key,
                f"required key is missing: a {chamber.type} chamber needs {', '.join(own)}",
            )
        elif key not in own and written:
            judge.fault(
                f"head.chamber.{key}",
                f"unknown key for a {chamber.type} chamber; allowed here: type, {', '.join(own)}",
            )
    if chamber.type == "dome":
        judge.below(
            "head.chamber.depth", "head.chamber.base_radius", equal=True, what="the dome's base_radius"
        )
    if chamber.corner is not None and chamber.length is not None and chamber.width is not None:
        half = min(chamber.length, chamber.width) / 2.0
        if chamber.corner > half:
            judge.fault(
                "head.chamber.corner", f"{chamber.corner:g} must be at most half the shorter side, {half:g}"
            )


def judge_files(judge: Judge) -> None:
    """Files lie inside the job's folder and exist."""
    folder = judge.job.folder
    for path in ("head.solid.file", "head.chamber.file"):
        text = judge.get(path)
        if not isinstance(text, str):
            continue
        absolute = (
            PurePosixPath(text).is_absolute() or PureWindowsPath(text).drive or PureWindowsPath(text).root
        )
        if absolute or not _inside(folder, text):
            judge.fault(path, "the file must lie inside the job's folder; write its path from there")
        elif not (folder / text).is_file():
            judge.fault(path, f"{text!r}: there is no such file in the job's folder")


def _inside(folder: Path, text: str) -> bool:
    try:
        return (folder / text).resolve().is_relative_to(folder.resolve())
    except (OSError, ValueError, RuntimeError):
        return False
