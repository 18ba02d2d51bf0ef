"""A head that was scanned, with the planned cuts made in its triangles and proven: a mesh, not a solid with faces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from headparts.parts.head import cuts_of
from headparts.parts.head_parameters import HeadParameters
from headparts.parts.part import Vector

if TYPE_CHECKING:
    from headparts.geometry.skin import Skin
    from headparts.solids.mesh_cut import MeshProof

COARSEST = 0.01
"""Triangles of the tools are never further off the tools than this [mm]."""


@dataclass(frozen=True, eq=False)
class ScanHead:
    """A scanned head, cut, in the head's frame.

    name : what files call it. file : name of the scan's file. skin : its triangles.
    tolerance : how far the cuts' triangles may be off the cuts [mm].
    proof : what speaks for the cut; None: nothing was cut.
    material : name, or None. density : g/cm3, or None.
    """

    name: str
    file: str
    skin: Skin
    tolerance: float
    proof: MeshProof | None
    material: str | None = None
    density: float | None = None

    @property
    def volume(self) -> float:
        """Enclosed by the triangles [mm3]."""
        return self.skin.volume

    @property
    def mass(self) -> float | None:
        """Mass [g], or None where the density is not known."""
        return None if self.density is None else self.volume * self.density / 1000.0

    @property
    def box(self) -> tuple[Vector, Vector]:
        """Lower and upper corner of the upright box round it [mm]."""
        low, high = (tuple(each.tolist()) for each in self.skin.box)
        return (low[0], low[1], low[2]), (high[0], high[1], high[2])

    @property
    def origin(self) -> str:
        """Where it comes from and how good it is, for lists and reports."""
        cuts = "nothing cut" if self.proof is None else f"cuts within {self.tolerance:g} mm"
        return f"from a scan, {self.file}: what its triangles are off the real surface is not known; {cuts}"

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is not made of it or not looked at, and why."""
        return (
            f"{self.name} is {self.origin}.",
            f"{self.name} is written as STL only: STEP (assembly.step is without it), the set-ups and the "
            "sheet head_bores need surfaces, a scan has only triangles; give a STEP model to have them.",
            f"Clashes of other bodies with {self.name}: not run, a press is thinner than what the triangles of a scan "
            "may be off.",
        )


def cut_scan(
    scan: Skin,
    p: HeadParameters,
    name: str,
    file: str,
    tolerance: float = COARSEST,
    material: str | None = None,
    density: float | None = None,
) -> ScanHead:
    """A scan less the tools of ``p``, in one boolean of triangles. Without tools the scan as it is.

    ``tolerance`` [mm]: 0.0005 up to ``COARSEST``; a coarser one is made that.

    Raises
    ------
    KernelError : the cut could not be proven (see ``headparts.solids.mesh_cut``); no model is given.
    """
    tolerance = min(tolerance, COARSEST)
    if not p.tools:
        return ScanHead(name, file, scan, tolerance, None, material, density)
    from headparts.solids.mesh_cut import cut_skin

    skin, proof = cut_skin(scan, cuts_of(p), tolerance, name)
    return ScanHead(name, file, skin, tolerance, proof, material, density)
