"""`headparts bridge`: words, JSON, picture, exit codes, and the message without the extra."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from headparts.cli import main

ROOT = Path(__file__).resolve().parents[2]
JOB = str(ROOT / "configs" / "sprayer_10cc.yaml")


@pytest.fixture(scope="module")
def ran(extra, tmp_path_factory):
    """One whole run: its JSON, its words, its picture."""
    from headparts.job.bridge import bridge_of
    from headparts.reports.bridge import lines
    from headparts.reports.bridge_picture import picture

    found = bridge_of(JOB)
    return found, json.loads(json.dumps(found.as_json(), allow_nan=False)), " ".join(lines(found)), picture


def test_json_holds_every_stage(ran):
    _, said, _, _ = ran
    assert said["format"] == 1
    assert [stage["name"] for stage in said["stages"]] == ["intake first in", "exhaust first in", "both in"]
    assert said["yield"] == 155
    both = said["stages"][2]
    assert (
        both["hoop_mean"]["value"]
        < both["von_mises"]["value"]
        < both["tresca"]["value"]
        <= both["peak"]["value"]
    )
    for stage in (*said["stages"], *said["sliding"], *said["guides"]["stages"]):
        for key in ("hoop_mean", "tresca", "von_mises"):
            assert stage[key]["change"] < 0.02 * stage[key]["value"], (stage["name"], key)
        assert [fit["name"] for fit in stage["fits"]] == stage["present"]
    assert [stage["sliding"] for stage in said["sliding"]] == [True] * 3
    for bonded, slid in zip(said["stages"], said["sliding"], strict=True):
        assert bonded["name"] == slid["name"]
        assert bonded["tresca"]["value"] < slid["tresca"]["value"]
        assert bonded["friction"] > 0.4
    assert set(said["stages"][0]["empty_oval"]) == {"exhaust"}
    assert said["guides"]["note"] == ""


def test_words_say_what_the_numbers_say(ran):
    found, _, words, _ = ran
    both = found.both
    assert f"both in: web Tresca {both.tresca.value:.1f}" in words
    assert f"{both.hoop_mean.value:.1f} +/-" in words
    assert f"{found.both_sliding.tresca.value:.1f} +/-" in words
    assert f"need a friction of {both.friction:.2f} somewhere, more than a press fit has" in words
    assert both.tresca.value < 155.0 < found.both_sliding.tresca.value
    assert "Without friction the web yields at its edges" in words
    assert "competent person" in words


def test_the_picture_is_a_png_or_an_svg_and_the_same_each_time(ran):
    found, _, _, picture = ran
    png, svg = picture(found, "png"), picture(found, "svg")
    assert png.startswith(b"\x89PNG")
    assert svg == picture(found, "svg")
    assert b"<svg" in svg[:1000]


def test_a_picture_of_another_kind_or_in_the_way_is_refused_before_anything(tmp_path, capsys):
    assert main(["bridge", JOB, "--picture", str(tmp_path / "web.jpg")]) == 2
    assert ".png or .svg" in capsys.readouterr().err
    (tmp_path / "web.png").write_bytes(b"mine")
    assert main(["bridge", JOB, "--picture", str(tmp_path / "web.png")]) == 2
    assert "--force" in capsys.readouterr().err
    assert (tmp_path / "web.png").read_bytes() == b"mine"


@pytest.mark.parametrize(
    ("options", "words"),
    [(["--z", "1.0"], "must lie where both bodies are"), (["--case", "frost"], "temps.frost")],
)
def test_bad_calls_exit_2_with_one_line(capsys, options, words):
    assert main(["bridge", JOB, *options]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert words in said.err
    assert len(said.err.strip().splitlines()) == 1


@pytest.mark.parametrize("library", ["gmsh", "skfem"])
def test_without_the_extra_the_message_names_it(monkeypatch, capsys, library):
    if library == "skfem":
        pytest.importorskip("gmsh", reason="without gmsh its message comes first", exc_type=ImportError)
    monkeypatch.setitem(sys.modules, library, None)
    assert main(["bridge", JOB]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "pip install 'headparts[stress]'" in said.err
    assert len(said.err.strip().splitlines()) == 1
