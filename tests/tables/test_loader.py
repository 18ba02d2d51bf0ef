"""The table reader refuses what is not a sound table of ranges."""

import math

import pytest

from headparts.errors import HeadpartsError, TableError
from headparts.tables.loader import FOLDER, find_range, group_ranges, number_in, parse_table, read_table

GOOD = ["key,over,to,value", "-,mm,mm,um", "a,0,3,5", "a,3,6,8", "b,1,2,7"]


def ranges(lines):
    return group_ranges(parse_table("t", lines), "key", "value")


def test_sound_ranges_are_grouped_and_sorted():
    shuffled = [*GOOD[:2], GOOD[3], GOOD[4], GOOD[2]]
    found = ranges(shuffled)
    assert [(item.over, item.to, item.value) for item in found["a"]] == [(0, 3, 5), (3, 6, 8)]
    assert list(found) == ["a", "b"]


def test_a_size_on_a_boundary_belongs_to_the_lower_range():
    found = ranges(GOOD)["a"]
    assert find_range(found, 3.0).value == 5
    assert find_range(found, math.nextafter(3.0, 4.0)).value == 8
    assert find_range(found, 6.0).value == 8
    assert find_range(found, 0.0) is None
    assert find_range(found, 6.1) is None


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        ([*GOOD[:3], "a,4,6,8"], "a has a gap between 3 and 4"),
        ([*GOOD[:3], "a,2,6,8"], "a has an overlap between 3 and 2"),
        ([*GOOD[:3], "a,0,3,5"], "a has an overlap between 3 and 0"),
        ([*GOOD[:2], "a,3,3,5"], "a has the empty range over 3 to 3"),
        ([*GOOD[:2], "a,6,3,5"], "a has the empty range over 6 to 3"),
        ([*GOOD[:2], "a,0,3,five"], "value holds 'five', not a finite number"),
        ([*GOOD[:2], "a,0,inf,5"], "to holds 'inf', not a finite number"),
        ([*GOOD[:2], "a,0,nan,5"], "to holds 'nan', not a finite number"),
        ([*GOOD[:2], "a,0,3"], "row 3 has 3 cells, the header has 4"),
        (["key,over,to,value", "a,0,3,5"], "needs a header row, a unit row and data"),
        (["key,over,to,to", *GOOD[1:]], "each once"),
        (["key,over,,value", *GOOD[1:]], "each once"),
        ([GOOD[0], "-,mm,,um", *GOOD[2:]], "unit for every column"),
    ],
)
def test_faulty_tables_are_refused(lines, message):
    with pytest.raises(TableError, match=message):
        ranges(lines)


def test_a_missing_table_names_those_there_are():
    with pytest.raises(TableError, match=r"no table iso999; there is .*iso286_it"):
        read_table("iso999")
    assert issubclass(TableError, HeadpartsError)
    assert issubclass(TableError, KeyError)


@pytest.mark.parametrize("name", sorted(path.stem for path in FOLDER.glob("*.csv")))
def test_every_table_has_units_and_is_plain_text(name):
    table = read_table(name)
    assert table.rows
    raw = (FOLDER / f"{name}.csv").read_bytes()
    raw.decode("utf-8")
    assert b"\r" not in raw
    assert not raw.startswith(b"\xef\xbb\xbf")
    if name != "cautions":
        columns = set(table.units)
        assert "source" in columns
        assert columns & {"verification", "status"}
        assert all(row["source"] not in {"", "-"} for row in table.rows)


def test_a_number_is_read_as_written():
    table = parse_table("t", GOOD)
    assert number_in(table, table.rows[0], "value") == 5.0
