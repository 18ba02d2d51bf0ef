"""Which walls of a job say that their line is not all metal, checked by sampling the head in two other ways."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.parts.head_from_plan import head_part
from headparts.plan import plan_job
from headparts.plan.standing import FINISHED, FOUND, SLEEVED, standing_voids

WALLS = ("W01", "W02", "W03", "W04", "W05", "W06", "W11")
JOBS = ("pump_26cc", "generator_62cc", "sprayer_10cc")
SHARES = (np.arange(3000) + 0.5) / 3000


def rows(job, ids=(*WALLS, "S08")):
    return [
        f for f in job.findings if f.id in ids and f.quantity == "wall" and f.at is not None and f.value > 0
    ]


def through(finding):
    found = re.search(r"the straight line runs through ([^:]*): ([0-9.]+) of it is metal", finding.note)
    return (set(found[1].split(", ")), float(found[2])) if found else None


def sampled(finding, voids):
    """Share of the line's points in each void but the wall's own (1.5e-3 deep), and in none, that deep and at all."""
    first, second = (np.asarray(point) for point in finding.at)
    points = first + SHARES[:, None] * (second - first)
    own = set(finding.subject.split("~")) - {"outside"}
    others = [void for void in voids if void.name not in own]
    deep = {void.name: float(np.mean(void.contains(points, -1.5e-3))) for void in others}
    metal = [
        float(np.mean(~np.any([void.contains(points, depth) for void in others], axis=0)))
        for depth in (-1.5e-3, 0.0)
    ]
    return deep, *metal


@pytest.mark.parametrize("name", JOBS)
def test_every_line_of_a_job_by_points_of_it(checked_jobs, name):
    """3000 points of each line, asked of every void one by one: the rows with a note, and what it names."""
    job = checked_jobs(name)
    voids = {step: standing_voids(job.plan, step) for step in (FINISHED, SLEEVED)}
    noted = 0
    for finding in rows(job):
        shares, whole, metal = sampled(finding, voids[SLEEVED if finding.id == "S08" else FINISHED])
        named = through(finding)
        if named is None:
            assert whole >= 1.0 - 2e-3, finding.subject
            continue
        noted += 1
        length = math.dist(*finding.at)
        assert named[1] == pytest.approx(metal * length, abs=2e-3 * length + 0.01), finding.subject
        for void, share in shares.items():
            if share > 2e-3 and not void.startswith("old_"):
                assert {void, f"{void} (unknown)"} & named[0], (finding.subject, void)
    assert noted > 20


def test_the_pumps_lines_by_the_kernel_on_the_cut_head(checked_jobs):
    """Points of every line put to the head's own solid: metal or not, as the note says. No void is used here."""
    from OCP.BRepClass3d import BRepClass3d_SolidClassifier
    from OCP.gp import gp_Pnt
    from OCP.TopAbs import TopAbs_IN

    job = checked_jobs("pump_26cc")
    classify = BRepClass3d_SolidClassifier(head_part(job.plan).solid.wrapped)
    for finding in rows(job):
        first, second = (np.asarray(point) for point in finding.at)
        inside = []
        for share in (np.arange(40) + 0.5) / 40:
            classify.Perform(gp_Pnt(*(float(x) for x in first + share * (second - first))), 1e-7)
            inside.append(classify.State() == TopAbs_IN)
        named = through(finding)
        metal = 1.0 if named is None else named[1] / math.dist(first, second)
        assert np.mean(inside) == pytest.approx(metal, abs=0.06), finding.subject


def test_why_some_rows_have_a_note(checked_jobs):
    """Port and plug lie on opposite sides of the body bore; a bore's nearest side of the casting lies behind its own
    port; the generator's bores are joined under its dome.
    """
    pump = {f.subject: f for f in rows(checked_jobs("pump_26cc"))}
    assert through(pump["plug_hole~port_intake"])[0] == {"body_bore_intake"}
    assert "port_intake" in through(pump["body_bore_intake~outside"])[0]
    assert through(pump["port_exhaust~port_intake"])[0] == {"body_bore_intake", "body_bore_exhaust"}
    for subject in ("body_bore_exhaust~body_bore_intake", "body_bore_intake~plug_hole"):
        assert through(pump[subject]) is None
    web = next(f for f in rows(checked_jobs("generator_62cc")) if f.id == "W01")
    assert through(web) == ({"chamber"}, 0.0)
    assert "(finished)" in web.note
    sleeve = next(f for f in rows(checked_jobs("generator_62cc")) if f.subject.startswith("chamber~sleeve"))
    assert through(sleeve)[0] == {"body_bore_intake"}
    assert "(bored for its sleeves)" in sleeve.note


def test_the_web_over_the_generators_dome_by_brute_force(checked_jobs):
    """Points of both bores' walls above the dome; of all pairs whose line stays out of the dome's ball the nearest.

    The ball: base radius 23, depth 7.2. 90 000 pairs: nothing below the note's length, and one within 0.02 of it.
    """
    web = next(f for f in rows(checked_jobs("generator_62cc")) if f.id == "W01")
    told = float(re.search(r"straight through metal alone ([0-9.]+) at most", web.note)[1])
    assert web.value < told < web.value + 0.05
    radius = (23.0**2 + 7.2**2) / (2 * 7.2)
    clouds = []
    for point, tilt, azimuth, r, toward in (
        ((10.90, -0.50, 4.60), 15, 0, 11.0, math.pi),
        ((-11.40, -0.50, 4.40), 16, 180, 9.5, 0.0),
    ):
        t, a = math.radians(tilt), math.radians(azimuth)
        d = np.array([math.sin(t) * math.cos(a), math.sin(t) * math.sin(a), math.cos(t)])
        u = np.array([math.cos(t) * math.cos(a), math.cos(t) * math.sin(a), -math.sin(t)])
        v = np.cross(d, u)
        turn = toward + (0.0 if azimuth == 0 else math.pi) + np.linspace(-0.06, 0.06, 13)[:, None, None]
        s = np.linspace(-1.5, 3.0, 4001)[None, :, None]
        wall = np.asarray(point) + s * d + r * (np.cos(turn) * u + np.sin(turn) * v)
        ball = np.linalg.norm(wall - [0, 0, 7.2 - radius], axis=-1) - radius
        clouds.append(wall[(ball >= 0) & (ball < 0.06)])
    p, q = clouds[0][::2], clouds[1][::2]
    way = q[None] - p[:, None]
    length = np.linalg.norm(way, axis=-1)
    offset = p[:, None] - np.array([0, 0, 7.2 - radius])
    along = np.clip(-np.einsum("pqk,pqk->pq", offset, way) / length**2, 0, 1)
    clear = np.linalg.norm(offset + along[..., None] * way, axis=-1) >= radius - 1e-6
    assert clear.any()
    least = float(length[clear].min())
    assert told - 1e-3 <= least <= told + 0.02


OUTSIDE = """
schema: 1
job: {id: M1, status: proposal}
datums: {position_u: 0.05, cast_u: 0.3}
head:
  material: cast
  outline: {type: box, x: [-30, 30], y: [-29, 29], z: [0, 40]}
  chamber: {type: disc, dia: 34, depth: 4}
  cavities:
    - {name: gallery, kind: oil, axis: {p: [22.5, 0, 10], tilt: 25, azim: 180}, dia: 5.0, len: 60, u: 0.1}
    - {name: crossing, kind: oil, axis: {p: [0, 24, 10], tilt: 20, azim: 270}, dia: 5.0, len: 90, u: 0.1}
stations:
  intake:
    axis: {p: [0, 0, 4], tilt: 0, azim: 0}
    old: {axis: {p: [0, 0, 4], tilt: 0, azim: 0}, body_bore: 15.0, shank_bore: 9.0, body_len: 12.0, tip_s: 60.0}
    bushing: {body: {dia: 16.0, len: 14}, shank: {dia: 8.0}}
"""


@pytest.fixture
def outside(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(OUTSIDE, encoding="utf-8")
    return plan_job(read_job(path))


def test_a_gallery_that_comes_nearest_above_the_casting(outside):
    """The shank's rim at z 40 sees the gallery square to its axis, beyond the top; in the casting it is nearest at
    z 40, where its section reaches 2.5 / cos(25) to each side of 22.5 - 30 tan(25).
    """
    found = {f.subject: f for f in run_checks(Context(outside), WALLS)}["gallery~shank_bore_intake"]
    lean = math.radians(25)
    middle = 22.5 - 30 * math.tan(lean)
    plain = (middle - 4.0) * math.cos(lean) - 2.5
    inside = middle - 2.5 / math.cos(lean) - 4.0
    assert found.value == pytest.approx(plain, abs=1e-6)
    assert found.verdict == "pass" if plain >= 1.2 else "fail"
    assert f"within it the wall is {inside:.3f} (finished)" in found.note
    assert "outside the casting" in found.note


def test_a_hole_that_enters_another_above_the_casting_alone(outside):
    """Leaning by 20 deg it crosses the shank's line at z 76; at the casting's top it is 24 - 30 tan(20) away."""
    found = {f.subject: f for f in run_checks(Context(outside), WALLS)}["crossing~shank_bore_intake"]
    lean = math.radians(20)
    inside = 24.0 - 30 * math.tan(lean) - 2.5 / math.cos(lean) - 4.0
    assert found.value > 0  # the shank's bore ends at the casting's top: they do not meet
    assert f"within it the wall is {inside:.3f} (finished)" in found.note


def test_an_old_bore_that_stays_beside_the_new_one(outside):
    """Old shank of 9.0 about a new one of 8.0: 0.5 of every line from the new shank lies in the old bore."""
    found = {f.subject: f for f in run_checks(Context(outside), WALLS)}
    note = found["outside~shank_bore_intake"].note
    side = 29.0 - 4.0
    assert f"runs through old_shank_bore_intake: {side - 0.5:.3f} of it is metal" in note
    body = {v.name for v in standing_voids(outside, FOUND)}
    assert {"old_body_bore_intake", "old_shank_bore_intake"} <= body
    assert "body_bore_intake" not in body
