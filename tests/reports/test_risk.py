"""The risk of walls in words: on the terminal, the page and in Markdown."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headparts.reports.html import to_html
from headparts.reports.markdown import to_markdown
from headparts.reports.risk import chance_text, least_text, lines, percent
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
        "measure better first; any wall below its limit is 18.7 % (95 %: 18.5 % to 18.9 %) now, and when one "
        "half-width alone is halved:\n1. head.cavities.stud_1.u 0.05 to 0.025: 2.8 % (its share of the variance 75 %)"
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
