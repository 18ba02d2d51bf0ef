"""Numbers changed in a job in memory are what the reader would have read, key for key."""

from __future__ import annotations

from pathlib import Path

import pytest

from headparts.config.varied import VariedJob, with_numbers
from headparts.errors import ParameterError

CONFIGS = Path(__file__).resolve().parents[2] / "configs"


@pytest.mark.parametrize("name", ["pump_26cc", "generator_62cc", "sprayer_10cc"])
def test_every_number_can_be_changed_as_the_reader_would_read_it(name):
    varied = VariedJob(CONFIGS / f"{name}.yaml")
    changed = 0
    for key, quantity in varied.job.quantities.items():
        value = round(quantity.value * 1.001 + 0.001, 9)
        read = varied.unjudged({key: value})
        if read.quantities.get(key) is None or read.quantities[key].value != value:
            continue  # out of its range: the reader keeps nothing
        assert with_numbers(varied.job, {key: value}) == read, key
        changed += 1
    assert changed > 0.9 * len(varied.job.quantities)
    assert varied.stands_for(varied.job)
    assert not varied.stands_for(with_numbers(varied.job, {"engine.bore": 33.0}))


def test_several_at_once_and_a_key_that_is_none():
    varied = VariedJob(CONFIGS / "pump_26cc.yaml")
    values = {
        "stations.intake.axis.p.0": 8.3,
        "stations.intake.axis.p.1": -1.1,
        "head.cavities.stud_1.u": 0.02,
    }
    assert with_numbers(varied.job, values) == varied.unjudged(values)
    with pytest.raises(ParameterError, match=r"stations\.intake\.port\.diameter"):
        with_numbers(varied.job, {"stations.intake.port.diameter": 1.0})
