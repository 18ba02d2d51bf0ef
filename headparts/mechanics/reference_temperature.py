"""A size read at the temperature of the shop, referred to 20 degC, at which sizes on drawings hold."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import ANY, POSITIVE, ArrayLike, Result, numbers, plain

REFERENCE = 20.0
"""Temperature at which dimensions are defined [degC] (ISO 1)."""
STEEL = 11.5e-6
"""Expansion of a gauge of steel and its setting ring [1/K] (usual figure, from memory)."""


def size_at_20(
    reading: ArrayLike,
    cte: ArrayLike,
    part: ArrayLike,
    gauge: ArrayLike = REFERENCE,
    gauge_cte: ArrayLike = STEEL,
) -> Result:
    """Size at 20 degC of what was read at another temperature.

        d20 = reading (1 + cte_gauge (T_gauge - 20))/(1 + cte (T_part - 20))

    Parameters (scalars or arrays that broadcast):
        reading [mm]: what the gauge shows
        cte [1/K]: expansion of the part
        part [degC]: temperature of the part
        gauge [degC]: temperature of the gauge with the ring that it was set on; 20 stands for a gauge that was set
            on its ring at 20 degC and reads true
        gauge_cte [1/K]: expansion of gauge and ring
    Returns:
        [mm] size at 20 degC, broadcast shape
    Raises:
        ParameterError: a value not finite, a reading or an expansion not positive
    Validity: part and gauge each of one temperature right through; the expansion taken as constant from 20 degC on.
    Source: linear expansion; ISO 1 for the reference temperature.

    >>> round((16.5 - size_at_20(16.5, 22e-6, 30.0)) * 1000, 2)
    3.63
    """
    size, a, t, g, ag = numbers(
        reading=(reading, POSITIVE), cte=(cte, POSITIVE), part=(part, ANY), gauge=(gauge, ANY),
        gauge_cte=(gauge_cte, POSITIVE),
    )  # fmt: skip
    return plain(size * (1.0 + ag * (g - REFERENCE)) / (1.0 + a * (np.asarray(t) - REFERENCE)))
