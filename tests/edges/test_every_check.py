"""Every check has its tests: each limit both sides, each quantity without one its value, each id once without its input.

The ids, quantities and severities are those of the list typed from the description of the checks, not of the package.
"""

from __future__ import annotations

import csv
import inspect
from pathlib import Path

import pytest

from edges import collected
from edges.case import context
from headparts.checks.registry import registered
from headparts.checks.run import run_checks
from headparts.checks.table import ids

LIST = Path(__file__).parents[1] / "checks" / "data" / "table_of_checks.csv"
LISTED = list(csv.DictReader(LIST.read_text(encoding="utf-8").splitlines()))
IDS = tuple(dict.fromkeys(each["id"] for each in LISTED))

BY_HAND = {
    "W08": (
        "test_breakthrough_limits",
        "test_breakthrough_by_closed_forms",
        "seven quantities of one overlap",
    ),
    "W10": ("test_breakthrough_limits", "test_both_sides_of_the_thin_area", "an area is known to 0.01 mm2"),
    "S10": ("test_sleeve_limits", "test_value_by_hand", "0 or 1: nothing in between to step to"),
    "Q01": ("test_record_limits", "test_both_sides_of_nothing_unstated", "a count"),
    "Q02": ("test_record_limits", "test_both_sides_of_what_the_reader_allows", "fails by the reader's error"),
    "Q05": ("test_document_limits", "test_a_dimension_less_or_more_fails", "needs a sheet"),
    "Q06": ("test_document_limits", "test_both_sides_of_the_volume", "needs a file"),
    "H01": ("test_record_limits", "test_both_sides_of_a_hazard", "0 or 1"),
}
"""Ids whose limits are no Edge: where both sides are tested all the same, and why there."""

LACKING = {
    "W08": ("test_breakthrough_limits", "test_breakthrough_not_run_without_the_bore"),
    "W10": ("test_breakthrough_limits", "test_thin_area_not_run_where_a_wall_could_not_be_measured"),
    "S05": ("test_sleeve_limits", "test_cover_not_run_without_its_inputs"),
    "Q05": ("test_document_limits", "test_not_run_where_nothing_is_drawn_or_written"),
    "Q06": ("test_document_limits", "test_not_run_where_nothing_is_drawn_or_written"),
    "H01": ("test_record_limits", "test_both_sides_of_a_hazard"),
}
"""Ids that a test of their own asks without their input."""

NEVER_LACKING = {
    "Q01": "counts what is there",
    "Q02": "says that the file was read",
    "S10": "nothing given is an answer, 0; without any repair it is not run, see below",
}


def key(each):
    return each["id"], each["quantity"], each["limit_name"]


def test_there_are_101_ids_each_with_a_function_and_no_other():
    assert len(IDS) == 101
    assert ids() == IDS
    assert {entry.id for entry in registered()} == set(IDS)


def test_every_limit_has_an_edge_at_each_of_its_ends():
    ends: dict[tuple[str, str, str], set[float]] = {}
    for edge in collected.edges():
        ends.setdefault((edge.id, edge.quantity, edge.name), set()).add(edge.limit)
    for each in LISTED:
        if each["compare"] == "none" or each["id"] in BY_HAND:
            continue
        wanted = {float(end) for end in each["limit"].split(" to ")} if each["limit"] != "rule" else set()
        assert key(each) in ends, key(each)
        assert wanted <= ends[key(each)], key(each)  # the table's own limit, beside those of a rule or a job


def test_every_edge_has_the_severity_of_the_list():
    listed = {key(each): each["severity"] for each in LISTED}
    for edge in collected.edges():
        assert listed[edge.id, edge.quantity, edge.name] == edge.severity, str(edge)


def test_every_quantity_without_a_limit_has_a_value_by_hand():
    told = {(each.id, each.quantity) for each in collected.told()}
    for each in LISTED:
        if each["compare"] == "none" and each["id"] not in BY_HAND:
            assert (each["id"], each["quantity"]) in told, key(each)


def test_every_id_is_asked_without_its_input():
    asked = {edge.id for edge in collected.without_input()}
    assert asked.isdisjoint({*LACKING, *NEVER_LACKING})
    assert asked | {*LACKING, *NEVER_LACKING} == set(IDS)


@pytest.mark.parametrize("id_", [*BY_HAND, *LACKING])
def test_what_is_tested_elsewhere_is_there(id_):
    for places in (BY_HAND, LACKING):
        if id_ in places:
            module, name = places[id_][:2]
            function = collected.function_of(module, name)
            inside = inspect.getsource(inspect.getmodule(function))
            assert f'"{id_}"' in inside or f"def {id_.lower()}(" in inside


EMPTY = """
schema: 1
job: {id: empty, status: proposal}
head: {material: al}
"""


def test_a_job_of_nothing_passes_nothing(tmp_path):
    """Every check but the two on the file itself is not run, has no value and says what it lacks."""
    by_id = {}
    for finding in run_checks(context(tmp_path, EMPTY, {})):
        by_id.setdefault(finding.id, []).append(finding)
    assert tuple(by_id) == IDS
    assert [(each.verdict, each.value) for each in by_id.pop("Q01")] == [("info", 0.0)]
    assert [(each.verdict, each.value) for each in by_id.pop("Q02")] == [("pass", 0.0)]
    for id_, findings in by_id.items():
        for finding in findings:
            assert (finding.verdict, finding.value, finding.limit) == ("not_run", None, None), id_
            assert finding.missing or finding.note, id_
