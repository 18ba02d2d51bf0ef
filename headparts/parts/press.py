"""What overlap a press is meant to show: the thin tube between a turned bushing and the bore it goes into.

Plain arithmetic on the parameters, no kernel: the second route beside the boolean of the solids.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from headparts.errors import ParameterError
from headparts.parts.bushing import BushingParameters
from headparts.parts.head_parameters import HeadParameters
from headparts.parts.part import Placement
from headparts.parts.sleeve import SleeveParameters

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

AROUND, ALONG = 480, 240


def press_overlap(p: BushingParameters, placement: Placement, h: HeadParameters, station: str) -> float:
    """Overlap [mm3] of a bushing, placed, with a head that has ``body_bore_<station>`` and the shank's bore.

    The annulus pi/4 (D_turned^2 - D_bore^2) over the contact length, less what is not there: the body's lead
    and relief, the window, and every other cut of the head, found by midpoint sampling of the bore's surface
    (480 x 240 points; about 1e-3 of the volume).

    Raises
    ------
    ParameterError : the head has no such bore.
    """
    import numpy as np

    tools = {tool.name: tool for tool in h.effective_tools}
    total = 0.0
    for name, low, high in (
        (f"body_bore_{station}", p.face_above_datum, p.body_length),
        (f"shank_bore_{station}", p.body_length, p.top_s),
    ):
        tool = tools.get(name)
        if tool is None:
            raise ParameterError("station", station, f"the head has no {name}")
        s = low + (np.arange(ALONG) + 0.5) * (high - low) / ALONG
        thick = np.maximum(_outside_radius(p, s) ** 2 - tool.radius**2, 0.0) / 2.0
        touching = thick > 0.0
        if not touching.any():
            continue
        metal = _metal(p, placement, h, name, tool.radius + 1e-6, s[touching])
        share = metal.reshape(int(touching.sum()), AROUND).mean(axis=1)
        total += float((thick[touching] * share).sum()) * 2.0 * math.pi * (high - low) / ALONG
    return total


def saddle_overlap(s: SleeveParameters, p: BushingParameters) -> float:
    """Overlap [mm3] of a saddled sleeve, cut to the bore's radius, with a bushing drawn as turned.

    The bushing is larger than its bore by the interference until it is pressed in; the sleeve's end, cut to the
    bore, stands that much in its side: along every generator of the tube the way from the saddle to the
    bushing's turned outside, integrated over the wall (Gauss points across, equal angles round).
    """
    import numpy as np

    if s.inner_end != "saddle" or p.window_s is None:
        return 0.0
    inner = max(s.inner_diameter, p.window_diameter or 0.0) / 2.0
    outer = s.outer_diameter / 2.0
    if inner >= outer:
        return 0.0
    nodes, weights = np.polynomial.legendre.leggauss(24)
    r = (inner + (outer - inner) * (nodes + 1.0) / 2.0)[:, None]
    azimuth = ((np.arange(2880) + 0.5) * (2.0 * math.pi / 2880))[None, :]
    turn = math.radians(s.axis_angle)
    x, y = r * np.cos(azimuth), r * np.sin(azimuth) - s.axis_offset

    def height(radius: Array | float) -> Array:
        result: Array = (x * math.cos(turn) + np.sqrt(radius**2 - y * y)) / math.sin(turn)
        return result

    cut = height(s.saddle_radius)
    at_s = p.window_s + x * math.sin(turn) + cut * math.cos(turn)
    outside = np.maximum(_outside_radius(p, at_s), s.saddle_radius)
    depth = height(outside) - cut
    return float(weights @ (depth * r).mean(axis=1)) * 2.0 * math.pi * (outer - inner) / 2.0


def _outside_radius(p: BushingParameters, s: Array) -> Array:
    """Radius of the turned outside at every s (no window, no flat)."""
    import numpy as np

    shape = p.shape
    body, shank = p.body_diameter / 2.0, p.shank_diameter / 2.0
    lead = body - (s - shape.lead_start_s) * math.tan(math.radians(p.body_lead_angle))
    radius = np.where(s < shape.lead_start_s, body, np.where(s < shape.lead_end_s, lead, shape.relief_radius))
    top = shank - np.maximum(s - shape.shank_lead_s, 0.0) * math.tan(math.radians(p.shank_lead_angle))
    return np.where(s < p.body_length, radius, top)


def _metal(
    p: BushingParameters, placement: Placement, h: HeadParameters, own: str, radius: float, s: Array
) -> NDArray[np.bool_]:
    """Which points of a bore's surface have metal of the head outside and of the bushing inside."""
    import numpy as np

    from headparts.parts.head import cuts_of

    azimuth = (np.arange(AROUND) + 0.5) * 2.0 * math.pi / AROUND
    local = np.stack(
        np.broadcast_arrays(radius * np.cos(azimuth)[None, :], radius * np.sin(azimuth)[None, :], s[:, None]),
        axis=-1,
    ).reshape(-1, 3)
    x, z = np.asarray(placement.x), np.asarray(placement.z)
    world = np.asarray(placement.origin) + local @ np.stack([x, np.cross(z, x), z])
    low, high = np.array([h.x[0], h.y[0], h.z[0]]), np.array([h.x[1], h.y[1], h.z[1]])
    metal: NDArray[np.bool_] = np.all((world > low) & (world < high), axis=1)
    for cut in cuts_of(h):
        if cut.name != own:
            metal &= ~cut.contains(world)
    if p.window_diameter is not None:
        foot, direction, _ = p.shape.window
        offset = local - np.asarray(foot)
        reach = offset @ np.asarray(direction)
        aside = np.einsum("ij,ij->i", offset, offset) - reach**2
        metal &= ~((reach > 0.0) & (aside < (p.window_diameter / 2.0) ** 2))
    if p.clock_flat:
        metal &= ~((local[:, 0] > p.shape.flat_depth) & (local[:, 2] > p.top_s - p.shape.flat_length))
    return metal
