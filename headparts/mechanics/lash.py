"""Valve lash when the engine is warm, from the growth of everything between camshaft and valve tip.

A forecast only: the temperatures are guesses until the hot lash has been measured with a feeler gauge.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headparts.errors import ParameterError
from headparts.mechanics.arrays import ANY, NOT_NEGATIVE, POSITIVE, ArrayLike, Result, numbers, plain
from headparts.mechanics.thermal import expansion

Piece = tuple[float, float, float]
"""One piece of a chain: length [mm], expansion coefficient [1/K], rise of temperature [K]."""


def chain_growth(pieces: Sequence[Piece]) -> float:
    """Growth of a chain of pieces, each at its own rise of temperature.

        growth = sum of L alpha dT

    Parameters:
        pieces [mm, 1/K, K]: sequence of (length, expansion coefficient, rise), may be empty
    Returns:
        [mm] growth of the chain, one number
    Raises:
        ParameterError: a piece that is not three numbers, or out of range
    Validity: each piece at one mean temperature.
    Source: thermal expansion.

    >>> round(chain_growth([(55.0, 22.0e-6, 110.0), (4.0, 22.0e-6, 150.0)]), 6)
    0.1463
    """
    total = 0.0
    for number, piece in enumerate(pieces):
        try:
            length, cte, rise = piece
        except (TypeError, ValueError) as error:
            raise ParameterError(f"pieces[{number}]", piece, "must be (length, cte, rise)") from error
        total += float(expansion(length, cte, rise))
    return total


def warm_lash(
    cold_lash: ArrayLike, ratio: ArrayLike, pivot_growth: ArrayLike, pushrod_growth: ArrayLike,
    valve_growth: ArrayLike,
) -> Result:  # fmt: skip
    """Lash after the parts have grown.

        lash = cold + (1 + R) pivot - R pushrod - valve

    Parameters (scalars or arrays that broadcast):
        cold_lash [mm]: set cold, at the valve
        ratio [-]: R, rocker ratio
        pivot_growth [mm]: rise of the rocker pivot above the camshaft
        pushrod_growth [mm]: of the pushrod with cam follower
        valve_growth [mm]: rise of the valve tip: what carries the seat, plus the valve itself
    Returns:
        [mm] lash at the valve, 0 or less = the valve is held open, broadcast shape
    Raises:
        ParameterError: a value not finite, a negative cold lash, a ratio not positive
    Validity: straight rocker, small turn; an estimate, since the temperatures are guesses.
    Source: kinematics of a lever with thermal expansion.

    >>> round(warm_lash(0.08, 1.2, 0.1, 0.05, 0.2), 6)
    0.04
    """
    cold, r, pivot, rod, valve = numbers(
        cold_lash=(cold_lash, NOT_NEGATIVE), ratio=(ratio, POSITIVE), pivot_growth=(pivot_growth, ANY),
        pushrod_growth=(pushrod_growth, ANY), valve_growth=(valve_growth, ANY),
    )  # fmt: skip
    return plain(np.asarray(cold + (1 + r) * pivot - r * rod - valve))
