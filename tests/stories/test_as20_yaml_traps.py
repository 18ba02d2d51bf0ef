"""AS20: what YAML reads otherwise than a person does is refused with a hint, never taken.

What the YAML library makes of each text was measured with it (PyYAML, YAML 1.1 rules) and is asserted here too, so
that the trap is seen to be one.
"""

from __future__ import annotations

import pytest
import yaml

from headparts.config import read_job
from headparts.errors import JobFileError

JOB = "schema: 1\njob: {{id: J, status: proposal}}\nmaterials:\n  al:\n    cte: 22.0e-6\n    E: {}\n"


@pytest.mark.parametrize(
    ("written", "library", "hint"),
    [
        ("22e-6", "22e-6", "write 22.0e-6"),
        ("1e-3", "1e-3", "write 1.0e-3"),
        ("010", 8, "octal 8; write 10"),
        ("012", 10, "octal 10; write 12"),
        ("12:30", 750, "750"),
        ("1_000", 1000, "write 1000"),
        ("no", False, "False"),
        ("yes", True, "True"),
        ("on", True, "True"),
        (".inf", float("inf"), "finite"),
    ],
)
def test_a_trap_is_refused_with_a_hint(tmp_path, written, library, hint):
    assert yaml.safe_load(written) == library
    assert type(yaml.safe_load(written)) is type(library)
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format(written), encoding="utf-8")
    with pytest.raises(JobFileError) as caught:
        read_job(path)
    (fault,) = caught.value.faults
    assert (fault.line, fault.column, fault.key, fault.value) == (6, 8, "materials.al.E", written)
    assert hint in fault.message
    assert str(fault) == f"{path}:6:8: materials.al.E: {fault.message}"


def test_what_the_hint_says_is_accepted(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format("71000") + "    cte_band: [21.1e-6, 22.7e-6]\n", encoding="utf-8")
    material = read_job(path).materials["al"]
    assert (material.E, material.cte, material.cte_band) == (71000.0, 0.000022, (0.0000211, 0.0000227))


def test_traps_do_not_touch_names_and_text(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(
        "schema: 1\njob: {id: 010, rev: no, status: proposal, date: 2025-01-02}\n", encoding="utf-8"
    )
    job = read_job(path).job
    assert (job.id, job.rev, job.date) == ("010", "no", "2025-01-02")
