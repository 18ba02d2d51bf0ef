"""Sizes that are turned: a bushing's body and shank are larger than their bores by the interference."""

from __future__ import annotations

from dataclasses import dataclass

from headparts.mechanics.selective_fit import od_window
from headparts.plan.needs import Inputs, MissingInput
from headparts.plan.station import StationPlan
from headparts.tables.iso286 import fit


@dataclass(frozen=True)
class FitSizes:
    """One press fit of a station, sizes in mm; interference is on the diameter.

    ``loose`` and ``tight`` are the ends of the interference; ``turned`` is the diameter to turn and
    ``lower``/``upper`` its limits. ``from_readings`` says that the measured bore decided it.
    """

    bore: float
    interference: float
    band: float
    turned: float
    lower: float
    upper: float
    from_readings: bool

    @property
    def loose(self) -> float:
        """Interference at the loose end [mm]."""
        return self.interference - self.band

    @property
    def tight(self) -> float:
        """Interference at the tight end [mm]."""
        return self.interference + self.band


def local_window(station: StationPlan) -> tuple[float, float]:
    """Least and greatest local interference wanted of the body [mm]: ``fits.body.local``, else interference -/+ band."""
    fits = Inputs(station.job, "fits.body")
    local = fits.get("local")
    if local is not None and station.name in local:
        return float(local[station.name][0]), float(local[station.name][1])
    interference, band = wanted_interference(station, "body")
    return interference - band, interference + band


def interference_of(station: StationPlan, which: str) -> tuple[float, float]:
    """Interference and band of the ``body`` or the ``shank`` fit [mm].

    A pair of which bore and outside have been measured has what its own readings give, another what is wanted.
    """
    ends = measured_ends(station, which)
    if ends is not None:
        return (ends[0] + ends[1]) / 2.0, (ends[1] - ends[0]) / 2.0
    return wanted_interference(station, which)


def wanted_interference(station: StationPlan, which: str) -> tuple[float, float]:
    """Interference and band that the ``body`` or the ``shank`` fit is to have [mm], whatever was made.

    A fit made to ``limits`` has the middle and the half-width of what its two tolerance classes allow.
    """
    fits = Inputs(station.job, f"fits.{which}")
    if fits.get("mode") == "limits":
        found = fit(float(station.inputs.one(f"bushing.{which}.dia")), fits.one("class"))
        loose, tight = found.shaft_lower - found.hole_upper, found.shaft_upper - found.hole_lower
        return (loose + tight) / 2.0, (tight - loose) / 2.0
    given, band = fits("interference", "band")
    if station.name not in given:
        raise MissingInput(f"fits.{which}.interference.{station.name}")
    return float(given[station.name]), float(band)


def readings_of(station: StationPlan, what: str = "body_bore") -> tuple[float, ...]:
    """The six readings of ``body_bore``, ``body_od``, ``shank_bore`` or ``shank_od`` [mm].

    Raises MissingInput when it was not measured.
    """
    rows = station.inputs.one(f"measured.{what}")
    return tuple(float(reading) for row in rows for reading in row)


def measured_ends(station: StationPlan, which: str) -> tuple[float, float] | None:
    """Least and greatest interference of the ``body`` or ``shank`` pair as made [mm]; None unless both were measured.

    Least: smallest outside in the largest bore; greatest: largest outside in the smallest bore.
    """
    measured = station.inputs.get("measured")
    if measured is None or None in (getattr(measured, f"{which}_bore"), getattr(measured, f"{which}_od")):
        return None
    bore, outside = readings_of(station, f"{which}_bore"), readings_of(station, f"{which}_od")
    return min(outside) - max(bore), max(outside) - min(bore)


def body_fit(station: StationPlan) -> FitSizes:
    """The body's press fit: as made, else turned to the middle of the window when the bore has been measured."""
    bore = float(station.inputs.one("bushing.body.dia"))
    interference, band = interference_of(station, "body")
    if station.inputs.get("measured.body_od") is not None:
        return _as_made(station, "body", bore, interference, band)
    if station.inputs.get("measured.body_bore") is not None:
        low, high = local_window(station)
        window = od_window(readings_of(station), low, high)
        lower, upper = window.lower, window.upper
        return FitSizes(bore, interference, band, (lower + upper) / 2.0, lower, upper, True)
    return _from_nominal(station, "body", bore, interference, band)


def shank_fit(station: StationPlan) -> FitSizes:
    """The shank's fit: as made, else turned to the middle of the window when the bore has been measured."""
    bore = float(station.inputs.one("bushing.shank.dia"))
    interference, band = interference_of(station, "shank")
    if station.inputs.get("measured.shank_od") is not None:
        return _as_made(station, "shank", bore, interference, band)
    if station.inputs.get("measured.shank_bore") is not None:
        window = od_window(readings_of(station, "shank_bore"), interference - band, interference + band)
        return FitSizes(bore, interference, band, window.aim, window.lower, window.upper, True)
    return _from_nominal(station, "shank", bore, interference, band)


def _as_made(station: StationPlan, which: str, bore: float, interference: float, band: float) -> FitSizes:
    made = readings_of(station, f"{which}_od")
    return FitSizes(bore, interference, band, sum(made) / len(made), min(made), max(made), True)


def _from_nominal(
    station: StationPlan, which: str, bore: float, interference: float, band: float
) -> FitSizes:
    fits = Inputs(station.job, f"fits.{which}")
    if fits.get("mode") == "limits":
        found = fit(bore, fits.one("class"))
        lower, upper = bore + found.shaft_lower, bore + found.shaft_upper
        return FitSizes(bore, interference, band, (lower + upper) / 2.0, lower, upper, False)
    turned = bore + interference
    return FitSizes(bore, interference, band, turned, turned - band, turned + band, False)


def turned_diameters(station: StationPlan) -> tuple[float, float]:
    """Body and shank diameters of the solid [mm]; the nominal bores where the job has no ``fits``."""
    body, shank = station.inputs("bushing.body.dia", "bushing.shank.dia")
    if station.job.fits is None:
        return float(body), float(shank)
    body_turned = body_fit(station).turned if station.job.get("fits.body") is not None else float(body)
    shank_turned = shank_fit(station).turned if station.job.get("fits.shank") is not None else float(shank)
    return body_turned, shank_turned
