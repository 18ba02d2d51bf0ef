"""The job's material values stand beside the table's, with where those come from; what the job changed is marked."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
import yaml

import headparts
from headparts.job.materials import material_rows
from headparts.plan import plan_job
from headparts.reports.content import JobHead, MaterialRow, Report
from headparts.reports.html import to_html
from headparts.reports.markdown import to_markdown

ROOT = Path(__file__).resolve().parents[2]
JOB = ROOT / "configs" / "sprayer_10cc.yaml"


def rows_of(path: Path) -> dict[tuple[str, str], MaterialRow]:
    return {(row.material, row.quantity): row for row in material_rows(plan_job(headparts.read_job(path)))}


def in_table(material: str, quantity: str) -> list[dict[str, str]]:
    with (ROOT / "headparts" / "tables" / "data" / "materials.csv").open(
        encoding="utf-8", newline=""
    ) as file:
        return [
            row for row in csv.DictReader(file) if row["material"] == material and row["property"] == quantity
        ]


def test_every_value_of_the_job_is_there() -> None:
    written = yaml.safe_load(JOB.read_text(encoding="utf-8"))["materials"]
    found = rows_of(JOB)
    assert {material for material, _ in found} == set(written)
    assert len(found) == sum(key != "hazard" for values in written.values() for key in values)
    head = found["al_die_cast", "Young's modulus"]
    assert (head.values, head.unit) == ((71000.0,), "MPa")
    assert found["al_bronze", "yield at 20 °C"].values == (330.0,)
    assert found["al_bronze", "expansion, band"].values == (16.2, 18.0)
    assert found["al_die_cast", "expansion"].values == (22.0,)


def test_the_tables_range_and_statuses_are_those_of_the_file() -> None:
    head = rows_of(JOB)["al_die_cast", "expansion"]
    rows = in_table("al_die_cast", "cte")
    assert head.table == (min(float(row["low"]) for row in rows), max(float(row["high"]) for row in rows))
    assert set(head.statuses) == {row["status"] for row in rows}
    hot = rows_of(JOB)["al_die_cast", "yield at 200 °C"]
    rows = [row for row in in_table("al_die_cast", "yield") if row["at"] == "200"]
    assert hot.table == (
        (min(float(r["low"]) for r in rows), max(float(r["high"]) for r in rows)) if rows else ()
    )


def test_a_changed_value_is_marked_as_the_jobs_own(tmp_path: Path) -> None:
    text = JOB.read_text(encoding="utf-8")
    changed = text.replace("al_die_cast: {E: 71000", "al_die_cast: {E: 99000").replace(
        "al_bronze", "my_bronze"
    )
    path = tmp_path / "job.yaml"
    path.write_text(changed, encoding="utf-8")
    found = rows_of(path)
    modulus = found["al_die_cast", "Young's modulus"]
    assert modulus.values == (99000.0,)
    assert modulus.table
    assert not modulus.agrees
    assert found["my_bronze", "density" if ("my_bronze", "density") in found else "expansion"].table == ()


@pytest.mark.parametrize(
    ("values", "table", "agrees"),
    [((22.0,), (21.1, 22.7), True), ((22.7,), (21.1, 22.7), True), ((21.1, 22.7), (21.1, 22.7), True),
     ((22.8,), (21.1, 22.7), False), ((21.0,), (21.1, 22.7), False), ((21.0, 22.0), (21.1, 22.7), False),
     ((22.0,), (), False)],
)  # fmt: skip
def test_agreement(values: tuple[float, ...], table: tuple[float, ...], agrees: bool) -> None:
    assert MaterialRow("a", "b", values, "MPa", table).agrees is agrees


def test_page_and_text_say_the_same() -> None:
    rows = (
        MaterialRow("al", "expansion", (21.5, 22.5), "1e-6/K", (21.1, 22.7), ("published", "memory")),
        MaterialRow("al", "density", (3.0,), "g/cm3", (2.7, 2.7), ("memory",)),
        MaterialRow("own", "density", (8.0,), "g/cm3"),
    )
    report = Report("headparts", JobHead("j"), materials=rows)
    page = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", to_html(report)))
    assert "al expansion 21.5 to 22.5 1e-6/K 21.1 to 22.7 (published, memory)" in page
    assert "al density 3 g/cm3 2.7 (memory) the job's own" in page.replace("&#x27;", "'").replace(
        "&#39;", "'"
    )
    assert "own density 8 g/cm3 not there" in page
    text = to_markdown(report)
    assert "| al | density | 3 | g/cm3 | 2.7 (memory) | the job's own |" in text
    assert "Memory: not verified" in text
    assert "Memory: not verified" in page
    assert "Materials" not in to_markdown(Report("headparts", JobHead("j")))
    assert ">Materials<" not in to_html(Report("headparts", JobHead("j")))
