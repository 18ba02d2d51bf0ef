"""The cylinder head, simplified: outline with fins, chamber, cavities and every bore, cut once and proven.

World frame: joint face at the outline's lower z, z toward the rockers, origin on the cylinder's axis.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from headparts.errors import ParameterError
from headparts.parts.head_features import features_of, sizes_of
from headparts.parts.head_tools import BEYOND, Tool
from headparts.parts.outline import finite, positive
from headparts.parts.part import Part

if TYPE_CHECKING:
    from headparts.solids.bodies import Body, Cut

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


def head(
    p: HeadParameters, name: str = "head", material: str | None = None, density: float | None = None
) -> Part:
    """Build a head in one cut and prove it; ``part.proof`` says what speaks for it.

    Raises
    ------
    KernelError : the solid could not be proven (see ``headparts.solids.proven``); no model is given.
    """
    from headparts.solids.bodies import Box
    from headparts.solids.proven import proven_cut

    casting = Box((p.x[0], p.y[0], p.z[0]), (p.x[1], p.y[1], p.z[1]))
    solid, proof = proven_cut(casting, cuts_of(p), name)
    return Part(
        name=name,
        solid=solid,
        features={feature.name: feature for feature in features_of(p)},
        sizes={size.name: size for size in sizes_of(p)},
        material=material,
        density=density,
        colour=(0.75, 0.77, 0.80),
        volume_expected=proof.second_volume,
        proof=proof,
    )


def cuts_of(p: HeadParameters) -> list[Cut]:
    """Everything that is taken out of the outline's box, as convex bodies: fin gaps first, then the tools."""
    return [*_fin_cuts(p), *(_cut_of(tool, p) for tool in p.effective_tools)]


def _fin_cuts(p: HeadParameters) -> Iterator[Cut]:
    from headparts.solids.bodies import Box, Cut

    if p.core_x is None or p.core_y is None:
        return
    for low, high in p.fin_gaps:
        gap = Box((p.x[0] - BEYOND, p.y[0] - BEYOND, low), (p.x[1] + BEYOND, p.y[1] + BEYOND, high))
        core = Box((p.core_x[0], p.core_y[0], low - BEYOND), (p.core_x[1], p.core_y[1], high + BEYOND))
        yield Cut(gap, core, f"fin gap at z = {low:g}")


def _cut_of(tool: Tool, p: HeadParameters) -> Cut:
    """The tool's convex body. An upright end that lies in a face of the casting is carried on outside it."""
    from headparts.solids.bodies import Ball, Beyond, Cone, Cut, Cylinder, RoundedBox

    body: Body
    if tool.shape == "cylinder":
        point, length = _carried_on(tool, p)
        body = Cylinder(point, tool.direction, tool.radius, length)
    elif tool.shape == "cone":
        body = Cone(tool.point, tool.direction, tool.radius, tool.radius_end, tool.length)
    elif tool.shape == "ball":
        body = Ball(tool.point, tool.radius)
    else:
        length, width, corner = tool.size
        z = (tool.point[2], tool.point[2] + tool.length)
        body = RoundedBox((tool.point[0], tool.point[1]), length, width, corner, z)
    if tool.beyond is not None:
        body = Beyond(body, *tool.beyond)
    if tool.spares is None:
        return Cut(body, name=tool.name)
    point, direction, radius = tool.spares
    far = 10.0 * max(p.x[1] - p.x[0], p.y[1] - p.y[0], p.z[1] - p.z[0])
    start = (point[0] - far * direction[0], point[1] - far * direction[1], point[2] - far * direction[2])
    return Cut(body, Cylinder(start, direction, radius, 2.0 * far), tool.name)


def _carried_on(tool: Tool, p: HeadParameters) -> tuple[tuple[float, float, float], float]:
    point, length = tool.point, tool.length
    for axis, (low, high) in enumerate((p.x, p.y, p.z)):
        sense = tool.direction[axis]
        if abs(sense) < 1.0 - 1e-12:
            continue
        entry, exit_ = (low, high) if sense > 0.0 else (high, low)
        if abs(point[axis] - entry) < 1e-9:
            moved = list(point)
            moved[axis] -= math.copysign(BEYOND, sense)
            point, length = (moved[0], moved[1], moved[2]), length + BEYOND
        if abs(tool.point[axis] + math.copysign(tool.length, sense) - exit_) < 1e-9:
            length += BEYOND
    return point, length


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
