"""Surge of a valve spring: its own frequency against the camshaft's."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import POSITIVE, ArrayLike, Result, numbers, plain, require


def wire_rate(
    wire: ArrayLike, mean_diameter: ArrayLike, active_coils: ArrayLike, shear_modulus: ArrayLike
) -> Result:
    """Rate of a cylindrical helical spring of round wire.

        c = d^4 G/(8 D^3 n)

    Parameters (scalars or arrays that broadcast):
        wire [mm]: d, diameter of the wire
        mean_diameter [mm]: D, of the coil, to the middle of the wire, above d
        active_coils [-]: n, that work
        shear_modulus [MPa]: G
    Returns:
        [N/mm] rate, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, D <= d
    Validity: D/d of about 4 to 12, constant pitch.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 10th ed., eq. 10-9 (number and values seen
        in its printed solutions, see tests/published).

    >>> round(wire_rate(2.0, 14.0, 5.0, 79300.0), 3)
    11.56
    """
    d, coil, n, g = numbers(
        wire=(wire, POSITIVE), mean_diameter=(mean_diameter, POSITIVE), active_coils=(active_coils, POSITIVE),
        shear_modulus=(shear_modulus, POSITIVE),
    )  # fmt: skip
    require(d < coil, "wire", wire, "must be below the coil's mean diameter")
    return plain(d**4 * g / (8 * coil**3 * n))


def active_mass(
    wire: ArrayLike, mean_diameter: ArrayLike, active_coils: ArrayLike, density: ArrayLike
) -> Result:
    """Mass of the coils that work.

        m = (pi d^2/4) (pi D n) rho

    Parameters (scalars or arrays that broadcast):
        wire [mm]: d, diameter of the wire
        mean_diameter [mm]: D, of the coil, above d
        active_coils [-]: n, that work
        density [g/cm3]: rho
    Returns:
        [g] mass, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, D <= d
    Validity: the helix angle is left out (below 1 % at usual pitch).
    Source: geometry; Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., sec. 10-7 (from memory;
        form also seen on a public engineering page).

    >>> round(active_mass(2.0, 14.0, 5.0, 7.85), 3)
    5.423
    """
    d, coil, n, rho = numbers(
        wire=(wire, POSITIVE), mean_diameter=(mean_diameter, POSITIVE), active_coils=(active_coils, POSITIVE),
        density=(density, POSITIVE),
    )  # fmt: skip
    require(d < coil, "wire", wire, "must be below the coil's mean diameter")
    return plain(np.pi**2 / 4 * d**2 * coil * n * rho / 1000)


def surge_frequency(rate: ArrayLike, mass: ArrayLike) -> Result:
    """First frequency at which a spring between two plates surges.

        f = sqrt(c/m)/2

    Parameters (scalars or arrays that broadcast):
        rate [N/mm]: c
        mass [g]: m, of the coils that work
    Returns:
        [1/s] frequency, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: both ends against flat plates, constant pitch, no damper.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., eq. 10-25 (number from memory;
        form also seen on a public engineering page).

    >>> round(surge_frequency(11.56, 5.423), 1)
    730.0
    """
    c, m = numbers(rate=(rate, POSITIVE), mass=(mass, POSITIVE))
    return plain(np.sqrt(c * 1e6 / m) / 2)


def surge_margin(frequency: ArrayLike, speed: ArrayLike) -> Result:
    """The spring's own frequency in turns of the camshaft.

        margin = f/(N/120)      (a four-stroke camshaft turns at half the speed of the crankshaft)

    Parameters (scalars or arrays that broadcast):
        frequency [1/s]: f, of surge_frequency
        speed [1/min]: N, greatest speed of the crankshaft
    Returns:
        [-] margin, broadcast shape; 15 to 20 is recommended
    Raises:
        ParameterError: a value not finite or not positive
    Validity: four-stroke engine; a cam with sharp flanks has strong high harmonics and wants more.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., sec. 10-7 (from memory; 15 to 20 also
        seen on a public engineering page).

    >>> round(surge_margin(730.0, 7000.0), 2)
    12.51
    """
    f, n = numbers(frequency=(frequency, POSITIVE), speed=(speed, POSITIVE))
    return plain(f / (n / 120))
