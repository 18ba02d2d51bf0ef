"""Skins from STL: what is read, and every way in which a file is refused."""

from __future__ import annotations

import struct

import numpy as np
import pytest
import trimesh

from headparts.errors import GeometryError
from headparts.geometry.skin import smooth_faces, trusted
from headparts.geometry.stl import read_stl

BOX = trimesh.creation.box((2.0, 3.0, 4.0))


def binary(mesh: trimesh.Trimesh) -> bytes:
    """The file as another library writes it."""
    return bytes(mesh.export(file_type="stl"))


def test_binary_and_text_files_give_the_same_solid() -> None:
    for data in (binary(BOX), BOX.export(file_type="stl_ascii").encode()):
        skin = read_stl(data)
        assert skin.volume == pytest.approx(24.0, abs=1e-9)
        assert skin.areas.sum() == pytest.approx(52.0, abs=1e-9)
        assert len(skin.vertices) == 8
        assert sorted(np.bincount(skin.faces).tolist()) == [2] * 6
        assert skin.chord is None


def test_a_binary_file_whose_head_says_solid_is_binary() -> None:
    data = b"solid is what it says" + binary(BOX)[21:]
    assert read_stl(data).volume == pytest.approx(24.0, abs=1e-9)


def test_a_hollow_solid_is_one_solid() -> None:
    hole = trimesh.creation.icosphere(2, 0.5)
    hole.invert()
    skin = read_stl(binary(trimesh.util.concatenate([BOX, hole])))
    assert skin.volume == pytest.approx(24.0 - abs(hole.volume), abs=1e-6)  # trimesh's own volume of the hole


def test_normals_point_out_of_the_metal() -> None:
    skin = read_stl(binary(BOX))
    assert np.all(np.einsum("ij,ij->i", skin.normals, skin.corners.mean(axis=1)) > 0.5)


def test_faces_end_at_sharp_edges_only() -> None:
    pipe = trimesh.creation.annulus(8.0, 10.0, 30.0, sections=64)  # turns by 5.6 deg from facet to facet
    skin = read_stl(binary(pipe))
    assert skin.faces.max() + 1 == 4
    assert smooth_faces(skin, 3.0).max() + 1 > 100


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: b"", "no STL"),
        (lambda: b"\x00" * 84, "no triangles"),
        (lambda: binary(BOX)[:-20], "torn: 12 triangles make 684 bytes, the file has 664"),
        (lambda: b"solid a\nfacet\nvertex 1 2\nendsolid", "three corners"),
        (lambda: b"solid a\nfacet\nvertex 1 2 3\n" + b"x " * 200, "its end is missing"),
        (lambda: b"\x89PNG\r\n" + b"\x00\x01" * 200, "torn"),
        (lambda: opened(), "3 edges have a triangle on one side only"),
        (lambda: turned_over(), "not wound one way"),
        (lambda: inverted(), "inside out"),
        (lambda: two_boxes(), "2 separate solids"),
        (lambda: with_nan(), "not a finite number"),
        (lambda: flattened(), "degenerate"),
        (lambda: fin_on_an_edge(), "more than two triangles"),
        (lambda: stray_inverted(), "second shell lies outside"),
    ],
)
def test_what_is_refused(make: object, says: str) -> None:
    with pytest.raises(GeometryError, match=says):
        read_stl(make())  # type: ignore[operator]


def opened() -> bytes:
    mesh = BOX.copy()
    mesh.update_faces(np.arange(12) != 5)
    return binary(mesh)


def turned_over() -> bytes:
    faces = np.array(BOX.faces)
    faces[3] = faces[3, ::-1]
    return binary(trimesh.Trimesh(BOX.vertices, faces, process=False))


def inverted() -> bytes:
    return binary(trimesh.Trimesh(BOX.vertices, BOX.faces[:, ::-1], process=False))


def two_boxes() -> bytes:
    other = BOX.copy()
    other.apply_translation((10.0, 0, 0))
    return binary(trimesh.util.concatenate([BOX, other]))


def stray_inverted() -> bytes:
    other = trimesh.Trimesh(BOX.vertices * 0.5 + (10.0, 0, 0), BOX.faces[:, ::-1], process=False)
    return binary(trimesh.util.concatenate([BOX, other]))


def with_nan() -> bytes:
    data = bytearray(binary(BOX))
    struct.pack_into("<f", data, 84 + 12, float("nan"))
    return bytes(data)


def flattened() -> bytes:
    return binary(trimesh.Trimesh(BOX.vertices * 1e-7, BOX.faces, process=False))


def fin_on_an_edge() -> bytes:
    box = BOX.triangles.reshape(-1, 3)
    a, b = BOX.vertices[BOX.edges_unique[0]]
    tip = (a + b) * 2.0
    corners = np.concatenate([box, [a, b, tip], [b, a, tip]])  # two triangles back to back on one edge
    mesh = trimesh.Trimesh(corners, np.arange(len(corners)).reshape(-1, 3), process=False)
    return binary(mesh)


def test_corners_a_hair_apart_are_united_and_slivers_dropped() -> None:
    rng = np.random.default_rng(3)
    loose = BOX.triangles + rng.uniform(-2e-6, 2e-6, BOX.triangles.shape)
    points = np.concatenate([loose.reshape(-1, 3), np.repeat(BOX.vertices[:1], 3, axis=0)])
    skin = trusted(points, np.arange(len(points)).reshape(-1, 3))
    assert len(skin.vertices) == 8
    assert skin.dropped == 1
    assert skin.volume == pytest.approx(24.0, abs=1e-4)
