"""The Markdown report: whole tables, nothing of a user's text becomes markup."""

from __future__ import annotations

import re

from headparts.reports.content import Report
from headparts.reports.markdown import safe, to_markdown


def test_every_table_row_has_the_columns_of_its_head(report: Report) -> None:
    columns = 0
    rows = 0
    for line in to_markdown(report).splitlines():
        if not line.startswith("|"):
            columns = 0
            continue
        found = len(re.findall(r"(?<!\\)\|", line))
        columns = columns or found
        assert found == columns, line
        rows += 1
    assert rows > 20


def test_users_text_is_escaped(report: Report) -> None:
    text = to_markdown(report)
    assert "<script>" not in text
    assert "\\<script\\>" in text
    assert "\x1b" not in text
    assert safe("[a](b)") == "\\[a\\](b)"


def test_it_says_what_the_page_says(report: Report) -> None:
    text = to_markdown(report)
    for piece in (
        "**NOT RELEASED: W02**",
        "| W02 | plug\\_hole\\~port\\_intake | wall | 1.49996 mm | \\>= 1.5 |",
        "\\>= 0.975\\*",
        "scale 0.65, default \\>= 1.5",
        "missing stations.intake.measured.seat\\_runout",
        "| bushing\\_intake | cu\\_be | 1 | 2331.46 | 19.23 |",
        "2 attempt(s), valid, 93561.52 mm3; by mesh boolean 93561.41 mm3; read again 93561.50 mm3",
        "[bushing intake\\#1.step](bushing%20intake%231.step)",
        "**Beryllium in the copper alloy.**",
        "**Clash: a and b share 1.20 mm3.",
        "never replaces a leak test",
    ):
        assert piece in text, piece


def test_the_same_report_gives_the_same_text(report: Report) -> None:
    assert to_markdown(report) == to_markdown(report)
