"""Rules between blocks: casting, repairs, rocker, materials, fits, temperatures, names, files, exports, as built."""

from __future__ import annotations

from math import hypot
from pathlib import Path, PurePosixPath, PureWindowsPath

from .blocks_head import CHAMBER_KEYS, Chamber, Head
from .blocks_job import Fit, OilHole, Repair, Rocker
from .fault import nearest
from .judge import Judge
from .rules_station import tip_rise
from .spec import STATION_NAMES

RESERVED = (
    *("head", "engine", "datums", "job", "rocker", "spacer", "outside", "chamber", "intake", "exhaust"),
    *("bushing_intake", "bushing_exhaust", "head_section", "assembly"),
)
PARTS = ("bushing_intake", "bushing_exhaust", "spacer", "head_section", "assembly")
SETUPS = ("setup_bore_intake", "setup_bore_exhaust", "setup_port_intake", "setup_port_exhaust")


def judge_head(judge: Judge, head: Head) -> None:
    """Chamber keys by type, boxes inside each other, fins, cavities."""
    if head.chamber is not None:
        _chamber(judge, head.chamber)
    outline = head.outline
    if outline is not None:
        if outline.z is not None and head.chamber is not None and head.chamber.depth is not None:
            if head.chamber.depth >= outline.z[1]:
                judge.fault(
                    "head.chamber.depth",
                    f"{head.chamber.depth:g} reaches the casting's top z = {outline.z[1]:g}",
                )
        for side in ("x", "y"):
            inner, outer = judge.get(f"head.core.{side}"), judge.get(f"head.outline.{side}")
            if inner is not None and outer is not None and (inner[0] < outer[0] or inner[1] > outer[1]):
                judge.fault(
                    f"head.core.{side}",
                    f"[{inner[0]:g}, {inner[1]:g}] must lie inside the outline's [{outer[0]:g}, {outer[1]:g}]",
                )
        fins = head.fins
        if fins is not None and fins.z is not None and outline.z is not None:
            if fins.z[0] < outline.z[0] or fins.z[1] > outline.z[1]:
                judge.fault(
                    "head.fins.z",
                    f"[{fins.z[0]:g}, {fins.z[1]:g}] must lie inside the outline's [{outline.z[0]:g}, {outline.z[1]:g}]",
                )
    judge.below("head.fins.thick", "head.fins.pitch", what="the pitch")
    for cavity in head.cavities:
        path = judge.path_of(cavity)
        if not judge.written(f"{path}.axis.azim") and cavity.axis is not None:
            if cavity.axis.tilt not in (None, 0.0, 180.0):
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
    if chamber.type is None:
        return
    own = CHAMBER_KEYS[chamber.type]
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


def judge_repair(judge: Judge, repair: Repair) -> None:
    """References of a repair, its sleeve, its bond."""
    path = judge.path_of(repair)
    if repair.in_port is not None:
        station = judge.job.stations.get(repair.in_port)
        if station is None and not judge.written(f"stations.{repair.in_port}"):
            judge.fault(f"{path}.in_port", f"there is no station {repair.in_port} in this job")
        elif not judge.written(f"stations.{repair.in_port}.port"):
            judge.fault(f"{path}.in_port", f"stations.{repair.in_port} has no port in this job")
    if repair.cause is not None and repair.cause.cavity is not None:
        names = [c.name for c in judge.job.head.cavities if c.name] if judge.job.head else []
        if repair.cause.cavity not in names:
            near = nearest(repair.cause.cavity, names)
            known = (
                "" if near else (f"; there are {', '.join(names)}" if names else "; the job has no cavities")
            )
            judge.fault(f"{path}.cause.cavity", f"there is no cavity {repair.cause.cavity!r}{known}", near)
    if repair.mode in ("bonded", "bonded_pressed") and not judge.written(f"{path}.bond"):
        judge.missing(path, "bond", f"required key is missing: mode {repair.mode} needs bond")
    sleeve = repair.sleeve
    if sleeve is None:
        return
    judge.below(f"{path}.sleeve.id", f"{path}.sleeve.od", what="the sleeve's outer diameter od")
    if sleeve.od is not None and sleeve.id is not None:
        judge.compared(f"{path}.sleeve.wall", (sleeve.od - sleeve.id) / 2.0, "(od - id)/2")
    end = sleeve.outer_end
    if end is not None and end.type == "flange" and not judge.written(f"{path}.sleeve.outer_end.flange"):
        judge.missing(
            f"{path}.sleeve.outer_end", "flange", "required key is missing: a flanged end needs {dia, thick}"
        )
    if end is not None and end.type is not None and end.flange is not None:
        if (end.type == "flange") != (end.flange != "none"):
            judge.fault(f"{path}.sleeve.outer_end.flange", f"does not go with outer_end.type {end.type}")
        judge.below(f"{path}.sleeve.od", f"{path}.sleeve.outer_end.flange.dia", what="the flange's diameter")


def judge_rocker(judge: Judge, rocker: Rocker) -> None:
    """Spacer holes, warm-up and the written dh."""
    spacer, post = rocker.spacer, rocker.post
    hole = spacer.hole if spacer is not None else None
    base = post.base if post is not None else None
    if hole is not None and base is not None and hole >= min(base):
        judge.fault(
            "rocker.spacer.hole",
            f"{hole:g} must be smaller than the spacer, {min(base):g} wide (rocker.post.base)",
        )
    stud = judge.num("rocker.post.stud_dia")
    if hole is not None and stud is not None and hole < stud:
        judge.fault("rocker.spacer.hole", f"{hole:g} does not pass the stud, rocker.post.stud_dia = {stud:g}")
    oil = spacer.oil_hole if spacer is not None else None
    if isinstance(oil, OilHole) and oil.dia is not None and oil.at is not None:
        path, (x, y), radius = "rocker.spacer.oil_hole.at", oil.at, oil.dia / 2.0
        if base is not None and (abs(x) + radius >= base[0] / 2.0 or abs(y) + radius >= base[1] / 2.0):
            judge.fault(
                path,
                f"the oil hole of {oil.dia:g} at [{x:g}, {y:g}] is not inside the spacer of {base[0]:g} x {base[1]:g}",
            )
        if hole is not None and hypot(x, y) <= radius + hole / 2.0:
            judge.fault(
                path, f"the oil hole of {oil.dia:g} at [{x:g}, {y:g}] meets the stud hole of {hole:g}"
            )
    rises = [tip_rise(judge, name, station)[1] for name, station in judge.job.stations.items()]
    known = [rise for rise in rises if rise is not None]
    if known:
        judge.compared("rocker.dh", sum(known) / len(known), "the new and the old stem tips in z")


def judge_materials(judge: Judge) -> None:
    """Materials that are named must exist; the expansion lies inside its band."""
    names = judge.job.materials
    users = ["head.material", "rocker.spacer.material"]
    users += [f"stations.{name}.bushing.material" for name in judge.job.stations]
    users += [f"{judge.path_of(repair)}.sleeve.material" for repair in judge.job.repairs]
    for path in users:
        line = judge.notes.places.get(path)
        name = line[2] if line is not None else None
        if name is None or judge.get(path) is None or judge.written(f"materials.{name}"):
            continue
        near = nearest(name, names)
        known = f"; there are {', '.join(names)}" if names and near is None else ""
        judge.fault(path, f"there is no {name!r} under materials{known}", near)
    for name, material in names.items():
        band = material.cte_band
        if band is not None and material.cte is not None and not band[0] <= material.cte <= band[1]:
            judge.fault(
                f"materials.{name}.cte",
                f"{material.cte:g} must lie inside cte_band [{band[0]:g}, {band[1]:g}]",
            )


def judge_fits(judge: Judge) -> None:
    """Friction, class of a fit by limits, temperatures of the bushings that are there."""
    fits = judge.job.fits
    if fits is not None:
        judge.below("fits.friction.low", "fits.friction.high", equal=True, what="fits.friction.high")
        for key, fit in (("body", fits.body), ("shank", fits.shank)):
            if fit is not None:
                _fit_mode(judge, f"fits.{key}", fit)
    present = [name for name, station in judge.job.stations.items() if station.bushing is not None]
    for case in judge.job.temps:
        if case.lower() == "second_heating":
            judge.fault(
                f"temps.{case}", "the case second_heating is computed from fits.assembly; take another name"
            )
        given = [name for name in STATION_NAMES if judge.written(f"temps.{case}.{name}_bush")]
        for name in present:
            if given and name not in given:
                judge.missing(
                    f"temps.{case}",
                    f"{name}_bush",
                    f"required key is missing: temperature of the {name} bushing",
                )


def _fit_mode(judge: Judge, path: str, fit: Fit) -> None:
    if fit.mode == "limits" and not judge.written(f"{path}.class"):
        judge.missing(path, "class", "required key is missing: mode limits needs class, as H7/s6")
    if fit.mode == "turn_to_measured_bore" and fit.class_ is not None:
        judge.fault(f"{path}.class", "class goes with mode limits, not with turn_to_measured_bore")


def judge_names(judge: Judge) -> None:
    """Names are not reserved and unique without regard to case."""
    job = judge.job
    seen: dict[str, tuple[str, int]] = {}
    for item in (*(job.head.cavities if job.head else ()), *job.repairs):
        path = f"{judge.path_of(item)}.name"
        if item.name is None:
            continue
        _reserved(judge, path, item.name)
        _unique(judge, path, item.name, seen)
    for block, known in (("materials", job.materials), ("temps", job.temps)):
        seen = {}
        for name in known:
            _unique(judge, f"{block}.{name}", name, seen)


def _reserved(judge: Judge, path: str, name: str) -> None:
    cuts = ("body_bore", "shank_bore", "port", "pocket", "setup_bore", "setup_port")
    taken = name.lower() in RESERVED or any(
        name.lower() == f"{cut}_{s}" for cut in cuts for s in STATION_NAMES
    )
    if taken or name.lower().startswith("sleeve_bore_"):
        judge.fault(path, f"{name!r} is reserved for a part or a cut of the job; take another name")


def _unique(judge: Judge, path: str, name: str, seen: dict[str, tuple[str, int]]) -> None:
    line = judge.notes.blocks.get(path, judge.notes.places.get(path, (0, 0)))[0]
    first = seen.setdefault(name.lower(), (name, line))
    if first != (name, line):
        message = f"the name {name!r} is taken by {first[0]!r} in line {first[1]}; case does not count"
        place = judge.notes.blocks.get(path)
        if place is not None:
            judge.notes.fault(*place, path, None, message)
        else:
            judge.fault(path, message)


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
            judge.fault(path, "there is no such file in the job's folder")


def _inside(folder: Path, text: str) -> bool:
    try:
        return (folder / text).resolve().is_relative_to(folder.resolve())
    except (OSError, ValueError, RuntimeError):
        return False


def judge_export(judge: Judge) -> None:
    """What is to be written must be a known part, set-up or repair."""
    export = judge.job.export
    if export is None:
        return
    repairs = tuple(repair.name for repair in judge.job.repairs if repair.name)
    for key, known in (("step", (*PARTS, *SETUPS, *repairs)), ("stl", (*PARTS, *repairs))):
        for index, name in enumerate(getattr(export, key) or ()):
            if name not in known:
                near = nearest(name, known)
                message = f"{name!r} is not known" + ("" if near else f"; allowed: {', '.join(known)}")
                judge.fault(f"export.{key}.{index}", message, near)


def judge_as_built(judge: Judge) -> None:
    """A job as built states half-width and instrument of every size that takes part in a fit."""
    job = judge.job
    if job.job is None or job.job.status != "as_built":
        return
    paths = [
        f"stations.{name}.{key}"
        for name in job.stations
        for key in ("bushing.body.dia", "bushing.shank.dia", "bushing.guide.bore", "valve.stem")
    ]
    paths += [
        f"{judge.path_of(r)}.{key}" for r in job.repairs for key in ("bore.dia", "sleeve.od", "sleeve.id")
    ]
    for path in paths:
        quantity = judge.notes.quantities.get(path)
        if quantity is not None and (quantity.u is None or quantity.by is None):
            lacking = " and ".join(k for k in ("u", "by") if getattr(quantity, k) is None)
            judge.fault(
                path, f"status as_built needs {lacking} on every fit dimension: {{v: ..., u: ..., by: ...}}"
            )
