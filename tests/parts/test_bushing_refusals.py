"""Impossible bushings are refused by name before the kernel is loaded."""

from __future__ import annotations

import subprocess
import sys

import pytest

from headparts.errors import HeadpartsError, ParameterError
from headparts.parts import BushingParameters

IMPOSSIBLE = [
    ("throat_diameter", {"throat_diameter": 14.1}),
    ("throat_diameter", {"throat_diameter": 15.0}),
    ("guide_bore", {"throat_diameter": 3.9}),
    ("shank_diameter", {"shank_diameter": 16.6}),
    ("guide_bore", {"guide_bore": 8.1}),
    ("guide_bore", {"guide_bore": 0.0}),
    ("body_diameter", {"body_diameter": -16.5}),
    ("body_length", {"body_length": float("nan")}),
    ("body_length", {"body_length": 40.0}),
    ("roof_s", {"roof_s": 17.0}),
    ("roof_s", {"roof_s": 18.0}),
    ("roof_s", {"roof_s": 0.5}),
    ("top_cut_angle", {"top_cut_angle": 10.0}),  # opens to 17.5, past the body
    ("top_cut_angle", {"top_cut_angle": 50.0}),
    ("throat_cut_angle", {"throat_cut_angle": 40.0}),
    ("seat_angle", {"seat_angle": 90.0}),
    ("seat_width", {"seat_width": 8.0}),
    ("seat_width", {"seat_width": 0.0}),
    ("seat_outer_s", {"seat_outer_s": -0.1}),
    ("seat_outer_s", {"face_above_datum": 0.4}),
    ("body_lead_length", {"body_lead_length": 16.2}),  # nothing cylindrical left
    ("body_lead_length", {"body_lead_length": -1.0}),
    ("body_lead_length", {"body_lead_length": 15.0, "body_lead_angle": 20.0}),
    ("body_lead_angle", {"body_lead_angle": 90.0}),
    ("shank_lead_length", {"shank_lead_length": 17.7}),
    ("shank_lead_length", {"shank_lead_length": 12.0}),
    ("relief_depth", {"relief_depth": 4.4}),
    ("relief_depth", {"relief_depth": 2.0}),
    ("relief_width", {"relief_depth": None}),
    ("relief_width", {"relief_width": 0.0}),
    ("window_s", {"window_s": None}),
    ("window_s", {"window_s": 0.0}),
    ("window_s", {"window_s": 17.0}),
    ("window_elevation", {"window_elevation": 90.0}),
    ("window_diameter", {"window_diameter": 16.6}),
    ("window_offset", {"window_offset": 3.1}),
    ("boss_length", {"boss_diameter": 7.0}),
    ("boss_diameter", {"boss_diameter": 12.7, "boss_length": 2.0}),
    ("boss_diameter", {"boss_diameter": 4.0, "boss_length": 2.0}),
    ("boss_length", {"boss_diameter": 7.0, "boss_length": 14.0}),
    ("boss_cone_angle", {"boss_diameter": 7.0, "boss_length": 2.0, "boss_cone_angle": 90.0}),
    ("clock_flat_depth", {"clock_flat_depth": 4.1}),
    ("clock_flat_depth", {"clock_flat_depth": 1.9}),
    ("clock_flat_length", {"clock_flat_length": 17.8}),
    ("body_diameter", {"body_diameter": True}),
    ("body_diameter", {"body_diameter": "16.5"}),
]


@pytest.mark.parametrize(("key", "change"), IMPOSSIBLE, ids=lambda value: str(value))
def test_refused_by_name(bushing_sizes: dict[str, float], key: str, change: dict[str, float]) -> None:
    with pytest.raises(ParameterError) as caught:
        BushingParameters(**{**bushing_sizes, **change})
    assert caught.value.key == key
    assert key in str(caught.value)
    assert isinstance(caught.value, ValueError)
    assert isinstance(caught.value, HeadpartsError)


def test_the_sizes_themselves_are_possible(bushing_sizes: dict[str, float]) -> None:
    BushingParameters(**bushing_sizes)


def test_parameters_do_not_load_the_kernel() -> None:
    code = (
        "import sys\n"
        "from headparts.parts import BushingParameters, SleeveParameters, SpacerParameters, HeadParameters\n"
        "p = BushingParameters(16.5, 17.0, 8.0, 34.7, 4.0, 12.6, 14.0, 14.1, 1.0)\n"
        "p.turned_volume\n"
        "SleeveParameters(15.79, 15.0, 34.0, 11.0, 66.75).volume\n"
        "assert not {'OCP', 'cadquery', 'trimesh', 'scipy'} & {name.split('.')[0] for name in sys.modules}"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)
