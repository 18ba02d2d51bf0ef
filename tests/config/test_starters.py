"""Starter files read without faults at every bore, propose a scale from the bore, and hold what their kind needs."""

from __future__ import annotations

import math

import pytest

from headparts.config import new_job
from headparts.errors import ParameterError

KINDS = ("head", "bushing", "sleeve", "spacer")
BORES = [None, 12, 20, 21.3, 22, 25, 27.77, 30, 33.333, 34, 38.1, 41, 46, 52, 60, 75, 120]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("bore", BORES)
def test_a_starter_reads_without_faults(read, kind, bore):
    job = read(new_job(kind, bore))
    assert job.job.status == "proposal"
    if bore is None:
        assert job.limits is None
    else:
        # checks: bore/34 is a fair start, the reader allows 0.3 to 1.5
        assert job.limits.scale == pytest.approx(min(max(bore / 34, 0.3), 1.5), abs=0.006)


@pytest.mark.parametrize("kind", KINDS)
def test_a_starter_is_commented_and_says_that_it_is_invented(kind):
    text = new_job(kind)
    assert text.startswith("# Starter job")
    assert "invented" in " ".join(text.split()[:60])
    assert not any(token in text for token in "<>@")
    assert max(len(line) for line in text.splitlines()) < 240


def test_sizes_go_with_the_bore(read):
    for bore in (22.0, 46.0):
        small, base = read(new_job("head", bore)), read(new_job("head"))
        assert small.engine.bore == bore
        for path in (
            "stations.intake.bushing.body.dia",
            "stations.exhaust.valve.head",
            "stations.intake.port.dia",
        ):
            assert small.get(path) == pytest.approx(base.get(path) * bore / 34, abs=0.026)
    assert read(new_job("head")).engine.bore == 34.0


@pytest.mark.parametrize("bore", BORES)
def test_stem_clearances_lie_in_the_middle_of_what_the_check_allows(read, bore):
    """B10: 0.020 to 0.050 intake, 0.030 to 0.060 exhaust, times the scale, the bore's IT7 (ISO 286-1) included."""
    job = read(new_job("head", bore))
    scale = job.limits.scale if job.limits else 1.0
    for name, low, high in (("intake", 0.020, 0.050), ("exhaust", 0.030, 0.060)):
        station = job.stations[name]
        bore_size = station.bushing.guide.bore
        it7 = 0.010 if bore_size <= 3 else 0.012 if bore_size <= 6 else 0.015 if bore_size <= 10 else 0.018
        clearance = bore_size - station.valve.stem
        assert clearance >= low * scale - 1e-9
        assert clearance + it7 <= high * scale + 1e-9


@pytest.mark.parametrize("bore", [None, 20, 60])
def test_the_sleeve_starter_has_one_repair_one_cavity_and_its_gap(read, bore):
    job = read(new_job("sleeve", bore))
    (repair,) = job.repairs
    (cavity,) = job.head.cavities
    assert repair.cause.cavity == cavity.name
    assert job.stations[repair.in_port].port.dia is not None
    low, high = repair.bond.gap_dia
    assert low <= repair.bore.dia - repair.sleeve.od <= high
    assert repair.sleeve.saddle_radius == pytest.approx(job.stations["intake"].bushing.body.dia / 2, abs=0.05)
    # the port really runs into the tunnel: distance of the two axes below the sum of the radii
    port = job.stations["intake"].port
    gap = abs(cavity.axis.p[1] - job.stations["intake"].axis.p[1])
    assert port.azim == 0
    assert gap < cavity.dia / 2 + port.dia / 2
    assert (
        job.stations["intake"].axis.p[0]
        < cavity.axis.p[0]
        < job.stations["intake"].axis.p[0] + port.face.along * math.cos(math.radians(port.elev))
    )


def test_the_spacer_starter_has_what_a_spacer_needs(read):
    job = read(new_job("spacer"))
    for station in job.stations.values():
        given = (station.old.tip_s, station.valve.stem, station.valve.gauge_to_tip, station.valve.lift)
        seat = station.bushing.seat
        assert None not in (*given, seat.outer, seat.width, seat.angle, seat.s_outer)
    assert None not in (job.rocker.spacer.thick, job.rocker.post.base)


def test_bad_calls():
    with pytest.raises(ParameterError, match="head, bushing, sleeve, spacer"):
        new_job("valve")
    for bore in (0, 11.9, 120.1, -34, float("nan"), float("inf")):
        with pytest.raises(ParameterError, match="12 to 120"):
            new_job("head", bore)
