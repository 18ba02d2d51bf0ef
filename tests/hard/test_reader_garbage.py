"""Whatever is in the file, the reader gives a job or a JobFileError with faults that can be shown, nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from headparts.config import JobFile, new_job, read_job
from headparts.errors import JobFileError

QUIET = settings(
    max_examples=120,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
START = "schema: 1\njob: {id: J, status: proposal}\n"
SPACER = new_job("spacer")
PLACES = [i for i, c in enumerate(SPACER) if not c.isspace()]
TOKENS = st.sampled_from(
    ["{", "}", "[", "]", ":", ",", "- ", "? ", "&a ", "*a", "!!float ", "|", ">", "'", '"', "#", "%", "@", "`", "\t", "\n",
     "\r", "\u2028", "\x00", "\ufeff", "\u00a0", ".inf", ".nan", "1e999", "1_0", "0x1", "12:30", "~", "null", "<<: ",
     "---\n", "\\", "\ud7ff", "\U0010ffff", "9" * 70, "-", "= ", "...\n"]
)  # fmt: skip


def outcome(path: Path, data: bytes) -> JobFile | JobFileError:
    """Reads, and checks everything that must hold of a fault."""
    path.write_bytes(data)
    caught: JobFileError | None = None
    try:
        return read_job(path)
    except JobFileError as error:
        caught = error
    assert caught.faults
    lines = data.decode("utf-8", "replace").replace("\r\n", "\n").replace("\r", "\n").count("\n") + 1
    for fault in caught.faults:
        assert 1 <= fault.line <= lines + 1
        assert fault.column >= 1
        assert fault.message
        assert str(fault).isprintable(), repr(str(fault))
    assert list(caught.faults) == sorted(caught.faults, key=lambda f: (f.line, f.column))
    return caught


@QUIET
@given(st.binary(max_size=300))
def test_bytes(tmp_path, data):
    assert isinstance(outcome(tmp_path / "a.yaml", data), JobFileError)


@QUIET
@given(st.text(max_size=200))
def test_text_after_a_sound_start(tmp_path, text):
    outcome(tmp_path / "a.yaml", (START + text).encode("utf-8", "surrogatepass"))


@QUIET
@given(st.lists(st.tuples(st.sampled_from(PLACES), TOKENS), min_size=1, max_size=4))
def test_tokens_put_into_a_sound_job(tmp_path, edits):
    text = SPACER
    for place, token in sorted(edits, reverse=True):
        text = text[:place] + token + text[place:]
    outcome(tmp_path / "a.yaml", text.encode("utf-8", "surrogatepass"))


@QUIET
@given(st.lists(st.tuples(st.sampled_from(PLACES), st.integers(1, 40)), min_size=1, max_size=3))
def test_pieces_cut_out_of_a_sound_job(tmp_path, cuts):
    text = SPACER
    for place, count in sorted(cuts, reverse=True):
        text = text[:place] + text[place + count :]
    outcome(tmp_path / "a.yaml", text.encode("utf-8"))


VALUES = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8)),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)


@QUIET
@given(st.sampled_from(["engine", "head", "stations", "repairs", "rocker", "materials", "fits", "temps", "limits",
                        "accept", "drawing", "export", "process", "datums"]), VALUES)  # fmt: skip
def test_values_of_any_form(tmp_path, block, value):
    import json

    outcome(tmp_path / "a.yaml", (START + f"{block}: {json.dumps(value)}\n").encode("utf-8", "surrogatepass"))


@pytest.mark.parametrize("seed", range(40))
def test_every_line_of_a_sound_job_left_out(tmp_path, seed):
    lines = new_job("head").splitlines(keepends=True)
    for gone in range(seed, len(lines), 40):
        outcome(tmp_path / "a.yaml", "".join(lines[:gone] + lines[gone + 1 :]).encode("utf-8"))


@QUIET
@given(st.decimals(min_value="0.001", max_value="1000", places=6, allow_nan=False))
def test_a_number_is_read_as_the_nearest_float_to_what_is_written(tmp_path, number):
    written = f"{number:f}"
    job = outcome(
        tmp_path / "a.yaml", (START + f"engine: {{bore: {written}, stroke: {written} mm}}\n").encode()
    )
    assert isinstance(job, JobFile)
    assert job.engine is not None
    assert job.engine.bore == job.engine.stroke == float(written)
