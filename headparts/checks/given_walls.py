"""W05 and S08 for a head that was given as a solid: a cut against every part of its surface that counts."""

from __future__ import annotations

from math import inf
from typing import Any

import numpy as np

from headparts.checks.context import Context
from headparts.geometry.axis import Array
from headparts.geometry.distance import PROVEN_GAP, Wall
from headparts.geometry.skin_wall import SMALLEST, Place, SkinWall, counting, skin_wall
from headparts.geometry.triangles import segment_to_triangles
from headparts.geometry.void import Void
from headparts.plan import MissingInput
from headparts.plan.chamber_mesh import chamber_mesh
from headparts.plan.given_head import GivenHead
from headparts.plan.given_outside import regions_for, regions_of, surface_for
from headparts.plan.station import StationPlan

A_SCAN = "unproven: a scan, what its triangles are off the real surface is not known"
KERNEL = (
    "unproven: a curved face is nearest or nearly so; from below stands its triangles' measured chord error"
)
THROUGH = "unproven: the cut comes out through the given surface; how deep is told by its axis alone"
RIM = f"unproven: on the rim of what is cut away or judged elsewhere, {SMALLEST:g} short at most"

FLAT = 1e-9
"""A face whose triangles are nearer to it than this is flat [mm]."""


def given_wall(context: Context, role: str, station: StationPlan, cut: Void) -> Wall:
    """The wall of a cut to the surface of the head that ``head.solid`` gives; MissingInput without one."""
    given = context.plan.given
    if given is None:
        raise MissingInput("head.solid")
    if chamber_mesh(context.job) is not None:
        raise MissingInput(
            note="not built for a given head with a mesh chamber: give the chamber as disc, dome or bathtub"
        )
    regions = regions_for(context.remember("given_regions", lambda: regions_of(context.plan)), cut)
    chord = given.skin.chord or 0.0
    corners, faces = surface_for(context.plan, given, role, station)
    found = skin_wall(cut, corners, faces, regions, 2.0 * chord)
    best = found.best
    if best is None:
        raise MissingInput(
            note=f"no part of the surface read from {context.inputs.one('head.solid.file')} counts"
        )
    off = f"the file's three points fit within {given.off:.3f}" if given.off > 1e-6 else ""
    if best.value == 0.0:
        own = faces == best.face
        value = -_depth(cut, counting(corners[own], faces[own], regions[:-1])[0])
        return Wall(value, -inf, 0.0, best.at, "axis against the surface", False, _joined(THROUGH, off))
    if given.solid is None:
        remark = _joined(A_SCAN, RIM if found.rim else "", off)
        return Wall(best.value, -inf, best.value, best.at, "triangles of a scan", False, remark)
    best, lower = _on_faces(found, cut, given)
    proven = not found.rim and best.value - lower <= PROVEN_GAP
    remark = _joined("" if proven else RIM if found.rim else KERNEL, off)
    return Wall(best.value, lower, best.value, best.at, "faces of the given solid", proven, remark)


def _depth(cut: Void, corners: Array) -> float:
    """How far a cut stands out [mm]: what of its radius lies beyond a face of the surface as its axis sees it."""
    axis, radius = cut.cores[0].axis, cut.cores[0].radius
    assert axis is not None
    assert radius is not None
    ends = np.asarray(axis.point), np.asarray(axis.at(axis.length))
    return max(0.0, radius - float(segment_to_triangles(*ends, corners).min()))


def _on_faces(found: SkinWall, cut: Void, given: GivenHead) -> tuple[Place, float]:
    """The nearest place, and below what nothing lies: flat faces as they are, curved ones polished on the surface."""
    chords = given.skin.chords
    assert chords is not None
    shapes: list[Any] = []
    exact, lower = [], found.lower
    for face, place in found.places.items():
        chord = float(chords[face])
        exact.append(place if chord < FLAT else _polished(cut, given, place, chord, shapes))
        if chord >= FLAT:
            lower = min(lower, place.lower - chord)
    best = min(exact, key=lambda each: each.value)
    return best, min(lower, best.value)


def _polished(cut: Void, given: GivenHead, place: Place, chord: float, shapes: list[Any]) -> Place:
    """The place on the surface itself; as it was where the kernel slid to another part of the face."""
    from headparts.solids.distance import polished_from
    from headparts.solids.faces import face_of
    from headparts.solids.void_solid import void_solids

    if not shapes:
        shapes += void_solids(cut)
    face = face_of(given.solid, place.face)
    tried = [polished_from(shape, face, *place.at) for shape in shapes]
    value, on_cut, on_face = min(tried, key=lambda each: each[0])
    if value < place.value - 2.0 * chord:
        return place
    return Place(value, place.lower, (on_cut, on_face), place.face)


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part)
