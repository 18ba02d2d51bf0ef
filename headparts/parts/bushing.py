"""The guide bushing: one turned piece with valve guide, bowl and seat, and the port's window in its side.

Own frame: z is s, the length along the valve axis (s = 0 at the station's datum point, + toward the rocker);
the window lies at azimuth 0 (+x). The solid has the sizes that are turned, not those of the bores.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from headparts.errors import ParameterError
from headparts.parts.ask import Ask, work_out
from headparts.parts.bushing_features import features_of, sizes_of
from headparts.parts.bushing_shape import END_WALL, Shape, flat_volume, shape_of
from headparts.parts.bushing_sizes import BushingSizes
from headparts.parts.outline import LEAST, below, finite, inside, positive, turned_volume
from headparts.parts.part import Part, Placement

__all__ = ["END_WALL", "BushingParameters", "bushing"]


@dataclass(frozen=True)
class BushingParameters(BushingSizes):
    """Sizes of a guide bushing that can be made: every one of `BushingSizes`, looked at together.

    Every impossible value raises ParameterError when the object is made, before the kernel is loaded.
    """

    def __post_init__(self) -> None:
        for check in (_sizes, _seat, _outside, _boss, _window, _clock):
            check(self)

    @property
    def shape(self) -> Shape:
        """The turned outline and the places along it, by arithmetic alone (no kernel)."""
        return shape_of(self)

    @property
    def turned_volume(self) -> float:
        """Volume of the turned piece before window and clock flat [mm3], in closed form."""
        return turned_volume(self.shape.outline)


def bushing(
    p: BushingParameters,
    name: str = "bushing",
    material: str | None = None,
    density: float | None = None,
    placement: Placement | None = None,
    ask: Ask = work_out,
) -> Part:
    """Build a guide bushing: one outline turned, window and flat cut in one step, and the result proven.

    The second volume is the closed form of the turned outline less the window, added up along rays, and
    the flat, integrated; the two volumes must agree to 1e-4 of what was cut plus 1e-6 of the whole.

        Raises
    ------
    KernelError : the solid could not be proven.

    Example
    -------
    >>> from headparts.parts import BushingParameters, bushing
    >>> sizes = BushingParameters(body_diameter=16.534, body_length=17.0, shank_diameter=8.008, top_s=34.7,
    ...     guide_bore=4.0, throat_diameter=12.6, roof_s=14.0, seat_outer_diameter=14.1, seat_width=1.0,
    ...     window_diameter=10.5, window_s=7.0, window_elevation=12.0)
    >>> round(bushing(sizes).measure("guide_bore"), 9)
    4.0
    """
    from headparts.solids.cut import cut
    from headparts.solids.primitives import box, cylinder, revolve
    from headparts.solids.verify import prove, volume

    shape = shape_of(p)
    solid = revolve(shape.outline)
    tools = []
    if p.window_diameter is not None:
        foot, direction, length = shape.window
        tool = cylinder(foot, direction, p.window_diameter / 2.0, length)
        if p.boss_diameter is not None:
            tool = cut(tool, [cylinder((0, 0, -1e3), (0, 0, 1), p.boss_diameter / 2.0, 2e3)])
        tools.append(tool)
    if p.clock_flat:
        side = p.shank_diameter
        tools.append(
            box((shape.flat_depth, -side, p.top_s - shape.flat_length), (side, side, p.top_s + side))
        )
    solid = cut(solid, tools)
    expected = p.turned_volume - ask(cut_away, p)
    allowed = 1e-4 * (p.turned_volume - expected) + 1e-6 * p.turned_volume
    if abs(volume(solid) - expected) > 0.3 * allowed:
        expected = p.turned_volume - cut_away(p, FINE)
    prove(solid, name, expected, allowed)
    return Part(
        name=name,
        shape=solid,
        features={feature.name: feature for feature in features_of(p, shape)},
        sizes={size.name: size for size in sizes_of(p, shape)},
        material=material,
        density=density,
        placement=placement or Placement(),
        colour=(0.80, 0.62, 0.34),
        volume_expected=expected,
        outline=shape.outline,
    )


COARSE, FINE = (24, 96), (48, 400)
"""Rays through the window, over its height and across: the fine grid is used where the coarse one is not
near enough to judge by (a window that runs into the guide bore)."""


def cut_away(p: BushingParameters, rays: tuple[int, int] = COARSE) -> float:
    """Volume of window and clock flat by arithmetic alone [mm3]; the two never meet."""
    from headparts.geometry.rays import drilled_from_turned

    lost, shape = 0.0, shape_of(p)
    if p.window_diameter is not None:
        rise, spared = math.radians(p.window_elevation), (p.boss_diameter or 0.0) / 2.0
        radius = p.window_diameter / 2.0
        lost += drilled_from_turned(shape.outline, shape.window[0], rise, radius, spared, rays)
    if p.clock_flat:
        lost += flat_volume(p, shape)
    return lost


def _sizes(p: BushingParameters) -> None:
    for key in (
        "body_diameter",
        "body_length",
        "shank_diameter",
        "guide_bore",
        "throat_diameter",
        "seat_outer_diameter",
        "seat_width",
    ):
        positive(key, getattr(p, key))
    for key in ("top_s", "roof_s", "seat_outer_s", "face_above_datum"):
        finite(key, getattr(p, key))
    below("guide_bore", p.guide_bore, "shank_diameter", p.shank_diameter)
    below("shank_diameter", p.shank_diameter, "body_diameter", p.body_diameter)
    below("throat_diameter", p.throat_diameter, "body_diameter", p.body_diameter)
    below("guide_bore", p.guide_bore, "throat_diameter", p.throat_diameter)
    below("body_length", p.body_length, "top_s", p.top_s)
    below("face_above_datum", p.face_above_datum, "body_length", p.body_length)
    if p.roof_s > p.body_length and p.throat_diameter >= p.shank_diameter:
        raise ParameterError("roof_s", p.roof_s, f"must not pass the shoulder ({p.body_length:g})")
    if p.roof_s == p.body_length:
        raise ParameterError("roof_s", p.roof_s, f"leaves no metal under the shoulder ({p.body_length:g})")


def _seat(p: BushingParameters) -> None:
    inside("seat_angle", p.seat_angle, 0.0, 90.0)
    inside("top_cut_angle", p.top_cut_angle, 0.0, p.seat_angle)
    inside("throat_cut_angle", p.throat_cut_angle, p.seat_angle, 90.0)
    below("throat_diameter", p.throat_diameter, "seat_outer_diameter", p.seat_outer_diameter)
    inner = p.seat_outer_diameter - 2.0 * p.seat_width * math.cos(math.radians(p.seat_angle))
    if inner <= p.guide_bore:
        raise ParameterError(
            "seat_width", p.seat_width, f"leaves a seat of {inner:.3f} inside, below the guide bore"
        )
    if p.seat_outer_s < p.face_above_datum:
        raise ParameterError(
            "seat_outer_s", p.seat_outer_s, f"must not lie below the gas face ({p.face_above_datum:g})"
        )
    rise = p.seat_outer_s - p.face_above_datum
    if 0.0 < rise < LEAST:
        raise ParameterError("seat_outer_s", p.seat_outer_s, f"must be the gas face or {LEAST:g} mm above it")
    mouth = p.seat_outer_diameter + 2.0 * rise / math.tan(math.radians(p.top_cut_angle))
    if mouth >= p.body_diameter:
        raise ParameterError(
            "top_cut_angle",
            p.top_cut_angle,
            f"the top cut would open to {mouth:.3f} at the gas face, past the body ({p.body_diameter:g})",
        )
    shape = shape_of(p)
    if shape.throat_s >= p.roof_s:
        raise ParameterError(
            "roof_s", p.roof_s, f"must lie above the end of the throat cut ({shape.throat_s:.3f})"
        )


def _outside(p: BushingParameters) -> None:
    if (p.relief_width is None) != (p.relief_depth is None):
        raise ParameterError("relief_width", p.relief_width, "relief_width and relief_depth go together")
    if p.relief_width is not None and p.relief_depth is not None:
        positive("relief_width", p.relief_width)
        positive("relief_depth", p.relief_depth)
        step = (p.body_diameter - p.shank_diameter) / 2.0
        below("relief_depth", p.relief_depth, "the shoulder's width", step)
        below(
            "relief_depth",
            p.relief_depth,
            "the wall at the throat",
            (p.body_diameter - p.throat_diameter) / 2.0,
        )
    for key, end in (("body_lead", p.body_length - (p.relief_width or 0.0)), ("shank_lead", p.top_s)):
        length, angle = getattr(p, f"{key}_length"), getattr(p, f"{key}_angle")
        finite(f"{key}_length", length)
        if length != 0.0:
            positive(f"{key}_length", length)
        inside(f"{key}_angle", angle, 0.0, 90.0)
        start = p.face_above_datum if key == "body_lead" else p.body_length
        if end - length <= start:
            raise ParameterError(
                f"{key}_length", length, f"leaves no land: {end - start:.3f} is all there is"
            )
    drop = p.body_lead_length * math.tan(math.radians(p.body_lead_angle))
    step = (p.body_diameter - p.shank_diameter) / 2.0
    below("body_lead_length", drop, "the shoulder's width, which its cone would cut away", step)
    drop = p.shank_lead_length * math.tan(math.radians(p.shank_lead_angle))
    below(
        "shank_lead_length",
        drop,
        "the guide's wall, which its cone would cut away",
        (p.shank_diameter - p.guide_bore) / 2.0,
    )


def _boss(p: BushingParameters) -> None:
    if (p.boss_diameter is None) != (p.boss_length is None):
        raise ParameterError("boss_length", p.boss_length, "boss_diameter and boss_length go together")
    if p.boss_diameter is None or p.boss_length is None:
        return
    inside("boss_diameter", p.boss_diameter, p.guide_bore, p.throat_diameter)
    positive("boss_length", p.boss_length)
    if p.boss_cone_angle is not None:
        inside("boss_cone_angle", p.boss_cone_angle, 0.0, 90.0)
    if p.roof_s - p.boss_length <= p.face_above_datum:
        raise ParameterError("boss_length", p.boss_length, "the boss would hang out of the gas face")


def _window(p: BushingParameters) -> None:
    if (p.window_diameter is None) != (p.window_s is None):
        raise ParameterError("window_s", p.window_s, "window_diameter and window_s go together")
    finite("window_elevation", p.window_elevation)
    finite("window_offset", p.window_offset)
    if p.window_diameter is None or p.window_s is None:
        return
    positive("window_diameter", p.window_diameter)
    inside("window_elevation", p.window_elevation, -75.0, 75.0)
    inside("window_s", p.window_s, p.face_above_datum, p.body_length)
    below("window_diameter", p.window_diameter, "body_diameter", p.body_diameter)
    reach = (p.body_diameter - p.window_diameter) / 2.0
    if abs(p.window_offset) >= reach:
        raise ParameterError(
            "window_offset", p.window_offset, f"the window leaves the body's side ({reach:.3f})"
        )


def _clock(p: BushingParameters) -> None:
    for key in _clock_keys(p):
        positive(key, getattr(p, key))
    if not p.clock_flat:
        return
    shape = shape_of(p)
    inside("clock_flat_depth", shape.flat_depth, p.guide_bore / 2.0, shape.shank_top_radius)
    inside("clock_flat_length", shape.flat_length, 0.0, p.top_s - p.body_length)


def _clock_keys(p: BushingParameters) -> Iterator[str]:
    for key in ("clock_flat_depth", "clock_flat_length"):
        if getattr(p, key) is not None:
            yield key
