"""Which bodies run into each other; the intended press is told apart from a clash."""

from __future__ import annotations

import math

import pytest

from headparts.errors import ParameterError
from headparts.parts import (
    BushingParameters,
    HeadParameters,
    Part,
    Placement,
    SleeveParameters,
    ValveParameters,
    bushing,
    clashes,
    head,
    sleeve,
    valve,
    wrap,
)
from headparts.parts import head_tools as cuts
from headparts.parts.press import press_overlap, saddle_overlap
from headparts.solids.primitives import box, cylinder
from headparts.solids.verify import is_valid, volume

UP = (0.0, 0.0, 1.0)


def test_a_bushing_in_its_head_is_a_press(
    small_head: HeadParameters,
    small_head_part: Part,
    bushing_sizes: dict[str, float],
    station_place: Placement,
) -> None:
    p = BushingParameters(**bushing_sizes)
    part = bushing(p, "bushing_intake", placement=station_place)
    expected = press_overlap(p, station_place, small_head, "intake")
    (result,) = clashes([part, small_head_part], {("bushing_intake", "head"): expected})
    assert result.subject == "bushing_intake~head"
    assert result.verdict == "press"
    assert result.volume == pytest.approx(expected, rel=2e-3)


def test_press_volume_by_hand() -> None:
    """A plain plug in a plain through bore: the annulus times the length, nothing else taken off."""
    p = BushingParameters(16.534, 17.0, 8.0, 34.7, 4.0, 12.6, 14.0, 14.1, 1.0, clock_flat=False)
    point = (0.0, 0.0, 3.0)
    tools = (cuts.body_bore("in", point, UP, 16.5, 17.0), cuts.shank_bore("in", point, UP, 8.0, 17.0, 40.0))
    h = HeadParameters((-20.0, 20.0), (-20.0, 20.0), (0.0, 40.0), tools)
    by_hand = math.pi / 4.0 * (16.534**2 - 16.5**2) * 17.0
    assert press_overlap(p, Placement(point), h, "in") == pytest.approx(by_hand, rel=1e-12)
    with pytest.raises(ParameterError, match="exhaust"):
        press_overlap(p, Placement(point), h, "exhaust")


def test_a_bushing_turned_round_clashes(
    small_head: HeadParameters,
    small_head_part: Part,
    bushing_sizes: dict[str, float],
    station_place: Placement,
) -> None:
    """The window 90 deg off leaves more wall in the bore: no longer the press alone."""
    p = BushingParameters(**bushing_sizes)
    turned = bushing(p, "bushing_intake", placement=Placement((0.0, 0.0, 3.3), (0.0, 1.0, 0.0), UP))
    expected = press_overlap(p, station_place, small_head, "intake")
    (result,) = clashes([turned, small_head_part], {("head", "bushing_intake"): expected})
    assert result.verdict == "clash"
    assert "less than the intended press" in result.note


def test_a_press_that_is_not_there_is_said(small_head: HeadParameters, small_head_part: Part) -> None:
    far = wrap(box((100.0, 100.0, 0.0), (101.0, 101.0, 1.0)), "plug")
    (result,) = clashes([far, small_head_part], {("head", "plug"): 5.0})
    assert result.verdict == "clear"
    assert "none is there" in result.note


def test_valve_on_its_seat_touches_only(bushing_sizes: dict[str, float]) -> None:
    seat = bushing(BushingParameters(**bushing_sizes), "bushing_intake")
    closed = valve(ValveParameters(14.5, 0.9, 3.97, 49.9, 14.1), "valve_intake")
    pulled = valve(ValveParameters(14.5, 0.9, 3.97, 49.9, 14.1, 0.31), "valve_intake")
    assert clashes([seat, closed])[0].verdict == "clear"
    (result,) = clashes([seat, pulled])
    assert result.verdict == "clash"
    # 0.01 too high: 0.01 over the seat seen from above, and a wedge beyond each edge that runs out where the
    # cuts, 30 and 60 deg, have fallen back from the valve's 45 deg by 0.01
    outer, inner = 7.05, 7.05 - math.sqrt(0.5)
    seat_area = math.pi * (outer**2 - inner**2) * 0.01
    beyond = math.pi * outer * 0.01**2 / (1.0 - math.tan(math.radians(30.0)))
    within = math.pi * inner * 0.01**2 / (math.tan(math.radians(60.0)) - 1.0)
    assert result.volume == pytest.approx(seat_area + beyond + within, rel=1e-3)


@pytest.mark.parametrize("over", [0.034, 0.005, 1e-3, 1e-4, 1e-5])
def test_thin_tubes_are_found_and_right(over: float) -> None:
    bore = wrap(_ring(8.25, 15.0, 17.0), "head")
    plug = wrap(cylinder((0.0, 0.0, 1.0), UP, 8.25 + over / 2.0, 15.0), "plug")
    exact = math.pi / 4.0 * ((16.5 + over) ** 2 - 16.5**2) * 15.0
    (result,) = clashes([bore, plug], {("plug", "head"): exact})
    assert result.volume == pytest.approx(exact, rel=1e-6)
    assert result.verdict == "press"


def test_a_millionth_is_still_seen() -> None:
    bore = wrap(_ring(8.25, 15.0, 17.0), "head")
    plug = wrap(cylinder((0.0, 0.0, 1.0), UP, 8.25 + 0.5e-6, 15.0), "plug")
    exact = math.pi * 8.25 * 1e-6 * 15.0
    (result,) = clashes([bore, plug])
    assert result.volume == pytest.approx(exact, rel=0.05)
    assert result.verdict == "clash"


def test_a_saddled_sleeve_meets_the_turned_bushing(sleeve_sizes: dict[str, float]) -> None:
    """Cut to the bore (radius 11), the sleeve stands in the bushing's side by the interference."""
    turn = math.radians(66.75)
    p = BushingParameters(
        22.05, 24.0, 10.01, 49.0, 5.5, 17.2, 20.5, 19.1, 1.2,
        body_lead_length=2.0, relief_width=1.0, relief_depth=0.5,
        window_diameter=15.0, window_s=8.5, window_elevation=90.0 - 66.75,
    )  # fmt: skip
    s = SleeveParameters(**sleeve_sizes)
    axis = (math.sin(turn), 0.0, math.cos(turn))
    # in the bushing's frame the sleeve's z is the port: rise 23.25 deg; its x leans toward the valve's top
    place = Placement((0.0, 0.0, 8.5), (-axis[2], 0.0, axis[0]), (axis[0], 0.0, axis[2]))
    parts = [bushing(p, "bushing"), sleeve(s, "sleeve", placement=place)]
    expected = saddle_overlap(s, p)
    (result,) = clashes(parts, {("bushing", "sleeve"): expected})
    assert result.verdict == "press"
    assert result.volume == pytest.approx(expected, rel=2e-3)


def test_inputs_are_not_changed(
    small_head_part: Part, bushing_sizes: dict[str, float], station_place: Placement
) -> None:
    part = bushing(BushingParameters(**bushing_sizes), "bushing_intake", placement=station_place)
    before = [(volume(each.solid), each.box, len(each.solid.Faces())) for each in (part, small_head_part)]
    clashes([part, small_head_part])
    after = [(volume(each.solid), each.box, len(each.solid.Faces())) for each in (part, small_head_part)]
    assert after == before
    assert is_valid(part.solid)
    assert is_valid(small_head_part.solid)


def test_names_must_differ_and_exist(small_head_part: Part) -> None:
    with pytest.raises(ParameterError, match="name of its own"):
        clashes([small_head_part, small_head_part])
    with pytest.raises(ParameterError, match="no part spacer"):
        clashes([small_head_part], {("head", "spacer"): 1.0})


def _ring(inner: float, side: float, height: float) -> object:
    from headparts.solids.cut import cut

    return cut(
        box((-side, -side, 0.0), (side, side, height)), [cylinder((0.0, 0.0, -1.0), UP, inner, height + 2.0)]
    )


def test_a_head_cut_away_from_the_press_is_counted(bushing_sizes: dict[str, float]) -> None:
    """A hole drilled into the bore takes its share off the expected tube as well."""
    p = BushingParameters(**{**bushing_sizes, "window_diameter": None, "window_s": None})
    point = (0.0, 0.0, 3.3)
    tools = (
        cuts.body_bore("in", point, UP, 16.5, 17.0),
        cuts.shank_bore("in", point, UP, 8.0, 17.0, 30.0),
        cuts.cavity("oil", (0.0, 20.0, 12.0), (0.0, -1.0, 0.0), 6.0, 15.0),
    )
    h = HeadParameters((-20.0, 20.0), (-20.0, 20.0), (0.0, 30.0), tools)
    part = bushing(p, "bushing", placement=Placement(point))
    expected = press_overlap(p, Placement(point), h, "in")
    without = press_overlap(p, Placement(point), HeadParameters(h.x, h.y, h.z, tools[:2]), "in")
    assert expected < without - 0.4
    (result,) = clashes([part, head(h)], {("bushing", "head"): expected})
    assert result.verdict == "press"
