"""`headparts largest`: exit codes, plain words, JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from headparts.cli import main

CONFIGS = Path(__file__).resolve().parents[2] / "configs"
JOB = """\
schema: 1
job: {id: T1, status: proposal, units: mm}
stations:
  intake:
    bushing: {body: {dia: 16.5}}
    port: {dia: 10.0}
"""


@pytest.fixture
def job(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(JOB, encoding="utf-8")
    return str(path)


def test_plain_words(job, capsys):
    """B07: 0.72 * 16.5 = 11.88; then B08: 16.5 - 3 = 13.5."""
    assert main(["largest", job, "stations.intake.port.dia"]) == 0
    said = capsys.readouterr().out
    assert "largest safe value 11.880 mm (the job has 10.000 mm)" in said
    assert "stopped by B07 bushing_intake window_over_body" in said
    assert "-0.00 %" not in said
    assert "if that were waived: 13.500 mm, stopped by B08 bushing_intake half_chord" in " ".join(
        said.split()
    )


def test_json(job, capsys):
    assert main(["largest", job, "stations.intake.port.dia", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said["format"] == 1
    assert said["value"] == pytest.approx(11.88, abs=1e-9)
    assert said["stop"]["id"] == "B07"
    assert said["next"]["id"] == "B08"
    assert {tuple(sorted(point)) for point in said["curve"]} == {
        ("case", "id", "margin", "quantity", "subject", "value")
    }


def test_smallest_with_a_key_that_moves_along(job, capsys):
    """Body less 1, port less 1: (body - port)/2 stays 3.25, port/body = 0.72 is never reached going down."""
    arguments = ["largest", job, "stations.intake.bushing.body.dia", "--smallest", "--json"]
    assert main([*arguments, "--with", "stations.intake.port.dia"]) == 0
    said = json.loads(capsys.readouterr().out)
    (moved,) = said["together"]
    assert moved["parameter"] == "stations.intake.port.dia"
    assert moved["value"] == pytest.approx(10.0 + said["value"] - 16.5, abs=1e-9)
    assert said["value"] < 16.5


@pytest.mark.parametrize("key", ["stations.intake.prot.dia", "stations.intake.port", "job.id", "x", ""])
def test_a_wrong_key_exits_2_with_one_line(job, capsys, key):
    assert main(["largest", job, key]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.strip().splitlines()) == 1


def test_a_wrong_key_names_the_nearest(job, capsys):
    assert main(["largest", job, "stations.intake.prot.dia"]) == 2
    assert "did you mean stations.intake.port.dia?" in capsys.readouterr().err
    assert (
        main(["largest", job, "stations.intake.port.dia", "--with", "stations.intake.bushing.body.di"]) == 2
    )
    assert "did you mean stations.intake.bushing.body.dia?" in capsys.readouterr().err


def test_a_member_of_a_list_asked_for_by_its_number_is_told_by_its_name(capsys):
    """Cavities and repairs have names; their numbers in the file name no key."""
    pump, generator = (str(CONFIGS / f"{name}.yaml") for name in ("pump_26cc", "generator_62cc"))
    for arguments, says in (
        ([pump, "head.cavities.0.dia"], "go by their names: it is head.cavities.plug_hole.dia"),
        ([pump, "head.cavities.5.axis.p.0"], "go by their names: it is head.cavities.tunnel_in.axis.p.0"),
        ([generator, "repairs.0.bore.dia"], "go by their names: it is repairs.sleeve_intake.bore.dia"),
        ([pump, "head.cavities.0.depth"], "go by their names: it would be head.cavities.plug_hole.depth"),
    ):
        assert main(["largest", *arguments]) == 2
        assert says in capsys.readouterr().err
    assert main(["largest", pump, "head.cavities.99.dia"]) == 2
    assert "not a number that this job file gives" in capsys.readouterr().err


def test_an_error_is_told_as_json_where_json_was_asked_for(job, capsys):
    assert main(["largest", job, "stations.intake.prot.dia", "--json"]) == 2
    said = capsys.readouterr()
    told = json.loads(said.out)
    assert sorted(told) == ["error", "format"]
    assert told["format"] == 1
    assert "did you mean stations.intake.port.dia?" in told["error"]
    assert said.err == f"headparts: {told['error']}\n"
    assert main(["check", job, "--json", "--only", "Z9"]) == 2
    assert "no check 'Z9'" in json.loads(capsys.readouterr().out)["error"]


def test_a_missing_file_exits_2(tmp_path, capsys):
    assert main(["largest", str(tmp_path / "none.yaml"), "stations.intake.port.dia"]) == 2
    assert "Traceback" not in capsys.readouterr().err
