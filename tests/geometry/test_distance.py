"""Walls: closed forms, a second method on random pairs, bounds that hold. No expected value is our own output."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import GeometryError
from headparts.geometry.axis import Axis, common_perpendicular
from headparts.geometry.convex import ball, box, cylinder, frustum, half_space
from headparts.geometry.distance import wall, walls
from headparts.geometry.holes import bathtub_hole, disc_hole, dome_hole, endless_cylinder_hole
from headparts.geometry.void import Void

EXACT = 1e-9


def void(*cores, holes=(), name="v", kind="oil"):
    return Void(name, kind, tuple(cores), tuple(holes))


def rod(a, b, radius):
    a, b = np.asarray(a, float), np.asarray(b, float)
    return cylinder(a, b - a, radius, float(np.linalg.norm(b - a)))


CLOSED = [
    # (first, second, distance worked out by hand)
    (cylinder((0, 0, 0), (0, 0, 1), 2, 10), cylinder((7, 0, 5), (0, 0, 1), 1, 10), 4.0),  # parallel
    (
        cylinder((0, 0, 0), (0, 0, 1), 2, 10),
        cylinder((0, 0, 13), (0, 0, 1), 1, 10),
        3.0,
    ),  # one above the other
    (
        cylinder((0, 0, 0), (0, 0, 1), 2, 10),
        cylinder((6, 0, 14), (0, 0, 1), 1, 5),
        5.0,
    ),  # rim to rim: 3, 4, 5
    (cylinder((0, 0, -20), (0, 0, 1), 2, 40), cylinder((-20, 9, 0), (1, 0, 0), 3, 40), 4.0),  # skew
    (cylinder((0, 0, 0), (0, 0, 1), 2, 10), half_space((5, 0, 0), (-1, 0, 0)), 3.0),
    (cylinder((0, 0, 0), (0, 0, 1), 2, 10), ball((6, 0, 5), 1.5), 2.5),
    (cylinder((0, 0, 0), (0, 0, 1), 2, 10), ball((5, 0, 14), 1.0), 4.0),  # rim to ball: 3, 4, 5
    (ball((0, 0, 0), 1), ball((3, 4, 12), 2), 10.0),
    (box((0, 0, 0), (1, 1, 1)), box((3, 4, 1), (5, 6, 2)), math.hypot(2, 3)),
    (box((0, 0, 0), (1, 1, 1)), ball((4, 5, 13), 3), 10.0),  # corner (1, 1, 1): 3, 4, 12
    # cone of half-angle 45 degrees, apex up at the origin: its slant is x + z = 0
    (frustum((0, 0, -5), (0, 0, 1), 5, 0, 5), half_space((3, 0, 3), (-1, 0, -1)), 6 / math.sqrt(2)),
    (frustum((0, 0, -5), (0, 0, 1), 5, 0, 5), ball((4, 0, 1), 1), 5 / math.sqrt(2) - 1),
    (frustum((0, 0, -5), (0, 0, 1), 5, 0, 5), ball((0, 0, 4), 1), 3.0),  # to the apex
]


@pytest.mark.parametrize(("first", "second", "expected"), CLOSED)
def test_closed_forms(first, second, expected):
    found = wall(void(first), void(second))
    assert found.value == pytest.approx(expected, abs=EXACT)
    assert expected - EXACT <= found.lower <= expected + 1e-12
    assert found.upper >= expected - 1e-10
    assert found.proven
    a, b = found.at
    assert first.violation(a) < 1e-9
    assert second.violation(b) < 1e-9
    assert math.dist(a, b) == pytest.approx(found.value, abs=1e-9)


@pytest.mark.parametrize("direction", [(0, 0, 1), (1, 0.2, 0.1)])
@pytest.mark.parametrize("gap", [1e-3, 1e-6, 1e-8])
def test_thin_walls_are_not_lost(direction, gap):
    axis = Axis((0, 0, 0), direction, 30)
    side = np.cross(axis.direction, (0.3, 1, 0))
    side /= np.linalg.norm(side)
    found = wall(
        void(cylinder(axis.point, axis.direction, 4, 30)),
        void(cylinder((7 + gap) * side, axis.direction, 3, 30)),
    )
    assert found.value == pytest.approx(gap, abs=EXACT)


def test_touching_is_zero():
    for second in (
        cylinder((7, 0, 0), (0, 0, 1), 3, 10),
        ball((0, 0, 12), 2),
        half_space((4, 0, 0), (-1, 0, 0)),
    ):
        found = wall(void(cylinder((0, 0, 0), (0, 0, 1), 4, 10)), void(second))
        assert found.value == pytest.approx(0.0, abs=EXACT)


def test_skew_cylinders_with_feet_inside_both():
    """500 random pairs: the wall is the axis gap less both radii (closed form)."""
    rng = np.random.default_rng(11)
    pairs, expected = [], []
    while len(pairs) < 500:
        a = Axis(rng.normal(size=3) * 10, rng.normal(size=3), rng.uniform(20, 60))
        b = Axis(rng.normal(size=3) * 10, rng.normal(size=3), rng.uniform(20, 60))
        gap, angle, foot_a, foot_b = common_perpendicular(a, b)
        if angle < 5 or not (0 < foot_a < a.length and 0 < foot_b < b.length) or gap < 0.5:
            continue
        ra, rb = rng.uniform(0.1, 0.6, size=2) * gap
        pairs.append(
            (
                void(cylinder(a.point, a.direction, ra, a.length)),
                void(cylinder(b.point, b.direction, rb, b.length)),
            )
        )
        expected.append(gap - ra - rb)
    for found, value in zip(walls(pairs), expected, strict=True):
        if value > 0:
            assert found.lower <= value + 1e-12
            assert found.value == pytest.approx(value, abs=EXACT)
        else:
            assert found.value == pytest.approx(value, abs=1e-12)
    assert sum(value < 0 for value in expected) > 20


def project(points, bodies):
    """Nearest points of flat-ended cylinders: clamp along the axis and across it."""
    origin, d, r, length = bodies
    offset = points - origin
    along = np.einsum("nk,nk->n", offset, d)
    radial = offset - along[:, None] * d
    size = np.maximum(np.linalg.norm(radial, axis=1), 1e-300)
    radial *= np.minimum(1.0, r / size)[:, None]
    return origin + np.clip(along, 0, length)[:, None] * d + radial


def test_random_cylinders_against_alternating_projection():
    """600 random pairs: an independent method never finds less than the proven bound, nor less than the value."""
    rng = np.random.default_rng(12)
    sets = []
    for _ in range(2):
        d = rng.normal(size=(600, 3))
        d /= np.linalg.norm(d, axis=1)[:, None]
        sets.append((rng.uniform(-25, 25, (600, 3)), d, rng.uniform(0.5, 6, 600), rng.uniform(0.5, 40, 600)))
    bodies = [[void(cylinder(*(part[k] for part in group))) for k in range(600)] for group in sets]
    found = walls(list(zip(*bodies, strict=True)))
    x = project(sets[0][0], sets[0])
    for _ in range(3000):
        y = project(x, sets[1])
        last, x = x, project(y, sets[0])
        if np.max(np.abs(x - last)) < 1e-12:
            break
    other = np.linalg.norm(x - y, axis=1)
    apart = other > 1e-3
    assert apart.sum() > 450
    value = np.array([item.value for item in found])
    lower = np.array([item.lower for item in found])
    upper = np.array([item.upper for item in found])
    assert np.all(np.abs(value - other)[apart] < EXACT)
    assert np.all(lower[apart] <= other[apart] + 1e-12)
    assert np.max((upper - lower)[apart]) < EXACT
    assert np.all(value[~apart] < 2e-3)


def lattice_lower(first, second, step):
    """Least distance between grid points of two trimmed voids: never less than the true distance - error."""
    clouds = []
    for item in (first, second):
        centre, radius = np.array(item.cores[0].bound[0]), item.cores[0].bound[1]
        ticks = np.arange(-radius, radius + step, step)
        grid = np.stack(np.meshgrid(ticks, ticks, ticks), axis=-1).reshape(-1, 3) + centre
        clouds.append(grid[item.contains(grid)])
    from scipy.spatial import cKDTree

    return float(cKDTree(clouds[0]).query(clouds[1])[0].min())


TRIMMED = {
    "bore under a disc chamber": (
        void(
            cylinder((0, 0, -20), (0.2, 0, 1), 5, 40).with_half_space((0, 0, 0), (0, 0, -1)),
            holes=[disc_hole(24, 4)],
        ),
        void(ball((14, 9, 1.0), 2.0)),
    ),
    "bore under a dome": (
        void(
            cylinder((2, 1, -10), (0.25, 0.1, 1), 5, 25).with_half_space((0, 0, 0), (0, 0, -1)),
            holes=[dome_hole(18, 6)],
        ),
        void(ball((16, 1, 1.0), 2.0)),
    ),
    "port with a curved inner end": (
        void(
            cylinder((0, 0, 12), (1, 0, 0.2), 5, 22), holes=[endless_cylinder_hole((0, 0, 0), (0, 0, 1), 8)]
        ),
        void(cylinder((-3, -12, 0), (0, 0, 1), 3, 25)),
    ),
    "two ports back to back": (
        void(
            cylinder((4, 0, 12), (1, 0.3, 0.2), 4, 18), holes=[endless_cylinder_hole((4, 0, 0), (0, 0, 1), 6)]
        ),
        void(
            cylinder((-14, 0, 12), (-1, 0.2, 0.1), 4, 18),
            holes=[endless_cylinder_hole((-14, 0, 0), (0, 0.1, 1), 6)],
        ),
    ),
    "bore beside a bathtub": (
        void(
            cylinder((6, 3, -5), (0.3, 0.2, 1), 4, 20).with_half_space((0, 0, 0), (0, 0, -1)),
            holes=[bathtub_hole(26, 20, 5, 3)],
        ),
        void(ball((14, 8, 0.5), 1.5)),
    ),
}


@pytest.mark.parametrize("name", TRIMMED)
def test_trimmed_voids_against_a_dense_lattice(name):
    first, second = TRIMMED[name]
    found = wall(first, second)
    assert found.proven
    assert found.upper - found.lower <= 1e-6
    assert found.method == "convex pieces"  # the trap: the untrimmed bodies are nearer
    plain = wall(Void("a", "oil", first.cores), Void("b", "oil", second.cores))
    assert plain.value < found.value - 0.01
    a, b = found.at
    assert first.contains(a, 2e-9)
    assert second.contains(b, 2e-9)
    step = 0.3
    sampled = lattice_lower(first, second, step)
    assert found.value <= sampled + 1e-9
    assert sampled - found.value < 2 * step  # lattice points miss the surface by up to a cell


def test_trimmed_port_by_hand():
    """Port of radius 4 along X, inner end on a cylinder of radius 5 about Z: the side generators begin at x = 3.

    A small ball on the X axis at x = -6 sees the nearest points of the port at (3, +-4, z): distance
    sqrt(9^2 + 4^2) - radius; the square end on the axis (x = 5) would say 11.
    """
    port = void(
        cylinder((0, 0, 20), (1, 0, 0), 4, 20), holes=[endless_cylinder_hole((0, 0, 0), (0, 0, 1), 5)]
    )
    found = wall(port, void(ball((-6, 0, 20), 0.5)))
    assert found.value == pytest.approx(math.sqrt(97) - 0.5, abs=1e-6)


def test_dome_trim_by_hand():
    """A bore up the axis of a dome, ball of the same centre above: the least distance is to the dome's surface.

    Dome: ball radius 10 about the origin. Bore radius 3 about Z up to z = 14. A point ball far to the side
    (20, 0, 0) sees the bore's rim on the dome: (3, 0, sqrt(91)).
    """
    bore = void(cylinder((0, 0, 0), (0, 0, 1), 3, 14), holes=[dome_hole(10, 10)])
    found = wall(bore, void(ball((20, 0, 0), 1)))
    assert found.value == pytest.approx(math.hypot(17, math.sqrt(91)) - 1, abs=1e-6)


def test_a_void_that_its_hole_swallows_has_no_wall():
    found = wall(
        void(cylinder((0, 0, 1), (0, 0, 1), 2, 1), holes=[disc_hole(20, 5)]), void(ball((30, 0, 0), 1))
    )
    assert found.value == math.inf
    assert found.method == "empty void"
    assert found.proven


def test_endless_bodies():
    endless = void(cylinder((0, 0, 0), (0, 0, 1), 1))
    assert wall(endless, void(ball((5, 0, 77), 1))).value == pytest.approx(3.0, abs=EXACT)
    with pytest.raises(GeometryError, match="both are endless"):
        wall(endless, void(half_space((5, 0, 0), (-1, 0, 0))))


def test_union_of_cores_takes_the_nearest():
    stepped = void(cylinder((0, 0, 0), (0, 0, 1), 5, 10), cylinder((0, 0, 10), (0, 0, 1), 2, 10))
    assert wall(stepped, void(ball((8, 0, 18), 1))).value == pytest.approx(5.0, abs=EXACT)
    assert wall(stepped, void(ball((8, 0, 4), 1))).value == pytest.approx(2.0, abs=EXACT)


def test_order_does_not_matter():
    first, second = TRIMMED["two ports back to back"]
    assert wall(first, second).value == pytest.approx(wall(second, first).value, abs=1e-6)


def test_a_spent_budget_is_told():
    first, second = TRIMMED["two ports back to back"]
    short = wall(first, second, budget=3)
    full = wall(first, second)
    assert not short.proven
    assert short.lower <= full.value <= short.upper + 1e-9
    assert short.upper - short.lower > 1e-3


def test_a_ring_of_nearest_points_is_still_proven():
    """A ball in the middle of a ring-shaped void: every direction is as near as the next."""
    ring = void(cylinder((0, 0, 0), (0, 0, 1), 5, 20), holes=[endless_cylinder_hole((0, 0, 0), (0, 0, 1), 4)])
    found = wall(ring, void(ball((0, 0, 3), 1)), budget=400)
    assert found.value == pytest.approx(3.0, abs=1e-6)
    assert 2.99 < found.lower <= 3.0


@pytest.mark.parametrize("half", [0.05, 0.4])
def test_mixed_random_bodies_have_tight_proofs(half):
    """400 random pairs of all shapes: bounds within 2e-9, sampled points of the bodies never nearer."""
    rng = np.random.default_rng(int(half * 100))

    def body():
        point, direction = rng.uniform(-15, 15, 3), rng.normal(size=3)
        shape = rng.integers(4)
        if shape == 0:
            return cylinder(point, direction, rng.uniform(half, 5), rng.uniform(half, 20))
        if shape == 1:
            return frustum(point, direction, rng.uniform(half, 5), 0.0, rng.uniform(half, 9))
        if shape == 2:
            return box(point, point + rng.uniform(half, 8, 3))
        return ball(point, rng.uniform(half, 5))

    pairs = [(body(), body()) for _ in range(400)]
    found = walls([(void(a), void(b)) for a, b in pairs])
    apart = 0
    for item, (a, b) in zip(found, pairs, strict=True):
        if item.value < 1e-3:
            continue
        apart += 1
        assert 0 <= item.upper - item.lower <= 2e-9
        clouds = []
        for one in (a, b):
            centre, radius = np.array(one.bound[0]), one.bound[1]
            cloud = centre + rng.uniform(-radius, radius, size=(400, 3))
            clouds.append(cloud[one.contains(cloud)])
        if len(clouds[0]) and len(clouds[1]):
            sampled = np.linalg.norm(clouds[0][:, None] - clouds[1][None], axis=2).min()
            assert item.value <= sampled + 1e-9
    assert apart > 250
