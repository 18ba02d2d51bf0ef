"""A watched job tells of the numbers that differ, and of no others."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from headparts.config.varied import VariedJob
from headparts.config.watched import watched

JOB = Path(__file__).resolve().parents[2] / "configs" / "pump_26cc.yaml"
KEYS = [
    "stations.intake.port.dia",
    "stations.intake.axis.p.0",
    "stations.exhaust.valve.stem",
    "head.cavities.tunnel_in.dia",
    "fits.body.interference.intake",
    "temps.running.head",
    "datums.cast_u",
]


@pytest.fixture(scope="module")
def varied():
    return VariedJob(JOB)


@pytest.mark.parametrize("key", KEYS)
def test_reading_what_differs_is_told_and_reading_all_else_is_not(varied, key):
    told = []
    other = varied.unjudged({key: varied.job.quantities[key].value + 0.001})
    job = watched(varied.job, other, lambda _: told.append(key))
    assert job.get(key) == varied.job.get(key)
    assert told
    beside = key.rsplit(".", 2 if key.endswith((".0", ".intake")) else 1)[0]
    for each in varied.job.quantities:
        if each.startswith((key, beside)):
            continue
        told.clear()
        assert job.get(each) == varied.job.get(each)
        assert not told, each


@pytest.mark.parametrize("key", KEYS)
def test_a_watched_job_is_the_job(varied, key):
    other = varied.unjudged({key: varied.job.quantities[key].value + 0.001})
    job = watched(varied.job, other, lambda _: None)
    for each in varied.job.quantities:
        assert job.get(each) == varied.job.get(each)
    assert isinstance(job, type(varied.job))
    assert {each: q.value for each, q in job.quantities.items()} == {
        each: q.value for each, q in varied.job.quantities.items()
    }


def test_all_of_a_block_at_once_is_told_too(varied):
    told = []
    other = varied.unjudged({"stations.intake.port.dia": 11.0})
    port = watched(varied.job, other, lambda _: told.append(1)).stations["intake"].port
    assert isinstance(port, type(varied.job.stations["intake"].port))
    assert {field.name for field in dataclasses.fields(port)} == set(vars(varied.job.stations["intake"].port))
    told.clear()
    assert hash(port) == hash(varied.job.stations["intake"].port)
    assert told
