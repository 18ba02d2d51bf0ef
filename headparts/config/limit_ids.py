"""Which checks exist and which limits each of them has: what `limits:` and `accept:` may name.

One line a check: its id, then its limits by name; the first one is set by a plain number. `*` marks a range
[low, high]; a check without names has no limit to set.
"""

from __future__ import annotations

_TABLE = """
W01 wall | W02 wall | W03 wall | W04 wall oil_return | W05 wall pocket_floor | W06 wall | W07 worst_case
W07r rss_case | W08 | W09 wall | W10 thin_area | W11 wall | W12 cavity_u
V01 head_gap overlap | V02 plug_gap | V03 rim_gap shrouded_share | V04 head_over_bore*
V05 exhaust_over_intake* | V06 throat_over_head* | V07 seat_inner_minus_throat | V08 overhang*
V09 margin exhaust | V10 piston_gap exhaust | V11 bore_gap | V12 compression_change*
B01 body_minus_head | B02 land | B03 wall_at_throat | B04 seat_width* exhaust* | B05 ring_to_window
B06 bridge_to_shoulder | B07 window_over_body | B08 half_chord | B09 guide_over_stem
B10 clearance_min clearance_max exhaust_min exhaust_max | B11 guide_wall | B12 boss_blocking | B13 seat_runout
B14 length_over_diameter contact_share | B15 lead_length lead_angle | B16 corner_spare | B17 face_proud
F01 loose_end | F02 grip | F03 hub_tresca | F04 hub_tresca | F05 hub_tresca | F06 bush_hoop_over_yield
F07 press_force | F08 assembly_slip | F09 clearance_after_press | F10 holding_torque | F11 oven_temperature
F12 od_window
P02 entry_angle | P03 wall | P05 axis_miss | P06 depth_window | P07 port_area_ratio | P08 lip
P09 mach_index port_speed* | P10 stock_left
S01 wall_least | S02 pressure_over_buckling free | S03 gap_min gap_max | S04 gap_change
S05 cover_inner cover_outer | S06 saddle_gap | S07 clearance moving | S08 wall worst_case
S09 temperature_reserve | S10 anti_rotation | S11 area_ratio | S12 hot_grip
R01 above_lower below_upper | R02 adjuster_need | R03 half_sweep_over_stem | R04 past_nut | R05 thread_over_d
R06 cover_left | R07 tunnel_play | R08 parallel | R09 oil_hole_overlap | R10 tip_offset_over_stem
K01 coil_bind | K02 retainer_gap | K03 seat_force_ratio* | K04 groove_to_retainer
M01 body_cleanup shank_cleanup | M02 step_gain | M03 reach_over_bar | M05 sweep_to_mouth | M06 spindle_gap
M07 temperature*
Q01 unstated | Q02 | Q03 pin_repeat | Q05 | Q06 | L01 lash_warm | H01 hazard
"""

LIMIT_NAMES: dict[str, tuple[str, ...]] = {
    words[0]: tuple(words[1:])
    for words in (entry.split() for entry in _TABLE.replace("\n", "|").split("|"))
    if words
}
PAIRED = {"B10": ("clearance_min", "clearance_max"), "S03": ("gap_min", "gap_max")}


def is_range(check: str, name: str | None = None) -> bool:
    """Whether the first limit of a check (or the named one) is a range [low, high]."""
    names = LIMIT_NAMES[check]
    wanted = name if name is not None else names[0].rstrip("*") if names else ""
    return f"{wanted}*" in names
