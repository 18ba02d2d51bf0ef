"""The report as one page: no script, nothing from outside, readable on a phone and printable on A4."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from importlib.resources import files

from headparts.checks.finding import Finding
from headparts.checks.table import rows as table_rows
from headparts.reports.content import (
    COMPETENT,
    VERDICT_WORDS,
    Report,
    counts,
    in_order,
    is_starred,
)
from headparts.reports.markup import Html, facts, grouped_table, join, link, picture, table, tag, text
from headparts.reports.numbers import (
    UNIT_SIGNS,
    bounds_text,
    limit_text,
    number,
    place_text,
    star_text,
    value_of,
    words,
)
from headparts.tables.hazards import LOCAL_CODES

_NICE = {">=": "≥", "<=": "≤"}


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
        _attention(report),
        _pictures(report),
        _models(report),
        _quiet(report, "not_run", "What could not be judged", "Nothing here counts as passed."),
        _quiet(
            report,
            "info",
            "For information",
            "Values without a limit, or outside a range that is only advice.",
        ),
        _quiet(report, "pass", "What passes", ""),
        _derived(report),
        _files(report),
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
        stamp = tag("p", _clear_words(found), class_="stamp clear")
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


def _clear_words(found: dict[str, int]) -> str:
    rest = found["not_run"]
    open_ones = f"; {rest} could not be judged" if rest else ""
    return f"No unaccepted failure among the {sum(found.values()) - rest} results that were judged{open_ones}"


def _remarks(report: Report) -> list[object]:
    said: list[object] = list(report.remarks)
    starred = [each for each in report.findings if is_starred(each)]
    if starred:
        said.append("A star marks a limit that is not the table's own; the default stands beside it.")
    said.append(COMPETENT)
    return said


def _attention(report: Report) -> Html:
    found = [each for each in in_order(report.findings) if each.verdict in ("fail", "warn")]
    if not report.findings:
        return Html("")
    if not found:
        return join((tag("h2", "Failures and warnings", id="attention"), tag("p", "None.")))
    return join((tag("h2", "Failures and warnings", id="attention"), *(_card(each) for each in found)), "\n")


def _card(finding: Finding) -> Html:
    case = f", {words(finding.case)}" if finding.case != "nominal" else ""
    name = join(
        (
            tag("span", VERDICT_WORDS[finding.verdict], class_="verdict"),
            f" {finding.id} {finding.subject}: {words(finding.quantity)}{case}",
        )
    )
    return tag(
        "article",
        tag(
            "p",
            tag("span", name, class_="name"),
            tag(
                "span",
                _value(finding),
                " ",
                tag("span", _limit(finding), class_="soft"),
                class_="measure num",
            ),
            class_="top",
        ),
        tag("p", _what(finding), class_="small soft") if _what(finding) else None,
        tag("p", finding.note) if finding.note else None,
        tag("p", finding.advice, class_="advice") if finding.advice else None,
        facts(
            (
                ("Limit", _star(finding)),
                ("Where", place_text(finding)),
                ("Bounds", bounds_text(finding)),
                ("Method", finding.method),
                ("Source of the limit", finding.source),
                ("Severity", finding.severity),
            )
        ),
        class_=f"card {finding.verdict}",
    )


def _quiet(report: Report, verdict: str, title: str, lead: str) -> Html:
    found = [each for each in report.findings if each.verdict == verdict]
    if not found:
        return Html("")
    groups: dict[Html, list[Finding]] = {}
    for finding in found:
        groups.setdefault(_group(finding), []).append(finding)
    if verdict == "not_run":
        shown = grouped_table(
            ("#Subject", "Why"),
            ((title, [(_subject(f), _why(f)) for f in same]) for title, same in groups.items()),
        )
    else:
        shown = grouped_table(
            ("#Subject", ">Value", ">Limit", "Where and how"),
            (
                (title, [(_subject(f), _value(f), _limit(f), _how(f)) for f in same])
                for title, same in groups.items()
            ),
        )
    return join(
        (tag("h2", f"{title} ({len(found)})", id=verdict), tag("p", lead) if lead else "", shown), "\n"
    )


def _group(finding: Finding) -> Html:
    """What findings of one check have in common: said once, above them."""
    said = [_what(finding)]
    if finding.value is not None:
        said.append(f"by {finding.method}" if finding.method else "")
        said.append(f"limit: {finding.source}" if finding.source and finding.limit is not None else "")
        said.append(_star(finding))
    more = "; ".join(each for each in said if each)
    return join(
        (
            tag("span", finding.id, class_="id"),
            f" {words(finding.quantity)} ",
            tag("span", more, class_="more"),
        )
    )


def _subject(finding: Finding) -> Html:
    case = "" if finding.case == "nominal" else f" [{words(finding.case)}]"
    return join((join(finding.subject.split("~"), "~<wbr>"), case))


def _why(finding: Finding) -> Html:
    said = [f"missing {', '.join(finding.missing)}" if finding.missing else "", finding.note]
    return text("; ".join(each for each in said if each))


def _how(finding: Finding) -> Html:
    said = [finding.note, bounds_text(finding), place_text(finding)]
    return text("; ".join(each for each in said if each))


def _value(finding: Finding) -> str:
    return _with_unit(value_of(finding), finding.unit) if finding.value is not None else "–"


def _with_unit(shown: str, unit: str) -> str:
    sign = UNIT_SIGNS.get(unit, unit)
    return f"{shown}{sign}" if sign == "°" else f"{shown} {sign}".rstrip()


def _limit(finding: Finding) -> str:
    return f"{_nice(limit_text(finding.limit, finding.compare))}{'*' if is_starred(finding) else ''}"


def _star(finding: Finding) -> str:
    return _nice(star_text(finding))


def _nice(said: str) -> str:
    for plain, nice in _NICE.items():
        said = said.replace(plain, nice)
    return said


def _what(finding: Finding) -> str:
    for row in table_rows():
        if row.id == finding.id and row.quantity == finding.quantity:
            return row.what
    return ""


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


def _models(report: Report) -> Html:
    pieces: list[Html] = []
    if report.parts:
        rows = [
            (
                join((part.name, tag("span", part.note, class_="note") if part.note else "")),
                part.material or "not given",
                str(part.quantity),
                number(part.volume, "mm3"),
                "–" if part.mass is None else f"{part.mass:.2f}",
                _box(part.box),
            )
            for part in report.parts
        ]
        columns = ("#Part", "Material", ">Number", ">Volume mm³", ">Mass g", ">Box mm")
        pieces += [tag("h2", "Parts"), table(columns, rows)]
    if report.proof:
        proof = report.proof
        pieces += [
            tag("h3", "The cut head, proven"),
            facts(
                (
                    ("Attempts", str(proof.tries)),
                    ("Valid", "yes" if proof.valid else "NO"),
                    ("Volume", f"{number(proof.volume, 'mm3')} mm³"),
                    ("Second route", f"{number(proof.second_volume, 'mm3')} mm³ ({proof.second_method})"),
                    (
                        "Read again",
                        "" if proof.reread_volume is None else f"{number(proof.reread_volume, 'mm3')} mm³",
                    ),
                    ("Note", proof.note),
                )
            ),
        ]
    if report.clash_pairs is not None:
        pieces.append(tag("h3", "Interference of the assembly"))
        pieces.append(
            tag("p", f"{report.clash_pairs} pairs of bodies were compared; {len(report.clashes)} overlap.")
        )
    if report.clashes:
        overlaps = [
            (
                each.first,
                each.second,
                tag("span", each.kind, class_="verdict fail")
                if each.kind == "clash"
                else text("press, meant"),
                number(each.volume, "mm3"),
                "–" if each.expected is None else number(each.expected, "mm3"),
                each.note,
            )
            for each in report.clashes
        ]
        pieces.append(table(("Body", "Body", "Kind", ">Overlap mm³", ">By formula mm³", "Note"), overlaps))
    return join(pieces, "\n")


def _box(box: object) -> str:
    if not isinstance(box, tuple):
        return "–"
    low, high = box
    return " × ".join(f"{b - a:.2f}" for a, b in zip(low, high, strict=True))


def _derived(report: Report) -> Html:
    if not report.derived:
        return Html("")
    groups: dict[str, list[tuple[str, str]]] = {}
    for row in report.derived:
        shown = _with_unit(number(row.value, row.unit), row.unit) if row.value is not None else "–"
        groups.setdefault(row.subject, []).append((words(row.quantity), shown))
    blocks = [
        tag("section", tag("h3", subject), table(("Quantity", ">Value"), pairs))
        for subject, pairs in groups.items()
    ]
    return join((tag("h2", "Computed, not judged"), tag("div", *blocks, class_="derived")), "\n")


def _files(report: Report) -> Html:
    if not report.files:
        return Html("")
    rows: Sequence[tuple[object, ...]] = [
        (
            link(each.file),
            each.format,
            each.part or "",
            join((each.note or "", tag("span", each.sha256, class_="note hash"))),
        )
        for each in report.files
    ]
    return join((tag("h2", "Files"), table(("#File", "Format", "Shows", "Note and SHA-256"), rows)), "\n")


def _cautions(report: Report) -> Html:
    pieces = [
        tag("div", tag("h3", each.title), tag("p", each.full), class_="caution") for each in report.cautions
    ]
    return join((tag("h2", "Cautions"), *pieces, tag("p", LOCAL_CODES, class_="small soft")), "\n")


def _foot(report: Report) -> Html:
    return tag(
        "footer", tag("p", f"{report.job.id}, {report.tool}. Lengths in mm, interference on the diameter.")
    )
