"""Turn to the measured bore: the window of outside diameters that suits every reading of a bore."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headparts.mechanics.arrays import ANY, POSITIVE, ArrayLike, numbers, require


@dataclass(frozen=True)
class Window:
    """Outside diameters that suit all readings [mm]; ``width`` is negative when there is none."""

    lower: float
    upper: float

    @property
    def width(self) -> float:
        """Upper minus lower [mm]; negative = no such diameter: bore again."""
        return self.upper - self.lower

    @property
    def aim(self) -> float:
        """Middle of the window [mm], the size to turn."""
        return (self.lower + self.upper) / 2

    @property
    def is_empty(self) -> bool:
        """True when no diameter suits all readings."""
        return self.width < -1e-9


def od_window(readings: ArrayLike, least_interference: float, greatest_interference: float) -> Window:
    """Outside diameters of a bush that keep the local interference in its band at every reading of the bore.

        lower = largest reading + least,   upper = smallest reading + greatest

    Parameters:
        readings [mm]: array of any shape, all measured diameters of the bore (top, middle, bottom, two
            directions)
        least_interference [mm]: wanted at the largest reading, on the diameter
        greatest_interference [mm]: allowed at the smallest reading, on the diameter
    Returns:
        Window [mm]: lower, upper, width (negative = empty), aim
    Raises:
        ParameterError: no readings, a reading not finite or not positive, least above greatest
    Validity: bush taken as round; the error of measuring is not in it.
    Source: arithmetic; common practice, no source.

    >>> window = od_window([[16.508, 16.512, 16.515], [16.504, 16.509, 16.511]], 0.025, 0.040)
    >>> round(window.lower, 3), round(window.upper, 3), round(window.aim, 3)
    (16.54, 16.544, 16.542)
    """
    (bore,) = numbers(readings=(readings, POSITIVE))
    low, high = numbers(
        least_interference=(least_interference, ANY), greatest_interference=(greatest_interference, ANY)
    )
    require(bore.size > 0, "readings", readings, "must hold at least one diameter")
    require(low.ndim == 0, "least_interference", least_interference, "must be one number")
    require(high.ndim == 0, "greatest_interference", greatest_interference, "must be one number")
    require(low <= high, "least_interference", least_interference, "must not exceed greatest_interference")
    return Window(float(np.max(bore) + low), float(np.min(bore) + high))
