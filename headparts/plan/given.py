"""A solid from a file of somebody else: STEP or STL, believed only when it is one sound solid."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from headparts.errors import GeometryError, KernelError
from headparts.geometry.skin import Skin

STEP, STL = (".step", ".stp"), (".stl",)


@dataclass(frozen=True)
class Given:
    """What a file holds: of a STEP file the kernel's ``solid``, of an STL file the ``skin``; mm, file's frame."""

    kind: str
    solid: Any = None
    skin: Skin | None = None


def read_given(path: str | Path) -> Given:
    """The one solid in a STEP file (.step, .stp; its unit is converted to mm) or STL file (.stl; taken as mm).

    Raises
    ------
    GeometryError : says in a few words, without the file's name, what is wrong with it: it cannot be read, its
        ending is another, it does not hold exactly one sound solid.
    """
    path = Path(path)
    ending = path.suffix.lower()
    if ending not in STEP + STL:
        raise GeometryError(f"its name must end with .step, .stp or .stl, not with {ending or 'nothing'}")
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        raise GeometryError("there is no such file") from None
    except OSError as error:
        raise GeometryError(f"it cannot be read: {error.strerror or error}") from None
    if ending in STL:
        from headparts.geometry.stl import read_stl

        return Given("STL", skin=read_stl(data))
    return Given("STEP", solid=_step(data))


def _step(data: bytes) -> Any:
    from headparts.solids.step_file import read_step
    from headparts.solids.verify import is_valid, volume

    try:
        found = read_step(data)
    except KernelError as error:
        raise GeometryError(str(error)) from None
    if len(found) != 1:
        raise GeometryError(f"it holds {len(found)} solids; one is needed")
    solid = found[0].solid
    if not is_valid(solid):
        raise GeometryError("the kernel finds the solid faulty: faces do not close or run through each other")
    if not volume(solid) > 0.0:
        raise GeometryError("the solid has no volume, or is inside out")
    return solid
