"""The page of checks in the gallery is what the table of checks gives, and the README links to it."""

from __future__ import annotations

import re
from pathlib import Path

from headparts.checks.listing import FAMILIES, listing
from headparts.reports.limits import markdown_listing

ROOT = Path(__file__).resolve().parents[2]


def test_the_page_in_the_gallery_is_what_the_table_gives():
    page = (ROOT / "exports" / "gallery" / "checks.md").read_bytes().decode("utf-8")
    assert page == markdown_listing(listing()), "run python exports/gallery/make.py"
    lines = page.splitlines()
    assert [line for line in lines if line.startswith("## ")] == [f"## {k}: {v}" for k, v in FAMILIES.items()]
    shown = [line.split(" | ")[0][2:] for line in lines if re.match(r"\| [A-Z][0-9]", line)]
    assert shown == [each.row.id for each in listing()]
    assert {line.count("|") - line.count("\\|") for line in lines if line.startswith("| ")} == {9}
    assert "](exports/gallery/checks.md)" in (ROOT / "README.md").read_text(encoding="utf-8")
