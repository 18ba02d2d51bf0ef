"""A closed skin of triangles as plain data, and whether one from elsewhere can be trusted. numpy only.

A skin stands for the surface of one solid: of a kernel solid within a measured chord error, or of a scan whose
own error nobody here knows. Lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from headparts.errors import GeometryError
from headparts.geometry.weld import enclosed_volume, open_edges, weld

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

UNITE = 1e-5
"""Corners nearer than this in every coordinate are one [mm]: single precision of a 100 mm head is 8e-6."""
SHARP = 30.0
"""Triangles that turn by less than this across an edge belong to one face of a scan [deg]."""


@dataclass(frozen=True)
class Skin:
    """Triangles of one closed surface, counter-clockwise seen from outside.

    vertices : (n, 3) [mm]. triangles : (m, 3) indices. faces : (m,) number of the face each one belongs to.
    chord : [mm] largest measured distance from the surface it stands for; None: a scan, not known.
    dropped : triangles that had lost an edge when corners were united.
    chords : (f,) the same for every face [mm]; None: a scan.
    """

    vertices: Floats
    triangles: Ints
    faces: Ints
    chord: float | None = None
    dropped: int = 0
    chords: Floats | None = None

    @cached_property
    def corners(self) -> Floats:
        """(m, 3, 3): the three corners of every triangle."""
        found: Floats = self.vertices[self.triangles]
        return found

    @cached_property
    def normals(self) -> Floats:
        """(m, 3) unit normals out of the metal; zero for a triangle without area."""
        a, b, c = (self.corners[:, k] for k in range(3))
        square = np.cross(b - a, c - a)
        length = np.linalg.norm(square, axis=1, keepdims=True)
        found: Floats = np.divide(square, length, out=np.zeros_like(square), where=length > 0.0)
        return found

    @cached_property
    def areas(self) -> Floats:
        """(m,) [mm2]."""
        a, b, c = (self.corners[:, k] for k in range(3))
        found: Floats = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2.0
        return found

    @property
    def volume(self) -> float:
        """Enclosed volume [mm3] by the divergence theorem."""
        return enclosed_volume(self.vertices, self.triangles)

    @property
    def box(self) -> tuple[Floats, Floats]:
        """Lower and upper corner of the upright box round it [mm]."""
        return self.vertices.min(axis=0), self.vertices.max(axis=0)

    def moved(self, turn: Floats, shift: Floats) -> Skin:
        """The skin at ``turn`` (3, 3) x + ``shift`` (3,)."""
        return replace(self, vertices=self.vertices @ turn.T + shift)


def trusted(points: Floats, triangles: Ints) -> Skin:
    """A skin from loose triangles: corners united, then refused unless it is the skin of exactly one solid.

    Args:
        points: (n, 3) [mm], finite. triangles: (m, 3) indices, counter-clockwise seen from outside.

    Raises:
        GeometryError: no triangles, not watertight, wound both ways or inside out, several solids.
    """
    if not len(triangles):
        raise GeometryError("it holds no triangles")
    if not np.all(np.isfinite(points)):
        raise GeometryError("a coordinate is not a finite number")
    vertices, kept = weld(points, triangles, UNITE)
    if not len(kept):
        raise GeometryError("all its triangles are degenerate")
    _refuse_open(kept)
    shells = pieces(kept)
    volumes = [enclosed_volume(vertices, kept[shells == k]) for k in range(int(shells.max()) + 1)]
    outer = [k for k, each in enumerate(volumes) if each > 0.0]
    if not outer:
        raise GeometryError("its triangles are wound inside out: counter-clockwise from outside is needed")
    if len(outer) > 1:
        raise GeometryError(f"it holds {len(outer)} separate solids; one is needed")
    main = vertices[kept[shells == outer[0]]].reshape(-1, 3)
    for k in range(len(volumes)):
        own = vertices[kept[shells == k]].reshape(-1, 3)
        if np.any(own.min(axis=0) < main.min(axis=0)) or np.any(own.max(axis=0) > main.max(axis=0)):
            raise GeometryError("a second shell lies outside the first, wound inside out")
    bare = Skin(vertices, kept, np.zeros(len(kept), dtype=np.int64), None, len(triangles) - len(kept))
    return replace(bare, faces=smooth_faces(bare))


def _refuse_open(triangles: Ints) -> None:
    if not open_edges(triangles):
        return
    edges = np.sort(triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    _, counts = np.unique(edges, axis=0, return_counts=True)
    single, many = int(np.count_nonzero(counts == 1)), int(np.count_nonzero(counts > 2))
    if single:
        raise GeometryError(f"it is not watertight: {single} edges have a triangle on one side only")
    if many:
        raise GeometryError(f"it is not the skin of a solid: {many} edges have more than two triangles")
    raise GeometryError("its triangles are not wound one way: neighbours run the same way along an edge")


def edge_neighbours(triangles: Ints) -> Ints:
    """(e, 2) numbers of the two triangles on every edge of a closed mesh."""
    size = int(triangles.max()) + 1
    edges = triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    owner = np.repeat(np.arange(len(triangles)), 3)
    low, high = edges.min(axis=1), edges.max(axis=1)
    order = np.argsort(low * size + high, kind="stable")
    found: Ints = owner[order].reshape(-1, 2)
    return found


def pieces(triangles: Ints, joined: Ints | None = None) -> Ints:
    """(m,) number of the connected piece every triangle belongs to, counted from 0 in order of appearance.

    ``joined`` (e, 2): pairs of triangles that hang together (default: across every edge).
    """
    pairs = edge_neighbours(triangles) if joined is None else joined
    label = np.arange(len(triangles))
    while len(pairs):
        low = np.minimum(label[pairs[:, 0]], label[pairs[:, 1]])
        new = label.copy()
        np.minimum.at(new, label[pairs[:, 0]], low)
        np.minimum.at(new, label[pairs[:, 1]], low)
        while not np.array_equal(new[new], new):
            new = new[new]
        new = new[label]
        if np.array_equal(new, label):
            break
        label = new
    _, numbered = np.unique(label, return_inverse=True)
    found: Ints = numbered.reshape(-1).astype(np.int64)
    return found


def smooth_faces(skin: Skin, sharp: float = SHARP) -> Ints:
    """(m,) number of the face of every triangle: faces end at edges where the skin turns by ``sharp`` deg."""
    pairs = edge_neighbours(skin.triangles)
    turn = np.einsum("ij,ij->i", skin.normals[pairs[:, 0]], skin.normals[pairs[:, 1]])
    flat = (skin.areas[pairs] == 0.0).any(axis=1)
    return pieces(skin.triangles, pairs[(turn >= np.cos(np.radians(sharp))) | flat])
