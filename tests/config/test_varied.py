"""A changed number is read as if it stood in the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from headparts.config import read_job
from headparts.config.varied import VariedJob
from headparts.errors import JobFileError

CONFIGS = Path(__file__).resolve().parents[2] / "configs"


@pytest.mark.parametrize("name", ["pump_26cc", "generator_62cc", "sprayer_10cc"])
def test_every_number_of_a_job_has_its_range_and_can_be_written_again(name):
    varied = VariedJob(CONFIGS / f"{name}.yaml")
    for key, quantity in varied.job.quantities.items():
        spec = varied.spec(key)
        assert spec.low is not None
        assert spec.high is not None
        assert spec.low <= quantity.value <= spec.high
    same = varied.changed({key: quantity.value for key, quantity in list(varied.job.quantities.items())[1:]})
    assert same == varied.job


def test_a_changed_file_and_a_changed_number_are_the_same_job(tmp_path):
    text = (CONFIGS / "pump_26cc.yaml").read_text(encoding="utf-8")
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    varied = VariedJob(path).changed({"stations.intake.port.dia": 10.75, "head.cavities.tunnel_in.u": 0.25})
    old = "dia: 10.50\n", "moving_play: 0.6, u: 0.35}\n    - {name: tunnel_ex"
    new = "dia: 10.75\n", "moving_play: 0.6, u: 0.25}\n    - {name: tunnel_ex"
    for before, after in zip(old, new, strict=True):
        assert text.count(before) == 1
        text = text.replace(before, after)
    path.write_text(text, encoding="utf-8")
    assert read_job(path) == varied


def test_rules_between_keys_hold_for_a_changed_number():
    varied = VariedJob(CONFIGS / "pump_26cc.yaml")
    with pytest.raises(JobFileError, match="spot_face"):
        varied.changed({"stations.intake.port.dia": 14.001})
