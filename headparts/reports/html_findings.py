"""Findings on the page: a card for what fails or warns, tables for the rest."""

from __future__ import annotations

from headparts.checks.finding import Finding
from headparts.checks.table import rows as table_rows
from headparts.reports.content import VERDICT_WORDS, ClashRow, Report, in_order, is_starred
from headparts.reports.explain import worked_steps
from headparts.reports.markup import Html, facts, grouped_table, join, tag, text
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

_NICE = {">=": "≥", "<=": "≤"}


def attention(report: Report) -> Html:
    """Failures and warnings, a card each; nothing when nothing was judged."""
    found = [each for each in in_order(report.findings) if each.verdict in ("fail", "warn")]
    if not report.findings and not report.unmeant:
        return Html("")
    cards = [_clash(each) for each in report.unmeant] + [_card(each) for each in found]
    return join((tag("h2", "Failures and warnings", id="attention"), *(cards or [tag("p", "None.")])), "\n")


def _clash(row: ClashRow) -> Html:
    name = join((tag("span", "clash", class_="verdict"), f" {row.first} and {row.second}"))
    value = tag("span", with_unit(number(row.volume, "mm3"), "mm3"), class_="measure num")
    return tag(
        "article",
        tag("p", tag("span", name, class_="name"), value, class_="top"),
        tag("p", "two bodies of the assembly share metal and are not meant to", class_="small soft"),
        tag("p", row.note) if row.note else None,
        class_="card fail" if row.stops else "card warn",
    )


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
        _worked(finding),
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


def _worked(finding: Finding) -> Html | None:
    """Formula and numbers, folded away."""
    steps = worked_steps(finding)
    if not steps:
        return None
    lines = join([tag("div", step) for step in steps])
    return tag("details", tag("summary", "How it is worked out"), tag("div", lines, class_="worked"))


def quiet(report: Report, verdict: str, title: str, lead: str) -> Html:
    """All findings of one verdict in a table, grouped by check; nothing when there are none."""
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
    return with_unit(value_of(finding), finding.unit) if finding.value is not None else "–"


def with_unit(shown: str, unit: str) -> str:
    """A number as text with its unit's sign behind it."""
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
