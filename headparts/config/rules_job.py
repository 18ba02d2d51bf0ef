"""Rules between blocks: materials, fits, temperatures, names, exports, as built."""

from __future__ import annotations

import difflib

from .blocks_head import Cavity
from .blocks_job import Fit
from .blocks_repair import Repair
from .fault import nearest
from .judge import Judge
from .spec import STATION_NAMES

RESERVED = (
    *("head", "engine", "datums", "job", "rocker", "spacer", "outside", "chamber", "intake", "exhaust"),
    *("bushing_intake", "bushing_exhaust", "head_section", "head_bores", "assembly"),
)
PARTS = ("bushing_intake", "bushing_exhaust", "spacer", "head_section", "assembly")
MISSPELT = 0.85
"""How like a known name (difflib's ratio) an unknown one must be to count as misspelt."""
SETUPS = ("setup_bore_intake", "setup_bore_exhaust", "setup_port_intake", "setup_port_exhaust")


def judge_materials(judge: Judge) -> None:
    """Materials that are named must exist where there are any; the expansion lies inside its band."""
    if not judge.written("materials"):
        return  # a job without the block names materials that nothing can be computed of; that is no fault
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
    named: list[Cavity | Repair] = [*(job.head.cavities if job.head else ()), *job.repairs]
    for item in named:
        path = f"{judge.path_of(item)}.name"
        if not item.name:
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


def judge_export(judge: Judge) -> None:
    """What is to be written: a misspelt part, set-up or repair is a fault.

    A name that is like none of them is let through: a list may name a part whose block has been taken out of
    the job; the run then says that there is no such part.
    """
    export = judge.job.export
    if export is None:
        return
    repairs = tuple(repair.name for repair in judge.job.repairs if repair.name)
    for key, known in (("step", (*PARTS, *SETUPS, *repairs)), ("stl", (*PARTS, *repairs))):
        for index, name in enumerate(getattr(export, key) or ()):
            near = [] if name in known else difflib.get_close_matches(name.lower(), known, 1, MISSPELT)
            if near:
                judge.fault(f"export.{key}.{index}", f"{name!r} is not known", near[0])


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
    paths += [path for fit in ("body", "shank") for path in _stated_interferences(judge, fit)]
    for path in paths:
        quantity = judge.notes.quantities.get(path)
        if quantity is not None and (quantity.u is None or quantity.by is None):
            lacking = " and ".join(k for k in ("u", "by") if getattr(quantity, k) is None)
            judge.fault(
                path, f"status as_built needs {lacking} on every fit dimension: {{v: ..., u: ..., by: ...}}"
            )


def _stated_interferences(judge: Judge, fit: str) -> list[str]:
    """Keys of the interference of a fit that stands for what was made: where bore and bushing were not measured."""
    key = f"fits.{fit}.interference"
    if judge.written(f"fits.{fit}.measure_u"):
        return []
    measured = ("bore", "od")
    open_ = [
        name
        for name in judge.job.stations
        if not all(judge.written(f"stations.{name}.measured.{fit}_{which}") for which in measured)
    ]
    return [key, *(f"{key}.{name}" for name in open_)] if open_ else []
