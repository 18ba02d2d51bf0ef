"""Triangle distances and ray hits against the convex solver, plain grids and closed forms."""

from __future__ import annotations

import numpy as np
import trimesh

from headparts.geometry.axis import vector
from headparts.geometry.box_tree import BoxTree
from headparts.geometry.convex import Convex, Plane
from headparts.geometry.pairs import distances
from headparts.geometry.skin import Skin, trusted
from headparts.geometry.triangles import nearest_in_triangles, ray_hits, triangles_nearest

RNG = np.random.default_rng(20251)


def as_convex(corners: np.ndarray) -> Convex:
    """A triangle as five half-spaces: two against each other, three through its edges."""
    a, b, c = corners
    n = np.cross(b - a, c - a)
    n /= np.linalg.norm(n)
    planes = [Plane(vector(n), float(n @ a)), Plane(vector(-n), -float(n @ a))]
    for p, q in ((a, b), (b, c), (c, a)):
        m = np.cross(q - p, n)
        m /= np.linalg.norm(m)
        planes.append(Plane(vector(m), float(m @ p)))
    centre = corners.mean(axis=0)
    radius = float(np.linalg.norm(corners - centre, axis=1).max())
    return Convex(tuple(planes), (), (vector(centre), radius), "mixed")


def test_distance_of_two_triangles_is_the_convex_solver_s() -> None:
    first, second = RNG.uniform(-10, 10, (2, 300, 3, 3))
    second[:100] = first[:100] + RNG.normal(0, 1.5, (100, 3, 3))  # near each other, many of them crossing
    found, p, q = triangles_nearest(first, second)
    proof = distances([as_convex(t) for t in first], [as_convex(t) for t in second])
    assert np.all(found >= proof.lower - 1e-9)
    assert np.all(found <= proof.upper + 1e-9)
    assert (found == 0.0).sum() > 20
    assert (found > 1.0).sum() > 50
    assert np.allclose(np.linalg.norm(p - q, axis=1), found, atol=1e-12)


def test_parallel_and_touching_triangles() -> None:
    flat = np.array([[0.0, 0, 0], [4, 0, 0], [0, 4, 0]])
    apart = flat + np.array([[[0.5, 0.5, 2.0]], [[10.0, 0, 0]], [[4.0, 0, 0]]])
    expected = [2.0, 6.0, 0.0]  # straight above; side by side; sharing a corner
    found, _, _ = triangles_nearest(np.array([flat] * 3), apart)
    assert np.allclose(found, expected, atol=1e-15)


def test_nearest_point_of_a_triangle_against_a_fine_grid() -> None:
    corners, points = RNG.uniform(-5, 5, (40, 3, 3)), RNG.uniform(-8, 8, (40, 3))
    found = np.linalg.norm(nearest_in_triangles(points, corners) - points, axis=1)
    u, v = (grid.ravel() for grid in np.meshgrid(np.linspace(0, 1, 201), np.linspace(0, 1, 201)))
    u, v = u[u + v <= 1 + 1e-12], v[u + v <= 1 + 1e-12]
    weights = np.stack([1 - u - v, u, v], axis=1)
    grid = np.linalg.norm(np.einsum("gk,nkx->ngx", weights, corners) - points[:, None], axis=2).min(axis=1)
    assert np.all(found <= grid + 1e-12)
    assert np.all(found >= grid - 0.1)  # a step of the grid is at most 0.1 mm


def test_rays_through_edges_and_corners_do_not_slip_through() -> None:
    square = np.array([[[0.0, 0, 0], [1, 0, 0], [1, 1, 0]], [[0.0, 0, 0], [1, 1, 0], [0, 1, 0]]])
    share = np.linspace(0.0, 1.0, 101)
    start = np.stack([share, share, np.full(101, -1.0)], axis=1)  # along the common edge
    along = np.tile([0.0, 0.0, 1.0], (101, 1))
    hits = [ray_hits(start, along, np.repeat(half[None], 101, axis=0)) for half in square]
    assert np.allclose(np.fmin(*hits), 1.0, atol=1e-12)


def test_first_exits_from_a_convex_body_are_the_closed_form() -> None:
    ball = trimesh.creation.icosphere(3, 10.0)
    skin = trusted(np.array(ball.vertices), np.array(ball.faces, dtype=np.int64))
    start = RNG.normal(0, 2.0, (300, 3))
    along = RNG.normal(0, 1.0, (300, 3))
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    far, which = BoxTree(skin).first_exit(start, along, np.full(300, -1))
    normals, offsets = ball.face_normals, np.einsum("ij,ij->i", ball.face_normals, ball.triangles[:, 0])
    rate = along @ normals.T
    with np.errstate(divide="ignore"):
        planes = np.where(rate > 0.0, (offsets - start @ normals.T) / rate, np.inf)
    assert np.allclose(far, planes.min(axis=1), atol=1e-9)
    assert np.allclose(skin.normals[which], normals[planes.argmin(axis=1)], atol=1e-9)


def test_the_tree_misses_nothing_in_a_heap_of_triangles() -> None:
    heap = RNG.uniform(-10, 10, (400, 1, 3)) + RNG.uniform(-6, 6, (400, 3, 3))
    skin = Skin(heap.reshape(-1, 3), np.arange(1200).reshape(-1, 3), np.zeros(400, dtype=np.int64))
    start, along = RNG.uniform(-5, 5, (60, 3)), RNG.normal(0, 1.0, (60, 3))
    along[:20] = np.eye(3)[RNG.integers(0, 3, 20)]  # along the axes, where a box test may divide by zero
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    far, _ = BoxTree(skin).first_exit(start, along, np.full(60, -1))
    ray, triangle = (grid.ravel() for grid in np.meshgrid(np.arange(60), np.arange(400), indexing="ij"))
    every = ray_hits(start[ray], along[ray], heap[triangle]).reshape(60, 400)
    every = np.where(every >= 1e-9, every, np.inf).min(axis=1)
    assert np.isfinite(every).sum() > 30
    assert np.array_equal(far, every)
