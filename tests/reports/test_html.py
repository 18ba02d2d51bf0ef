"""The page: complete, self-contained, nothing of a user's text becomes markup, the same text every time."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from headparts.checks.finding import Finding
from headparts.reports.content import ClashRow, ClearanceRow, JobHead, Report
from headparts.reports.html import to_html
from headparts.reports.markdown import to_markdown
from headparts.tables.hazards import NOT_A_TEST

VOID = {"meta", "link", "img", "br", "wbr"}


class Reader(HTMLParser):
    """Collects tags, attributes and text, and checks that every element is closed in order."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.text += data


@pytest.fixture
def page(report: Report) -> Reader:
    return Reader(to_html(report))


def test_every_element_is_closed(page: Reader) -> None:
    assert not page.open


def test_nothing_of_a_users_text_is_markup(page: Reader) -> None:
    assert not [tag for tag, _ in page.tags if tag in ("script", "iframe", "object", "x", "svg")]
    assert page.text.count('<script>alert("1")</script>') >= 4
    assert not re.search("[\x00-\x08\x0b-\x1f\u202e]", page.text)


def test_the_page_needs_nothing_from_outside(report: Report, page: Reader) -> None:
    for tag, attributes in page.tags:
        for key in ("src", "href"):
            value = attributes.get(key)
            if value is not None:
                assert value.startswith(("data:", "#")) or re.fullmatch(r"[\w.%-]+", value), (tag, value)
        assert not any(key.startswith("on") or key == "style" for key in attributes)
    assert ("link", {"rel": "icon", "href": "data:,"}) in page.tags


def test_the_content_policy_allows_this_style_and_no_other(report: Report) -> None:
    text = to_html(report)
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]+)"', text)
    style = re.search(r"<style>(.*?)</style>", text, re.S)
    assert policy
    assert style
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    said = policy[1].replace("&#x27;", "'")
    assert said.startswith("default-src 'none'; ")
    assert f"style-src 'sha256-{digest}'" in said
    assert "script" not in said
    assert "</" not in style[1]


def test_links_are_written_for_odd_names(page: Reader) -> None:
    assert ("a", {"href": "bushing%20intake%231.step"}) in page.tags


def test_a_failure_says_all_there_is(page: Reader) -> None:
    text = " ".join(page.text.split())
    for piece in (
        "NOT RELEASED: W02",
        "W02 plug_hole~port_intake: wall",
        "1.49996 mm",
        "≥ 1.5",
        "move the port 0.1 mm",
        "(1.000, 2.000, 3.000) to (4.500, 6.000, 7.250)",
        "between 1.4999 and 1.5001",
        "convex pair",
        "common practice, no source",
    ):
        assert piece in text, piece


def test_scale_default_missing_keys_and_the_rest_are_there(page: Reader) -> None:
    text = " ".join(page.text.split())
    for piece in (
        "≥ 0.975*",
        "scale 0.65, default ≥ 1.5",
        "A star marks a limit",
        "missing stations.intake.measured.seat_runout",
        "none in this job",
        "0.42 to 0.5",
        "seat inner",
        "12.686 mm",
        "25.966 cm³",
        "2331.46",
        "19.23",
        "16.50 × 16.50 × 34.70",
        "mesh boolean",
        "21 pairs of bodies were compared; 2 overlap.",
        "press, meant",
        "clash a and b1.20 mm³",
        "Beryllium in the copper alloy",
        "First start and running",
        NOT_A_TEST,
        "as built",
    ):
        assert piece in text, piece


def test_a_clash_that_does_not_stop_the_job_is_a_warning(report: Report) -> None:
    for stops, kind in ((True, "card fail"), (False, "card warn")):
        alone = replace(report, findings=(), clashes=(ClashRow("a", "b", "clash", 1.2, stops=stops),))
        (card,) = [a for tag, a in Reader(to_html(alone)).tags if tag == "article"]
        assert card["class"] == kind


def test_pictures_are_shown_as_images_with_a_name(report: Report, page: Reader) -> None:
    (image,) = [attributes for tag, attributes in page.tags if tag == "img"]
    source = image["src"] or ""
    assert image["alt"] == "Bushing"
    drawn = base64.b64decode(source.removeprefix("data:image/svg+xml;base64,")).decode()
    assert report.pictures[0].svg.endswith(drawn)
    assert drawn.startswith("<svg")


def test_counts_lead_to_their_sections(page: Reader) -> None:
    ids = {attributes["id"] for _, attributes in page.tags if "id" in attributes}
    targets = {a["href"] for tag, a in page.tags if tag == "a" and (a.get("href") or "").startswith("#")}
    assert targets == {"#attention", "#not_run", "#info", "#pass"}
    assert {target.removeprefix("#") for target in targets if target} <= ids


def test_the_same_report_gives_the_same_page(report: Report) -> None:
    assert to_html(report) == to_html(report)


def test_without_a_stamp_the_page_says_what_was_judged() -> None:
    passing = Finding("W01", "a~b", "wall", value=2.0, unit="mm", limit=1.5, compare=">=", verdict="pass")
    bare = Report("t", JobHead("J1"), findings=(passing, replace(passing, verdict="not_run", value=None)))
    text = " ".join(Reader(to_html(bare)).text.split())
    assert "No unaccepted failure among the 1 results that were judged; 1 could not be judged" in text
    assert "NOT RELEASED" not in text


def test_a_report_of_nothing_is_still_a_page() -> None:
    reader = Reader(to_html(Report("t", JobHead("J1"))))
    assert not reader.open
    assert "NOT RELEASED" not in reader.text
    assert "No unaccepted failure" not in reader.text, "nothing was judged, so nothing is said to hold"


def test_near_bodies_have_a_table_of_their_own(report: Report) -> None:
    rows = (
        ClearanceRow(
            "head", "valve", 0.9998, 1.0002, "points of the solids, polished", "over its lift", False
        ),
        ClearanceRow("head", "sleeve", 0.03, 0.03, "closed form"),
    )
    html = to_html(replace(report, clearances=rows))
    assert "Clearance of bodies that stand near each other" in html
    assert html.count("unproven") == to_html(report).count("unproven") + 1
    assert "over its lift; points of the solids, polished" in html
    text = to_markdown(replace(report, clearances=rows))
    assert "| head | valve | 1.000 | 1.000 (unproven) |" in text
    assert "| head | sleeve | 0.0300 | 0.0300 | closed form |" in text
    assert "Clearance mm" not in to_markdown(report)
