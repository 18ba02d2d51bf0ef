"""The second process only saves time: its answers are those of the first, and without it nothing is lost."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from headparts.checks.context import Context
from headparts.config import read_job
from headparts.job import apart
from headparts.job.foreseen import questions
from headparts.job.judging import judged
from headparts.plan import Plan, plan_job

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def plan() -> Plan:
    return plan_job(read_job(ROOT / "configs" / "sprayer_10cc.yaml"))


def never(function: Callable[..., Any]) -> Callable[..., Any]:
    """Something of the same name that must not be called here."""

    def called(*_: Any) -> Any:
        raise AssertionError(f"{function.__name__} was worked out here")

    called.__name__ = function.__name__
    return called


def test_every_answer_is_what_is_worked_out_here(plan: Plan) -> None:
    asked = list(questions(plan))
    assert [function.__name__ for function, _ in asked] == [
        "cut_away",
        "cut_away",
        "volume_by_rays",
        "press_overlap",
        "press_overlap",
        "saddle_overlap",
    ]
    with apart.helper() as other:
        assert other is not None
        other.give(plan.job)
        answers = [other.ask(never(function), *arguments) for function, arguments in asked]
        findings = other.findings()
    assert answers == [function(*arguments) for function, arguments in asked]
    assert findings == judged(Context(plan))


def test_without_bodies_it_answers_with_the_findings_alone(plan: Plan) -> None:
    function, arguments = next(questions(plan))
    with apart.helper() as other:
        assert other is not None
        other.give(plan.job, bodies=False)
        assert other.ask(function, *arguments) == function(*arguments)
        assert len(other.findings() or []) > 300


@pytest.mark.parametrize(
    "program",
    [
        "",
        "import sys; sys.exit(3)",
        "print('something else')",
        "import pickle, sys; sys.stdout.buffer.write(pickle.dumps(('a', (), 1))[:-2])",
        "import time; time.sleep(0.2)",
    ],
)
def test_what_it_does_not_answer_is_worked_out_here(
    plan: Plan, monkeypatch: pytest.MonkeyPatch, program: str
) -> None:
    monkeypatch.setattr(apart, "HERE", program)
    with apart.helper() as other:
        assert other is not None
        other.give(plan.job)
        assert other.ask(max, 2.0, 3.0) == 3.0
        assert other.findings() is None


def test_it_ends_with_the_block(plan: Plan) -> None:
    with pytest.raises(KeyboardInterrupt), apart.helper() as other:
        assert other is not None
        other.give(plan.job)
        process = other._process
        assert process.poll() is None
        raise KeyboardInterrupt
    assert process.poll() is not None
    assert process.stdout is not None
    assert process.stdout.closed


@pytest.mark.parametrize(
    ("name", "value"), [("os.cpu_count", lambda: 1), ("sys.executable", ""), ("sys.executable", "/no/such")]
)
def test_where_there_can_be_none_there_is_none(
    monkeypatch: pytest.MonkeyPatch, name: str, value: object
) -> None:
    monkeypatch.setattr(f"headparts.job.apart.{name}", value)
    with apart.helper() as other:
        assert other is None
    monkeypatch.undo()
    with apart.helper(False) as other:
        assert other is None
