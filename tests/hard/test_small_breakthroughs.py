"""Breakthroughs that are easily missed: 1e-5 deep, two windows in one bore, the seam of the angle in a window.

A patch of depth d between bores of radii R and r that cross at right angles is, to leading order in d, an ellipse
with the half-axes sqrt(2 r d) along and sqrt(2 R d) around: area 2 pi d sqrt(r R), shared volume pi d^2 sqrt(r R).
Such a patch is not cut as a solid here: its volume, 1e-9 mm3, is below what the kernel's volume can tell.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.geometry.axis import Axis, common_perpendicular, direction_from_elevation
from headparts.geometry.convex import cylinder
from headparts.geometry.distance import wall
from headparts.geometry.opening import opening, overlap_volume
from headparts.geometry.thin_area import thin_area
from headparts.geometry.void import Void
from headparts.plan import plan_job

ROOT = Path(__file__).resolve().parents[2]


def void(*cores, name="v"):
    return Void(name, "oil", tuple(cores))


BORE = void(cylinder((-30, 0, 0), (1, 0, 0), 5.0, 60))


def well(turn, distance, radius=3.0, along=2.0):
    """A bore across BORE, square to it, its axis ``distance`` away in the direction ``turn`` (radians)."""
    toward = np.array([0, math.cos(turn), math.sin(turn)])
    across = np.array([0, -math.sin(turn), math.cos(turn)])
    return void(cylinder(np.array([along, 0, 0]) + distance * toward - 20 * across, across, radius, 40))


@pytest.mark.parametrize("turn", [0.0, 0.7, math.pi / 2, math.pi, -math.pi / 2, 5.1])
@pytest.mark.parametrize("depth", [1e-3, 1e-5])
def test_a_shallow_breakthrough_is_found_with_its_size(depth, turn):
    other = well(turn, 8.0 - depth)
    assert wall(BORE, other).value == pytest.approx(-depth, abs=1e-9)
    found = opening(BORE, other)
    assert found.along == pytest.approx(2 * math.sqrt(9 - (3 - depth) ** 2), rel=1e-6)
    assert found.around == pytest.approx(2 * math.sqrt(25 - (5 - depth) ** 2), rel=1e-5)
    assert found.centre == pytest.approx(32.0, abs=1e-6)
    assert found.area == pytest.approx(2 * math.pi * depth * math.sqrt(15), rel=max(depth, 1e-4))
    assert found.overlap_volume == pytest.approx(math.pi * depth**2 * math.sqrt(15), rel=max(depth, 1e-4))


@pytest.mark.parametrize("short", [1e-9, 1e-7, 1e-5])
def test_what_falls_short_is_no_breakthrough(short):
    other = well(0.7, 8.0 + short)
    assert wall(BORE, other).value == pytest.approx(short, abs=1e-9)
    assert opening(BORE, other) is None
    assert overlap_volume(BORE, other) == (0.0, 0.0)


def test_the_check_finds_a_hundred_thousandth(tmp_path):
    """The generator's port, its diameter chosen so that it enters the tunnel of 10 by 1e-5."""
    foot = np.array([10.90, -0.50, 4.60]) + 8.5 * np.array(
        [math.sin(math.radians(15)), 0, math.cos(math.radians(15))]
    )
    port = Axis(tuple(foot), direction_from_elevation(-40.0, 12.0), 34.0)
    gap, _, _, _ = common_perpendicular(port, Axis((22.9, -24.5, 0.0), (0, 0, 1), 40.0))
    depth, r = 1e-5, 5.0
    radius = gap - r + depth
    text = (ROOT / "configs" / "generator_62cc.yaml").read_text(encoding="utf-8")
    old = "azim: -40, elev: 12, dia: 15.00"
    assert text.count(old) == 1
    path = tmp_path / "job.yaml"
    path.write_text(text.replace(old, f"azim: -40, elev: 12, dia: {2 * radius:.12f}"), encoding="utf-8")
    found = {f.key: f for f in run_checks(Context(plan_job(read_job(path))), ["W04", "W08"])}
    subject = "port_intake~tunnel_in"
    assert found["W04", subject, "nominal", "wall"].value == pytest.approx(-depth, abs=1e-9)
    assert found["W08", subject, "nominal", "overlap_volume"].value == pytest.approx(
        math.pi * depth**2 * math.sqrt(r * radius) / math.sin(math.radians(78.0)), rel=2e-3
    )
    assert found["W08", subject, "nominal", "opening_area"].value == pytest.approx(
        2 * math.pi * depth * math.sqrt(r * radius) / math.sin(math.radians(78.0)), rel=2e-3
    )
    assert found["W08", subject, "nominal", "opening_along"].value > 2 * math.sqrt(2 * r * depth) * 0.999


def two_windows_area(big, small):
    """Of a thin bore's two mouths in a wide one, square and centred: 2 * integral of 2 sqrt(r^2 - z^2) ds."""
    q = (np.arange(400_000) + 0.5) / 400_000 * math.pi - math.pi / 2
    z = small * np.sin(q)
    return 2 * math.pi * float(np.mean(2 * (small * np.cos(q)) ** 2 * big / np.sqrt(big**2 - z**2)))


@pytest.mark.parametrize("turn", [0.0, 0.4, math.pi / 2, 3.0])
def test_two_windows_of_one_cavity(turn):
    """A thin bore right through a wide one leaves two mouths opposite each other."""
    across = np.array([0, math.cos(turn), math.sin(turn)])
    thin = void(cylinder(np.array([2, 0, 0]) - 20 * across, across, 1.0, 40))
    found = opening(BORE, thin)
    assert found.area == pytest.approx(two_windows_area(5.0, 1.0), rel=1e-6)
    assert found.along == pytest.approx(2.0, abs=1e-9)
    assert found.around == pytest.approx(10.0, abs=1e-9)  # from one to the other is more than half way round
    half = np.sin((np.arange(200_000) + 0.5) / 200_000 * math.pi - math.pi / 2)
    shared = math.pi * float(np.mean(2 * (1 - half**2) * 2 * np.sqrt(25 - half**2)))
    assert found.overlap_volume == pytest.approx(shared, rel=1e-6)


def test_two_windows_of_two_cores():
    """One cavity of two bores, one on each side: each window as if it were alone, areas and volumes add up."""
    first, second = well(0.3, 7.5), well(2.8, 6.7, 2.0, along=-9.0)
    both = opening(BORE, void(*first.cores, *second.cores))
    parts = [opening(BORE, each) for each in (first, second)]
    assert both.area == pytest.approx(sum(part.area for part in parts), rel=1e-6)
    assert both.overlap_volume == pytest.approx(sum(part.overlap_volume for part in parts), rel=1e-6)
    assert both.start == pytest.approx(parts[1].start, abs=1e-9)
    assert both.end == pytest.approx(parts[0].end, abs=1e-9)


SEAMS = [*np.linspace(-math.pi, math.pi, 9), 1e-9, math.pi / 2 - 1e-9, math.pi / 2 + 1e-4]


def test_the_seam_of_the_angle_in_a_window():
    """However the window is turned against the angles that are tried, size and volume stay the same."""
    seen = [opening(BORE, well(float(turn), 6.5)) for turn in SEAMS]
    first = seen[0]
    assert first.along == pytest.approx(2 * math.sqrt(9 - 1.5**2), rel=1e-9)
    for each in seen:
        assert each.along == pytest.approx(first.along, rel=1e-9)
        assert each.around == pytest.approx(first.around, rel=1e-8)
        assert each.area == pytest.approx(first.area, rel=1e-6)
        assert each.overlap_volume == pytest.approx(first.overlap_volume, rel=1e-6)


def test_the_seam_of_the_angle_in_a_thin_strip():
    """The same for the area below a limit: two parallel bores, strip by the law of cosines."""
    strip = math.acos((25 + 81 - 4.5**2) / (2 * 5 * 9))
    for turn in SEAMS:
        toward = np.array([0, math.cos(turn), math.sin(turn)])
        beside = void(cylinder(np.array([-40, 0, 0]) + 9 * toward, (1, 0, 0), 3.0, 80))
        assert thin_area(BORE, beside, 1.5).value == pytest.approx(2 * 5 * strip * 60, rel=1e-4)
