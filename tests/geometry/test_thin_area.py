"""Area of a bore's surface nearer to a void than a limit: closed forms, and dense sampling written here."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import GeometryError
from headparts.geometry.convex import ball, box, cylinder, half_space
from headparts.geometry.distance import wall
from headparts.geometry.holes import disc_hole, dome_hole, endless_cylinder_hole
from headparts.geometry.thin_area import thin_area
from headparts.geometry.void import Void

BORE = cylinder((0, 0, 0), (0, 0, 1), 5, 30)


def void(*cores, holes=(), name="v"):
    return Void(name, "oil", tuple(cores), tuple(holes))


def strip(radius, other_radius, gap, limit):
    """Half-angle of the strip of a bore nearer than ``limit`` to a parallel one: law of cosines."""
    reach = other_radius + limit
    return math.acos((radius**2 + gap**2 - reach**2) / (2 * radius * gap))


@pytest.mark.parametrize("limit", [1.001, 1.2, 1.5, 3.0])
def test_parallel_bores_leave_a_strip(limit):
    """Strip of width 2 R phi over the bore's length; the other bore runs past both ends."""
    found = thin_area(void(BORE), void(cylinder((9, 0, -20), (0, 0, 1), 3, 70)), limit)
    assert found.value == pytest.approx(2 * 5 * strip(5, 3, 9, limit) * 30, rel=1e-4)
    assert found.error < 0.05 * found.value


def test_beyond_the_end_of_a_parallel_bore_the_rim_counts():
    """The other bore ends 10 below the cut's top: over it a quarter torus about its rim bounds the strip."""
    found = thin_area(void(BORE), void(cylinder((9, 0, -20), (0, 0, 1), 3, 40)), 1.5)
    phi = (np.arange(200_000) + 0.5) / 200_000 * strip(5, 3, 9, 1.5)
    across = np.sqrt(25 + 81 - 90 * np.cos(phi)) - 3  # of a line from the other bore's side
    over = float(np.mean(np.sqrt(1.5**2 - np.maximum(across, 0) ** 2)))
    assert found.value == pytest.approx(2 * 5 * strip(5, 3, 9, 1.5) * (20 + over), rel=1e-4)


def test_beside_a_plane():
    found = thin_area(void(BORE), void(half_space((6, 0, 0), (-1, 0, 0))), 1.5)
    assert found.value == pytest.approx(2 * 5 * math.acos(4.5 / 5) * 30, rel=1e-4)


def test_inside_counts():
    """The plane cuts 1 mm into the bore: all of the surface beyond x = 4 - 1.5 is below the limit."""
    found = thin_area(void(BORE), void(half_space((4, 0, 0), (-1, 0, 0))), 1.5)
    assert found.value == pytest.approx(2 * 5 * math.acos(2.5 / 5) * 30, rel=1e-4)


def test_all_round_inside_a_wider_void():
    found = thin_area(void(BORE), void(cylinder((0, 0, -5), (0, 0, 1), 8, 15)), 2.0)
    assert found.value == pytest.approx(2 * math.pi * 5 * 12.0, rel=1e-4)  # to z = 10, and 2 beyond it


def test_a_flat_end_below_a_plane():
    """A floor 1 mm from a plane counts whole, less the bore that goes through it, plus a band of the wall."""
    other = void(half_space((0, 0, -1), (0, 0, 1)))
    through = endless_cylinder_hole((0, 0, 0), (0, 0, 1), 2)
    found = thin_area(void(BORE), other, 1.5, ends=(0.0,), end_holes=(through,))
    assert found.ends == pytest.approx(math.pi * (25 - 4), rel=3e-3)
    assert found.curved == pytest.approx(2 * math.pi * 5 * 0.5, rel=1e-4)
    assert found.value == found.curved + found.ends


def test_a_ball_over_a_flat_end():
    """Disc of the floor nearer than 1.5 to a ball of radius 2 whose centre is 3 below: 3.5^2 - 3^2."""
    found = thin_area(void(BORE), void(ball((1, 0.5, -3), 2)), 1.5, ends=(0.0,))
    assert found.ends == pytest.approx(math.pi * (3.5**2 - 3**2), rel=1e-4)
    assert found.curved == 0.0


def test_two_cores_count_once_where_they_overlap():
    left, right = box((6, -9, 5), (7, 9, 15)), box((6, -9, 12), (7, 9, 25))
    both = thin_area(void(BORE), void(left, right), 1.5)
    one = thin_area(void(BORE), void(box((6, -9, 5), (7, 9, 25))), 1.5)
    assert both.value == pytest.approx(one.value, rel=1e-4)
    assert thin_area(void(BORE), void(left), 1.5).value < 0.7 * both.value


def test_what_a_hole_or_a_plane_took_away_has_no_surface():
    """The chamber's roof at z 4 and the top at z 25 leave 21 of the strip's 30."""
    cut = void(BORE.with_half_space((0, 0, 25), (0, 0, 1)), holes=(disc_hole(60, 4),))
    found = thin_area(cut, void(half_space((6, 0, 0), (-1, 0, 0))), 1.5)
    assert found.value == pytest.approx(2 * 5 * math.acos(0.9) * 21, rel=1e-4)


def cylinder_distance(points, origin, direction, radius, length):
    """Distance to a flat-ended solid cylinder: the nearest point by clamping along and across its axis."""
    offset = points - np.asarray(origin, float)
    along = offset @ direction
    across = np.linalg.norm(offset - along[:, None] * direction, axis=1)
    return np.hypot(np.maximum(across - radius, 0), np.maximum(np.maximum(-along, along - length), 0))


def surface(radius, length, count=1200):
    """Cell centres of the curved surface about Z, and the area of a cell."""
    angle = (np.arange(count) + 0.5) / count * 2 * math.pi
    height = (np.arange(count) + 0.5) / count * length
    a, z = (grid.ravel() for grid in np.meshgrid(angle, height))
    return np.stack(
        [radius * np.cos(a), radius * np.sin(a), z], axis=1
    ), 2 * math.pi * radius * length / count**2


SKEW = [
    # origin, direction, radius, length, limit
    ((9.2, -20, 4), (-0.01, 1, 0.5), 3.0, 45.0, 1.5),
    ((9.2, -3, 4), (0.3, 1, 0.6), 3.0, 12.0, 2.0),  # ends beside the bore
    ((7.5, -20, 2), (0, 1, 0.6), 3.0, 45.0, 0.9),  # cuts into it
    ((2, 3, 33), (0.5, 0.5, 1), 4.0, 20.0, 4.0),  # comes down on its end
]


@pytest.mark.parametrize("case", SKEW)
def test_skew_bores_against_dense_sampling(case):
    origin, direction, radius, length, limit = case
    unit = np.asarray(direction, float) / np.linalg.norm(direction)
    found = thin_area(void(BORE), void(cylinder(origin, direction, radius, length)), limit)
    points, cell = surface(5.0, 30.0)
    sampled = np.count_nonzero(cylinder_distance(points, origin, unit, radius, length) < limit) * cell
    assert sampled > 1.0
    assert found.value == pytest.approx(sampled, rel=0.004)


def test_moved_and_turned_it_stays():
    rng = np.random.default_rng(3)
    turn, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    other = cylinder((9.2, -3, 4), (0.3, 1, 0.6), 3.0, 12.0)
    plain = thin_area(void(BORE), void(other), 2.0)
    moved = thin_area(
        void(BORE.transformed(turn, (3, -7, 11), 2.0)), void(other.transformed(turn, (3, -7, 11), 2.0)), 4.0
    )
    assert moved.value == pytest.approx(4 * plain.value, rel=1e-3)


def test_a_trimmed_port_counts_only_where_it_is():
    """Port along X begun on a bushing of radius 8; its side generators begin at sqrt(64 - y^2).

    Bore beside it, below: sampled, distance to the port found over a lattice of the port's own surface lines.
    """
    port = void(
        cylinder((0, 0, 8), (1, 0, 0), 3.0, 20), holes=[endless_cylinder_hole((0, 0, 0), (0, 0, 1), 8)]
    )
    cut = cylinder((7, -10, 3.0), (0, 1, 0), 1.5, 20)  # 0.5 below the port, before its inner end
    found = thin_area(void(cut), port, 1.2)
    across = np.linspace(-3, 3, 161)
    y, z = (grid.ravel() for grid in np.meshgrid(across, across))
    inside = np.hypot(y, z) <= 3
    y, z = y[inside], z[inside] + 8
    begin = np.sqrt(64 - y**2)  # the lines of the solid port run from here to x = 20
    angle = (np.arange(180) + 0.5) / 180 * 2 * math.pi
    along = -10 + (np.arange(240) + 0.5) / 240 * 20
    hits = 0
    for a in angle:
        px, pz = 7 + 1.5 * math.cos(a), 3 + 1.5 * math.sin(a)
        near = np.hypot(np.maximum(begin - px, 0), z - pz)
        reach = np.sqrt(np.maximum(1.2**2 - near**2, 0))
        low, high = (y - reach)[near < 1.2], (y + reach)[near < 1.2]
        if len(low):
            hits += np.count_nonzero((along > low.min()) & (along < high.max()))
    sampled = hits * (2 * math.pi * 1.5 / 180) * (20 / 240)
    assert sampled > 1.0
    assert found.value == pytest.approx(sampled, rel=0.05)
    assert (
        thin_area(void(cut), void(*port.cores), 1.2).value > 1.5 * found.value
    )  # the trap: begun too far in


def test_a_cavity_under_a_dome_counts_above_it_only():
    """A well that stands in the dome: only what is above the roof is a cavity; sampled by its lowest points."""
    dome = dome_hole(18, 6)
    well = cylinder((9, 0, 0), (0, 0, 1), 3.0, 5.5)
    cut = void(cylinder((0, 0, 0), (0, 0, 1), 5.0, 9.0), holes=(dome,))
    found = thin_area(cut, void(well, holes=(dome,)), 1.6)
    points, cell = surface(5.0, 9.0, 200)
    metal = points[(dome.depth(points) <= 0) & (np.hypot(points[:, 0] - 9, points[:, 1]) < 3 + 1.6)]
    ring = np.linspace(-math.pi, math.pi, 181)
    cloud = []
    for r in np.linspace(0.05, 3.0, 30):
        x, y = 9 + r * np.cos(ring), r * np.sin(ring)
        roof = dome.centre[2] + np.sqrt(np.maximum(dome.radius**2 - x**2 - y**2, 0))
        cloud.append(np.stack([x, y, np.maximum(roof, 0), np.full_like(x, 5.5)], axis=1))
    lines = np.concatenate(cloud)
    lines = lines[lines[:, 2] < lines[:, 3]]
    near = np.zeros(len(metal), bool)
    for k in range(0, len(metal), 2000):
        p = metal[k : k + 2000]
        flat = np.hypot(p[:, 0, None] - lines[:, 0], p[:, 1, None] - lines[:, 1])
        dz = np.maximum(np.maximum(lines[:, 2] - p[:, 2, None], p[:, 2, None] - lines[:, 3]), 0)
        near[k : k + 2000] = np.min(np.hypot(flat, dz), axis=1) < 1.6
    assert found.value == pytest.approx(np.count_nonzero(near) * cell, rel=0.03)


def test_at_the_limit_there_is_no_area():
    other = void(cylinder((9, 0, -20), (0, 0, 1), 3, 70))
    assert wall(void(BORE), other).value == pytest.approx(1.0, abs=1e-12)
    assert thin_area(void(BORE), other, 1.0).value == pytest.approx(0.0, abs=1e-3)
    assert thin_area(void(BORE), other, 0.999).value == 0.0
    a_little = thin_area(void(BORE), other, 1.0001).value
    assert a_little == pytest.approx(2 * 5 * strip(5, 3, 9, 1.0001) * 30, rel=1e-3)


@pytest.mark.parametrize("limit", [0.0, -1.0, math.nan, math.inf])
def test_a_limit_is_a_positive_length(limit):
    with pytest.raises(GeometryError, match="limit"):
        thin_area(void(BORE), void(ball((9, 0, 0), 1)), limit)


def test_only_a_round_bore_of_finite_length():
    with pytest.raises(GeometryError, match="one round bore"):
        thin_area(void(ball((0, 0, 0), 1)), void(ball((9, 0, 0), 1)), 1.0)
    with pytest.raises(GeometryError, match="finite length"):
        thin_area(void(cylinder((0, 0, 0), (0, 0, 1), 5)), void(ball((9, 0, 0), 1)), 1.0)


def test_random_bores_against_dense_sampling():
    """Any place, direction, size and limit: within 1 % of the cells counted."""
    rng = np.random.default_rng(5)
    points, cell = surface(5.0, 30.0, 500)
    tried = 0
    while tried < 5:
        unit = rng.normal(size=3)
        unit /= np.linalg.norm(unit)
        origin = rng.uniform((-15, -15, 0), (15, 15, 30))
        radius, length, limit = rng.uniform(0.5, 5), rng.uniform(3, 40), rng.uniform(0.3, 4)
        sampled = np.count_nonzero(cylinder_distance(points, origin, unit, radius, length) < limit) * cell
        if sampled < 5.0:
            continue
        found = thin_area(void(BORE), void(cylinder(origin, unit, radius, length)), limit)
        assert found.value == pytest.approx(sampled, rel=0.01)
        tried += 1
