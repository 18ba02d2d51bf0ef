"""The report as one page: no script, nothing from outside, readable on a phone and printable on A4."""

from __future__ import annotations

import base64
import hashlib
from importlib.resources import files

from headparts.reports.content import COMPETENT, VERDICT_WORDS, Report, counts, is_starred
from headparts.reports.html_findings import attention, quiet
from headparts.reports.html_record import record
from headparts.reports.html_tables import derived, materials, models, risk
from headparts.reports.html_tables import files as files_table
from headparts.reports.markup import Html, join, link, picture, tag
from headparts.reports.numbers import words
from headparts.tables.hazards import LOCAL_CODES


def to_html(report: Report) -> str:
    """The whole page. The same report gives the same text."""
    style = files("headparts.reports").joinpath("report.css").read_text(encoding="utf-8")
    digest = base64.b64encode(hashlib.sha256(style.encode("utf-8")).digest()).decode("ascii")
    policy = (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"
    )
    title = f"{report.job.id} {report.job.title}".strip()
    head = join(
        (
            Html('<meta charset="utf-8">'),
            tag("meta", http_equiv="Content-Security-Policy", content=policy),
            tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
            tag("title", title),
            Html('<link rel="icon" href="data:,">'),
            Html(f"<style>{style}</style>"),
        ),
        "\n",
    )
    sections = (
        _top(report),
        record(report),
        attention(report),
        _pictures(report),
        models(report),
        risk(report),
        quiet(report, "not_run", "What could not be judged", "Nothing here counts as passed."),
        quiet(
            report,
            "info",
            "For information",
            "Values without a limit, or outside a range that is only advice.",
        ),
        quiet(report, "pass", "What passes", ""),
        derived(report),
        materials(report),
        files_table(report),
        _cautions(report),
        _foot(report),
    )
    body = join((piece for piece in sections if piece), "\n")
    return f'<!DOCTYPE html>\n<html lang="en">\n<head>\n{head}\n</head>\n<body>\n{body}\n</body>\n</html>\n'


def _top(report: Report) -> Html:
    job = report.job
    block = [
        ("Job", job.id),
        ("Revision", job.rev),
        ("Date", job.date),
        ("Status", words(job.status)),
        ("Job file", job.file),
        ("Owner", job.owner),
        ("Drawn", job.drawn),
        ("Checked", job.checked),
    ]
    found = counts(report.findings)
    tiles = [
        tag(
            "li",
            tag(
                "a",
                tag("span", str(count), class_="count" if count else "count none"),
                VERDICT_WORDS[verdict],
                href="#attention" if verdict in ("fail", "warn") else f"#{verdict}",
                class_=verdict,
            ),
        )
        for verdict, count in found.items()
    ]
    if report.stamp:
        stamp = tag("p", report.stamp, class_="stamp")
    elif report.findings:
        clashes = sum(clash.kind == "clash" for clash in report.clashes)
        stamp = tag("p", _clear_words(found, clashes), class_="stamp heed" if clashes else "stamp clear")
    else:
        stamp = None
    return tag(
        "header",
        tag("p", "Head parts report", class_="kicker"),
        tag("h1", job.title or job.id),
        tag(
            "dl",
            *(tag("div", tag("dt", name), tag("dd", value)) for name, value in block if value),
            class_="titleblock",
        ),
        stamp,
        tag("ul", *tiles, class_="counts") if report.findings else None,
        tag("ul", *(tag("li", remark) for remark in _remarks(report)), class_="remarks small"),
    )


def _clear_words(found: dict[str, int], clashes: int) -> str:
    rest = found["not_run"]
    open_ones = f"; {rest} could not be judged" if rest else ""
    meet = f"; {clashes} pair{'s' if clashes > 1 else ''} of bodies share metal, see below" if clashes else ""
    return f"No unaccepted failure among the {sum(found.values()) - rest} results that were judged{open_ones}{meet}"


def _remarks(report: Report) -> list[object]:
    said: list[object] = list(report.remarks)
    starred = [each for each in report.findings if is_starred(each)]
    if starred:
        said.append("A star marks a limit that is not the table's own; the default stands beside it.")
    said.append(COMPETENT)
    return said


def _pictures(report: Report) -> Html:
    if not report.pictures:
        return Html("")
    shown = [
        tag(
            "figure",
            tag("span", picture(each.svg, each.title), class_="frame"),
            tag(
                "figcaption",
                link(each.file) if each.file else each.title,
                f" {each.caption}" if each.caption else "",
            ),
        )
        for each in report.pictures
    ]
    kind = "pictures single" if len(shown) == 1 else "pictures"
    return join((tag("h2", "Drawings"), tag("div", *shown, class_=kind)), "\n")


def _cautions(report: Report) -> Html:
    pieces = [
        tag("div", tag("h3", each.title), tag("p", each.full), class_="caution") for each in report.cautions
    ]
    return join((tag("h2", "Cautions"), *pieces, tag("p", LOCAL_CODES, class_="small soft")), "\n")


def _foot(report: Report) -> Html:
    return tag(
        "footer", tag("p", f"{report.job.id}, {report.tool}. Lengths in mm, interference on the diameter.")
    )
