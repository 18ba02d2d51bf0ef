"""Faces of a solid by number, in the kernel's order of exploring."""

from __future__ import annotations

from typing import Any

from OCP.TopAbs import TopAbs_FACE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

from headparts.errors import KernelError
from headparts.solids.shapes import wrapped


def face_of(solid: Any, number: int) -> Any:
    """The kernel's face of a number counted from 0, as ``mesh.skin_of`` counts them."""
    explorer = TopExp_Explorer(wrapped(solid), TopAbs_FACE)
    for _ in range(number):
        explorer.Next()
    if not explorer.More():
        raise KernelError(f"the solid has no face {number}")
    return TopoDS.Face_s(explorer.Current())
