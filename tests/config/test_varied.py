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


@pytest.mark.parametrize("name", ["pump_26cc", "generator_62cc", "sprayer_10cc"])
def test_a_number_changed_anywhere_is_as_if_rewritten_in_the_file(name, tmp_path):
    """Every ninth number of a job, a little and far off; the file is rewritten where the reader says the number stands."""
    source = CONFIGS / f"{name}.yaml"
    varied = VariedJob(source)
    lines = source.read_text(encoding="utf-8").split("\n")
    path = tmp_path / "job.yaml"
    for index, (key, quantity) in enumerate(list(varied.job.quantities.items())[::9]):
        value = quantity.value * 1.0625 + 0.03125 if index % 3 else -40.5
        line, column = quantity.line - 1, quantity.column - 1
        end = column + len(lines[line][column:].split(",")[0].split("}")[0].split("]")[0].split(" ")[0])
        text = f"{lines[line][:column]}{f'{value:.12f}'.rstrip('0').rstrip('.')}{lines[line][end:]}"
        path.write_text("\n".join([*lines[:line], text, *lines[line + 1 :]]), encoding="utf-8")
        assert _read(lambda: varied.changed({key: value})) == _read(lambda: read_job(path)), key  # noqa: B023


def _read(reading):
    """The job with its path and the places of its numbers left out, or what is said of it."""
    try:
        job = reading()
    except JobFileError as error:
        return [(fault.line, fault.key, fault.message) for fault in error.faults]
    numbers = {key: (q.value, q.u, q.by) for key, q in job.quantities.items()}
    blocks = {key: value for key, value in vars(job).items() if key not in ("path", "quantities", "places")}
    return blocks, numbers
