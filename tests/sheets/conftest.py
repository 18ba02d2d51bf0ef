"""The three example jobs' parts with a full context, and one sheet of each, made once a session."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from headparts.config import read_job
from headparts.parts.from_plan import wanted_parts
from headparts.plan import plan_job
from headparts.sheets import (
    Drawing,
    Rendered,
    SheetContext,
    Tolerance,
    bushing_sheet,
    render,
    sleeve_sheet,
    spacer_sheet,
)

ROOT = Path(__file__).resolve().parents[2]
JOBS = ("pump_26cc", "generator_62cc", "sprayer_10cc")
PARTS = {
    "pump_26cc": ("bushing_intake", "bushing_exhaust", "spacer"),
    "generator_62cc": ("bushing_intake", "bushing_exhaust", "sleeve_intake", "spacer"),
    "sprayer_10cc": ("bushing_intake", "bushing_exhaust", "sleeve_intake", "spacer"),
}
EVERY = [(job, part) for job, parts in PARTS.items() for part in parts]
MAKERS = {"bushing": bushing_sheet, "sleeve": sleeve_sheet, "spacer": spacer_sheet}


@cache
def plan_of(job: str):
    return plan_job(read_job(ROOT / "configs" / f"{job}.yaml"))


@cache
def part_of(job: str, name: str):
    return next(w for w in wanted_parts(plan_of(job)) if w.name == name).build()


def context_of(job: str, name: str, **more) -> SheetContext:
    file = plan_of(job).job
    station = file.stations.get(name.removeprefix("bushing_"))
    tolerances = {
        "body_diameter": Tolerance(upper=0.003, lower=-0.003),
        "guide_bore": Tolerance("H7", 0.012, 0.0),
        "shank_diameter": Tolerance(upper=0.004, lower=-0.004),
        "outer_diameter": Tolerance(upper=0.0, lower=-0.01),
        "inner_diameter": Tolerance(upper=0.02, lower=0.0),
    }
    given = {
        "job_id": file.job.id,
        "job_title": file.job.title or "",
        "part_title": name.replace("_", " "),
        "number": f"{file.job.id}-{name}"[:16],
        "rev": file.job.rev or "",
        "date": str(file.job.date),
        "status": file.job.status,
        "sheet_size": file.drawing.sheet,
        "tolerances": tolerances,
        "model_file": f"{name}.step",
        "clock_azimuth": station.port.azim if station else None,
        "pre_bore": station.bushing.guide.pre_bore if station else None,
        "condition": "as supplied",
    }
    return SheetContext(**(given | more))


@cache
def drawing_of(job: str, name: str) -> Drawing:
    return MAKERS[name.split("_")[0]](part_of(job, name), context_of(job, name))


@cache
def files_of(job: str, name: str) -> Rendered:
    return render(drawing_of(job, name))


class Kit:
    """What the tests of this folder share."""

    part, context, drawing, files, plan = (
        staticmethod(f) for f in (part_of, context_of, drawing_of, files_of, plan_of)
    )
    every, jobs = EVERY, JOBS


@pytest.fixture(scope="session")
def kit() -> type[Kit]:
    return Kit


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if {"job", "name"} <= set(metafunc.fixturenames):
        metafunc.parametrize(("job", "name"), EVERY, ids=[f"{j}-{n}" for j, n in EVERY])
