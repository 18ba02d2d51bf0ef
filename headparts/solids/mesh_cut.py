"""Cutting triangles: a scan less its tools in one boolean of meshes, believed only when a second route agrees.

The mesh library is loaded here alone, and only when a scan is cut. Lengths in mm.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from headparts.errors import KernelError
from headparts.geometry.bodies import Cut
from headparts.geometry.box_tree import BoxTree
from headparts.geometry.rays import volume_in_skin
from headparts.geometry.skin import UNITE, Floats, Ints, Skin, pieces
from headparts.geometry.weld import open_edges
from headparts.solids.body_solid import solid_of
from headparts.solids.given_body import LEAST
from headparts.solids.mesh import skin_of

RAYS = 6_000
"""For each of three directions; they are sent only where the tools are."""
COARSE = 1.0
"""The coarsest triangles that a tool may have: it lies within its mesh's box, grown by this [mm]."""


@dataclass(frozen=True)
class MeshProof:
    """What speaks for a cut scan. Volumes in mm3.

    volume : enclosed by the triangles that are kept, by the divergence theorem.
    second_volume, second_tolerance : the scan less what rays find of the true tools in it, and what was allowed.
    chord : largest measured distance of a tool's triangles from the tool [mm]; the cuts are that much too tight.
    loose : volumes of pieces that the cuts left hanging free; they are not part of the model.
    """

    volume: float
    second_volume: float
    second_tolerance: float
    chord: float
    loose: tuple[float, ...] = ()


def subtract(skins: Sequence[Skin]) -> Skin:
    """The first skin less all the others, in one boolean; ``faces`` says which of ``skins`` each triangle is from.

    Edges below 1e-5 mm are united, as single precision of a file cannot part them. The order of corners and
    triangles depends on where they lie alone.

    Raises
    ------
    KernelError : the library refuses a skin, or nothing is left.
    """
    from manifold3d import Error, Manifold, Mesh64, OpType

    bodies = []
    for number, skin in enumerate(skins):
        corners = np.ascontiguousarray(skin.vertices)
        triangles = np.ascontiguousarray(skin.triangles.astype(np.uint64))
        whole = np.array([0, triangles.size], dtype=np.uint64)
        own = np.array([number], dtype=np.uint32)
        bodies.append(Manifold(Mesh64(corners, triangles, run_index=whole, run_original_id=own)))
    left = Manifold.batch_boolean(bodies, OpType.Subtract).simplify(UNITE)
    for body, what in [*((each, "a skin that is to be cut") for each in bodies), (left, "the cut")]:
        if body.status() != Error.NoError:
            raise KernelError(f"the boolean of triangles refuses {what}: {body.status().name}")
    if left.is_empty():
        raise KernelError("the cuts leave nothing")
    made = left.to_mesh64()
    ends = np.asarray(made.run_index, dtype=np.int64) // 3
    owners = np.repeat(np.asarray(made.run_original_id, dtype=np.int64), ends[1:] - ends[:-1])
    corners = np.asarray(made.vert_properties, dtype=np.float64)[:, :3]
    return _ordered(Skin(corners, np.asarray(made.tri_verts, dtype=np.int64), owners))


def cut_skin(
    scan: Skin,
    tools: Sequence[Cut],
    tolerance: float,
    name: str,
    cutter: Callable[[Sequence[Skin]], Skin] = subtract,
) -> tuple[Skin, MeshProof]:
    """A scan less all tools, in one boolean, accepted only when everything agrees.

    The cut must be watertight, its volume must be the scan's less what rays find of the tools in it, and no tool
    may have metal all along its middle. Of several pieces the largest is kept.

    Parameters
    ----------
    scan : the skin of one solid. tools : what is cut out of it, at least one.
    tolerance : how far a tool's triangles may be off the tool [mm], 0.0005 to 1.
    name : for messages. cutter : how skins are subtracted (tests put in one that fails).

    Returns
    -------
    The skin, ``faces`` 0 for the scan and k for the k-th tool, and what speaks for it.

    Raises
    ------
    KernelError : the cut could not be proven; no model is given.
    """
    meshed = [skin_of(solid_of(tool), tolerance) for tool in tools]
    try:
        found = cutter([scan, *meshed])
    except KernelError as error:
        raise KernelError(f"{name}: {error}; no model is given") from None
    chords = np.array([0.0, *(mesh.chord or 0.0 for mesh in meshed)])
    tree = BoxTree(scan)
    removed, spread = volume_in_skin(tree, _window(scan, meshed), tools, RAYS)
    second = scan.volume - removed
    allowed = max(LEAST * removed, 2.0 * spread) + float((chords[found.faces] + UNITE) @ found.areas)
    fault = _fault(found, second, allowed) or _not_cut(found, tree, tools)
    if fault is not None:
        raise KernelError(f"{name}: the cut of the scan could not be proven, no model is given: {fault}")
    kept, loose = _largest(found)
    return kept, MeshProof(kept.volume, second - sum(loose), allowed, float(chords.max()), loose)


def _window(scan: Skin, meshed: Sequence[Skin]) -> Floats:
    """(n, 3) corners of boxes that hold all that the tools can take: where a tool's box and the scan's overlap."""
    boxes = [
        np.clip(np.stack([low - COARSE, high + COARSE]), *scan.box)
        for low, high in (mesh.box for mesh in meshed)
    ]
    picks = np.array(list(itertools.product((0, 1), repeat=3)))
    return np.concatenate([box[picks, np.arange(3)] for box in boxes])


def _fault(found: Skin, second: float, allowed: float) -> str | None:
    loose = open_edges(found.triangles)
    if loose:
        return f"it is not watertight, {loose} edges stay open"
    if not abs(found.volume - second) <= allowed:
        return (
            f"its triangles hold {found.volume:.3f} mm3, by rays {second:.3f} mm3 are left "
            f"(allowed difference {allowed:.3f})"
        )
    return None


def _not_cut(found: Skin, scan: BoxTree, tools: Sequence[Cut]) -> str | None:
    """A cut with metal all along its middle: a small hole that vanished hardly shows in the volume."""
    tree = BoxTree(found)
    for tool in tools:
        points = tool.inner()
        points = points[scan.contains(points)]
        if len(points) and tree.contains(points).all():
            return f"the cut {tool.name!r} is not there"
    return None


def _largest(found: Skin) -> tuple[Skin, tuple[float, ...]]:
    """The largest piece with the hollows inside it, and the volumes of the other pieces."""
    shells = pieces(found.triangles)
    if not shells.any():
        return found, ()
    parts = [_only(found, shells == k) for k in range(int(shells.max()) + 1)]
    volumes = [part.volume for part in parts]
    main = int(np.argmax(volumes))
    inside = BoxTree(parts[main])
    mine = [
        k == main or (volumes[k] < 0.0 and bool(inside.contains(parts[k].vertices[:1])[0]))
        for k in range(len(parts))
    ]
    loose = tuple(sorted((each for each, own in zip(volumes, mine, strict=True) if not own), reverse=True))
    return _only(found, np.array(mine)[shells]), loose


def _only(skin: Skin, keep: np.ndarray) -> Skin:
    """The triangles to keep, on the corners that they use."""
    used, place = np.unique(skin.triangles[keep], return_inverse=True)
    return replace(skin, vertices=skin.vertices[used], triangles=place.reshape(-1, 3), faces=skin.faces[keep])


def _ordered(skin: Skin) -> Skin:
    """The same skin with corners by x, y, z, every triangle from its first corner on, triangles in order."""
    order = np.lexsort(skin.vertices.T[::-1])
    rank = np.empty_like(order)
    rank[order] = np.arange(len(order))
    triangles: Ints = rank[skin.triangles]
    first = triangles.argmin(axis=1)
    turned = np.take_along_axis(triangles, (first[:, None] + np.arange(3)) % 3, axis=1)
    rows = np.lexsort(turned.T[::-1])
    return replace(skin, vertices=skin.vertices[order], triangles=turned[rows], faces=skin.faces[rows])
