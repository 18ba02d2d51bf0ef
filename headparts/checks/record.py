"""Q and H: how well the job is stated, and materials that ask for a caution."""

from __future__ import annotations

from collections.abc import Iterator

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.registry import check
from headparts.plan import MissingInput

MEASURED = (
    "engine.bore",
    "engine.stroke",
    "engine.deck",
    "rocker.cover_clearance",
)
MEASURED_AT_STATION = (
    "old.body_bore",
    "old.shank_bore",
    "old.tip_z",
    "old.tip_s",
    "valve.stem",
    "valve.gauge_to_tip",
)


def unstated_keys(context: Context) -> list[str]:
    """Measured values that are written without half-width or instrument."""
    keys = list(MEASURED)
    keys += [f"stations.{name}.{key}" for name in context.plan.stations for key in MEASURED_AT_STATION]
    bare = []
    for key in keys:
        quantity = context.job.quantities.get(key)
        if quantity is not None and (quantity.u is None or not quantity.by):
            bare.append(key)
    return bare


@check("Q01", per="job")
def unstated(context: Context) -> Iterator[Finding]:
    """Measured values without half-width and instrument."""
    bare = unstated_keys(context)
    as_built = context.job.job.status == "as_built"
    yield context.judge(
        "Q01",
        "job",
        "unstated",
        float(len(bare)),
        terms={"count": float(len(bare))},
        verdict="" if as_built else "info",
        method="count",
        note=("u not given: " + ", ".join(bare)) if bare else "",
        advice="write {v, u, by} for what was measured",
    )


@check("Q02", per="job")
def job_file(context: Context) -> Iterator[Finding]:
    """The job file passed the reader: numbers, ranges and units."""
    yield context.judge(
        "Q02",
        "job",
        "job_file",
        0.0,
        verdict="pass",
        method="reader",
        note="read without faults",
        terms={"count": 0.0},
    )


@check("Q03", per="datums")
def pins(context: Context) -> Iterator[Finding]:
    """How well the datum pins repeat."""
    yield context.judge(
        "Q03",
        "datums",
        "pin_repeat",
        context.inputs.one("datums.pin_repeat"),
        method="as given",
        advice="refit the pins",
    )


@check("Q05", per="sheet")
def sheets(context: Context) -> Iterator[Finding]:
    """Run by `draw` and `build`, where there are sheets to look at."""
    yield from context.none_here("Q05", note="run by draw and build", subject="job")


@check("Q06", per="file")
def files(context: Context) -> Iterator[Finding]:
    """Run by `export` and `build`, where there are files to read again."""
    yield from context.none_here("Q06", note="run by export and build", subject="job")


@check("H01", per="job")
def hazard(context: Context) -> Iterator[Finding]:
    """Materials that ask for a caution, part by part."""
    parts = [
        (f"bushing_{name}", station.inputs.path("bushing.material"))
        for name, station in context.plan.stations.items()
        if station.inputs.get("bushing") is not None
    ]
    parts += [(name, f"repairs.{name}.sleeve.material") for name in context.plan.repairs]
    if context.inputs.get("rocker.spacer") is not None:
        parts.append(("spacer", "rocker.spacer.material"))
    if not parts:
        yield from context.none_here("H01")
    for subject, key in parts:
        material = context.inputs.get(key)
        block = (context.job.materials or {}).get(material) if material is not None else None
        if block is None:
            missing = key if material is None else f"materials.{material}"
            yield from context.not_run("H01", subject, MissingInput(missing))
            continue
        found = block.hazard is not None
        yield context.judge(
            "H01",
            subject,
            "hazard",
            1.0 if found else 0.0,
            terms={"hazard": 1.0 if found else 0.0},
            method="material data",
            note=f"{material}: {block.hazard}, see the cautions" if found else "",
            advice="wet turning, extraction, no dry grinding or polishing; or a material without the hazard",
        )
