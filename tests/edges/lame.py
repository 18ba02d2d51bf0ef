"""Two pressed rings by Lame's solution, from the constants A and B of each ring: plain arithmetic of the tests.

A ring under p_i inside and p_o outside (radii a, b): A = (p_i a^2 - p_o b^2)/(b^2 - a^2) and
B = (p_i - p_o) a^2 b^2/(b^2 - a^2); radial stress A - B/r^2, hoop stress A + B/r^2; with free ends the radius r grows
by r (hoop - nu radial)/E. Lengths in mm, on the diameter unless said, stresses in MPa.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import log


@dataclass(frozen=True)
class Ring:
    """A ring by its diameters, its modulus and Poisson's ratio, under pressure inside and outside."""

    inner: float
    outer: float
    modulus: float
    poisson: float
    inside: float
    outside: float

    def stresses(self, diameter: float) -> tuple[float, float]:
        """(radial, hoop) at a diameter."""
        a, b, r = self.inner / 2.0, self.outer / 2.0, diameter / 2.0
        constant = (self.inside * a * a - self.outside * b * b) / (b * b - a * a)
        varying = (self.inside - self.outside) * a * a * b * b / (b * b - a * a)
        return constant - varying / (r * r), constant + varying / (r * r)

    def growth(self, diameter: float) -> float:
        """How much a diameter grows."""
        radial, hoop = self.stresses(diameter)
        return diameter * (hoop - self.poisson * radial) / self.modulus


@dataclass(frozen=True)
class Press:
    """A bush, ``inner`` to ``fit``, pressed into a head of ``hub``; each material as (E, nu)."""

    fit: float
    inner: float
    hub: float
    head: tuple[float, float]
    bush: tuple[float, float]

    def rings(self, pressure: float) -> tuple[Ring, Ring]:
        """Head and bush under a pressure between them."""
        return (
            Ring(self.fit, self.hub, *self.head, inside=pressure, outside=0.0),
            Ring(self.inner, self.fit, *self.bush, inside=0.0, outside=pressure),
        )

    def interference(self, pressure: float) -> float:
        """What the head's bore grows and the bush shrinks."""
        head, bush = self.rings(pressure)
        return head.growth(self.fit) - bush.growth(self.fit)

    def pressure(self, interference: float) -> float:
        """The pressure of an interference: the two are in proportion."""
        return interference / self.interference(1.0)

    def hub_tresca(self, pressure: float) -> float:
        """Hoop less radial stress of the head at its bore."""
        radial, hoop = self.rings(pressure)[0].stresses(self.fit)
        return hoop - radial

    def bush_hoop(self, pressure: float) -> float:
        """Size of the bush's hoop stress at its own bore."""
        return -self.rings(pressure)[1].stresses(self.inner)[1]

    def closure(self, pressure: float) -> float:
        """How much the bush's own bore closes."""
        return -self.rings(pressure)[1].growth(self.inner)

    def lost(self, interference: float, strength: float) -> float:
        """Interference lost for good where the head yields by Tresca, ideally plastic, up to a diameter c.

        p = R (ln(c/d) + (1 - c^2/D^2)/2); the bore grows by d/E (R (c/d)^2 - (1 - nu) p) and springs back by what p
        gives elastically. c by halving, from no plastic zone to all of the ring.
        """
        d, hub = self.fit, self.hub
        modulus, poisson = self.head
        low, high = d, hub
        for _ in range(80):
            zone = (low + high) / 2.0
            p = strength * (log(zone / d) + (1.0 - (zone / hub) ** 2) / 2.0)
            grown = d / modulus * (strength * (zone / d) ** 2 - (1.0 - poisson) * p)
            shrunk = -self.rings(p)[1].growth(d)
            low, high = (zone, high) if grown + shrunk < interference else (low, zone)
        return grown - self.rings(p)[0].growth(d)

    def interference_for(self, quantity: Callable[[float], float], wanted: float) -> float:
        """Interference at which a quantity in proportion to the pressure has a value."""
        return self.interference(wanted / quantity(1.0))


def corners(
    head_band: tuple[float, float], bush_band: tuple[float, float], growth: Callable[[float, float], float]
) -> float:
    """Least of ``growth(head's expansion, bush's expansion)`` over the four corners of both bands."""
    return min(growth(head, bush) for head in head_band for bush in bush_band)
