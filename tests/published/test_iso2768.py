"""ISO 2768-1:1989, tables 1 to 3, at the ends of the ranges.

Table 1 agrees in three public transcriptions, table 2 was seen in one, table 3 is from memory. No tolerance.
"""

import pytest

from headparts.errors import TableError
from headparts.tables.iso2768 import angle_tolerance, linear_tolerance, radius_tolerance

ENDS = (3.0, 6.0, 30.0, 120.0, 400.0, 1000.0)


@pytest.mark.parametrize(
    ("letter", "values"),
    [
        ("f", (0.05, 0.05, 0.1, 0.15, 0.2, 0.3)), ("m", (0.1, 0.1, 0.2, 0.3, 0.5, 0.8)),
        ("c", (0.2, 0.3, 0.5, 0.8, 1.2, 2.0)), ("v", (None, 0.5, 1.0, 1.5, 2.5, 4.0)),
    ],
)  # fmt: skip
def test_linear(letter, values):
    for end, value in zip(ENDS, values, strict=True):
        if value is None:
            with pytest.raises(TableError, match="class v"):
                linear_tolerance(end, letter)
        else:
            assert linear_tolerance(end, letter) == value


def test_the_lowest_size_is_one_half_and_a_thin_wall_is_not_covered():
    assert linear_tolerance(0.5, "m") == 0.1
    with pytest.raises(
        TableError, match=r"0.35 mm has no general tolerance in class m; there is 0.5 to 1000 mm"
    ):
        linear_tolerance(0.35, "m")


def test_radii_and_angles():
    assert [radius_tolerance(size, "m") for size in (0.5, 3.0, 6.0, 6.1)] == [0.2, 0.2, 0.5, 1.0]
    assert [radius_tolerance(size, "v") for size in (3.0, 6.0, 50.0)] == [0.4, 1.0, 2.0]
    assert [angle_tolerance(leg, "m") * 60 for leg in (10.0, 50.0, 120.0, 400.0)] == pytest.approx(
        [60, 30, 20, 10]
    )
    assert [angle_tolerance(leg, "c") * 60 for leg in (10.0, 50.0, 120.0, 400.0)] == pytest.approx(
        [90, 60, 30, 15]
    )
