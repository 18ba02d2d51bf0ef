"""A stated risk in place of the worst case, against the closed form of one bolt that may lie elsewhere."""

from __future__ import annotations

import json

import pytest
from scipy.optimize import brentq

import headparts
from headparts.cli import main
from headparts.errors import ParameterError

U, LIMIT = 0.3, 1.2
JOB = f"""\
schema: 1
job: {{id: T5, status: proposal, units: mm}}
datums: {{position_u: 0.0, cast_u: 0.0}}
process: {{bore_position_u: 0.0}}
head:
  material: aluminium
  chamber: {{type: disc, dia: 20.0, depth: 1.0}}
  outline: {{type: box, x: [-60, 60], y: [-60, 60], z: [0, 30]}}
  cavities:
    - {{name: stud, kind: bolt, axis: {{p: [22.0, 0.0, 0], tilt: 0}}, dia: 6.0, len: 30, u: {U}}}
stations:
  intake:
    axis: {{p: [0.0, 0.0, 1.0], tilt: 0}}
    bushing: {{body: {{dia: 20.0, len: 12.0}}}}
limits: {{M05: -50, B14: 0.01, W12: 1.0}}
"""


@pytest.fixture
def job(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(JOB, encoding="utf-8")
    return path


def diameter(probability):
    """Bore and stud stand 22 apart. The stud lies anywhere in a ball of radius U: toward the bore by more than t with
    probability (2 - 3 t/U + (t/U)^3)/4 (volume of a cap over the ball's); a wall of limit + t is then below its limit.
    """
    share = brentq(lambda x: (2.0 - 3.0 * x + x**3) / 4.0 - probability, 0.0, 1.0)
    return 2.0 * (22.0 - 3.0 - LIMIT - share * U)


@pytest.mark.parametrize("probability", [0.01, 0.1, 0.3])
def test_the_bore_grows_until_the_probability_is_reached(job, probability):
    """20 000 draws: the share of the hits scatters by sqrt(p (1 - p)/20000); three times that through the slope of the
    closed form, 3 (1 - x^2)/(4 U) of probability for a mm of wall, is 0.009 mm of diameter at most.
    """
    found = headparts.largest(job, "stations.intake.bushing.body.dia", risk=probability)
    assert (found.stop.id, found.stop.subject) == ("W07", "body_bore_intake~stud")
    assert found.stop.quantity == "probability_below"
    assert found.value == pytest.approx(diameter(probability), abs=0.012)
    assert found.risk is not None
    assert found.risk.most == probability
    assert found.risk.below <= probability
    assert probability < found.stop.beyond
    assert found.risk.through == 0.0
    assert found.risk.subject == "body_bore_intake~stud"


def test_without_a_risk_the_wall_as_drawn_ends_it(job):
    """22 - 3 - 1.2 is left for the radius, the worst case has 0.6 x 1.2 and 0.3 to spare."""
    found = headparts.largest(job, "stations.intake.bushing.body.dia")
    assert found.stop.id in ("W03", "W07r")
    assert found.value == pytest.approx(2.0 * (22.0 - 3.0 - max(LIMIT, 0.8 * LIMIT + U)), abs=1e-9)
    assert found.risk is None


def test_what_is_too_likely_already_may_not_become_likelier(job):
    """At 35.4 the wall is 1.3: below 1.2 with probability (2 - 1 + 1/27)/4 = 0.26. Larger is worse, smaller is not."""
    job.write_text(JOB.replace("dia: 20.0, len", "dia: 35.4, len"), encoding="utf-8")
    larger = headparts.largest(job, "stations.intake.bushing.body.dia", risk=0.01)
    assert not larger.works
    assert larger.stop.value == pytest.approx(0.259, abs=0.01)
    assert "W07 body_bore_intake~stud probability_below" in larger.failing
    smaller = headparts.largest(job, "stations.intake.bushing.body.dia", smallest=True, risk=0.01)
    assert smaller.works


@pytest.mark.parametrize("risk", [0.0, 1.0, -0.1, 2.0, float("nan")])
def test_a_risk_lies_between_0_and_1(job, risk, capsys):
    with pytest.raises(ParameterError, match="between 0 and 1"):
        headparts.largest(job, "stations.intake.bushing.body.dia", risk=risk)
    assert main(["largest", str(job), "stations.intake.bushing.body.dia", f"--risk={risk}"]) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1


def test_the_rule_is_told_in_words_and_in_json(job, capsys):
    arguments = ["largest", str(job), "stations.intake.bushing.body.dia", "--risk", "0.1"]
    assert main(arguments) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "in place of the worst cases W07, W07r and S08 worst_case" in said
    assert "likeliest at this size: body_bore_intake~stud below its limit 0.09" in said
    assert main([*arguments, "--json"]) == 0
    risk = json.loads(capsys.readouterr().out)["risk"]
    assert risk["most"] == 0.1
    assert risk["samples"] == 20_000
    assert 0.09 < risk["below"] <= 0.1


def test_walls_without_half_widths_are_named_not_passed(job, capsys):
    """Without any half-width of the stud the wall cannot be judged by a probability: the rule says so, and risk too."""
    bare = JOB.replace(f", u: {U}", "").replace("datums: {position_u: 0.0, cast_u: 0.0}\n", "")
    assert len(bare) < len(JOB) - 40
    job.write_text(bare, encoding="utf-8")
    found = headparts.largest(job, "stations.intake.bushing.body.dia", risk=0.1)
    assert found.risk.subject == ""
    assert "body_bore_intake~stud" in found.risk.not_run
    assert main(["largest", str(job), "stations.intake.bushing.body.dia", "--risk", "0.1"]) == 0
    assert "this rule judged no wall" in capsys.readouterr().out
    assert main(["risk", str(job), "--samples", "1000"]) == 0
    said = capsys.readouterr().out
    assert "not run, no wall could be judged" in said
    assert "cannot happen" not in said
    assert main(["risk", str(job), "--samples", "1000", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["any_below"] is None
    assert told["any_through"] is None
