"""A round cut against triangles: closed forms, dense sampling, and what does not count."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from headparts.geometry.convex import ball, box, cylinder
from headparts.geometry.skin import trusted
from headparts.geometry.skin_wall import Region, counting, skin_wall, this_side
from headparts.geometry.void import Void

BLOCK = trimesh.creation.box((40.0, 30.0, 20.0))  # x +-20, y +-15, z +-10
RNG = np.random.default_rng(77)


def cut_of(point: tuple[float, ...], direction: tuple[float, ...], radius: float, length: float) -> Void:
    return Void("cut", "bore", (cylinder(point, direction, radius, length),))


def skin(mesh: trimesh.Trimesh) -> tuple[np.ndarray, np.ndarray]:
    found = trusted(np.array(mesh.vertices), np.array(mesh.faces, dtype=np.int64))
    return found.corners, found.faces


def test_a_bore_in_a_block_has_five_walls_in_closed_form() -> None:
    bore = cut_of((3.0, 4.0, -7.0), (0.0, 0.0, 1.0), 2.5, 11.0)
    corners, faces = skin(BLOCK)
    found = skin_wall(bore, corners, faces, [], slack=100.0)
    expected = sorted(
        [3.0, 6.0, 17.0 - 2.5, 23.0 - 2.5, 11.0 - 2.5, 19.0 - 2.5]
    )  # floor, roof, +x, -x, +y, -y
    assert sorted(place.value for place in found.places.values()) == pytest.approx(expected, abs=1e-9)
    assert found.lower == pytest.approx(3.0, abs=1e-9)
    assert found.best is not None
    assert found.best.at[1][2] == pytest.approx(-10.0, abs=1e-9)
    assert not found.rim


def test_random_cuts_against_random_triangles_by_dense_sampling() -> None:
    heap = RNG.uniform(-10, 10, (60, 1, 3)) + RNG.uniform(-3, 3, (60, 3, 3))
    u, v = (grid.ravel() for grid in np.meshgrid(np.linspace(0, 1, 121), np.linspace(0, 1, 121)))
    weights = np.stack([1 - u - v, u, v], axis=1)[u + v <= 1.0 + 1e-12]
    spots = np.einsum("gk,nkx->ngx", weights, heap).reshape(-1, 3)
    for _ in range(5):
        direction = RNG.normal(0, 1, 3)
        direction /= np.linalg.norm(direction)
        point, radius, length = RNG.uniform(-6, 6, 3), RNG.uniform(0.5, 1.0), RNG.uniform(2, 6)
        found = skin_wall(cut_of(tuple(point), tuple(direction), radius, length), heap, np.arange(60), [])
        s = (spots - point) @ direction
        aside = np.linalg.norm(spots - point - s[:, None] * direction, axis=1)
        out = np.hypot(np.maximum(aside - radius, 0.0), np.maximum(np.maximum(-s, s - length), 0.0))
        assert found.best is not None
        if out.min() == 0.0:
            assert found.best.value <= 1e-9
            continue
        assert found.best.value <= out.min() + 1e-9
        assert found.best.value >= out.min() - 0.06  # a step of the samples is 0.05 mm
        assert found.lower == pytest.approx(found.best.value, abs=1e-6)


def test_what_lies_in_a_region_does_not_count() -> None:
    bore = cut_of((3.0, 4.0, -7.0), (0.0, 0.0, 1.0), 2.5, 11.0)
    corners, faces = skin(BLOCK)
    below = Region(box((-99, -99, -99), (99, 99, -9)))
    found = skin_wall(bore, corners, faces, [below])
    assert found.best is not None
    assert found.best.value == pytest.approx(6.0, abs=1e-9)  # the roof


def test_a_region_s_rim_is_followed_to_five_hundredths() -> None:
    """The floor counts outside a ball of radius 8 about (3, 4, -10): the nearest of it is 8 from the axis."""
    bore = cut_of((3.0, 4.0, -9.0), (0.0, 0.0, 1.0), 2.5, 4.0)
    corners, faces = skin(BLOCK)
    spared = Region(ball((3.0, 4.0, -10.0), 8.0))
    found = skin_wall(bore, corners, faces, [spared], slack=0.0)
    truth = math.hypot(8.0 - 2.5, 1.0)
    assert found.best is not None
    assert truth - 0.05 <= found.best.value <= truth + 1e-9
    assert found.lower <= truth + 1e-9


def test_triangles_are_cut_at_a_plane_without_losing_area() -> None:
    corners, faces = skin(BLOCK)
    normal = np.array([0.6, 0.0, 0.8])
    kept, owners = this_side(corners, faces, np.array([1.0, 0.0, 2.0]), normal)
    other, _ = this_side(corners, faces, np.array([1.0, 0.0, 2.0]), -normal)
    assert np.all((kept - (1.0, 0.0, 2.0)) @ normal <= 1e-9)

    def area(each: np.ndarray) -> float:
        return float(
            np.linalg.norm(np.cross(each[:, 1] - each[:, 0], each[:, 2] - each[:, 0]), axis=1).sum() / 2
        )

    assert area(kept) + area(other) == pytest.approx(2.0 * (1200 + 800 + 600), abs=1e-9)
    assert len(owners) == len(kept)
    assert set(owners.tolist()) <= set(faces.tolist())


def test_a_hole_spared_by_a_region_counts_again() -> None:
    corners, faces = skin(BLOCK)
    everything = Region(box((-99, -99, -99), (99, 99, 99)))
    assert len(counting(corners, faces, [everything])[0]) == 0
    assert skin_wall(cut_of((0, 0, 0), (0, 0, 1), 1.0, 2.0), corners, faces, [everything]).best is None


def test_many_small_triangles_are_not_all_solved() -> None:
    """A fine ball round a cut: the answer is the closed form within its chord error, in a fraction of the work."""
    fine = trimesh.creation.icosphere(5, 20.0)
    corners, faces = skin(fine)
    bore = cut_of((0.0, 0.0, -5.0), (0.0, 0.0, 1.0), 3.0, 12.0)
    found = skin_wall(bore, corners, faces, [])
    truth = 20.0 - math.hypot(7.0, 3.0)
    chord = 20.0 - float(np.linalg.norm(corners.mean(axis=1), axis=1).min())
    assert found.best is not None
    assert truth - chord - 1e-9 <= found.best.value <= truth
    assert found.lower == pytest.approx(found.best.value, abs=1e-6)
