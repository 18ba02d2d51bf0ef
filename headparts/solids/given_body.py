"""A solid from elsewhere as something to be cut: the kernel cuts it, rays meet its triangles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from headparts.geometry.bodies import Cut
from headparts.geometry.box_tree import BoxTree
from headparts.geometry.rays import volume_in_skin
from headparts.geometry.skin import Skin
from headparts.solids.verify import volume

LEAST = 1e-4
"""Least relative difference allowed between the volume removed by the kernel and by rays."""


@dataclass(frozen=True, eq=False)
class GivenBody:
    """A kernel solid and its skin of triangles, whose chord error was measured."""

    given: Any
    skin: Skin

    def contains(self, points: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether points (n, 3) lie inside, by the triangles."""
        return self._tree.contains(points)

    @cached_property
    def volume(self) -> float:
        """Of the uncut solid [mm3], adaptive, by the kernel."""
        return volume(self.given)

    @cached_property
    def _tree(self) -> BoxTree:
        return BoxTree(self.skin)

    def left(self, tools: Sequence[Cut], rays: int = 40_000) -> tuple[float, float]:
        """Volume left when the tools are cut out [mm3], and the difference that chords and rays excuse.

        The kernel's adaptive volume of the uncut solid, less what rays find of the tools inside its triangles.
        Chords move only the part of the surface that the tools take away, each by its face's measured error.
        """
        whole = self.volume
        if not tools:
            return whole, LEAST * whole
        removed, spread = volume_in_skin(self._tree, self.skin.vertices, tools, rays)
        centres = self.skin.corners.mean(axis=1)
        inside = np.any([tool.contains(centres) for tool in tools], axis=0)
        chords = np.zeros(len(inside)) if self.skin.chords is None else self.skin.chords[self.skin.faces]
        chord = float((self.skin.areas * chords)[inside].sum())
        return whole - removed, max(LEAST * removed, 2.0 * spread) + chord
