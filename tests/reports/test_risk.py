"""The risk of walls in words: on the terminal, the page and in Markdown."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headparts.reports.html import to_html
from headparts.reports.markdown import to_markdown
from headparts.reports.risk import chance_text, least_text, lines, percent, summary
from headparts.reports.sizing import _rule
from headparts.sizing import Likeliest
from headparts.sizing.chance import Chance
from headparts.sizing.risk_result import Improvement, PairRisk, Risk, Share

SAMPLED = Chance("sampled", 100_000, 18_705, 18_705)
OPEN = Chance("sampled", 1000, 10, 30)
PAIR = PairRisk(
    "W03",
    "port_intake~stud_1",
    1.2,
    1.3,
    1.1,
    1.15,
    (1.1204, 1.1206),
    (1.13, 1.13),
    SAMPLED,
    Chance("never"),
    47,
    (Share("head.cavities.stud_1.u", 0.05, 0.75), Share("process.drill_start_u", 0.1, 0.25)),
)
KEEPS = PairRisk(
    "W02", "body_bore_intake~plug", 1.5, 3.0, 2.9, 2.95, below=Chance("never"), through=Chance("never")
)
LACKS = PairRisk("W04", "port_intake~tunnel", 1.2, 2.0, missing=("head.cavities.tunnel.u", "datums.cast_u"))
FOUND = Risk(
    "J1",
    100_000,
    1,
    (PAIR, KEEPS, LACKS),
    SAMPLED,
    Chance("never"),
    (Improvement("head.cavities.stud_1.u", 0.05, 0.028, 0.159, 0.75),),
)


def test_on_the_terminal():
    said = "\n".join(lines(FOUND))
    assert "W03 port_intake~stud_1, limit 1.2 mm" in said
    assert (
        "wall as drawn 1.300, worst case (W07) 1.100, true least 1.121, root of squares (W07r) 1.150" in said
    )
    # Wilson by hand: p = 0.18705, n = 1e5: 0.18705 -+ 1.96 sqrt(0.18705 0.81295/1e5) = 0.1846 to 0.1895
    assert "below its limit: 18.7 % (95 %: 18.5 % to 18.9 %)" in said
    assert (
        "broken through: cannot happen within the half-widths (47 draws too near to call were solved exactly)"
        in said
    )
    assert "of its variance: head.cavities.stud_1.u 75 %, process.drill_start_u 25 %" in said
    assert "1 pair needs no draws" in said
    assert (
        "measure better first; of the walls that need draws any is below its limit in 18.7 % now, and with one "
        "half-width alone halved in:\n1. head.cavities.stud_1.u 0.05 to 0.025: 2.8 % (its share of the variance 75 %)"
    ) in said
    assert "not run: W04 port_intake~tunnel: head.cavities.tunnel.u, datums.cast_u" in said
    assert "100000 draws, seed 1" in said


def test_what_is_left_open_is_an_interval():
    assert chance_text(OPEN).startswith("1 % to 3 % (95 %: ")
    assert least_text(replace(PAIR, true_least=(1.1, 1.15))) == "1.100 to 1.150"
    assert least_text(replace(PAIR, true_least=None)) == "-"
    assert chance_text(None) == "not run"


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.999999, ">99.9 %"), (1.0, "100 %"), (0.0, "0 %"), (3.84e-5, "0.0038 %"), (0.05, "5 %")],
)
def test_no_share_is_rounded_to_certainty(share, text):
    assert percent(share) == text


def test_in_the_reports(report):
    with_risk = replace(report, risk=FOUND)
    page, plain = to_html(with_risk), to_markdown(with_risk)
    for said in ("18.7 % (95 %: 18.5 % to 18.9 %)", "head.cavities.stud", "no leak test", "Risk"):
        assert said in page
        assert said.replace("_", "\\_") in plain
    assert "<h2>Risk</h2>" in page
    assert "## Risk" in plain
    assert "1 of 3 pairs keep their limit even in the worst case" in page
    assert "1 were not run" in plain
    assert "Risk" not in to_html(report)
    assert "## Risk" not in to_markdown(report)


def test_what_a_repair_mends_is_said_to_be_left_out():
    said = "\n".join(lines(replace(FOUND, pairs=(replace(PAIR, repaired=True),))))
    assert "any wall below its limit (what a repair mends left out): 18.7 %" in said


def test_nothing_judged_is_never_good_news(report):
    """A job whose walls all lack half-widths: no probability, no advice, and no word that sounds like a pass."""
    nothing = replace(FOUND, pairs=(LACKS,), any_below=None, any_through=None, improve=())
    said = "\n".join(lines(nothing))
    assert "any wall below its limit (1 not run left out): not run, no wall could be judged" in said
    assert "any wall broken through (1 not run left out): not run, no wall could be judged" in said
    assert "what to measure better cannot be told: no wall was judged" in said
    with_risk = replace(report, risk=nothing)
    for text in (said, to_html(with_risk).split("Risk", 1)[1][:3000], "\n".join(summary(nothing))):
        assert "cannot happen" not in text
        assert "no measurement need" not in text
    assert nothing.as_json()["any_below"] is None
    repaired = replace(FOUND, pairs=(replace(PAIR, repaired=True), KEEPS, LACKS))
    assert "any wall below its limit (what a repair mends and 1 not run left out): 18.7 %" in "\n".join(
        lines(repaired)
    )


def test_rule_of_largest_names_walls_it_could_not_judge():
    rule = Likeliest(0.01, 20_000, 1, not_run=("a~b", "a~c", "a~d", "a~e", "a~f"))
    said = "\n".join(_rule(rule))
    assert "this rule judged no wall" in said
    assert said.endswith("(headparts risk names them): a~b, a~c, a~d and 2 more")
    said = "\n".join(_rule(replace(rule, subject="a~z", below=0.002, not_run=("a~b",))))
    assert "likeliest at this size: a~z below its limit 0.002" in said
    assert said.endswith("(headparts risk names them): a~b")
