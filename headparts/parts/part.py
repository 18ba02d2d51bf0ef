"""What every part is: a solid, features that find their surfaces again, sizes read from those surfaces."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from headparts.errors import ParameterError
from headparts.parts.sizes import Kind, Size, value_of

if TYPE_CHECKING:
    from headparts.solids.measure import Reading

Vector = tuple[float, float, float]

__all__ = ["Feature", "Hint", "Kind", "Part", "Placement", "Size", "wrap"]


@dataclass(frozen=True)
class Hint:
    """Where to look for a surface, in the part's own frame [mm].

    point, direction : a line near the axis; for a plane the direction is its normal, out of the metal.
    at : a place on the surface.
    sense : "solid" (metal inside), "hollow" (metal outside) or None.
    reach : how far from ``at`` the surface may be.
    """

    point: Vector
    direction: Vector
    at: Vector
    sense: str | None = None
    reach: float = 0.25


@dataclass(frozen=True)
class Feature:
    """A named surface (cylinder, cone, plane, sphere) or edge (circle) that can be found on any solid."""

    name: str
    kind: str
    hint: Hint

    def probe(self, solid: Any) -> Reading:
        """Find the surface on ``solid`` and read its size from the surface itself.

        Raises KernelError, naming the feature, when no such surface lies within reach of the hint.
        """
        from headparts.solids.measure import probe

        hint = self.hint
        return probe(
            solid,
            self.kind,
            name=self.name,
            point=hint.point,
            direction=hint.direction,
            at=hint.at,
            sense=hint.sense,
            reach=hint.reach,
        )


@dataclass(frozen=True)
class Placement:
    """Where a part's own frame stands in the world: its origin [mm], and its x and z directions (unit)."""

    origin: Vector = (0.0, 0.0, 0.0)
    x: Vector = (1.0, 0.0, 0.0)
    z: Vector = (0.0, 0.0, 1.0)


@dataclass(frozen=True, eq=False)
class Part:
    """A solid with names on it.

    name : what files and sheets call it.
    shape : the kernel's solid in the part's own frame (a cadquery solid will do; its kernel solid is kept).
    features, sizes : by name.
    material : name, or None. density : g/cm3, or None.
    placement : where the part's frame stands in the world. colour : red, green, blue, 0 to 1.
    volume_expected : the volume by a second route that does not use the kernel [mm3], or None.
    proof : of a cut head, a ``headparts.solids.proven.Proof``; None for parts that are simply compared.
    outline : closed outline, (radius, z) [mm]; turned about the part's z axis it holds the whole solid. None: not known.
    """

    name: str
    shape: Any
    features: Mapping[str, Feature] = field(default_factory=dict)
    sizes: Mapping[str, Size] = field(default_factory=dict)
    material: str | None = None
    density: float | None = None
    placement: Placement = Placement()
    colour: Vector = (0.72, 0.72, 0.74)
    volume_expected: float | None = None
    proof: Any = None
    outline: tuple[tuple[float, float], ...] | None = None

    def __post_init__(self) -> None:
        if not self.name:
            raise ParameterError("name", self.name, "a part needs a name")
        if self.density is not None and not self.density > 0.0:
            raise ParameterError("density", self.density, "must be above 0 g/cm3")
        for size in self.sizes.values():
            for feature in size.of:
                if feature not in self.features:
                    raise ParameterError(f"sizes.{size.name}", feature, "is not a feature of this part")
        object.__setattr__(self, "shape", getattr(self.shape, "wrapped", self.shape))
        object.__setattr__(self, "features", MappingProxyType(dict(self.features)))
        object.__setattr__(self, "sizes", MappingProxyType(dict(self.sizes)))

    @cached_property
    def solid(self) -> Any:
        """The ``cadquery.Solid`` of the shape; it drops into any CadQuery script as it is.

        CadQuery is loaded when this is first asked for; KernelError where it cannot be.
        """
        from headparts.solids.shapes import in_cadquery

        return in_cadquery(self.shape)

    @cached_property
    def volume(self) -> float:
        """Volume of the solid [mm3], by the kernel's adaptive integration."""
        from headparts.solids.verify import volume

        return volume(self.shape)

    @property
    def mass(self) -> float | None:
        """Mass [g], or None where the density is not known."""
        return None if self.density is None else self.volume * self.density / 1000.0

    @cached_property
    def box(self) -> tuple[Vector, Vector]:
        """Lower and upper corner of the smallest upright box round the solid, own frame [mm]."""
        from headparts.solids.verify import bounds

        return bounds(self.shape)

    def measure(self, size_name: str, solid: Any = None) -> float:
        """The value of a size [mm or deg], read from the surfaces of ``solid`` (default: the part's own).

        Raises ParameterError for an unknown size, KernelError when a surface is not there.
        """
        size = self.sizes.get(size_name)
        if size is None:
            raise ParameterError("size", size_name, f"this part has {', '.join(self.sizes) or 'no sizes'}")
        target = self.shape if solid is None else solid
        return value_of(size, [self.features[name].probe(target) for name in size.of])

    def placed_shape(self) -> Any:
        """A copy of the kernel's solid in the world frame."""
        from headparts.solids.primitives import moved

        return moved(self.shape, self.placement.origin, self.placement.x, self.placement.z)

    def placed(self) -> Any:
        """A copy of the solid in the world frame, as a ``cadquery.Solid``."""
        from headparts.solids.shapes import in_cadquery

        return in_cadquery(self.placed_shape())


def wrap(solid: Any, name: str, material: str | None = None, density: float | None = None) -> Part:
    """A Part of a solid from elsewhere: a cadquery Solid, a Workplane with one solid, or a kernel shape.

    It has no features or sizes of its own; volume, mass, box and placement work.

    Raises
    ------
    GeometryError : the shape does not hold exactly one solid.
    """
    from headparts.solids.shapes import solid as one_solid

    shape = solid.val() if hasattr(solid, "val") else solid
    return Part(name=name, shape=one_solid(shape), material=material, density=density)
