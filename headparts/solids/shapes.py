"""The kernel's shapes as they are passed about: what is in them, and the way to and from CadQuery.

Everything below works on the kernel's own shapes. CadQuery is loaded when somebody asks for one of its objects:
it brings a library of pictures along that takes as long to load as the kernel itself.
"""

from __future__ import annotations

from typing import Any

from OCP.TopAbs import TopAbs_EDGE, TopAbs_SOLID
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS
from OCP.TopTools import TopTools_IndexedMapOfShape

from headparts.errors import GeometryError
from headparts.solids.kernel import load_cadquery


def wrapped(shape: Any) -> Any:
    """The kernel's own shape of a cadquery shape (a kernel shape is returned as it is)."""
    return getattr(shape, "wrapped", shape)


def solids_of(shape: Any) -> list[Any]:
    """Every solid in a shape once, as kernel solids, in the kernel's order."""
    return [TopoDS.Solid_s(piece) for piece in _found(shape, TopAbs_SOLID)]


def edges_of(shape: Any) -> list[Any]:
    """Every edge in a shape once, as kernel edges, in the kernel's order."""
    return [TopoDS.Edge_s(piece) for piece in _found(shape, TopAbs_EDGE)]


def solid(shape: Any) -> Any:
    """The kernel solid in a shape that holds exactly one.

    Raises GeometryError when the shape holds none or several.
    """
    found = solids_of(shape)
    if len(found) != 1:
        raise GeometryError(f"one solid expected, the kernel gave {len(found)}")
    return found[0]


def in_cadquery(shape: Any) -> Any:
    """The ``cadquery.Solid`` of a kernel solid. Raises KernelError where CadQuery cannot be loaded."""
    return load_cadquery().Solid(wrapped(shape))


def _found(shape: Any, kind: Any) -> Any:
    found = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(wrapped(shape), kind, found)
    return found
