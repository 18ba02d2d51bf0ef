"""Parts, proof, interference, computed values and files on the page."""

from __future__ import annotations

from collections.abc import Sequence

from headparts.reports.content import Report
from headparts.reports.html_findings import with_unit
from headparts.reports.markup import Html, facts, join, link, table, tag, text
from headparts.reports.materials import NOTE as MATERIAL_NOTE
from headparts.reports.materials import table_rows as material_cells
from headparts.reports.numbers import number, words
from headparts.reports.risk import COLUMNS, summary, table_rows


def models(report: Report) -> Html:
    """Parts, the proof of the head, and the interference of the assembly."""
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
                "–" if each.depth is None else number(each.depth, "mm"),
                each.note,
            )
            for each in report.clashes
        ]
        kinds = ("Body", "Body", "Kind", ">Overlap mm³", ">By formula mm³", ">Depth mm", "Note")
        pieces.append(table(kinds, overlaps))
    if report.clearances:
        pieces.append(tag("h3", "Clearance of bodies that stand near each other"))
        apart = [
            (
                each.first,
                each.second,
                number(each.upper, "mm"),
                number(each.lower, "mm"),
                "" if each.proven else "unproven",
                "; ".join(part for part in (each.case, each.method) if part),
            )
            for each in report.clearances
        ]
        pieces.append(table(("Body", "Body", ">Clearance mm", ">At least mm", "", "How"), apart))
    return join(pieces, "\n")


def _box(box: object) -> str:
    if not isinstance(box, tuple):
        return "–"
    low, high = box
    return " × ".join(f"{b - a:.2f}" for a, b in zip(low, high, strict=True))


def risk(report: Report) -> Html:
    """Walls under the half-widths of the job: probabilities, and what to measure better."""
    if report.risk is None:
        return Html("")
    columns = [("#" if name == "Pair" else ">" if name.endswith(" mm") else "") + name for name in COLUMNS]
    rows = table_rows(report.risk)
    said = [tag("p", each) for each in summary(report.risk)]
    return join((tag("h2", "Risk"), table(columns, rows) if rows else None, *said), "\n")


def materials(report: Report) -> Html:
    """The job's values of its materials beside the table's."""
    if not report.materials:
        return Html("")
    columns = ("#Material", "Quantity", ">In this job", "Unit", ">In the table", "")
    pieces = (
        tag("h2", "Materials"),
        table(columns, material_cells(report.materials)),
        tag("p", MATERIAL_NOTE, class_="note"),
    )
    return join(pieces, "\n")


def derived(report: Report) -> Html:
    """What the rules compute and nobody judges, by subject."""
    if not report.derived:
        return Html("")
    groups: dict[str, list[tuple[str, str]]] = {}
    for row in report.derived:
        shown = with_unit(number(row.value, row.unit), row.unit) if row.value is not None else "–"
        groups.setdefault(row.subject, []).append((words(row.quantity), shown))
    blocks = [
        tag("section", tag("h3", subject), table(("Quantity", ">Value"), pairs))
        for subject, pairs in groups.items()
    ]
    return join((tag("h2", "Computed, not judged"), tag("div", *blocks, class_="derived")), "\n")


def files(report: Report) -> Html:
    """The files of the run, linked, with their hashes."""
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
