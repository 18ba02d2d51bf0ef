"""STL: closed, in mm, and within a tolerance that means what it says. The second route is a mesh library."""

from __future__ import annotations

import io
import math
import struct

import cadquery as cq
import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from headparts.errors import KernelError, ParameterError
from headparts.exports.stl import assembly_stl, encode, part_stl
from headparts.geometry.weld import open_edges, weld
from headparts.parts.part import Part
from headparts.solids.mesh import Mesh, triangulate


def load(data: bytes) -> trimesh.Trimesh:
    """The file as another library reads it: corners united only where they are the same bits."""
    return trimesh.load(io.BytesIO(data), file_type="stl", process=True)


@pytest.mark.parametrize("tolerance", [0.1, 0.01])
def test_closed_oriented_and_the_right_size(ring: Part, tolerance: float) -> None:
    model = part_stl(ring, tolerance)
    mesh = load(model.data)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume == pytest.approx(model.volume, rel=1e-5)
    assert abs(mesh.volume - ring.volume) <= tolerance * mesh.area
    assert mesh.extents[2] == pytest.approx(8.0, abs=1e-5)
    assert len(mesh.faces) == model.triangles


def test_the_file_is_84_plus_50_n_bytes_and_its_head_carries_the_name(ring: Part) -> None:
    model = part_stl(ring)
    (count,) = struct.unpack_from("<I", model.data, 80)
    assert count == model.triangles
    assert len(model.data) == 84 + 50 * count
    assert model.data.startswith(b"headparts ring mm")
    assert not model.data.startswith(b"solid")


def test_an_assembly_is_one_closed_skin_a_part_in_its_place(ring: Part, pin: Part) -> None:
    model = assembly_stl([ring, pin], tolerance=0.02)
    skins = load(model.data).split()
    assert len(skins) == 2
    assert all(skin.is_watertight for skin in skins)
    upper = max(skins, key=lambda skin: skin.bounds[0][0])
    lean = math.radians(15.0)
    assert upper.bounds[1][0] == pytest.approx(30 + 20 * math.sin(lean) + 3 * math.cos(lean), abs=0.02)
    assert model.volume == pytest.approx(sum(skin.volume for skin in skins), rel=1e-5)
    assert abs(model.volume - ring.volume - pin.volume) <= 0.02 * sum(skin.area for skin in skins)
    assert (model.name, model.entry.kind, model.entry.part) == ("assembly.stl", "assembly", "ring, pin")
    assert model.entry.origin == (0.0, 0.0, 0.0)
    with pytest.raises(ParameterError, match="at least two"):
        assembly_stl([ring])


@pytest.mark.parametrize("tolerance", [0.2, 0.05, 0.01])
def test_a_ball_keeps_the_tolerance_though_the_kernel_does_not(ball: Part, tolerance: float) -> None:
    """How deep the triangles lie under a sphere of 10, by another library's closest points."""
    mesh = load(part_stl(ball, tolerance).data)
    nearest = trimesh.triangles.closest_point(mesh.triangles, np.zeros((len(mesh.triangles), 3)))
    deepest = 10.0 - np.linalg.norm(nearest, axis=1).min()
    assert 0.3 * tolerance < deepest <= tolerance + 1e-5
    assert np.linalg.norm(mesh.vertices, axis=1) == pytest.approx(10.0, abs=1e-5)


@settings(max_examples=15, deadline=None)
@given(
    radius=st.floats(0.5, 40.0),
    tolerance=st.sampled_from([0.2, 0.05, 0.01]),
    top=st.floats(0.2, 1.0),
)
def test_cones_and_cylinders_keep_the_tolerance(radius: float, tolerance: float, top: float) -> None:
    """Chords of the rims are the worst of it: sagitta r (1 - cos(angle/2)), read off the mesh itself."""
    cone = cq.Solid.makeCone(radius, radius * top, 5.0) if top < 0.99 else cq.Solid.makeCylinder(radius, 5.0)
    mesh = triangulate(cone, tolerance)
    rim = mesh.vertices[
        (np.abs(mesh.vertices[:, 2]) < 1e-9) & (np.linalg.norm(mesh.vertices[:, :2], axis=1) > radius / 2)
    ]
    angles = np.sort(np.arctan2(rim[:, 1], rim[:, 0]))
    widest = np.diff(np.append(angles, angles[0] + 2 * math.pi)).max()
    assert radius * (1 - math.cos(widest / 2)) <= tolerance
    assert mesh.deviation <= tolerance
    assert not open_edges(mesh.triangles)


def test_a_finer_mesh_on_the_solid_is_not_reused() -> None:
    solid = cq.Workplane().circle(10).extrude(5).val()
    coarse_alone = len(triangulate(solid, 0.1).triangles)
    solid.tessellate(0.0005, 0.02)
    assert len(triangulate(solid, 0.1).triangles) == coarse_alone
    assert coarse_alone < 200


def test_the_solid_is_not_touched() -> None:
    from OCP.BRep import BRep_Tool
    from OCP.TopLoc import TopLoc_Location

    solid = cq.Workplane().circle(10).extrude(5).val()
    triangulate(solid, 0.1)
    for face in solid.Faces():
        assert BRep_Tool.Triangulation_s(face.wrapped, TopLoc_Location()) is None


def test_tolerance_is_in_mm_not_relative() -> None:
    """Larger, the same tolerance: more triangles, the same depth; a relative mesh would not change."""
    small = triangulate(cq.Solid.makeCylinder(5, 5), 0.01)
    large = triangulate(cq.Solid.makeCylinder(20, 5), 0.01)
    ratio = len(large.triangles) / len(small.triangles)
    assert 1.6 < ratio < 2.5  # the number of chords grows with the square root of the radius
    assert large.deviation <= 0.01


@pytest.mark.parametrize("tolerance", [0.0, -0.01, 0.0001, 1.5, math.nan, math.inf])
def test_a_tolerance_out_of_range_is_refused(ring: Part, tolerance: float) -> None:
    with pytest.raises(ParameterError, match=r"0\.0005 to 1 mm"):
        part_stl(ring, tolerance)


def test_weld_unites_across_grid_lines_and_keeps_apart_what_is_apart() -> None:
    points = np.array([[0, 0, 0], [0.99999995, 0, 0], [1.00000004, 0, 0], [1, 1, 0], [1, 1.000001, 0]], float)
    corners, triangles = weld(points, np.array([[0, 1, 3], [0, 2, 4], [1, 2, 3]]))
    assert len(corners) == 4
    assert triangles.tolist() == [[0, 1, 2], [0, 1, 3]]  # the third fell together


def test_open_edges_are_counted() -> None:
    tetrahedron = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]])
    assert open_edges(tetrahedron) == 0
    assert open_edges(tetrahedron[:3]) == 3
    flipped = tetrahedron.copy()
    flipped[0] = flipped[0][::-1]
    assert open_edges(flipped) > 0


def test_an_open_shell_is_refused() -> None:
    box = cq.Workplane().box(10, 10, 10).val()
    shell = cq.Shell.makeShell(box.Faces()[:5])
    with pytest.raises(KernelError, match="edges stay open"):
        triangulate(shell, 0.1)


def test_points_that_fall_together_in_single_precision_leave_it_closed() -> None:
    """A sliver far from the origin: two corners 1e-6 apart are one number in single precision."""
    base = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1], [1e-6, 1.0, 0.0]]) + 500.0
    triangles = np.array([[0, 2, 1], [2, 4, 1], [0, 1, 3], [1, 4, 3], [4, 2, 3], [2, 0, 3]])
    mesh = Mesh(base, triangles, 0.0, 0.01)
    assert open_edges(mesh.triangles) == 0
    records, corners, kept = encode(mesh)
    assert len(corners) == 4
    assert open_edges(kept) == 0
    assert len(records) == 50 * len(kept)
    assert load(bytes(80) + struct.pack("<I", len(kept)) + records).is_watertight
