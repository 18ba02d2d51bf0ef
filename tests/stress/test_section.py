"""Sections of the head: ellipses, cavities, the web, and what the plan gives them. No finite elements here."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import GeometryError, ParameterError
from headparts.geometry.convex import cylinder
from headparts.plan import MissingInput, plan_job
from headparts.stress.from_plan import body_section, shank_section
from headparts.stress.section import Ellipse, Ring, Section, section_of

LEAN = (math.sin(0.3) * math.cos(0.7), math.sin(0.3) * math.sin(0.7), math.cos(0.3))


def test_a_leaning_cylinder_is_cut_in_an_ellipse():
    found = Ellipse.of_cylinder((1.0, 2.0, 3.0), LEAN, 4.0, 8.0)
    points = found.at(np.linspace(0.0, 2 * math.pi, 50))
    lifted = np.column_stack([points, np.full(50, 8.0)]) - np.array([1.0, 2.0, 3.0])
    away = np.linalg.norm(lifted - np.outer(lifted @ np.array(LEAN), LEAN), axis=1)
    assert away == pytest.approx(4.0, abs=1e-12)
    assert (found.long, found.short) == (pytest.approx(4.0 / math.cos(0.3)), 4.0)
    assert found.level(points) == pytest.approx(1.0)


def test_normals_are_square_to_the_curve():
    ellipse = Ellipse((1.0, -2.0), 5.0, 3.0, 0.4)
    turns = np.linspace(0.0, 6.0, 40)
    along = (ellipse.at(turns + 1e-6) - ellipse.at(turns - 1e-6)) / 2e-6
    normals = ellipse.normals(ellipse.at(turns))
    assert np.einsum("ij,ij->i", along, normals) == pytest.approx(0.0, abs=1e-8)
    assert np.all(ellipse.level(ellipse.at(turns) + 0.1 * normals) > 1.0)


def test_a_cylinder_cut_by_its_end_is_a_polygon_on_both_surfaces():
    body = cylinder((0.0, 0.0, 0.0), LEAN, 4.0, 10.0)
    assert isinstance(section_of(body, 5.0), Ellipse)
    found = section_of(body, 9.5)
    assert isinstance(found, tuple)
    lifted = np.column_stack([np.array(found), np.full(len(found), 9.5)])
    assert np.abs(body.violation(lifted)).max() < 1e-6
    assert section_of(body, 14.0) is None


def test_the_web_of_two_ellipses_by_dense_points():
    rings = tuple(
        Ring(name, Ellipse(centre, 5.2, 5.0, angle), Ellipse.round(centre, 6.0), 10.0, 0.03, 1e5, 0.3)
        for name, centre, angle in (("a", (0.0, 0.0), 0.3), ("b", (9.0, 8.0), 2.0))
    )
    section = Section(1.0, ((-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0)), rings, 7e4, 0.33)
    turns = np.linspace(0, 2 * math.pi, 4001)
    p, q = (ring.outer.at(turns) for ring in rings)
    dense = min(float(np.linalg.norm(q - each, axis=1).min()) for each in p)
    assert section.web_width == pytest.approx(dense, abs=1e-5)
    assert section.web_width <= dense + 1e-9


def test_bores_that_meet_have_no_web():
    rings = tuple(
        Ring(name, Ellipse.round((x, 0.0), 10.0), Ellipse.round((x, 0.0), 6.0), 10.0, 0.03, 1e5, 0.3)
        for name, x in (("a", 0.0), ("b", 9.0))
    )
    with pytest.raises(GeometryError, match="no web"):
        _ = Section(1.0, ((-30.0, -30.0), (30.0, -30.0), (30.0, 30.0)), rings, 7e4, 0.33).web


def test_the_pump_at_its_bodies(planned):
    section = body_section(planned("pump_26cc"))
    # parallel bores: web 17.2 - 8.25 - 7.25; both bodies stand from the roof at 3.3 to 3.3 + 16: the middle is 11.3
    assert section.web_width == pytest.approx(1.70, abs=1e-9)
    assert section.z == pytest.approx(11.3)
    assert [ring.interference for ring in section.rings] == pytest.approx([0.037, 0.032])
    assert [2 * ring.inner.long for ring in section.rings] == [12.6, 10.6]
    # between the fins' planes the solid block counts
    assert section.outline == ((-24, -26), (26, -26), (26, 24), (-24, 24))
    names = [name for name, _ in section.holes]
    assert {"plug_hole", "stud_1", "tunnel_in"} <= set(names)


def test_the_thinnest_web_of_leaning_bores_is_sought(planned):
    section = body_section(planned("generator_62cc"))
    for z in (8.0, 10.0, 14.0, 18.0):
        assert body_section(planned("generator_62cc"), z).web_width > section.web_width - 1e-9
    first, second = (ring.outer for ring in section.rings)
    assert first.long > first.short
    assert second.long > second.short


def test_hot_interference_by_hand(planned):
    # exhaust of the pump: 0.032 + 14.5 (17.5e-6 210 - 22e-6 160)
    section = body_section(planned("pump_26cc"), case="running")
    assert section.rings[1].interference == pytest.approx(0.032 + 14.5 * (17.5e-6 * 210 - 22e-6 * 160))


def test_the_guides_stand_between_the_bodies_and_the_top(planned):
    section = shank_section(planned("pump_26cc"))
    # bodies end at 20.3 and 19.3, the head at 30: the middle of what both share
    assert section.z == pytest.approx((20.3 + 30.0) / 2)
    assert [ring.interference for ring in section.rings] == pytest.approx([0.012, 0.012])
    assert [2 * ring.inner.long for ring in section.rings] == [4.0, 4.0]


@pytest.mark.parametrize("z", [3.2, 19.4, -1.0])
def test_a_height_outside_the_bodies_is_refused(planned, z):
    with pytest.raises(ParameterError, match=r"3\.300 to 19\.300"):
        body_section(planned("pump_26cc"), z)


def test_an_unknown_case_names_its_key(planned):
    with pytest.raises(MissingInput) as caught:
        body_section(planned("pump_26cc"), case="frost")
    assert caught.value.keys == ("temps.frost",)
    assert caught.value.note == "temps.frost is missing; the cases of this job are cold, running, heat_soak"


def test_one_bushing_has_no_bridge(tmp_path):
    from headparts.config import read_job

    path = tmp_path / "one.yaml"
    path.write_text(
        "schema: 1\njob: {id: T1, status: proposal, units: mm}\n"
        "stations:\n  intake:\n    bushing: {body: {dia: 16.5}}\n",
        encoding="utf-8",
    )
    with pytest.raises(MissingInput, match=r"two bushings; missing: stations\.exhaust"):
        body_section(plan_job(read_job(path)))
