"""A report with one of everything, with text in it that wants to be markup."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headparts.checks.finding import Finding
from headparts.exports.manifest import entry
from headparts.reports.content import (
    ClashRow,
    DerivedRow,
    HeadProof,
    JobHead,
    PartRow,
    Picture,
    Report,
)
from headparts.tables.hazards import caution, step_cautions

EVIL = '<script>alert("1")</script> & | ` _x_ \x1b[31m \u202e'

WALL = Finding(
    "W02",
    "plug_hole~port_intake",
    "wall",
    value=1.49996,
    unit="mm",
    limit=1.5,
    compare=">=",
    default_limit=1.5,
    severity="FAIL",
    verdict="fail",
    at=((1.0, 2.0, 3.0), (4.5, 6.0, 7.25)),
    method="convex pair",
    bounds=(1.4999, 1.5001),
    source="common practice, no source",
    advice="move the port 0.1 mm",
)
FINDINGS = (
    replace(WALL, id="W01", subject="body_bore_exhaust~body_bore_intake", verdict="pass", value=1.7, limit=1.2),
    WALL,
    replace(
        WALL, id="W04", subject="port_intake~tunnel_in", verdict="warn", value=0.9, limit=0.975, default_limit=1.2 / 0.8,
        scale=0.65, note=f"accepted: {EVIL}",
    ),
    Finding("B13", "bushing_intake", "seat_runout", unit="mm", missing=("stations.intake.measured.seat_runout",)),
    Finding("B13", "bushing_exhaust", "seat_runout", unit="mm", missing=("stations.intake.measured.seat_runout",)),
    Finding("S01", "job", "wall_least", unit="mm", note="none in this job"),
    Finding("S02", "job", "pressure_over_buckling", note="none in this job"),
    Finding("V04", "intake", "head_over_bore", value=0.4265, limit=(0.42, 0.5), compare="in",
            default_limit=(0.42, 0.5), severity="INFO", verdict="pass"),
    Finding("F09", "bushing_intake", "closure", value=0.00354, unit="mm", verdict="info", note="reamed after pressing"),
)  # fmt: skip


@pytest.fixture
def report() -> Report:
    svg = '<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><path d="M0 0L4 3"/></svg>'
    return Report(
        tool="headparts test",
        job=JobHead("WPS26-H1", f"Valves {EVIL}", "A", "as_built", "2025-01-15", "pump.yaml"),
        stamp="NOT RELEASED: W02",
        findings=FINDINGS,
        derived=(
            DerivedRow("intake", "seat_inner", 12.6858, "mm"),
            DerivedRow("engine", "swept_volume", 25.966, "cm3"),
        ),
        parts=(
            PartRow("bushing_intake", "cu_be", 2331.46, 19.234, ((-8.25, -8.25, 0.0), (8.25, 8.25, 34.7))),
            PartRow("head", None, 93561.52, None, note=EVIL),
        ),
        clashes=(ClashRow("bushing_intake", "head", "press", 14.2, 14.21), ClashRow("a", "b", "clash", 1.2)),
        clash_pairs=21,
        proof=HeadProof(2, 93561.523, 93561.41, "mesh boolean", 93561.5),
        files=(entry("bushing intake#1.step", b"x", "STEP", "model", part="bushing_intake", note=EVIL),),
        pictures=(Picture("Bushing", svg, "sheet 5", "bushing_intake.svg"),),
        cautions=(caution("beryllium"), *step_cautions()),
        remarks=(f"Small engine without a scale {EVIL}",),
    )
