"""Is a solid what it should be: validity, a volume that can be trusted, its box, a round trip."""

from __future__ import annotations

from typing import Any

from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from headparts.errors import KernelError
from headparts.solids.primitives import Vector
from headparts.solids.shapes import wrapped

ADAPTIVE = 1e-6
"""Relative error asked of the adaptive volume; above 1e-3 the kernel does not adapt at all."""


def is_valid(shape: Any) -> bool:
    """Whether the kernel finds no fault in the shape's topology and geometry."""
    return bool(BRepCheck_Analyzer(wrapped(shape), True).IsValid())


def volume(shape: Any) -> float:
    """Volume [mm3] by the kernel's adaptive integration.

    The default, non-adaptive integration is wrong for thin bodies (a press overlap 0.005 mm thick came out
    negative), so it is not used anywhere.
    """
    sums = GProp_GProps()
    BRepGProp.VolumeProperties_s(wrapped(shape), sums, ADAPTIVE, False, False)
    return float(sums.Mass())


def prove(shape: Any, name: str, expected: float, tolerance: float) -> None:
    """Accept a solid only when it is valid and its volume agrees with a second route.

    Raises
    ------
    KernelError : naming the part and both volumes [mm3].
    """
    if not is_valid(shape):
        raise KernelError(f"{name}: the kernel finds its own solid faulty")
    found = volume(shape)
    if not abs(found - expected) <= tolerance:
        raise KernelError(
            f"{name}: not proven, the solid's volume is {found:.4f} mm3, a second route gives {expected:.4f} "
            f"(allowed difference {tolerance:.4f})"
        )


def bounds(shape: Any) -> tuple[Vector, Vector]:
    """The smallest box with sides along x, y, z: lower and upper corner [mm], tight to about 1e-6 mm."""
    found = Bnd_Box()
    BRepBndLib.AddOptimal_s(wrapped(shape), found, False, False)
    found.SetGap(0.0)
    x0, y0, z0, x1, y1, z1 = found.Get()
    return (x0, y0, z0), (x1, y1, z1)
