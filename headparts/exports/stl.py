"""Binary STL: a closed skin of triangles no further than the tolerance, in mm, from the solid."""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from headparts.errors import KernelError, ParameterError
from headparts.exports.manifest import FileEntry, entry
from headparts.geometry.skin import UNITE
from headparts.geometry.weld import enclosed_volume, open_edges
from headparts.parts.part import Part, Placement
from headparts.parts.scan_head import ScanHead
from headparts.solids.mesh import Mesh, triangulate

DEFAULT_TOLERANCE = 0.01
"""Chord error [mm] when the job file does not give one."""
HEADER = 80
"""Bytes before the count. They begin with the program's name, never with the word that marks a text file."""

Point = tuple[float, float, float]
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
    skin = _skin(part, part.shape, tolerance)
    return _model(part.name, [part], [skin], tolerance, part.placement)


def scan_stl(head: ScanHead) -> StlModel:
    """A scanned head with its cuts, in the head's frame: ``<head>.stl``; the entry says that it is from a scan.

    Raises:
        KernelError: the triangles do not stay closed in single precision.
    """
    return _model(head.name, [head], [_scan_skin(head)], head.tolerance, Placement())


def assembly_stl(
    parts: Sequence[Part | ScanHead], *, name: str = "assembly", tolerance: float = DEFAULT_TOLERANCE
) -> StlModel:
    """All parts where they sit, in the head's frame: ``<name>.stl``, one closed skin a part.

    A scanned head may be one of them. Skins of pressed parts run through each other by the interference, as the solids do.

    Raises:
        ParameterError: fewer than two parts, or the tolerance is out of range.
        KernelError: as :func:`part_stl`.
    """
    if len(parts) < 2:
        raise ParameterError("parts", [part.name for part in parts], "an assembly has at least two parts")
    skins = [
        _scan_skin(part) if isinstance(part, ScanHead) else _skin(part, part.placed_shape(), tolerance)
        for part in parts
    ]
    return _model(name, parts, skins, tolerance, Placement())


@dataclass(frozen=True)
class _Skin:
    """The triangles of one part as they are written, and what they enclose."""

    records: bytes
    low: Point
    high: Point
    count: int
    deviation: float
    volume: float


def _skin(part: Part, solid: Any, tolerance: float) -> _Skin:
    return _closed(part.name, triangulate(solid, tolerance), part.volume, tolerance)


def _scan_skin(head: ScanHead) -> _Skin:
    chord = 0.0 if head.proof is None else head.proof.chord
    mesh = Mesh(head.skin.vertices, head.skin.triangles, chord, head.tolerance)
    return _closed(head.name, mesh, head.volume, UNITE)


def _closed(name: str, mesh: Mesh, meant: float, moved: float) -> _Skin:
    """A mesh as it is written, refused unless it is closed and holds the volume meant, moved by at most that."""
    records, corners, triangles = encode(mesh)
    if open_edges(triangles):
        raise KernelError(f"{name}: the mesh does not stay closed in single precision")
    exact = corners.astype(np.float64)
    volume = enclosed_volume(exact, triangles)
    # A skin moved by at most the tolerance changes the volume by at most area x tolerance.
    if abs(volume - meant) > moved * _area(exact, triangles) + 1e-6 * meant:
        raise KernelError(f"{name}: the mesh holds {volume:.3f} mm3, the solid {meant:.3f}")
    low, high = (tuple(float(each) for each in ends(corners, axis=0)) for ends in (np.min, np.max))
    return _Skin(
        records, (low[0], low[1], low[2]), (high[0], high[1], high[2]), len(triangles), mesh.deviation, volume
    )


def _model(
    name: str,
    parts: Sequence[Part | ScanHead],
    skins: Sequence[_Skin],
    tolerance: float,
    frame: Placement,
) -> StlModel:
    count = sum(skin.count for skin in skins)
    scans = [part.origin for part in parts if isinstance(part, ScanHead)]
    says = f"headparts {name} mm, {'from a scan, cuts ' if scans else ''}within {tolerance:g}"
    head = says.encode("ascii", "replace")[:HEADER].ljust(HEADER)
    data = head + struct.pack("<I", count) + b"".join(skin.records for skin in skins)
    deviation = max(skin.deviation for skin in skins)
    masses = [
        None if part.density is None else skin.volume * part.density / 1000.0
        for part, skin in zip(parts, skins, strict=True)
    ]
    line = entry(
        f"{name}.stl",
        data,
        "STL",
        "model" if len(parts) == 1 else "assembly",
        part=", ".join(part.name for part in parts),
        units="mm",
        volume=sum(skin.volume for skin in skins),
        mass=sum(mass for mass in masses if mass is not None) if None not in masses else None,
        box=(_corner(min, [skin.low for skin in skins]), _corner(max, [skin.high for skin in skins])),
        material=parts[0].material if len(parts) == 1 else None,
        origin=frame.origin,
        x_axis=frame.x,
        z_axis=frame.z,
        note="; ".join(
            (f"chord error {deviation:.4f} mm, asked {tolerance:g}", *scans, f"{count} triangles")
        ),
    )
    return StlModel(
        f"{name}.stl", data, line, tolerance, deviation, count, sum(skin.volume for skin in skins)
    )


def encode(mesh: Mesh) -> tuple[bytes, NDArray[np.float32], NDArray[np.int64]]:
    """The 50-byte records of a mesh; also the corners as written (single precision) and triangles on them.

    Points that become the same in single precision are united and triangles that lose an edge by it are
    dropped, so the file is as closed as the mesh.
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
    return records.tobytes(), corners, triangles


def _area(corners: NDArray[np.float64], triangles: NDArray[np.int64]) -> float:
    a, b, c = (corners[triangles[:, k]] for k in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2.0)


def _corner(pick: Callable[[Iterable[float]], float], points: Sequence[Point]) -> Point:
    x, y, z = (pick(point[axis] for point in points) for axis in range(3))
    return x, y, z
