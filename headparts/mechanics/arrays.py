"""Entry checks shared by all formulas: finite numbers inside their range, shapes that fit together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike as ArrayLike
from numpy.typing import NDArray

from headparts.errors import ParameterError

FloatArray = NDArray[np.float64]
Result = Any
"""A float when every argument was a scalar, else an array of the broadcast shape."""


@dataclass(frozen=True)
class Bound:
    """The range a number must lie in: ``low``/``high``, each included or not, and words for the message."""

    low: float = -np.inf
    high: float = np.inf
    low_included: bool = True
    high_included: bool = True
    words: str = "must be a finite number"

    def holds(self, values: FloatArray) -> bool:
        """Tell whether all values are finite and inside the range."""
        if values.ndim == 0:
            return self._holds_one(values.item())
        above = values >= self.low if self.low_included else values > self.low
        below = values <= self.high if self.high_included else values < self.high
        return bool(np.all(np.isfinite(values) & above & below))

    def _holds_one(self, value: float) -> bool:
        """The same of one number, ten times quicker than through arrays."""
        above = value >= self.low if self.low_included else value > self.low
        below = value <= self.high if self.high_included else value < self.high
        return math.isfinite(value) and above and below


ANY = Bound()
POSITIVE = Bound(0.0, low_included=False, words="must be finite and greater than 0")
NOT_NEGATIVE = Bound(0.0, words="must be finite and not negative")
POISSON = Bound(0.0, 0.5, high_included=False, words="Poisson's ratio must be 0 or more and below 0.5")
FRACTION = Bound(0.0, 1.0, low_included=False, words="must be above 0 and not above 1")
TEMPERATURE = Bound(-273.15, words="must be a finite temperature in degC, not below -273.15")
EXPANSION = Bound(
    0.0, 1.0e-3, words="expansion coefficient must be between 0 and 1.0e-3 per K (write 22.0e-6)"
)
ANGLE = Bound(0.0, 90.0, False, False, words="must be an angle between 0 and 90 degrees, ends excluded")


def _array(key: str, value: Any, bound: Bound) -> FloatArray:
    if not isinstance(value, (str, bytes)):
        try:
            raw = np.asarray(value)
        except (ValueError, TypeError) as error:
            raise ParameterError(key, value, "must be a number or an array of numbers") from error
        if raw.dtype.kind in "iuf":
            array = raw.astype(np.float64)
            if bound.holds(array):
                return array
            raise ParameterError(key, value, bound.words)
    raise ParameterError(key, value, "must be a number or an array of numbers")


def numbers(**arguments: tuple[Any, Bound]) -> tuple[FloatArray, ...]:
    """Check arguments given as ``key=(value, bound)`` and return them as arrays, in the order given.

    Raises ParameterError naming the first key that is not a finite number inside its bound, or whose shape
    does not broadcast with those before it.

    >>> numbers(diameter=(16.5, POSITIVE), length=([1, 2], POSITIVE))
    (array(16.5), array([1., 2.]))
    """
    arrays = {key: _array(key, value, bound) for key, (value, bound) in arguments.items()}
    together(**arrays)
    return tuple(arrays.values())


def together(**arrays: ArrayLike) -> None:
    """Check that arrays broadcast with each other. Raises ParameterError naming the first that does not.

    >>> together(diameter=np.zeros((3, 1)), length=np.zeros(4))
    """
    shape: tuple[int, ...] = ()
    for key, array in arrays.items():
        own = np.shape(array)
        if own in ((), shape):
            continue
        try:
            shape = np.broadcast_shapes(shape, own)
        except ValueError as error:
            raise ParameterError(key, f"shape {own}", f"must broadcast with shape {shape}") from error


def require(condition: Any, key: str, value: Any, allowed: str) -> None:
    """Raise ParameterError for ``key`` unless the condition holds everywhere."""
    if not (condition if isinstance(condition, bool | np.bool_) else np.all(condition)):
        raise ParameterError(key, value, allowed)


def plain(values: Any) -> Result:
    """Return a 0-d result as a float and anything else as an array of float64.

    >>> plain(np.asarray(1.5))
    1.5
    """
    array = np.asarray(values, dtype=np.float64)
    return float(array) if array.ndim == 0 else array
