"""The entry checks themselves: what each bound takes and refuses, at its very ends, and what comes out."""

import math

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics.arrays import (
    ANGLE,
    ANY,
    EXPANSION,
    FRACTION,
    NOT_NEGATIVE,
    POISSON,
    POSITIVE,
    TEMPERATURE,
    Bound,
    numbers,
    plain,
    require,
    together,
)

ENDS = [  # bound, taken, refused
    (ANY, [-1e300, 0.0, 1e300], [math.inf, -math.inf, math.nan]),
    (POSITIVE, [1e-9, 1e300], [0.0, -1e-9, math.inf]),
    (NOT_NEGATIVE, [0.0, 1e-9, 1e300], [-1e-9, math.inf]),
    (POISSON, [0.0, 0.4999999], [-1e-9, 0.5]),
    (FRACTION, [1e-9, 1.0], [0.0, 1.0 + 1e-9]),
    (TEMPERATURE, [-273.15, 1000.0], [-273.15 - 1e-9, math.inf]),
    (ANGLE, [1e-9, 89.999999], [0.0, 90.0]),
    (EXPANSION, [0.0, 1e-3], [-1e-12, 1e-3 + 1e-12]),
    (Bound(2.0, 3.0, low_included=True, high_included=False), [2.0, 2.9999], [1.9999, 3.0]),
    (Bound(2.0, 3.0, low_included=False, high_included=True), [2.0001, 3.0], [2.0, 3.0001]),
]


@pytest.mark.parametrize(("bound", "taken", "refused"), ENDS, ids=range(len(ENDS)))
def test_ends_of_a_bound(bound, taken, refused):
    for value in taken:
        assert numbers(key=(value, bound))[0] == value
    for value in refused:
        for given in ([taken[0], value], value):
            with pytest.raises(ParameterError) as caught:
                numbers(key=(given, bound))
            assert caught.value.key == "key"
            assert bound.words in str(caught.value)


@pytest.mark.parametrize("value", ["1", b"1", None, True, [True], [[1.0], [1.0, 2.0]], {"a": 1}, 1j, ["1"]])
def test_what_is_no_number(value):
    with pytest.raises(ParameterError, match=r"key.*a number or an array of numbers"):
        numbers(key=(value, ANY))


def test_whole_numbers_and_arrays_become_floats():
    whole, unsigned, row = numbers(a=(3, ANY), b=(np.uint8(7), ANY), c=([1, 2], POSITIVE))
    assert [each.dtype for each in (whole, unsigned, row)] == [np.float64] * 3
    assert (whole, unsigned, list(row)) == (3.0, 7.0, [1.0, 2.0])


def test_shapes_must_fit_together():
    together(a=np.zeros((3, 1)), b=np.zeros(4), c=1.0)
    with pytest.raises(ParameterError) as caught:
        numbers(a=([1.0, 2.0], ANY), b=([1.0, 2.0, 3.0], ANY))
    assert caught.value.key == "b"


def test_require_wants_every_one():
    require([True, True], "key", 1, "words")
    with pytest.raises(ParameterError, match=r"key.*words"):
        require(np.array([True, False]), "key", 1, "words")


def test_plain_results():
    assert type(plain(np.asarray(1.5))) is float
    assert type(plain(np.float64(1.5))) is float
    assert plain([1.0]).shape == (1,)
    assert plain([[1, 2]]).dtype == np.float64
