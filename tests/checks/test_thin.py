"""W10: the area below a pair's limit, by closed forms of the example jobs' own numbers."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.plan import plan_job

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def thin(tmp_path):
    def run(name: str, *changes: tuple[str, str]) -> dict:
        text = (ROOT / "configs" / f"{name}.yaml").read_text(encoding="utf-8")
        for old, new in changes:
            assert text.count(old) == 1
            text = text.replace(old, new)
        path = tmp_path / "job.yaml"
        path.write_text(text, encoding="utf-8")
        found = run_checks(Context(plan_job(read_job(path))), ["W10"])
        return {finding.subject: finding for finding in found}

    return run


def limit_of_web(value: float) -> tuple[str, str]:
    return "\n  W01: 1.5\n", f"\n  W01: {value}\n"


def lens(r: float, s: float, gap: float) -> float:
    """Area shared by two circles whose centres are ``gap`` apart."""
    a = math.acos((gap**2 + r**2 - s**2) / (2 * gap * r))
    b = math.acos((gap**2 + s**2 - r**2) / (2 * gap * s))
    return r * r * (a - math.sin(2 * a) / 2) + s * s * (b - math.sin(2 * b) / 2)


def test_the_web_between_parallel_bodies(thin):
    """Pump: bores 14.5 and 16.5, axes 17.2 apart, upright. A limit of 1.9 leaves a strip of the exhaust's
    bore over its 16 above the chamber's flat roof, and of its shoulder what is within 1.9 of the other bore.
    """
    found = thin("pump_26cc", limit_of_web(1.9))
    assert list(found) == ["body_bore_exhaust~body_bore_intake"]
    finding = found["body_bore_exhaust~body_bore_intake"]
    reach = 8.25 + 1.9
    phi = math.acos((7.25**2 + 17.2**2 - reach**2) / (2 * 7.25 * 17.2))
    assert finding.value == pytest.approx(2 * 7.25 * phi * 16 + lens(7.25, reach, 17.2), rel=2e-3)
    assert finding.verdict == "info"
    assert finding.limit == 10.0
    assert finding.unit == "mm2"


def test_a_small_spot_passes(thin):
    """Limit 1.702 over a web of 1.7: a strip 0.34 wide, 5.4 mm2, inside the 10 allowed."""
    (finding,) = thin("pump_26cc", limit_of_web(1.702)).values()
    reach = 8.25 + 1.702
    phi = math.acos((7.25**2 + 17.2**2 - reach**2) / (2 * 7.25 * 17.2))
    assert finding.value == pytest.approx(2 * 7.25 * phi * 16, rel=2e-3)
    assert finding.verdict == "pass"


@pytest.mark.parametrize("limit", [1.7, 1.6999999999])
def test_a_wall_at_its_limit_is_not_thin(thin, limit):
    found = thin("pump_26cc", limit_of_web(limit))
    assert list(found) == ["head"]
    assert found["head"].value == 0.0
    assert found["head"].verdict == "pass"


def test_a_port_that_broke_into_its_tunnel(thin):
    """Generator: port of 15 along azimuth -40, elevation 12 from (13.1000, -0.5000, 12.8104), 34 long; tunnel
    of 10 upright at (22.9, -24.5), z 0 to 40. Cells of the port's surface within 1.2 of the tunnel, counted
    (its curved inner end on the bushing lies far from the tunnel).
    """
    finding = thin("generator_62cc")["port_intake~tunnel_in"]
    azim, elev = math.radians(-40), math.radians(12)
    d = np.array([math.cos(elev) * math.cos(azim), math.cos(elev) * math.sin(azim), math.sin(elev)])
    u = np.cross(d, (0, 0, 1.0))
    u /= np.linalg.norm(u)
    v = np.cross(d, u)
    angle = (np.arange(1500) + 0.5) / 1500 * 2 * math.pi
    along = 12 + (np.arange(1500) + 0.5) / 1500 * 22
    a, t = (grid.ravel()[:, None] for grid in np.meshgrid(angle, along))
    points = np.array([13.1000, -0.5000, 12.8104]) + t * d + 7.5 * (np.cos(a) * u + np.sin(a) * v)
    near = np.hypot(points[:, 0] - 22.9, points[:, 1] + 24.5) < 5.0 + 1.2
    assert points[near, 2].min() > 0
    assert points[near, 2].max() < 40
    sampled = np.count_nonzero(near) * (2 * math.pi * 7.5 / 1500) * (22 / 1500)
    assert finding.value == pytest.approx(sampled, rel=2e-3)
    assert finding.limit == 10.0
    assert finding.verdict == "info"
