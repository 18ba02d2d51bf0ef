"""A real job on the page: scaled and overridden limits stand beside their defaults, everything is there."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

import headparts
from headparts.reports.content import Report, counts
from headparts.reports.html import to_html
from headparts.reports.markdown import to_markdown

CONFIGS = Path(__file__).resolve().parents[2] / "configs"


@pytest.fixture(scope="module")
def sprayer() -> Report:
    report: Report = headparts.check(CONFIGS / "sprayer_10cc.yaml").report
    return report


def test_scaled_and_overridden_limits_are_shown_with_their_defaults(sprayer: Report) -> None:
    """The job scales its limits by 0.75 and sets one by id: W01, whose table limit is 1.5."""
    page = html.unescape(re.sub(r"<[^>]+>", " ", to_html(sprayer)))
    assert "scale 0.75, default ≥ 1.5" in page
    assert "≥ 1.125*" in page
    web = next(each for each in sprayer.findings if each.id == "W01")
    assert web.default_limit == 1.5
    assert web.scale is None
    assert "set by the job, default ≥ 1.5" in page
    assert "set by the job, default \\>= 1.5" in to_markdown(sprayer)


def test_every_finding_is_on_the_page_once(sprayer: Report) -> None:
    page = to_html(sprayer)
    found = counts(sprayer.findings)
    cards = len(re.findall(r'<article class="card (?:fail|warn)"', page))
    assert cards == found["fail"] + found["warn"] + len(sprayer.unmeant)
    for verdict in ("not_run", "info", "pass"):
        section = page.split(f'id="{verdict}"', 1)[1].split("<h2", 1)[0]
        rows = len(re.findall(r"<tr>", section)) - 1
        assert rows == found[verdict], verdict


def test_repaired_breakthroughs_say_by_what(sprayer: Report) -> None:
    assert "repaired by sleeve_intake" in to_html(sprayer)
