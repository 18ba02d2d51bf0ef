"""What holds for the walls of any head, whole jobs from file to findings: moved, turned, scaled, shuffled, added to.

The two sides of each comparison are read, planned and measured on their own. Walls of round holes are exact to
1e-9; a wall that a chamber or a bushing has trimmed is found between two bounds at most 1e-6 apart.
"""

from __future__ import annotations

from copy import deepcopy
from math import dist, inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies.effort import TIMES, effort
from strategies.heads import cavities, found, heads, thousandths
from strategies.moves import mirrored, scaled, shifted, turned, turned_freely
from strategies.verdicts import disagreements

JOBS = ("pump_26cc", "generator_62cc", "sprayer_10cc")
EXACT, PROVEN = 1e-8, 1.1e-6
few = (
    {} if TIMES > 1 else {"count": (3, 4), "repaired": False, "valves": (("exhaust",), ("intake", "exhaust"))}
)
"""A plain run keeps to heads that are quickly judged; a search takes all of them."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("heads")


def same(first, second, factor=1.0, leave=lambda key: False):
    """Both jobs find the same: every key, value, bound, limit and verdict."""
    keys = {key for key in first if not leave(key)}
    assert keys == {key for key in second if not leave(key)}
    for key in keys:
        a, b = first[key], second[key]
        if a.value is None or b.value is None:
            assert (a.value, a.verdict, a.missing) == (b.value, b.verdict, b.missing), key
            continue
        scales = factor if a.unit == "mm" and a.id != "W12" else 1.0
        between = a.bounds or (a.value, a.value)
        tolerance = (EXACT if between[1] - between[0] <= EXACT else PROVEN) * max(1.0, scales)
        if not (a.note.startswith("unproven") or b.note.startswith("unproven")):
            assert b.value == pytest.approx(scales * a.value, abs=tolerance), key
            near_limit = a.limit is not None and abs(a.value - a.limit) <= 2 * tolerance
            assert a.verdict == b.verdict or near_limit, key
        if a.bounds and b.bounds:  # whatever was proven holds for both
            assert b.bounds[0] <= scales * a.bounds[1] + tolerance, key
            assert scales * a.bounds[0] <= b.bounds[1] + tolerance, key


def sound(rows):
    """Bounds in order, witnesses as far apart as the upper one, and worst cases never above the wall."""
    assert disagreements(rows.values()) == []
    walls = {key[1]: row for key, row in rows.items() if key[3] == "wall" and row.value is not None}
    for row in rows.values():
        if row.bounds is None or row.value is None:
            continue
        low, high = row.bounds
        assert low <= row.value <= high < inf, row
        if row.id in ("W07", "W07r", "W09"):
            continue
        assert high - low <= 1e-6 or "unproven" in row.note, row
        if row.value > 0:
            assert dist(*row.at) == pytest.approx(high, abs=1e-9), row
    for (check, subject, _, _), row in rows.items():
        if check == "W07" and row.value is not None:
            rss = rows["W07r", subject, "nominal", "rss_case"].value
            wall = walls[subject].value
            assert row.value <= rss <= wall
            assert wall - row.value <= (wall - rss) * 8**0.5 + 1e-12  # sum and root of at most eight terms
    return rows


@effort(2)
@given(
    heads(**few),
    st.integers(0, 3),
    st.booleans(),
    st.tuples(thousandths(-90, 90), thousandths(-90, 90)),
    st.randoms(use_true_random=False),
)
def test_a_head_turned_mirrored_or_moved_and_its_cavities_in_any_order(
    folder, job, quarters, mirror, to, random
):
    other = turned(mirrored(job) if mirror else job, quarters)
    if "chamber" not in job["head"]:  # a chamber stays on the bore's axis
        other = shifted(other, *to)
    random.shuffle(other["head"]["cavities"])
    same(sound(found(job, folder)), found(other, folder))


@effort(2)
@given(heads(**few, chamber=("disc", "dome"), finned=False), thousandths(-180, 180))
def test_a_head_turned_by_any_angle_has_the_same_walls_but_to_its_box(folder, job, angle):
    for cavity in job["head"]["cavities"]:  # which end a thread is drilled from is told by the box
        cavity.pop("tap_dia", None)
    other = found(turned_freely(job, angle), folder)
    same(sound(found(job, folder)), other, leave=lambda key: "outside" in key[1].split("~"))


@effort(2)
@given(heads(**few), thousandths(0.6, 1.25))
def test_a_scaled_head_with_scaled_limits_has_scaled_walls_and_the_same_verdicts(folder, job, factor):
    """W12 alone asks for what does not scale: 0.1 mm of uncertainty within 8 mm of a cut."""
    job = {**job, "limits": {"scale": 1.0}}
    other = found(scaled(job, factor), folder)
    same(sound(found(job, folder)), other, factor, lambda key: key[0] == "W12")


@effort(2)
@given(heads(**few), st.randoms(use_true_random=False), st.data())
def test_a_further_cavity_changes_no_other_row(folder, job, random, data):
    other = deepcopy(job)
    bore, top = job["engine"]["bore"], job["head"]["outline"]["z"][1]
    newcomer = data.draw(cavities("newcomer", bore, top, kinds=("oil", "bolt", "moving", "unknown")))
    other["head"]["cavities"].insert(random.randint(0, len(job["head"]["cavities"])), newcomer)
    more = found(other, folder)

    def of_it(key):
        return "newcomer" in key[1].split("~") or key[1] == "job"  # "job": none of its kind in this job

    same(sound(found(job, folder)), more, leave=of_it)
    assert sum(of_it(key) and key[3] == "wall" for key in more) >= 3 * len(job["stations"])


@pytest.mark.parametrize("name", JOBS)
def test_every_verdict_of_an_example_follows_from_its_value_and_limit(checked, name):
    assert disagreements(checked(name).findings) == []
