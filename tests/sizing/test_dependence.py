"""What depends on a number, and bounds that stand for walls."""

from __future__ import annotations

from pathlib import Path

import pytest

from headparts.checks.pairs import planned_pairs
from headparts.config import read_job
from headparts.config.varied import VariedJob
from headparts.errors import JobFileError
from headparts.geometry.distance import walls
from headparts.sizing.questions import answered, context_of, dependence
from headparts.sizing.walls import FAR, SharedWalls

CONFIGS = Path(__file__).resolve().parents[2] / "configs"


def test_every_answer_that_changes_was_said_to_depend(tmp_path, texts):
    """Every second number of a job, each made 2 % and 0.05 larger: whatever is answered otherwise is in the list."""
    path = tmp_path / "job.yaml"
    one = texts["one"]
    no_cavities = one[: one.index("    - {name: tunnel")].replace("cavities:", "cavities: []")
    path.write_text(no_cavities + one[one.index("stations:") :], encoding="utf-8")
    varied, shared = VariedJob(path), SharedWalls()
    changed = 0
    for key, quantity in list(varied.job.quantities.items())[::2]:
        value = quantity.value * 1.02 + 0.05
        found = dependence(varied.job, varied.unjudged({key: value}), shared)
        try:
            context = context_of(varied.changed({key: value}), shared)
        except JobFileError:
            continue
        for question, before in found.answers.items():
            if answered(context, question, before) != before:
                changed += 1
                assert question in found.moved, (key, question.check.id, question.subject)
    assert changed > 50


@pytest.mark.parametrize("name", ["pump_26cc", "sprayer_10cc"])
def test_a_bound_never_says_more_than_the_wall(name):
    """Where a bound stands for a wall it is above 8 mm and no greater than the wall measured."""
    job = read_job(CONFIGS / f"{name}.yaml")
    pairs = [pair.voids for pair in planned_pairs(context_of(job, SharedWalls())) if pair.voids is not None]
    shared = SharedWalls()
    stood_in = 0
    for bound, wall in zip(shared.measure(pairs), walls(pairs), strict=True):
        if bound.proven:
            assert bound.value == pytest.approx(wall.value, abs=1e-6)
        else:
            stood_in += 1
            assert FAR < bound.value <= wall.upper + 1e-9
    assert stood_in > 10
    with shared.exactly():
        exactly = shared.measure(pairs)
    assert [each.value for each in exactly] == pytest.approx([each.value for each in walls(pairs)], abs=1e-6)
