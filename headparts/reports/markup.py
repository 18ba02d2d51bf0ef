"""HTML in small pieces. Every text goes through :func:`text`, so nothing a user writes becomes markup."""

from __future__ import annotations

import base64
import html
import re
from collections.abc import Iterable, Sequence
from urllib.parse import quote

from headparts.reports.numbers import printable


class Html(str):
    """A string that is markup already; anything else is escaped where it is put in."""

    __slots__ = ()


def text(value: object) -> Html:
    """Escaped text without control characters; markup passes as it is.

    >>> text('<b> & "quotes"')
    '&lt;b&gt; &amp; &quot;quotes&quot;'
    """
    if isinstance(value, Html):
        return value
    return Html(html.escape(printable(str(value)), quote=True))


def tag(name: str, /, *children: object, **attributes: str | None) -> Html:
    """An element; ``class_`` and ``data_label`` become ``class`` and ``data-label``; None leaves one out.

    >>> tag("p", "a < b", tag("b", "!"), class_="soft")
    '<p class="soft">a &lt; b<b>!</b></p>'
    """
    said = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{text(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    inside = "".join(text(child) for child in children if child is not None)
    if name in ("img", "meta", "link", "br"):
        return Html(f"<{name}{said}>")
    return Html(f"<{name}{said}>{inside}</{name}>")


def join(pieces: Iterable[object], between: str = "") -> Html:
    """Pieces one after the other, with markup of ours between them."""
    return Html(between.join(text(piece) for piece in pieces))


def table(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> Html:
    """A table that becomes a list of cards on a narrow screen.

    A column name may carry a mark in front: ``>`` for numbers (to the right), ``#`` for names.
    """
    return grouped_table(columns, [(None, rows)])


def grouped_table(
    columns: Sequence[str], groups: Iterable[tuple[object | None, Iterable[Sequence[object]]]]
) -> Html:
    """A table whose rows stand in groups, each under a line of its own (None: no such line)."""
    marks = {">": "num right", "#": "id"}
    kinds = [marks.get(name[:1], "") for name in columns]
    names = [name[1:] if name[:1] in marks else name for name in columns]
    head = [
        tag("th", name, class_="right" if "right" in kind else None, scope="col")
        for name, kind in zip(names, kinds, strict=True)
    ]
    labels = [None if kind == "id" else name for name, kind in zip(names, kinds, strict=True)]
    bodies = []
    for title, rows in groups:
        lines = (
            [] if title is None else [tag("tr", tag("th", title, colspan=str(len(columns))), class_="group")]
        )
        for row in rows:
            cells = [
                tag("td", cell, class_=kind or None, data_label=label)
                for cell, kind, label in zip(row, kinds, labels, strict=True)
            ]
            lines.append(tag("tr", *cells))
        bodies.append(tag("tbody", join(lines, "\n")))
    return tag("table", tag("thead", tag("tr", *head)), *bodies, class_="stack")


def facts(pairs: Iterable[tuple[str, object]]) -> Html:
    """A list of names and values; pairs without a value are left out."""
    rows = [join((tag("dt", name), tag("dd", value))) for name, value in pairs if str(value)]
    return tag("dl", *rows, class_="facts") if rows else Html("")


def link(name: str) -> Html:
    """A link to a file in the same folder."""
    return tag("a", name, href=quote(name))


def picture(svg: str, alt: str) -> Html:
    """An SVG as a picture: shown as an image, so neither its styles nor anything in it reach the page."""
    svg = re.sub(r"^<\?xml[^>]*\?>\s*", "", svg)
    coded = base64.b64encode(svg.encode("utf-8")).decode("ascii")
    return tag("img", src=f"data:image/svg+xml;base64,{coded}", alt=alt)
