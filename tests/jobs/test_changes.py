"""Changes of the pump job turn the findings that they should, with the figure worked out beside each."""

from __future__ import annotations

import pytest

TOLERANCE = 0.002


def test_a_port_that_falls_outward_cuts_the_seat(changed):
    """Story AS26: ring 1.587 rising, -0.626 falling; the drawing's trap is the sign of the elevation."""
    found = changed("pump_26cc", ("elev: 10,", "elev: -10,"), only=("B05",))
    ring = found["B05", "bushing_exhaust", "nominal", "ring_to_window"]
    assert ring.value == pytest.approx(-0.6256, abs=TOLERANCE)
    assert ring.verdict == "fail"


def test_a_tunnel_through_the_bore_is_a_breakthrough_of_any_size(changed):
    """Parallel bores: r 8.25 + 3.5 less the axes' distance hypot(3.2, 9.3) = 9.8351 is a penetration of 1.9149."""
    found = changed("pump_26cc", ("p: [ 5.0, -22.0, 0]", "p: [ 5.0, -10.5, 0]"), only=("W04", "W08", "W12"))
    wall = found["W04", "body_bore_intake~tunnel_in", "nominal", "wall"]
    assert wall.value == pytest.approx(-(8.25 + 3.5 - (3.2**2 + 9.3**2) ** 0.5), abs=1e-6)
    assert found["W08", "body_bore_intake~tunnel_in", "nominal", "opening_along"].value == pytest.approx(
        17.0, abs=1e-6
    )
    assert found["W12", "tunnel_in", "nominal", "cavity_u"].verdict == "warn"


def test_a_web_of_the_bores_is_their_distance_less_the_radii(changed):
    """Axes 17.2 apart, radii 8.45 and 7.25: web 1.5 passes to the last digit; 0.002 more on the diameter fails."""
    found = changed("pump_26cc", ("body: {dia: 16.50", "body: {dia: 16.90"), only=("W01",))
    web = found["W01", "body_bore_exhaust~body_bore_intake", "nominal", "wall"]
    assert web.value == pytest.approx(17.2 - 8.45 - 7.25, abs=1e-9)
    assert web.verdict == "pass"
    found = changed("pump_26cc", ("body: {dia: 16.50", "body: {dia: 16.902"), only=("W01",))
    assert found["W01", "body_bore_exhaust~body_bore_intake", "nominal", "wall"].verdict == "fail"


def test_an_overridden_limit_is_used_and_the_default_is_kept_beside_it(changed):
    found = changed("pump_26cc", ("  W01: 1.5", "  W01: 1.8"), only=("W01", "W07"))
    web = found["W01", "body_bore_exhaust~body_bore_intake", "nominal", "wall"]
    assert (web.verdict, web.limit, web.default_limit) == ("fail", 1.8, 1.5)
    worst = found["W07", "body_bore_exhaust~body_bore_intake", "nominal", "worst_case"]
    assert worst.limit == pytest.approx(0.6 * 1.8)
    assert worst.default_limit == pytest.approx(0.9)


def test_scaled_limits_show_the_scale_and_the_default(checked):
    finding = checked("sprayer_10cc").by_key["W02", "body_bore_intake~plug_hole", "nominal", "wall"]
    assert (finding.limit, finding.default_limit, finding.scale) == (pytest.approx(1.125), 1.5, 0.75)
    web = checked("sprayer_10cc").by_key["W01", "body_bore_exhaust~body_bore_intake", "nominal", "wall"]
    assert (web.limit, web.default_limit, web.scale) == (0.6, 1.5, None)


@pytest.mark.parametrize(
    ("change", "key", "value", "verdict"),
    [
        # a thicker gasket lifts the valve off the piston by as much: 2.57 + 0.3
        (
            ("gasket: {compressed: 0.70", "gasket: {compressed: 1.00"),
            ("V10", "intake", "nominal", "piston_gap"),
            2.87,
            "pass",
        ),
        # more lift at the overlap: 2.57 - (2.5 - 0.9)
        (("lift_tdc: 0.90", "lift_tdc: 2.50"), ("V10", "intake", "nominal", "piston_gap"), 0.97, "fail"),
        # relief 0.5 deep against a corner of 0.45: 0.05 spare
        (
            ("head_corner_r: 0.4, relief: true}   # seats", "head_corner_r: 0.45, relief: true}   # seats"),
            ("B16", "bushing_intake", "nominal", "corner_spare"),
            0.05,
            "fail",
        ),
        # no relief at all: minus the corner's radius
        (
            ("head_corner_r: 0.4, relief: true}   # seats", "head_corner_r: 0.4, relief: false}   # seats"),
            ("B16", "bushing_intake", "nominal", "corner_spare"),
            -0.4,
            "fail",
        ),
        # a throat of 12.7 leaves 12.6858 - 12.7 = -0.0142: a FAIL, not an error
        (
            ("bowl: {throat: 12.60", "bowl: {throat: 12.70"),
            ("V07", "intake", "nominal", "seat_inner_minus_throat"),
            -0.014214,
            "fail",
        ),
        # story AS18: spacer 3.2 leaves 24 - 3.2 - 14 - 1.2 - 5 = 0.6 past the nut, a pitch is 1.0
        (
            ("thick: 2.00, material", "thick: 3.20, material"),
            ("R04", "rocker", "nominal", "past_nut"),
            0.6,
            "fail",
        ),
        # 8 mm of thread on a 6 mm stud: 1.333 d
        (
            ("thread_in_head: 12.0", "thread_in_head: 8.0"),
            ("R05", "rocker", "nominal", "thread_over_d"),
            8 / 6,
            "fail",
        ),
        # pins that repeat to 0.03
        (("pin_repeat: 0.01", "pin_repeat: 0.03"), ("Q03", "datums", "nominal", "pin_repeat"), 0.03, "fail"),
        # stem 3.985 in a 4.000 guide: 0.015, below 0.020
        (
            ("stem: {v: 3.970", "stem: {v: 3.985"),
            ("B10", "bushing_intake", "nominal", "clearance_min"),
            0.015,
            "fail",
        ),
    ],
)
def test_one_change_one_finding(changed, change, key, value, verdict):
    finding = changed("pump_26cc", change, only=(key[0],))[key]
    assert finding.value == pytest.approx(value, abs=1e-5)
    assert finding.verdict == verdict


def test_six_readings_decide_the_diameter_to_turn(changed):
    """Story AS15: readings and local interference give 16.540 to 16.544; one reading of 16.521 empties it."""
    local = ("band: 0.003, bore_tol: 0.018", "band: 0.003, local: {intake: [0.025, 0.040]}, bore_tol: 0.018")

    def measured(last: str) -> tuple[str, str]:
        rows = f"[[16.508, 16.504], [16.512, 16.509], [16.515, {last}]]"
        return (
            "  exhaust:\n    axis: {p: [-9.00",
            f"    measured: {{body_bore: {rows}}}\n  exhaust:\n    axis: {{p: [-9.00",
        )

    key = ("F12", "bushing_intake", "nominal", "od_window")
    found = changed("pump_26cc", local, measured("16.511"), only=("F12",))[key]
    assert found.value == pytest.approx(0.004, abs=1e-9)
    assert found.verdict == "pass"
    assert "16.5400 to 16.5440" in found.note
    found = changed("pump_26cc", local, measured("16.521"), only=("F12",))[key]
    assert found.value == pytest.approx(-0.002, abs=1e-9)
    assert found.verdict == "fail"
