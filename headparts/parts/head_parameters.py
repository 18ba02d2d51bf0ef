"""What a head is cut from and what is cut out of it; impossible sizes are refused before the kernel is loaded."""

from __future__ import annotations

import math
from dataclasses import dataclass

from headparts.errors import ParameterError
from headparts.parts.head_tools import Tool
from headparts.parts.outline import finite, positive

Range = tuple[float, float]


@dataclass(frozen=True)
class HeadParameters:
    """What a head is cut from and what is cut out of it [mm].

    x, y, z : outline of the casting, lower and upper; the joint face is the lower z.
    tools : every cut; see ``headparts.parts.head_tools`` for the ones a head has. For the head as it was
        found ("old"), give the old bores instead of the new ones.
    core_x, core_y : the solid block inside the fins; both or neither.
    fin_z, fin_pitch, fin_thickness : fins from fin_z[0] to fin_z[1], the first one's lower face at fin_z[0];
        gaps of pitch - thickness follow each fin up to fin_z[1]. Needs a core. Above and below it is full.

    Impossible values raise ParameterError when the object is made, before the kernel is loaded.
    """

    x: Range
    y: Range
    z: Range
    tools: tuple[Tool, ...] = ()
    core_x: Range | None = None
    core_y: Range | None = None
    fin_z: Range | None = None
    fin_pitch: float | None = None
    fin_thickness: float | None = None

    def __post_init__(self) -> None:
        for key in ("x", "y", "z", "core_x", "core_y", "fin_z"):
            pair = getattr(self, key)
            if pair is None:
                continue
            for value in pair:
                finite(key, value)
            if not pair[0] < pair[1]:
                raise ParameterError(key, pair, "the first must be below the second")
        names = [tool.name for tool in self.tools]
        for name in names:
            if names.count(name) > 1:
                raise ParameterError("tools", name, "two tools of one name")
        if (self.core_x is None) != (self.core_y is None):
            raise ParameterError("core_x", self.core_x, "core_x and core_y go together")
        for key, outline in (("core_x", self.x), ("core_y", self.y)):
            core = getattr(self, key)
            if core is not None and not (outline[0] <= core[0] and core[1] <= outline[1]):
                raise ParameterError(key, core, f"must lie within the outline {outline}")
        self._check_fins()

    def _check_fins(self) -> None:
        given = [value is not None for value in (self.fin_z, self.fin_pitch, self.fin_thickness)]
        if any(given) and not all(given):
            raise ParameterError("fin_z", self.fin_z, "fin_z, fin_pitch and fin_thickness go together")
        if self.fin_z is None or self.fin_pitch is None or self.fin_thickness is None:
            return
        if self.core_x is None:
            raise ParameterError("core_x", None, "is missing: fins need a core")
        positive("fin_pitch", self.fin_pitch)
        positive("fin_thickness", self.fin_thickness)
        if not self.fin_thickness < self.fin_pitch:
            allowed = f"must be below the pitch ({self.fin_pitch:g})"
            raise ParameterError("fin_thickness", self.fin_thickness, allowed)
        if not (self.z[0] <= self.fin_z[0] and self.fin_z[1] <= self.z[1]):
            raise ParameterError("fin_z", self.fin_z, f"must lie within the outline {self.z}")
        if (self.fin_z[1] - self.fin_z[0]) / self.fin_pitch > 60.0:
            raise ParameterError("fin_pitch", self.fin_pitch, "gives more than 60 fins")

    @property
    def fin_gaps(self) -> tuple[Range, ...]:
        """Lower and upper z of every gap between fins."""
        if self.fin_z is None or self.fin_pitch is None or self.fin_thickness is None:
            return ()
        gaps = []
        start = self.fin_z[0] + self.fin_thickness
        while start < self.fin_z[1] - 1e-9:
            gaps.append((start, min(start + self.fin_pitch - self.fin_thickness, self.fin_z[1])))
            start += self.fin_pitch
        return tuple(gaps)

    @property
    def effective_tools(self) -> tuple[Tool, ...]:
        """The tools that leave a mark: a port that a sleeve's bore takes away entirely is left out."""
        return tuple(tool for tool in self.tools if not any(_swallows(other, tool) for other in self.tools))


def _swallows(other: Tool, tool: Tool) -> bool:
    """Whether a sleeve's bore takes away all of a port on the same axis."""
    if other.role != "sleeve_bore" or tool.role != "port" or other.radius < tool.radius:
        return False
    along = sum(a * b for a, b in zip(other.direction, tool.direction, strict=True))
    return (
        math.dist(other.point, tool.point) < 1e-9
        and along > 1.0 - 1e-12
        and other.length >= tool.length - 1e-9
    )
