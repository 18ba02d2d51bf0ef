"""Planned against made in the terminal: what is left of a step that was begun by name, later steps by theirs."""

from __future__ import annotations

import io

from headparts.reports.record import OPEN, OUTSIDE, WITHIN, RecordRow, RecordTable, left_open, print_record
from headparts.reports.terminal import Terminal

ROWS = (
    RecordRow("bores.intake.step_depth", "bores", "intake", "step_depth", "mm", (20.3,), 20.28, 20.32,
              raw=(20.33,), made=(20.3269,), deviation=0.0269, verdict=OUTSIDE, changes="shoulder +0.0269"),
    RecordRow("bores.intake.shank_bore", "bores", "intake", "shank_bore", "mm", (8.0,), 8.0, 8.015, verdict=OPEN),
    RecordRow("bores.exhaust.step_depth", "bores", "exhaust", "step_depth", "mm", (19.3,), 19.28, 19.32,
              raw=(19.3,), made=(19.3,), deviation=0.0, verdict=WITHIN),
    RecordRow("seats.intake.runout", "seats", "intake", "runout", "mm", high=0.02, verdict=OPEN),
    RecordRow("train.spacer.thick", "train", "spacer", "thick", "mm", verdict=OPEN),
)  # fmt: skip
TABLE = RecordTable("record.yaml", "", "2026-01-01", None, ROWS)


def test_only_steps_that_were_begun_list_what_is_left():
    assert left_open(TABLE) == ["bores: intake shank bore", "nothing of seats, train"]


def test_a_record_of_everything_leaves_nothing_open():
    done = RecordTable("record.yaml", "", None, None, tuple(row for row in ROWS if row.verdict != OPEN))
    assert left_open(done) == []


def test_what_is_outside_comes_first_with_both_readings():
    stream = io.StringIO()
    print_record(TABLE, Terminal(stream, {}, 160))
    lines = stream.getvalue().splitlines()
    assert lines[0] == "Record record.yaml of 2026-01-01: planned against made"
    assert lines[1] == (
        "OUTSIDE  bores: intake step depth: planned 20.300, allowed 20.280 to 20.320, made 20.3269 (read 20.330), "
        "off by +0.0269"
    )
    assert lines[2].strip() == "shoulder +0.0269"
    assert lines[3].startswith("WITHIN   bores: exhaust step depth: planned 19.300")
