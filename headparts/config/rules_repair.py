"""Rules of repairs and of the rocker gear: references, sleeve, bond, spacer."""

from __future__ import annotations

from math import hypot

from .blocks_repair import OilHole, Repair, Rocker
from .fault import nearest
from .judge import Judge
from .rules_station import tip_rise

FLANGED = ("flange", "flanged")


def judge_repair(judge: Judge, repair: Repair) -> None:
    """References of a repair, its sleeve, its bond."""
    path = judge.path_of(repair)
    _references(judge, path, repair)
    if repair.mode in ("bonded", "bonded_pressed") and not judge.written(f"{path}.bond"):
        judge.missing(path, "bond", f"required key is missing: mode {repair.mode} needs bond")
    sleeve = repair.sleeve
    if sleeve is None:
        return
    judge.below(f"{path}.sleeve.id", f"{path}.sleeve.od", what="the sleeve's outer diameter od")
    if sleeve.od is not None and sleeve.id is not None:
        judge.compared(f"{path}.sleeve.wall", (sleeve.od - sleeve.id) / 2.0, "(od - id)/2")
    end = sleeve.outer_end
    if end is not None and end.type in FLANGED and not judge.written(f"{path}.sleeve.outer_end.flange"):
        judge.missing(
            f"{path}.sleeve.outer_end", "flange", "required key is missing: a flanged end needs {dia, thick}"
        )
    if end is not None and end.type is not None and end.flange is not None:
        if (end.type in FLANGED) != (end.flange != "none"):
            judge.fault(f"{path}.sleeve.outer_end.flange", f"does not go with outer_end.type {end.type}")
        judge.below(f"{path}.sleeve.od", f"{path}.sleeve.outer_end.flange.dia", what="the flange's diameter")


def _references(judge: Judge, path: str, repair: Repair) -> None:
    """The port and the cavity exist; where the job has no stations or no cavities at all nothing is said."""
    port, cavity = repair.in_port, repair.cause.cavity if repair.cause is not None else None
    if port is not None and judge.written("stations"):
        if not judge.written(f"stations.{port}"):
            judge.fault(f"{path}.in_port", f"there is no station {port} in this job")
        elif not judge.written(f"stations.{port}.port"):
            judge.fault(f"{path}.in_port", f"stations.{port} has no port in this job")
    if cavity is not None and judge.written("head.cavities"):
        names = [c.name for c in judge.job.head.cavities if c.name] if judge.job.head else []
        if cavity not in names:
            near = nearest(cavity, names)
            known = "" if near or not names else f"; there are {', '.join(names)}"
            judge.fault(f"{path}.cause.cavity", f"there is no cavity {cavity!r}{known}", near)


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
            place = f"at [{x:g}, {y:g}] is not inside the spacer of {base[0]:g} x {base[1]:g}"
            judge.fault(path, f"the oil hole of {oil.dia:g} {place}")
        if hole is not None and hypot(x, y) <= radius + hole / 2.0:
            judge.fault(
                path, f"the oil hole of {oil.dia:g} at [{x:g}, {y:g}] meets the stud hole of {hole:g}"
            )
    rises = [tip_rise(judge, name, station)[1] for name, station in judge.job.stations.items()]
    known = [rise for rise in rises if rise is not None]
    if known:
        judge.compared("rocker.dh", sum(known) / len(known), "the new and the old stem tips in z")
