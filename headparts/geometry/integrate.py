"""Adaptive integral of a function that is evaluated in batches; any unit."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from headparts.geometry.axis import Array

PANELS = 40
LOW_ORDER, HIGH_ORDER = 10, 16


def integral(
    function: Callable[[Array], Array], low: float, high: float, tolerance: float
) -> tuple[float, float]:
    """Integral and an estimate of its error: panels of 16 against 10 Gauss points, halved where they differ.

    ``tolerance``: relative to the whole, shared out; at most ``PANELS`` panels.
    """
    values, errors = integrals(lambda _, at: function(at), np.array([low]), np.array([high]), tolerance)
    return float(values[0]), float(errors[0])


def integrals(
    function: Callable[[np.ndarray, Array], Array], low: Array, high: Array, tolerance: float
) -> tuple[Array, Array]:
    """Many integrals at once, as `integral` each; two arrays (N,).

    ``function`` takes the number of the integral and the place of each point, shape (M,) both.
    """
    coarse, fine = (np.polynomial.legendre.leggauss(order) for order in (LOW_ORDER, HIGH_ORDER))
    nodes = np.concatenate([coarse[0], fine[0]])
    done, error, used = np.zeros(len(low)), np.zeros(len(low)), np.zeros(len(low))
    scale = np.zeros(len(low))
    owner, start, end = np.arange(len(low)), np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    while len(owner):
        middle, half = (start + end) / 2, (end - start) / 2
        places = middle[:, None] + half[:, None] * nodes
        values = function(np.repeat(owner, len(nodes)), places.ravel()).reshape(places.shape)
        first = values[:, :LOW_ORDER] @ coarse[1] * half
        second = values[:, LOW_ORDER:] @ fine[1] * half
        whole = done.copy()
        np.add.at(whole, owner, second)
        np.add.at(used, owner, 1.0)
        scale = np.maximum(scale, np.abs(whole))
        off = np.abs(first - second)
        good = (
            (off <= tolerance * scale[owner]) | (half < 1e-9 * (high - low)[owner]) | (used[owner] > PANELS)
        )
        np.add.at(done, owner[good], second[good])
        np.add.at(error, owner[good], off[good])
        bad = ~good
        owner = np.repeat(owner[bad], 2)
        start, end = (
            np.stack([start[bad], middle[bad]], axis=1).ravel(),
            np.stack([middle[bad], end[bad]], axis=1).ravel(),
        )
    return done, error
