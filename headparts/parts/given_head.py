"""A head that somebody else modelled, with the planned cuts made in it and proven."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from headparts.parts.head import cuts_of
from headparts.parts.head_features import features_of, sizes_of
from headparts.parts.head_parameters import HeadParameters
from headparts.parts.head_tools import Tool
from headparts.parts.outline import DOWN, UP
from headparts.parts.part import Feature, Hint, Part, Vector

if TYPE_CHECKING:
    from headparts.geometry.skin import Skin
    from headparts.solids.given_body import GivenBody

LEVEL = 0.999
FINE = 0.003
"""How far the triangles of the second route may be off the given solid's surface [mm]."""
NEAR = 1.0
"""The joint face and the top are looked for this far from z = 0 and from the highest place [mm]."""


def cut_given(
    solid: Any, skin: Skin, p: HeadParameters, name: str, material: str | None, density: float | None
) -> Part:
    """A given solid less the tools of ``p``, in one boolean; ``part.proof`` says what speaks for it.

    ``skin``: the solid's triangles, to find the joint face and the top on. Without tools the solid as it is.

    Raises
    ------
    KernelError : the cut could not be proven (see ``headparts.solids.proven``); no model is given.
    """
    from headparts.solids.given_body import GivenBody
    from headparts.solids.mesh import skin_of
    from headparts.solids.proven import proven_cut

    body = GivenBody(solid, skin_of(solid, FINE))
    p = replace(p, tools=tuple(tool for tool in p.tools if not _is_clear(body, p, tool)))
    made, proof = proven_cut(body, cuts_of(p), name) if p.tools else (solid, None)
    features = {feature.name: feature for feature in features_of(p)}
    for called, normal, z in (("joint_face", DOWN, 0.0), ("top", UP, p.z[1])):
        at = _level_place(skin, normal[2], z)
        if at is not None:
            features[called] = Feature(called, "plane", Hint((0.0, 0.0, at[2]), normal, at, None, NEAR))
    return Part(
        name=name,
        shape=made,
        features=features,
        sizes={size.name: size for size in sizes_of(p)},
        material=material,
        density=density,
        colour=(0.75, 0.77, 0.80),
        volume_expected=None if proof is None else proof.second_volume,
        proof=proof,
    )


def _is_clear(body: GivenBody, p: HeadParameters, tool: Tool) -> bool:
    """Whether nothing is left to clear beyond a port's face: a second cut along the same surfaces can fail."""
    if tool.role != "port_clearance":
        return False
    cuts = cuts_of(replace(p, tools=(tool,)))
    left, allowed = body.left(cuts, 4_000)
    return body.volume - left <= allowed


def _level_place(skin: Skin, up: float, z: float) -> Vector | None:
    """The middle of the largest level triangle near a height that faces up or down."""
    centres = skin.corners.mean(axis=1)
    level = (skin.normals[:, 2] * up > LEVEL) & (abs(centres[:, 2] - z) < NEAR)
    if not level.any():
        return None
    x, y, height = centres[level][skin.areas[level].argmax()].tolist()
    return x, y, height
