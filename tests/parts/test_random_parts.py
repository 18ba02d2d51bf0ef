"""Random sizes: refused by name, or built, proven and measured. Nothing else may happen."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from headparts.errors import ParameterError
from headparts.parts import BushingParameters, SleeveParameters, bushing, sleeve

QUIET = settings(max_examples=20, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


@st.composite
def bushings(draw: st.DrawFn) -> dict[str, float]:
    """Sizes that belong together, from a 10 cc sprayer's to a 500 cc engine's, a few of them impossible."""
    body = draw(st.floats(9.0, 40.0))
    share = st.floats(0.0, 1.0)
    length = body * draw(st.floats(0.8, 1.3))
    outer = body * draw(st.floats(0.80, 0.92))
    width = body * draw(st.floats(0.05, 0.08))
    throat = outer - 2.0 * width * draw(st.floats(0.5, 1.3))
    shank = body * draw(st.floats(0.4, 0.6))
    return {
        "body_diameter": body,
        "body_length": length,
        "shank_diameter": shank,
        "top_s": length + body * draw(st.floats(0.5, 1.5)),
        "guide_bore": shank * draw(st.floats(0.4, 0.7)),
        "throat_diameter": throat,
        "roof_s": length * draw(st.floats(0.6, 0.95)),
        "seat_outer_diameter": outer,
        "seat_width": width,
        "seat_angle": draw(st.floats(31.0, 59.0)),
        "seat_outer_s": 0.02 * body * draw(share),
        "body_lead_length": 0.1 * body * draw(share),
        "shank_lead_length": 0.1 * body * draw(share),
        "relief_width": 0.05 * body,
        "relief_depth": 0.03 * body,
        "window_diameter": body * draw(st.floats(0.3, 0.72)),
        "window_s": length * draw(st.floats(0.2, 0.7)),
        "window_elevation": draw(st.floats(-20.0, 30.0)),
        "window_offset": 0.03 * body * draw(st.floats(-1.0, 1.0)),
    }


@QUIET
@given(bushings())
def test_bushings(sizes: dict[str, float]) -> None:
    refused = ""
    try:
        p = BushingParameters(**sizes)
    except ParameterError as error:
        refused = error.key
    if refused:
        assert refused in BushingParameters.__dataclass_fields__
        return
    part = bushing(p)
    assert part.volume == pytest.approx(part.volume_expected, rel=1e-4)
    for name, key in (
        ("body_diameter", "body_diameter"),
        ("window_diameter", "window_diameter"),
        ("window_angle", "window_elevation"),
        ("guide_bore", "guide_bore"),
        ("gas_face_to_shoulder", "body_length"),
    ):
        assert part.measure(name) == pytest.approx(sizes[key], abs=1e-9)


@QUIET
@given(
    st.floats(5.0, 20.0),
    st.floats(0.02, 0.2),
    st.floats(1.05, 2.0),
    st.floats(45.0, 135.0),
    st.floats(-0.04, 0.04),
    st.sampled_from(["saddle", "chamfer", "square"]),
)
def test_sleeves(outer: float, wall: float, saddle: float, angle: float, offset: float, end: str) -> None:
    p = SleeveParameters(
        outer,
        outer * (1.0 - wall),
        3.0 * outer,
        saddle * outer / 2.0,
        angle,
        offset * outer / 2.0,
        inner_end=end,
    )
    part = sleeve(p)
    assert part.volume == pytest.approx(part.volume_expected, rel=1e-5)
    assert part.measure("outer_diameter") == pytest.approx(outer, abs=1e-9)
    if end == "saddle":
        assert part.measure("length_min") == pytest.approx(p.length_min, abs=1e-8)
        assert part.measure("length_max") == pytest.approx(p.length_max, abs=1e-8)
    else:
        assert part.measure("length") == pytest.approx(p.length_min, abs=1e-8)
