"""Random and damaged whole heads from the command line: exit 0, 1 or 2, JSON without NaN, never a traceback."""

from __future__ import annotations

import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies.effort import TIMES, effort
from strategies.heads import heads, text_of
from strategies.verdicts import disagreements

from headparts.cli import main
from headparts.job import check
from headparts.job.results import to_dict, to_json

# fmt: off
NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?")
NUMBERS = ("0", "0.001", "-0.001", "1", "-1", "44.999", "45", "90", "180", "999", "-999", "1000", "1001", "1e-3",
           "1.0e-3", ".5", "+3", "010", "1_0", "nan", ".inf", "null", "true", "'5'", "5 mm", "0.2 in", "[1]", "{}")
TOKENS = ("{", "}", "[", "]", ":", ",", "- ", "&a ", "*a", "!!float ", "|", "'", '"', "#", "\t", "\n", "\x00", "é")
# fmt: on
families = "" if TIMES > 1 else "V,B,F,K,M,R,Q"


@pytest.fixture
def run(tmp_path_factory, capsys):
    folder = tmp_path_factory.mktemp("runs")

    def go(text, only):
        path = folder / "job.yaml"
        path.write_text(text, encoding="utf-8")
        code = main(["check", str(path), "--json", "--only", only or "W,V,B,F,P,S,R,K,M,Q,L,H"])
        out, err = capsys.readouterr()
        assert [item.name for item in folder.iterdir()] == ["job.yaml"]  # nothing was written
        return code, json.loads(out, parse_constant=refuse), err

    return go


def refuse(word):
    raise AssertionError(f"{word} in the JSON")


def judged(code, made):
    """Exit code and JSON belong together."""
    if code == 2:
        assert made["faults"]
        for fault in made["faults"]:
            assert fault["line"] >= 1
            assert fault["column"] >= 1
            assert fault["message"]
        return
    verdicts = [finding["verdict"] for finding in made["findings"]]
    assert code == ("fail" in verdicts)
    assert {verdict: verdicts.count(verdict) for verdict in made["counts"]} == made["counts"]
    for finding in made["findings"]:
        assert finding["value"] is None or isinstance(finding["value"], int | float)
        assert finding["verdict"] != "pass" or not finding["missing"]


@effort(30)
@given(heads(count=(3, 5)), st.data())
def test_numbers_of_a_sound_head_replaced(run, job, data):
    text = text_of(job)
    for _ in range(data.draw(st.integers(1, 3))):
        hit = data.draw(st.sampled_from(list(NUMBER.finditer(text))))
        text = text[: hit.start()] + data.draw(st.sampled_from(NUMBERS)) + text[hit.end() :]
    code, made, _ = run(text, families)
    judged(code, made)


@effort(20)
@given(heads(count=(3, 5)), st.data())
def test_keys_and_pieces_of_a_sound_head_lost_or_broken(run, job, data):
    blocks = [job, job["head"], job["stations"], *job["stations"].values(), *job["head"]["cavities"]]
    for _ in range(data.draw(st.integers(0, 2))):
        block = data.draw(st.sampled_from(blocks))
        block.pop(data.draw(st.sampled_from(sorted(block) or ["none"])), None)
    text = text_of(job)
    if data.draw(st.booleans()):
        place = data.draw(st.integers(0, len(text)))
        end = place + data.draw(st.integers(0, 30))
        text = text[:place] + data.draw(st.sampled_from(TOKENS)) + text[end:]
    code, made, _ = run(text, families)
    judged(code, made)


@effort(6)
@given(heads(count=(3, 5)))
def test_every_other_verdict_follows_from_its_value_and_the_json_says_the_same(tmp_path_factory, job):
    """Walls and sleeves are looked at with the properties of heads."""
    path = tmp_path_factory.mktemp("sound") / "job.yaml"
    path.write_text(text_of(job), encoding="utf-8")
    result = check(path, only=["V", "B", "F", "K", "M", "R", "Q", "L", "H"])
    assert disagreements(result.findings) == []
    keys = [finding.key for finding in result.findings]
    assert len(keys) == len(set(keys))
    assert json.loads(to_json(result), parse_constant=refuse) == json.loads(json.dumps(to_dict(result)))
