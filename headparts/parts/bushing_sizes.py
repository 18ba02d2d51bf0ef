"""The sizes of a guide bushing by their names; whether they are possible is asked in `bushing.py`."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class BushingSizes:
    """Sizes of a guide bushing [mm, deg]. Diameters are as turned (bore + interference).

    body_diameter, body_length : the press body, from s = 0 to the shoulder.
    shank_diameter, top_s : the thinner upper end and where it stops.
    guide_bore, throat_diameter, roof_s : stem bore, bowl, and where the bowl's flat roof is.
    seat_outer_diameter, seat_width, seat_angle, seat_outer_s : the seat; width along the cone; angles from
        the plane square to the axis. top_cut_angle < seat_angle < throat_cut_angle.
    body_lead_length, body_lead_angle : cone at the body's inner end, which enters the bore first; it ends
        where the relief begins (at the shoulder without one). Angle to the axis. 0 length: no lead.
    relief_width, relief_depth : corner relief under the shoulder, radial depth; 0 or None: none. A lead that
        drops deeper than the relief leaves the relief at the lead's last radius.
    shank_lead_length, shank_lead_angle : cone at the shank's top.
    face_above_datum : how far the gas face alone is moved into the roof, + toward the rocker.
    boss_diameter, boss_length, boss_cone_angle : guide boss hanging below the roof (both or neither); its
        free end is coned outside with this half angle down to a wall of 0.8 mm, or the boss's own wall when
        that is thinner. A cone longer than the boss is cut off at the roof. The window's cutter spares it.
    window_diameter, window_s, window_elevation, window_offset : the port: diameter, where its axis passes
        the valve axis, its rise going outward, and how far it passes beside the axis (along +y). None: no
        window.
    clock_flat_depth, clock_flat_length : flat on the shank's top at azimuth 0: its distance from the axis
        and its length down from the top. Not given: 0.45 and 0.25 of the shank's diameter (common practice,
        no source). clock_flat = False: none.

    Nothing is refused here: `BushingParameters` are the same sizes, looked at when they are made.
    """

    body_diameter: float
    body_length: float
    shank_diameter: float
    top_s: float
    guide_bore: float
    throat_diameter: float
    roof_s: float
    seat_outer_diameter: float
    seat_width: float
    seat_angle: float = 45.0
    seat_outer_s: float = 0.3
    top_cut_angle: float = 30.0
    throat_cut_angle: float = 60.0
    body_lead_length: float = 0.0
    body_lead_angle: float = 10.0
    shank_lead_length: float = 0.0
    shank_lead_angle: float = 10.0
    relief_width: float | None = None
    relief_depth: float | None = None
    face_above_datum: float = 0.0
    boss_diameter: float | None = None
    boss_length: float | None = None
    boss_cone_angle: float | None = None
    window_diameter: float | None = None
    window_s: float | None = None
    window_elevation: float = 0.0
    window_offset: float = 0.0
    clock_flat: bool = True
    clock_flat_depth: float | None = None
    clock_flat_length: float | None = None
