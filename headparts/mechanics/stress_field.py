"""Stress over the radius of a thick ring: hoop, radial, axial, Tresca and von Mises at every radius asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from headparts.errors import ParameterError
from headparts.mechanics.arrays import ANY, NOT_NEGATIVE, POISSON, ArrayLike, FloatArray, numbers, together
from headparts.mechanics.thick_cylinder import hoop_stress, radial_stress, tresca_stress, von_mises_stress

Ends = Literal["free", "held"]


@dataclass(frozen=True)
class StressField:
    """Stresses [MPa], tension positive, at ``radius`` [mm]; all arrays have one shape."""

    radius: FloatArray
    hoop: FloatArray
    radial: FloatArray
    axial: FloatArray
    tresca: FloatArray
    von_mises: FloatArray


def stress_field(
    radius: ArrayLike, inner_radius: ArrayLike, outer_radius: ArrayLike,
    bore_pressure: ArrayLike = 0.0, outside_pressure: ArrayLike = 0.0,
    ends: Ends = "free", poisson: ArrayLike = 0.3,
) -> StressField:  # fmt: skip
    """All stresses of a thick ring at the radii asked for.

        s_t, s_r by hoop_stress and radial_stress;  s_z = 0 (ends free) or nu (s_r + s_t) (ends held)

    Parameters (scalars or arrays that broadcast):
        radius [mm]: where, inner_radius <= radius <= outer_radius, above 0
        inner_radius [mm]: 0 for a solid shaft
        outer_radius [mm]: above inner_radius
        bore_pressure [MPa]: on the bore, pressing positive
        outside_pressure [MPa]: on the outside, pressing positive
        ends [-]: 'free' (plane stress, default) or 'held' (plane strain)
        poisson [-]: nu, counts only with the ends held
    Returns:
        StressField [MPa]: hoop, radial, axial, tresca, von_mises at radius [mm], each of the broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a ring without wall, a radius outside the metal,
            unknown ends
    Validity: elastic, round, uniform ring, held ends without axial load of their own.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., eq. 3-49 (number from
        memory) and Hooke's law for the axial stress.

    >>> field = stress_field([8.25, 9.95], 8.25, 9.95, bore_pressure=20.0)
    >>> [round(float(value), 2) for value in field.tresca]
    [127.99, 87.99]
    """
    if ends not in ("free", "held"):
        raise ParameterError("ends", ends, "must be 'free' (plane stress) or 'held' (plane strain)")
    (nu,) = numbers(poisson=(poisson, POISSON))
    arguments = (radius, inner_radius, outer_radius, bore_pressure, outside_pressure)
    hoop, radial = np.asarray(hoop_stress(*arguments)), np.asarray(radial_stress(*arguments))
    together(other_arguments=hoop, poisson=nu)
    (r,) = numbers(radius=(radius, NOT_NEGATIVE))
    axial = nu * (hoop + radial) if ends == "held" else np.zeros_like(hoop)
    r, hoop, radial, axial = np.broadcast_arrays(r, hoop, radial, axial)
    tresca, von_mises = (np.asarray(f(hoop, radial, axial)) for f in (tresca_stress, von_mises_stress))
    return StressField(r, hoop, radial, axial, tresca, von_mises)


def radii_between(inner_radius: float, outer_radius: float, count: int = 101) -> FloatArray:
    """Evenly spaced radii through the wall of a ring, both ends included.

        r_k = a + k (b - a)/(n - 1)

    Parameters:
        inner_radius [mm]: a, of the bore
        outer_radius [mm]: b, above a
        count [-]: n, at least 2
    Returns:
        [mm] array (count,) of radii
    Raises:
        ParameterError: a value not finite, a ring without wall, a count below 2
    Validity: geometry.
    Source: arithmetic.

    >>> radii_between(8.0, 10.0, 3)
    array([ 8.,  9., 10.])
    """
    a, b = numbers(inner_radius=(inner_radius, NOT_NEGATIVE), outer_radius=(outer_radius, ANY))
    if a.ndim or b.ndim or not a < b:
        raise ParameterError("outer_radius", outer_radius, "must be one number above inner_radius")
    if isinstance(count, bool) or not isinstance(count, int) or count < 2:
        raise ParameterError("count", count, "must be a whole number, 2 or more")
    return np.linspace(float(a), float(b), count)
