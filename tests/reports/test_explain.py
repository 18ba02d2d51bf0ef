"""Worked examples: complete, on the lines and with the numbers that a person can follow with a calculator."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any

import pytest
from edges.case import context

import headparts
from headparts.checks.explained import Term
from headparts.checks.finding import Finding
from headparts.checks.run import run_checks
from headparts.checks.symbols import page
from headparts.checks.table import ids
from headparts.cli import main
from headparts.errors import ParameterError
from headparts.reports.asked import Asked, asked_for, wanted
from headparts.reports.explain import place, print_explanations, print_symbols, worked_steps, written
from headparts.reports.html import to_html
from headparts.reports.markdown import to_markdown
from headparts.reports.terminal import Terminal

ROOT = Path(__file__).resolve().parents[2]
PUMP = str(ROOT / "configs" / "pump_26cc.yaml")


def told(folder: Path, check: str, changes: dict[str, Any] | None = None, job: str = "pump_26cc") -> str:
    """What the command prints of a check, in an example with changes by dotted key."""
    stream = io.StringIO()
    findings = run_checks(context(folder, job, changes or {}), check.split(","))
    print_explanations(findings, Terminal(stream, {}, 100))
    return stream.getvalue()


def test_a_formula_its_numbers_result_limit_place_and_source_are_printed(capsys):
    assert main(["check", PUMP, "--explain", "B02"]) == 0
    text = capsys.readouterr().out
    assert "B02  land: bushing outside the seat" in text
    assert "= (body - seat_outer)/2" in text
    assert "= (16.5 - 14.1)/2 = 1.200 mm" in text, "16.5 and 14.1 stand in the job file"
    assert ">= 1 mm: within its limit" in text
    line = 1 + next(
        k
        for k, row in enumerate(Path(PUMP).read_text(encoding="utf-8").splitlines())
        if "body: {dia: 16.50" in row
    )
    assert f"stations.intake.bushing.body.dia, line {line}" in text
    assert "common practice, no source" in text


def test_steps_come_before_what_needs_them_and_can_be_followed(capsys):
    main(["check", PUMP, "--explain", "F04"])
    lines = capsys.readouterr().out.splitlines()
    steps = [row.split()[0] for row in lines if re.match(r"  (tight|hub|taken|pressure|hub_tresca) +=", row)]
    order = ["tight", "hub", "taken", "pressure", "hub_tresca"]
    assert sorted(map(order.index, steps[:5])) == [0, 1, 2, 3, 4]
    assert steps.index("taken") > steps.index("hub")
    assert steps.index("pressure") > steps.index("tight")
    assert steps[4] == "hub_tresca"
    text = "\n".join(lines)
    assert "= 0.034 + 0.003 = 0.037 mm" in text
    assert "= 16.5 + 2*1.7 = 19.9 mm" in text  # web by hand: 8.2 - (-9.0) - (16.5 + 14.5)/2 = 1.7
    assert "<= 155/1.12 = 138.393 MPa" in text


def test_a_wall_is_the_distance_of_its_two_points(capsys):
    main(["check", PUMP, "--explain", "W07"])
    text = capsys.readouterr().out
    found = re.search(r"wall +(= sqrt\([^=]*= )([0-9.]+) mm\n +worst_case +(= .*?)mm", text, re.DOTALL)
    assert found
    root = " ".join(found.group(1).strip(" =").split())
    squares = re.findall(r"\((-?[0-9.]+) - \(?(-?[0-9.]+)\)?\)\^2", root)
    assert sum((float(b) - float(a)) ** 2 for b, a in squares) ** 0.5 == pytest.approx(
        float(found.group(2)), abs=2e-6
    )
    assert "on body_bore_intake, round 16.5 mm, axis from (8.2, -1.2," in text


@pytest.mark.parametrize("width", [60, 80, 100])
def test_no_line_is_wider_than_it_may_be_and_all_are_ascii(tmp_path, width):
    stream = io.StringIO()
    findings = run_checks(context(tmp_path, "pump_26cc", {}), ["F", "K", "R", "B", "P"])
    print_explanations(findings, Terminal(stream, {}, width))
    text = stream.getvalue()
    words = max(len(word) for word in text.split() if set(word) != {"-"})
    assert max(map(len, text.splitlines())) <= max(width, words + 40), (
        "only a word that is too long sticks out"
    )
    assert text.isascii()


def test_what_is_missing_is_named_beside_the_formula(tmp_path):
    text = told(tmp_path, "B01", {"stations.intake.valve.head": None})
    assert "NOT RUN bushing_intake" in text
    assert "missing stations.intake.valve.head" in text
    assert "= body - head" in text
    assert "none in this job" in told(tmp_path, "S01")


def test_an_override_shows_default_and_star_and_a_scale_shows(tmp_path):
    assert ">= 1.1* mm (set by the job, default >= 1)" in told(tmp_path, "B02", {"limits": {"B02": 1.1}})
    assert ">= 0.65* mm (scale 0.65, default >= 1)" in told(tmp_path, "B02", {"limits": {"scale": 0.65}})
    scaled = told(tmp_path, "W07", {"limits": {"scale": 0.65}})
    assert "max(0.6*0.975, 0.5*0.65) = 0.585* mm" in scaled  # 0.65 x 1.5 = 0.975, 0.6 x 0.975 = 0.585
    own = told(tmp_path, "R04", {"limits": {"R04": 0.5}})
    assert ">= 0.5* mm; by the rule 1 = 1" in own


def test_accepted_and_repaired_ones_say_so(tmp_path):
    accepted = {
        "stations.intake.valve.head": 16.0,
        "accept": [{"id": "B01", "subject": "bushing_intake", "reason": "the owner wants it"}],
    }
    text = told(tmp_path, "B01", accepted)
    assert "outside its limit, accepted by the job" in text
    assert "accepted: the owner wants it" in text
    assert "repaired by sleeve_intake" in told(tmp_path, "W08", job="generator_62cc")


def test_a_number_without_effect_is_said_to_be(tmp_path):
    text = told(tmp_path, "F02")
    assert "without effect here: a_b_high, a_h_low" in text, (
        "a hot head and bushing: least growth of this, most of that"
    )


def test_numbers_are_written_as_the_job_has_them():
    assert written(Term("a", 16.5, "mm", "", "k", 3)) == "16.5"
    assert written(Term("a", 22e-6, "1/K", "", "k", 3)) == "22e-6"
    assert written(Term("a", -1e-9, "mm", "")) == "-1e-09"
    assert written(Term("a", (0.0, -0.0000001, 1 / 3), "mm", "")) == "(0, 0, 0.333333)"


def test_a_number_of_the_record_is_not_said_to_stand_in_the_job_file():
    assert place(Term("a", 16.504, "mm", "", "stations.intake.bushing.body.dia")).endswith(
        "dia, from the record"
    )
    assert place(Term("a", 0.0, "mm", "", "datums.faced_off: not given")) == "datums.faced_off: not given"
    assert place(Term("a", 1.0, "mm", "", "x.y", 7)) == "x.y, line 7"
    assert place(Term("a", 1.0, "mm", "")) == ""


def test_an_unknown_check_names_the_nearest_and_exits_2(capsys):
    assert main(["check", PUMP, "--explain", "W99"]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert "W12, W11, W10" in error
    with pytest.raises(ParameterError, match="names no check"):
        wanted(" , ")
    assert wanted("w07, b") == (Asked("W07"), *(Asked(each) for each in ids() if each.startswith("B")))


@pytest.mark.parametrize(
    ("asked", "subjects"),
    [
        ("W11:port_intake~shank_bore_exhaust", {"port_intake~shank_bore_exhaust"}),
        ("w11: shank_bore_exhaust~PORT_INTAKE", {"port_intake~shank_bore_exhaust"}),
        ("B02:bushing_exhaust,B03", {"bushing_exhaust", "bushing_intake"}),
    ],
)
def test_one_subject_of_a_check_is_explained_alone(capsys, asked, subjects):
    assert main(["check", PUMP, "--json", "--explain", asked]) == 0
    whole = json.loads(capsys.readouterr().out)
    assert {each["subject"] for each in whole["findings"]} == subjects
    assert sum(whole["counts"].values()) == len(whole["findings"])


def test_a_part_of_a_pair_finds_all_its_pairs_and_a_stranger_none(capsys):
    findings = [
        Finding("W04", "port_intake~tunnel_in", "wall"),
        Finding("W04", "port_intake~tunnel_ex", "wall"),
    ]
    assert asked_for(findings, wanted("W04:tunnel_in")) == findings[:1]
    assert asked_for(findings, wanted("W04:port_intake")) == findings
    assert main(["check", PUMP, "--explain", "B02:bushing_inlet"]) == 2
    error = capsys.readouterr().err
    assert "B02:bushing_inlet" in error
    assert "bushing_intake, bushing_exhaust" in error


def test_json_gets_formula_and_terms_only_when_asked(capsys):
    main(["check", PUMP, "--json", "--explain", "B02"])
    asked = json.loads(capsys.readouterr().out)["findings"][0]
    main(["check", PUMP, "--json", "--only", "B02"])
    plain = json.loads(capsys.readouterr().out)["findings"][0]
    assert {key: asked[key] for key in plain} == plain
    assert set(asked) - set(plain) == {"formula", "limit_formula", "how", "terms"}
    assert asked["formula"] == "(body - seat_outer)/2"
    assert {term["symbol"]: term["value"] for term in asked["terms"]} == {"body": 16.5, "seat_outer": 14.1}
    assert asked["terms"][0]["key"] == "stations.intake.bushing.body.dia"


def test_python_sees_the_same():
    result = headparts.check(PUMP, only=["B02"])
    first = result.findings[0]
    assert first.formula == "(body - seat_outer)/2"
    assert [(term.symbol, term.value, term.unit) for term in first.terms] == [
        ("body", 16.5, "mm"),
        ("seat_outer", 14.1, "mm"),
    ]


def test_the_page_of_symbols_has_each_once(capsys):
    assert main(["check", PUMP, "--explain", "symbols"]) == 0
    text = capsys.readouterr().out
    assert all(f"\n  {name} " in f"\n{text}" for name, _, _ in page())
    stream = io.StringIO()
    print_symbols(Terminal(stream, {}, 100))
    assert stream.getvalue() == text
    assert max(map(len, text.splitlines())) <= 100


def test_the_report_folds_the_steps_of_what_fails_or_warns():
    report = headparts.check(PUMP, solids=False).report
    (warned,) = [f for f in report.findings if f.id == "F05" and f.verdict == "warn"]
    steps = worked_steps(warned)
    assert steps[0] == "tight = interference + band = 0.029 + 0.003 = 0.032 mm"
    page_text, plain = to_html(report), to_markdown(report)
    assert page_text.count("How it is worked out") == 1
    assert "tight = interference + band = 0.029 + 0.003 = 0.032 mm" in page_text
    assert "  - tight = interference + band = 0.029 + 0.003 = 0.032 mm" in plain
