"""The tables behind the advice: what may be changed for which check, and which checks read what is changed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from strategies.altered import SLEEVE_JOB

from headparts.checks.run import select
from headparts.checks.table import ids
from headparts.checks.table import rows as check_rows
from headparts.config.varied import VariedJob
from headparts.config.watched import watched
from headparts.sizing.advise import ALONE, ONE_STATION
from headparts.sizing.questions import answered, context_of, measure_together, questions
from headparts.sizing.remedy_table import KINDS, known, readers, rows
from headparts.sizing.walls import SharedWalls

CONFIGS = Path(__file__).resolve().parents[2] / "configs"
WITHOUT = {
    "W08": "a breakthrough is told by the kind of the cavity",
    "S04": "another material",
    "S10": "a saddle, a pin or a flange: no number",
    "F12": "readings are not chosen: rebore",
    "M07": "a measurement is not made again by advice",
    "Q01": "half-widths and instruments are to be written",
    "Q02": "the reader's",
    "Q05": "the drawing's",
    "Q06": "the file's",
    "H01": "another material",
}


def test_every_check_that_fails_or_warns_has_a_remedy_or_a_reason_for_none():
    judged = {row.id for row in check_rows() if row.severity in ("FAIL", "WARN")}
    assert judged - known() == set(WITHOUT)
    assert known() <= judged


def test_every_row_names_checks_quantities_and_kinds_that_there_are():
    quantities = {(row.id, row.quantity) for row in check_rows()}
    for row in rows():
        assert row.kind in KINDS, row
        assert set(row.ids) <= set(ids()), row
        assert (row.sign == 0) == (row.kind == "shift") == (row.keys == "@axis"), row
        if row.quantity:
            assert all((id_, row.quantity) in quantities for id_ in row.ids), row
        assert set(re.findall(r"{(\w+)}", row.words)) <= {"by", "to", "station", "cavity"}, row
        assert "{by}" in row.words or "{to}" in row.words, row


def test_no_row_raises_a_limit_or_talks_a_material_or_a_temperature_of_service_better():
    for row in rows():
        for key in re.split(r"[ |]", row.keys):
            assert not key.startswith(("limits", "materials", "temps", "accept", "@old", "head.outline")), row
    hotter = [row for row in rows() if row.keys == "fits.assembly.head_T" and row.sign > 0]
    assert [row.high for row in hotter] == [200.0]
    better = [row for row in rows() if row.kind == "u"]
    assert all(row.sign < 0 and row.low is not None for row in better)


@pytest.fixture(scope="module", params=["pump_26cc", "generator_62cc", "sprayer_10cc", "sleeve", "pressed"])
def read(request, tmp_path_factory):
    """Which numbers every question of a job reads, as the table writes them, with the stations they belong to."""
    path = CONFIGS / f"{request.param}.yaml"
    if request.param in ("sleeve", "pressed"):
        path = tmp_path_factory.mktemp("reads") / "job.yaml"
        text = (
            SLEEVE_JOB
            if request.param == "sleeve"
            else SLEEVE_JOB.replace("mode: bonded", "mode: bonded_pressed")
        )
        path.write_text(text, encoding="utf-8")
    varied = VariedJob(path)
    other = varied.unjudged({key: q.value * 1.01 + 0.003 for key, q in varied.job.quantities.items()})
    seen: set[str] = set()
    telling = watched(varied.job, other, seen.add)
    walls = SharedWalls()
    plain = context_of(varied.job, walls)
    every = questions(plain)
    measure_together([plain], every, walls)
    made = []
    for question in every:
        seen.clear()
        answered(context_of(telling, walls), question)
        made.append((question, frozenset(seen)))
    return made


def _written(path: str) -> str:
    """A dotted path as the table writes it: @ for a station's block, $ for a repair's, % for a cavity's."""
    for start, mark in (("stations", "@"), ("repairs", "$"), ("head.cavities", "%")):
        found = re.fullmatch(rf"{re.escape(start)}\.[^.]+\.(.+)", path)
        if found:
            return mark + found[1]
    return path


def test_a_check_reads_no_number_that_the_table_keeps_from_it(read):
    """By a job that tells of every number that is read: what the table says of it names the check that read it."""
    told = 0
    for question, paths in read:
        for path in paths:
            if path.startswith("limits"):
                continue
            allowed = readers([_written(path)])
            told += bool(allowed)
            assert question.check.id in select(allowed), (question.check.id, path)
    assert told > 20


def test_checks_of_one_station_alone_read_nothing_of_the_other(read):
    for question, paths in read:
        check = question.check
        if check.per not in ONE_STATION or check.id[0] not in ALONE or question.subject is None:
            continue
        own = question.subject.split("_")[-1]
        others = {p.split(".")[1] for p in paths if p.startswith("stations.")} - {own}
        assert not others, (check.id, question.subject)
