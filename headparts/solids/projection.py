"""Views of a solid by exact hidden-line removal, with the kernel's curve types kept.

A cross bore makes a whole view slow (two seconds); ``slab`` limits the solid to what the view needs, and
``beyond`` shows what lies behind a section plane in 5 to 15 ms.
"""

from __future__ import annotations

import math
from typing import Any

from headparts.geometry.curves import Arc, Curve, Line, Point, Polyline, bounds
from headparts.solids.flatten import Plane, flat_curve
from headparts.solids.section import extent, half_behind, wrapped

_SNAP = 1e-5
#: longest loose fragment of a hidden curve [mm]
SPECK = 0.2


def projection(solid: Any, plane: Plane, hidden: bool = False) -> tuple[Curve, ...]:
    """Visible (or hidden) edges and outlines of the solid seen along -normal, in sheet coordinates [mm].

    Doubles are removed, collinear lines and concentric arcs united. Raises nothing of its own; an empty
    solid gives an empty tuple.
    """
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.HLRAlgo import HLRAlgo_Projector
    from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
    from OCP.HLRBRep import HLRBRep_TypeOfResultingEdge as Kind

    algo = HLRBRep_Algo()
    algo.Add(wrapped(solid))
    algo.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(*plane.origin), gp_Dir(*plane.normal), gp_Dir(*plane.x))))
    algo.Update()
    algo.Hide()
    result = HLRBRep_HLRToShape(algo)
    curves: list[Curve] = []
    for kind in (Kind.HLRBRep_Sharp, Kind.HLRBRep_OutLine):
        for edge in _edges(result.CompoundOfEdges(kind, not hidden, True)):
            curve = flat_curve(edge, plane)
            if curve is not None:
                curves.append(curve)
    return without_specks(united(curves))


def beyond(solid: Any, plane: Plane) -> tuple[Curve, ...]:
    """What is seen behind a section plane, the cut's own outline included, in sheet coordinates [mm]."""
    return projection(half_behind(solid, plane), plane)


def slab(
    solid: Any,
    origin: tuple[float, float, float],
    normal: tuple[float, float, float],
    low: float,
    high: float,
) -> Any:
    """The part of the solid between two planes square to ``normal``, at ``low`` and ``high`` from origin [mm]."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    reach = 2.0 * extent(solid, origin) + 10.0
    start = [o + low * n for o, n in zip(origin, normal, strict=True)]
    drum = BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(*start), gp_Dir(*normal)), reach, high - low).Shape()
    return BRepAlgoAPI_Common(wrapped(solid), drum).Shape()


def _edges(compound: Any) -> list[Any]:
    from OCP.BRepLib import BRepLib
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    if compound is None or compound.IsNull():
        return []
    BRepLib.BuildCurves3d_s(compound)
    found, explorer = [], TopExp_Explorer(compound, TopAbs_ShapeEnum.TopAbs_EDGE)
    while explorer.More():
        found.append(TopoDS.Edge_s(explorer.Current()))
        explorer.Next()
    return found


def united(curves: list[Curve]) -> tuple[Curve, ...]:
    """Doubles dropped, collinear touching lines and touching arcs of one circle joined; order is fixed."""
    lines = [c for c in curves if isinstance(c, Line)]
    arcs = [c for c in curves if isinstance(c, Arc)]
    rest: dict[tuple[float, ...], Curve] = {}
    for curve in curves:
        if not isinstance(curve, Line | Arc):
            ends = sorted((_round(curve.at(0.0)), _round(curve.at(1.0))))
            rest.setdefault((*ends[0], *ends[1], *_round(curve.at(0.5))), curve)
    joined: list[Curve] = [*_join_lines(lines), *_join_arcs(arcs), *(rest[k] for k in sorted(rest))]
    return tuple(joined)


def without_specks(curves: tuple[Curve, ...]) -> tuple[Curve, ...]:
    """Without the specks that hidden-line removal leaves of hidden intersection curves: polylines shorter than SPECK
    that touch nothing else."""
    kept = []
    for curve in curves:
        if isinstance(curve, Polyline) and _extent(curve) < SPECK:
            ends = (curve.at(0.0), curve.at(1.0))
            others = [
                c for c in curves if c is not curve and not (isinstance(c, Polyline) and _extent(c) < SPECK)
            ]
            if not any(math.dist(e, p) < 1e-3 for e in ends for c in others for p in (c.at(0.0), c.at(1.0))):
                continue
        kept.append(curve)
    return tuple(kept)


def _extent(curve: Curve) -> float:
    x0, y0, x1, y1 = bounds([curve])
    return max(x1 - x0, y1 - y0)


def _round(p: Point) -> Point:
    return round(p[0], 5) + 0.0, round(p[1], 5) + 0.0


def _join_lines(lines: list[Line]) -> list[Line]:
    groups: dict[tuple[float, float, float], list[tuple[float, float]]] = {}
    frames: dict[tuple[float, float, float], tuple[Point, Point]] = {}
    for line in lines:
        (x0, y0), (x1, y1) = line.start, line.end
        length = math.dist(line.start, line.end)
        dx, dy = (x1 - x0) / length, (y1 - y0) / length
        if (round(dx, 7), round(dy, 7)) < (0.0, 0.0) or (round(dx, 7) == 0.0 and dy < 0.0):
            dx, dy = -dx, -dy
        offset = dx * y0 - dy * x0
        key = (round(dx, 6) + 0.0, round(dy, 6) + 0.0, round(offset, 5) + 0.0)
        ux, uy = frames.setdefault(key, ((dx, dy), (-dy * offset, dx * offset)))[0]
        a, b = sorted((ux * x0 + uy * y0, ux * x1 + uy * y1))
        groups.setdefault(key, []).append((a, b))
    out = []
    for key in sorted(groups):
        (dx, dy), foot = frames[key]
        for a, b in _spans(groups[key]):
            out.append(Line((foot[0] + a * dx, foot[1] + a * dy), (foot[0] + b * dx, foot[1] + b * dy)))
    return out


def _join_arcs(arcs: list[Arc]) -> list[Arc]:
    groups: dict[tuple[float, float, float], list[Arc]] = {}
    for arc in arcs:
        groups.setdefault((*_round(arc.centre), round(arc.radius, 5)), []).append(arc)
    out = []
    for key in sorted(groups):
        first = groups[key][0]
        spans = []
        for arc in groups[key]:
            begin = arc.begin % 360.0
            end = begin + arc.sweep
            spans.append((begin, min(end, 360.0)))
            if end > 360.0:
                spans.append((0.0, end - 360.0))
        merged = _spans(spans)
        if len(merged) > 1 and merged[0][0] < 1e-4 and merged[-1][1] > 360.0 - 1e-4:
            merged = [*merged[1:-1], (merged[-1][0], 360.0 + merged[0][1])]
        for a, b in merged:
            whole = b - a > 360.0 - 1e-4
            out.append(Arc(first.centre, first.radius, 0.0 if whole else a, 360.0 if whole else b - a))
    return out


def _spans(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    merged: list[tuple[float, float]] = []
    for a, b in sorted(spans):
        if merged and a <= merged[-1][1] + _SNAP:
            merged[-1] = (merged[-1][0], max(merged[-1][1], b))
        else:
            merged.append((a, b))
    return merged
