"""Parts that several tests look at; sizes are those of the 26 cc water-pump example's intake side."""

from __future__ import annotations

import math

import pytest

from headparts.parts import (
    BushingParameters,
    HeadParameters,
    Part,
    Placement,
    SleeveParameters,
    SpacerParameters,
    ValveParameters,
    bushing,
    head,
)
from headparts.parts import head_tools as cuts


@pytest.fixture(scope="session")
def bushing_sizes() -> dict[str, float]:
    return {
        "body_diameter": 16.534,
        "body_length": 17.0,
        "shank_diameter": 8.008,
        "top_s": 34.7,
        "guide_bore": 4.0,
        "throat_diameter": 12.6,
        "roof_s": 14.0,
        "seat_outer_diameter": 14.1,
        "seat_width": 1.0,
        "seat_angle": 45.0,
        "seat_outer_s": 0.3,
        "top_cut_angle": 30.0,
        "throat_cut_angle": 60.0,
        "body_lead_length": 1.5,
        "body_lead_angle": 10.0,
        "shank_lead_length": 1.0,
        "shank_lead_angle": 10.0,
        "relief_width": 0.8,
        "relief_depth": 0.5,
        "window_diameter": 10.5,
        "window_s": 7.0,
        "window_elevation": 12.0,
    }


@pytest.fixture(scope="session")
def pump_bushing(bushing_sizes: dict[str, float]) -> Part:
    return bushing(BushingParameters(**bushing_sizes), "bushing_intake", "cu_be", 8.25)


@pytest.fixture(scope="session")
def sleeve_sizes() -> dict[str, float]:
    """The 62 cc generator example's sleeve."""
    return {
        "outer_diameter": 15.79,
        "inner_diameter": 15.0,
        "face_distance": 34.0,
        "saddle_radius": 11.0,
        "axis_angle": 66.75,
    }


@pytest.fixture(scope="session")
def sleeve_parameters(sleeve_sizes: dict[str, float]) -> SleeveParameters:
    return SleeveParameters(**sleeve_sizes)


@pytest.fixture(scope="session")
def spacer_parameters() -> SpacerParameters:
    return SpacerParameters(26.0, 10.0, 2.0, 6.4, 2.5, (8.0, 0.0))


@pytest.fixture(scope="session")
def valve_parameters() -> ValveParameters:
    return ValveParameters(14.5, 0.9, 3.97, 49.9, 14.1)


@pytest.fixture(scope="session")
def small_head() -> HeadParameters:
    """One upright station in a finned block: every kind of cut once."""
    point, up = (0.0, 0.0, 3.3), (0.0, 0.0, 1.0)
    rise = math.radians(12.0)
    out = (math.cos(rise), 0.0, math.sin(rise))
    foot = (0.0, 0.0, 10.3)
    bore = (point, up, 16.5, 17.0)
    length = 17.0 / out[0]
    face = cuts.along(foot, out, length)
    return HeadParameters(
        x=(-22.0, 22.0),
        y=(-22.0, 22.0),
        z=(0.0, 30.0),
        core_x=(-17.0, 17.0),
        core_y=(-18.0, 18.0),
        fin_z=(6.0, 27.0),
        fin_pitch=4.2,
        fin_thickness=1.6,
        tools=(
            cuts.chamber_disc(33.0, 3.3),
            cuts.cavity("stud", (14.0, 14.0, 0.0), up, 5.5, 30.0),
            cuts.cavity("thread", (0.0, -14.0, 18.0), up, 6.0, 12.0, role="thread"),
            cuts.body_bore("intake", point, up, 16.5, 17.0),
            cuts.shank_bore("intake", point, up, 8.0, 17.0, 30.0),
            cuts.pocket("intake", point, up, 12.0, 25.0, 30.0),
            cuts.port("intake", foot, out, 10.5, length, bore),
            cuts.port_clearance("intake", face, out, 14.0, (1.0, 0.0, 0.0), 60.0),
        ),
    )


@pytest.fixture(scope="session")
def small_head_part(small_head: HeadParameters) -> Part:
    return head(small_head, "head", "al_die_cast")


@pytest.fixture(scope="session")
def station_place() -> Placement:
    return Placement((0.0, 0.0, 3.3), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
