"""The table of checks: its ids, its limits, how a job changes them, how a value is judged."""

from __future__ import annotations

import pytest

from headparts.checks.finding import holds
from headparts.checks.registry import FAMILIES as MODULES
from headparts.checks.registry import REGISTRY, registered
from headparts.checks.run import select
from headparts.checks.table import Limits, ids, quantities, row, rows

FAMILIES = {
    "W": 13,
    "V": 12,
    "B": 17,
    "F": 12,
    "P": 8,
    "S": 12,
    "R": 10,
    "K": 4,
    "M": 6,
    "Q": 5,
    "L": 1,
    "H": 1,
}


def test_there_are_101_checks_in_families():
    assert len(ids()) == 101
    count = {letter: sum(1 for each in ids() if each.startswith(letter)) for letter in FAMILIES}
    assert count == FAMILIES


def test_every_row_has_a_source_a_severity_and_words():
    for each in rows():
        assert each.source
        assert each.what
        assert each.severity in ("FAIL", "WARN", "INFO")
        assert each.compare in (">=", "<=", ">", "in", "none")


def test_every_check_has_a_registered_function():
    assert {entry.id for entry in registered()} == set(ids())


def test_every_family_is_where_its_letters_say():
    """What is loaded for some ids is all that they need: no module registers an id of another letter."""
    letters = dict(MODULES)
    for entry in registered():
        assert entry.id[0] in letters[entry.function.__module__.rpartition(".")[2]], entry.id
    order = [name for name, _ in MODULES]
    places = [order.index(entry.function.__module__.rpartition(".")[2]) for entry in REGISTRY]
    assert places == sorted(places)
    assert [entry.id for entry in registered(["R01", "F02"])] == ["F02", "R01"]


@pytest.mark.parametrize(
    ("value", "compare", "limit", "expected"),
    [
        (1.5, ">=", 1.5, True),
        (1.5 - 0.9e-9, ">=", 1.5, True),
        (1.5 - 1.1e-9, ">=", 1.5, False),
        (0.02 + 0.9e-9, "<=", 0.02, True),
        (0.02 + 1.1e-9, "<=", 0.02, False),
        (0.0, ">", 0.0, False),
        (2e-9, ">", 0.0, True),
        (0.42, "in", (0.42, 0.50), True),
        (0.42 - 2e-9, "in", (0.42, 0.50), False),
        (0.50 + 2e-9, "in", (0.42, 0.50), False),
    ],
)
def test_equal_within_a_billionth_keeps_the_limit(value, compare, limit, expected):
    assert holds(value, compare, limit) is expected


def test_scale_multiplies_length_limits_and_leaves_others():
    limits = Limits(0.75)
    assert limits.use("W02").value == pytest.approx(1.125)
    assert limits.use("V08").value == pytest.approx((0.075, 0.2625))
    assert limits.use("V09", name="exhaust").value == pytest.approx(0.75)
    assert limits.use("M02").value == 0.2
    assert limits.use("V03", "shrouded_share", "shrouded_share").value == 0.25
    assert limits.use("W02").default == 1.5
    assert limits.use("W02").scale == 0.75


def test_a_limit_given_by_id_is_taken_as_given():
    limits = Limits(0.75, {"W01": 0.6, "W04": {"oil_return": 0.9}, "V01": {"overlap": 0.7}})
    assert limits.use("W01").value == 0.6
    assert limits.use("W01").given
    assert limits.use("W04").value == pytest.approx(0.9)
    assert limits.use("W04", name="oil_return").value == 0.9
    assert limits.use("V01").value == pytest.approx(0.75)
    assert limits.use("V01", name="overlap").value == 0.7


def test_a_number_sets_the_first_limit_only():
    limits = Limits(None, {"V09": 0.5})
    assert limits.use("V09").value == 0.5
    assert limits.use("V09", name="exhaust").value == 1.0


def test_select_takes_ids_and_families_and_refuses_others():
    assert select(["W01", "F02"]) == ("W01", "F02")
    assert select(["K"]) == ("K01", "K02", "K03", "K04")
    with pytest.raises(ValueError, match="W99"):
        select(["W99"])


def test_rows_are_found_by_quantity_and_name():
    assert row("W08", "axis_gap").unit == "mm"
    assert quantities("P06") == ("depth_window", "depth_to_pass", "depth_to_far_wall", "roof_gap")


def test_limit_names_of_the_reader_are_those_of_the_table():
    from headparts.config.limit_ids import LIMIT_NAMES

    assert set(LIMIT_NAMES) == set(ids())
    for check, names in LIMIT_NAMES.items():
        plain = {name.rstrip("*") for name in names}
        known = {quantities(check)[0], *(each.name for each in rows() if each.id == check and each.name)}
        assert plain <= known, check


def test_two_numbers_set_a_least_and_a_greatest_limit():
    limits = Limits(None, {"B10": (0.015, 0.045)})
    assert limits.use("B10", "clearance_min").value == 0.015
    assert limits.use("B10", "clearance_max", "clearance_max").value == 0.045
    assert limits.use("B10", "clearance_max", "exhaust_max").value == 0.060
