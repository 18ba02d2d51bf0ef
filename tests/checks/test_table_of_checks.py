"""The table against a list typed from the description of the checks (data/table_of_checks.csv), not from the table."""

from __future__ import annotations

import csv
import json
import re
from itertools import pairwise
from pathlib import Path

import pytest

from headparts.checks.listing import listing
from headparts.checks.table import ids, rows
from headparts.cli import main

LISTED = list(
    csv.DictReader(
        Path(__file__)
        .with_name("data")
        .joinpath("table_of_checks.csv")
        .read_text(encoding="utf-8")
        .splitlines()
    )
)


def test_every_id_of_the_list_is_in_the_table_and_no_other():
    listed = tuple(dict.fromkeys(each["id"] for each in LISTED))
    assert len(listed) == 101
    assert ids() == listed


def limit(text):
    if text in ("", "rule"):
        return None
    low, _, high = text.partition(" to ")
    return (float(low), float(high)) if high else float(low)


def test_quantities_limits_severities_and_scale():
    listed = {
        (each["id"], each["quantity"], each["limit_name"]): (
            each["compare"],
            limit(each["limit"]),
            each["severity"],
            each["scaled"] == "1",
        )
        for each in LISTED
    }
    table = {
        (each.id, each.quantity, each.name): (each.compare, each.limit, each.severity, each.scaled)
        for each in rows()
    }
    assert {key: value for key, value in table.items() if listed.get(key) != value} == {}
    assert table == listed


def test_subjects():
    listed = {(each["id"], each["quantity"], each["limit_name"]): each["subject"] for each in LISTED}
    assert {(each.row.id, each.row.quantity, each.row.name): each.subject for each in listing()} == listed


CUT = r"(body_bore|shank_bore|port|pocket)_(intake|exhaust)"
SUBJECTS = {
    "body_bore_exhaust~body_bore_intake": "body_bore_exhaust~body_bore_intake",
    "cut~cavity": rf"(?=.*{CUT}|.*sleeve_bore_).+~.+",
    "cut~outside": rf"(?=.*{CUT})(outside~.+|.+~outside)",
    "pocket~port": r"pocket_\w+~port_\w+",
    "pair": rf"(?=.*{CUT}).+~.+",
    "cut~cut": rf"{CUT}~{CUT}",
    "cavity": r"[\w.-]+",
    "exhaust~intake": "exhaust~intake",
    "station": "intake|exhaust",
    "intake": "intake",
    "engine": "engine",
    "bushing": "bushing_(intake|exhaust)",
    "head": "head",
    "port": "port_(intake|exhaust)",
    "repair": "sleeve_intake",
    "repair~cavity": r"sleeve_intake~[\w.-]+",
    "sleeve_bore~other": r"(?=.*sleeve_bore_sleeve_intake).+~.+",
    "rocker": "rocker",
    "spacer": "spacer",
    "datums": "datums",
    "job": "job",
    "sheet": "job",  # stands for all sheets until they are drawn
    "file": "job",
    "part": "bushing_(intake|exhaust)|sleeve_intake|spacer",
}


@pytest.mark.parametrize("name", ["pump_26cc", "generator_62cc", "sprayer_10cc"])
def test_findings_are_about_the_subjects_that_the_table_names(checked_jobs, name):
    of = {}
    for each in listing():
        of.setdefault(each.row.id, set()).add(SUBJECTS[each.subject])
    empty = {"W08": {"head"}, "W10": {"head"}}
    for found in checked_jobs(name).findings:
        if found.note == "none in this job":
            assert (found.verdict, found.value) == ("not_run", None)
            continue
        fits = any(re.fullmatch(pattern, found.subject) for pattern in of[found.id])
        assert fits or found.subject in empty.get(found.id, ()), (found.id, found.subject)
        for first, second in pairwise(found.subject.split("~")):
            assert first < second or found.id == "S07"


def test_a_limit_is_a_number_or_a_rule():
    for each in listing():
        row = each.row
        if row.compare == "none":
            assert row.limit is None
            assert not each.rule
        elif row.limit is None:
            assert each.rule, row
    ruled = {(each["id"], each["quantity"], each["limit_name"]) for each in LISTED if each["limit"] == "rule"}
    without = {
        (each.row.id, each.row.quantity, each.row.name)
        for each in listing()
        if each.row.limit is None and each.rule
    }
    assert without == ruled


def test_the_command(capsys):
    assert main(["limits", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [each["id"] for each in found["checks"]] == [each["id"] for each in LISTED]
    assert set(found["checks"][0]) == {
        *("id", "subject", "quantity", "name", "what", "compare", "limit", "rule", "unit", "severity"),
        *("scaled", "source"),
    }
    assert main(["limits", "W01", "K", "--json"]) == 0
    assert [each["id"] for each in json.loads(capsys.readouterr().out)["checks"]] == [
        "W01",
        "K01",
        "K02",
        "K03",
        "K04",
    ]
    assert main(["limits", "F02"]) == 0
    assert capsys.readouterr().out.splitlines()[0] == "F02  FAIL bushing grip: >= 0.002 mm"
    assert main(["limits", "V", "--markdown"]) == 0
    assert "| V10 | station | `piston_gap` (`exhaust`) |" in capsys.readouterr().out
    assert main(["limits", "W99"]) == 2
    assert "W99" in capsys.readouterr().err
