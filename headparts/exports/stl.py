"""Binary STL: a closed skin of triangles no further than the tolerance, in mm, from the solid."""

from __future__ import annotations

import struct
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from headparts.errors import KernelError
from headparts.exports.manifest import FileEntry, entry
from headparts.parts.part import Part
from headparts.solids.mesh import Mesh, enclosed_volume, open_edges, triangulate

DEFAULT_TOLERANCE = 0.01
"""Chord error [mm] when the job file does not give one."""
HEADER = 80
_RECORD = np.dtype([("normal", "<f4", (3,)), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


@dataclass(frozen=True)
class StlModel:
    """An STL file in memory.

    Attributes:
        name: file name. data: 84 + 50 n bytes. entry: for the manifest.
        tolerance, deviation: [mm] asked for and measured on the surfaces.
        triangles: how many. volume: [mm3] enclosed by the triangles as written.
    """

    name: str
    data: bytes
    entry: FileEntry
    tolerance: float
    deviation: float
    triangles: int
    volume: float


def part_stl(part: Part, tolerance: float = DEFAULT_TOLERANCE) -> StlModel:
    """One part in its own frame: ``<part>.stl``.

    Args:
        tolerance: [mm] largest distance of a triangle from the surface, 0.0005 to 1.

    Raises:
        ParameterError: the tolerance is out of range.
        KernelError: no closed mesh within the tolerance, or its volume does not fit the solid's.
    """
    mesh = triangulate(part.solid, tolerance)
    data, corners, triangles = encode(mesh, f"{part.name} mm, within {tolerance:g}")
    if open_edges(triangles):
        raise KernelError(f"{part.name}: the mesh does not stay closed in single precision")
    volume = enclosed_volume(corners.astype(np.float64), triangles)
    area = _area(corners.astype(np.float64), triangles)
    # A skin moved by at most the tolerance changes the volume by at most area x tolerance.
    if abs(volume - part.volume) > tolerance * area + 1e-6 * part.volume:
        raise KernelError(f"{part.name}: the mesh holds {volume:.3f} mm3, the solid {part.volume:.3f}")
    name = f"{part.name}.stl"
    line = entry(
        name,
        data,
        "STL",
        "model",
        part=part.name,
        units="mm",
        volume=volume,
        mass=None if part.density is None else volume * part.density / 1000.0,
        box=_box(corners),
        material=part.material,
        origin=part.placement.origin,
        x_axis=part.placement.x,
        z_axis=part.placement.z,
        note=f"chord error {mesh.deviation:.4f} mm, asked {tolerance:g}; {len(triangles)} triangles",
    )
    return StlModel(name, data, line, tolerance, mesh.deviation, len(triangles), volume)


def encode(mesh: Mesh, title: str) -> tuple[bytes, NDArray[np.float32], NDArray[np.int64]]:
    """Binary STL of a mesh; also the corners as written (single precision) and the triangles on them.

    Points that become the same in single precision are united and triangles that lose an edge by it are
    dropped, so the file is as closed as the mesh. The 80-byte head holds the title (ASCII) and never begins
    with the word that marks a text file.
    """
    coarse = mesh.vertices.astype(np.float32) + np.float32(0.0)
    corners, place = np.unique(coarse, axis=0, return_inverse=True)
    triangles = place.reshape(-1)[mesh.triangles]
    whole = (
        (triangles[:, 0] != triangles[:, 1])
        & (triangles[:, 1] != triangles[:, 2])
        & (triangles[:, 2] != triangles[:, 0])
    )
    triangles = triangles[whole]
    points = corners[triangles]
    exact = points.astype(np.float64)
    normals = np.cross(exact[:, 1] - exact[:, 0], exact[:, 2] - exact[:, 0])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    normals = np.divide(normals, lengths, out=np.zeros_like(normals), where=lengths > 0.0)
    records = np.zeros(len(triangles), dtype=_RECORD)
    records["normal"] = normals
    records["corners"] = points
    head = f"headparts {title}".encode("ascii", "replace")[:HEADER].ljust(HEADER)
    return head + struct.pack("<I", len(triangles)) + records.tobytes(), corners, triangles


def _area(corners: NDArray[np.float64], triangles: NDArray[np.int64]) -> float:
    a, b, c = (corners[triangles[:, k]] for k in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2.0)


def _box(corners: NDArray[np.float32]) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    low, high = corners.min(axis=0), corners.max(axis=0)
    return (float(low[0]), float(low[1]), float(low[2])), (float(high[0]), float(high[1]), float(high[2]))
