"""How far apart bodies stand, against closed forms; swept valves; and that looking changes nothing."""

from __future__ import annotations

import math
from io import BytesIO
from itertools import product

import numpy as np
import pytest

from headparts.parts import Part, Placement, ValveParameters, clashes, valve, wrap
from headparts.parts.assembly import Known
from headparts.parts.clearance import NEAR, box_gap, clearance, envelope
from headparts.solids.cut import cut
from headparts.solids.primitives import box, cylinder

UP = (0.0, 0.0, 1.0)
SIZES = {
    "head_diameter": 14.5,
    "margin": 0.9,
    "stem_diameter": 4.0,
    "tip_s": 40.0,
    "seat_outer_diameter": 14.1,
}


def a_valve(name: str, place: Placement, lift: float = 0.0, swept: float = 0.0) -> Part:
    return valve(ValveParameters(**{**SIZES, "margin": 0.9 + swept}, lift=lift), name, placement=place)


def apart(a: Part, b: Part, **more: object):
    return clearance(a, b, (a.placed(), b.placed()), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("gap", [4.0, 0.3, 1e-3, 1e-6])
def test_two_upright_valves(gap: float) -> None:
    """Heads of 14.5 side by side: the distance of their axes less one diameter, from above and from below."""
    found = apart(a_valve("a", Placement()), a_valve("b", Placement((14.5 + gap, 0.0, 0.0))))
    assert found.upper == pytest.approx(gap, abs=1e-9)
    assert found.lower == pytest.approx(gap, abs=1e-9)
    assert found.proven
    assert found.lower <= found.upper
    assert math.dist(*found.at) == pytest.approx(found.upper, abs=1e-12)


def test_skew_round_bars() -> None:
    """Bars of 3 and 5 whose axes cross at 50 deg, 11 apart: 11 less both radii. Without outlines the boxes are all that
    is proven, and the answer says so.
    """
    turn = math.radians(50.0)
    second = (math.cos(turn), math.sin(turn), 0.0)
    a = wrap(cylinder((-20.0, 0.0, 0.0), (1.0, 0.0, 0.0), 1.5, 40.0), "a")
    b = wrap(cylinder((-20.0 * second[0], -20.0 * second[1], 11.0), second, 2.5, 40.0), "b")
    found = apart(a, b)
    assert found.upper is None
    assert found.lower == pytest.approx(
        7.0, abs=2e-6
    )  # two flat faces of boxes: farther apart than they are measured
    nearer = wrap(cylinder((-20.0 * second[0], -20.0 * second[1], 8.0), second, 2.5, 40.0), "b")
    found = apart(a, nearer)
    assert found.upper == pytest.approx(4.0, abs=1e-9)
    assert found.lower == pytest.approx(4.0, abs=2e-6)


def test_a_bar_in_a_bore_is_not_proven_unless_it_is_known() -> None:
    ring = wrap(cut(box((-9.0, -9.0, 0.0), (9.0, 9.0, 20.0)), [cylinder((0, 0, -1), UP, 5.0, 22.0)]), "ring")
    bar = wrap(cylinder((0.2, 0.0, 1.0), UP, 4.5, 18.0), "bar")
    found = apart(ring, bar)
    assert found.upper == pytest.approx(0.3, abs=1e-9)  # 5 - 4.5 - 0.2
    assert found.lower == 0.0
    assert not found.proven
    sure = apart(ring, bar, at_least=0.3)
    assert sure.proven
    by_form = apart(ring, bar, known=0.3)
    assert (by_form.lower, by_form.upper, by_form.method) == (0.3, 0.3, "closed form")


def test_far_bodies_are_told_apart_by_their_boxes() -> None:
    a, b = wrap(box((0, 0, 0), (1, 1, 1)), "a"), wrap(box((7, 9, 0), (8, 10, 1)), "b")
    found = apart(a, b)
    assert found.upper is None
    assert found.lower == pytest.approx(10.0, abs=2e-6)  # 6 and 8
    assert box_gap(((0, 0, 0), (1, 1, 1)), ((0.5, 0, 0), (2, 1, 1))) == 0.0
    assert found.lower > NEAR


def test_an_envelope_holds_its_solid(bushing_sizes: dict[str, float], station_place: Placement) -> None:
    """Corners and middles of a fine mesh of the bushing, window and all, lie in what its outline sweeps."""
    from headparts.parts import BushingParameters, bushing
    from headparts.solids.distance import _cloud
    from headparts.solids.shapes import wrapped

    part = bushing(BushingParameters(**bushing_sizes), "bushing_intake", placement=station_place)
    held = envelope(part)
    cloud = _cloud(wrapped(part.placed()), 0.02)
    assert len(cloud) > 1000
    assert held.contains(cloud, 1e-6).all()
    assert held.contains(cloud, -1e-3).mean() < 0.8  # and many of them lie on its surface


def test_a_swept_valve_is_all_its_lifts() -> None:
    """Points by their radius: in the swept valve exactly when in the valve at one of 2001 lifts, and the volume is
    a disc of the head more.
    """
    closed, swept = ValveParameters(**SIZES), ValveParameters(**{**SIZES, "margin": 0.9 + 3.0})
    assert swept.volume - closed.volume == pytest.approx(math.pi / 4 * 14.5**2 * 3.0, rel=1e-9)
    rng = np.random.default_rng(8)
    r, s = rng.uniform(0, 9, 4000), rng.uniform(-6, 12, 4000)

    def inside(p: ValveParameters) -> np.ndarray:
        cone = p.head_diameter / 2 - (s - p.under_s - p.margin)
        width = np.where(
            s <= p.under_s + p.margin, p.head_diameter / 2, np.maximum(cone, p.stem_diameter / 2)
        )
        return (s >= p.under_s) & (s <= p.tip_s - p.lift) & (r <= width)

    lifted = np.any([inside(ValveParameters(**SIZES, lift=lift)) for lift in np.linspace(0, 3, 2001)], axis=0)
    assert np.count_nonzero(inside(swept) != lifted) <= 2  # a step of lift is 0.0015


def test_a_swept_valve_meets_what_an_open_one_meets() -> None:
    """A bar below the closed valve's head: clear when closed, struck 1.5 mm before full lift."""
    bar = wrap(box((2.0, -3.0, -4.0), (6.0, 3.0, -2.6)), "bar")
    under = ValveParameters(**SIZES).under_s
    (closed,) = clashes([a_valve("valve", Placement()), bar])
    assert closed.verdict == "clear"
    assert closed.clearance.upper == pytest.approx(under + 2.6, abs=1e-9)
    (swept,) = clashes(
        [a_valve("valve", Placement(), swept=3.0), bar], known=Known(cases={"valve": "over its lift"})
    )
    assert swept.verdict == "clash"
    assert swept.case == "over its lift"
    depth = -2.6 - (under - 3.0)
    assert swept.volume == pytest.approx(4.0 * 6.0 * depth, rel=1e-6)
    middle = -2.6 - depth / 2
    assert f"within 4.000 x 6.000 x {depth:.3f} about (4.00, 0.00, {middle:.2f})" in swept.note


def test_the_least_over_both_lifts_is_that_of_the_swept_valves() -> None:
    """Two valves that lean from each other by 15 deg, 9 x 9 lifts: none nearer than the swept ones, and one as near."""
    lean = math.radians(15.0)
    places = [
        Placement(
            (side * 8.5, 0.0, 0.0),
            (math.cos(lean), 0.0, -side * math.sin(lean)),
            (side * math.sin(lean), 0.0, math.cos(lean)),
        )
        for side in (-1, 1)
    ]
    both = apart(*(a_valve(n, p, swept=2.0) for n, p in zip("ab", places, strict=True)))
    assert both.proven
    lifts = np.linspace(0.0, 2.0, 3)
    each = [
        apart(a_valve("a", places[0], one), a_valve("b", places[1], other)).upper
        for one, other in product(lifts, lifts)
    ]
    assert min(each) == pytest.approx(both.upper, abs=1e-7)
    assert min(each) >= both.lower - 1e-9


def test_the_depth_of_a_press_is_half_its_interference() -> None:
    ring = wrap(cut(box((-15, -15, 0), (15, 15, 17)), [cylinder((0, 0, -1), UP, 8.25, 19.0)]), "head")
    plug = wrap(cylinder((0, 0, 1), UP, 8.25 + 0.017, 15.0), "plug")
    exact = math.pi / 4.0 * (16.534**2 - 16.5**2) * 15.0
    known = Known(depths={("head", "plug"): 0.017})
    (press,) = clashes([ring, plug], {("head", "plug"): exact}, known)
    assert press.verdict == "press"
    assert press.depth == 0.017
    assert press.clearance is None
    (clash,) = clashes([ring, plug], {("head", "plug"): 2 * exact}, known)
    assert clash.depth is None


def test_looking_leaves_every_shape_as_it_was(
    small_head_part: Part, bushing_sizes: dict[str, float], station_place: Placement
) -> None:
    """Every byte of each solid, before and after overlap, clearance and a look at the envelope."""
    from headparts.parts import BushingParameters, bushing

    def written(part: Part) -> bytes:
        stream = BytesIO()
        part.solid.exportBrep(stream)
        return stream.getvalue()

    bush = bushing(BushingParameters(**bushing_sizes), "bushing_intake", placement=station_place)
    parts = [
        bush,
        small_head_part,
        a_valve("valve", station_place),
        wrap(box((30, 0, 0), (31, 1, 1)), "block"),
    ]
    before = [written(part) for part in parts]
    clashes(parts)
    assert [written(part) for part in parts] == before
    placed = bush.placed(), small_head_part.placed()
    stream = [BytesIO(), BytesIO(), BytesIO(), BytesIO()]
    for k in (0, 1):
        placed[k].exportBrep(stream[k])
    clearance(bush, small_head_part, placed)
    for k in (0, 1):
        placed[k].exportBrep(stream[k + 2])
        assert stream[k + 2].getvalue() == stream[k].getvalue()
