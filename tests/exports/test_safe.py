"""Runs are whole or not at all; nothing of somebody else's is overwritten unasked."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from headparts.errors import OutputError
from headparts.exports import safe
from headparts.exports.manifest import MANIFEST, MANIFEST_CSV, Manifest, entry
from headparts.exports.safe import staged, write_file

ROOT = Path(__file__).resolve().parents[2]


def run(folder: Path, files: dict[str, str], job: str = "J1", **options: bool) -> None:
    """A whole run that writes these files and their manifest."""
    with staged(folder, job, **options) as out:
        entries = []
        for name, text in files.items():
            out.write(name, text)
            entries.append(entry(name, text, "TEXT", "data"))
        if options.get("keep_earlier") and out.earlier:
            entries += out.earlier.carried(out.folder, out.names)
        listed = Manifest(job, "headparts test", "0" * 64, entries=tuple(entries))
        out.write(MANIFEST_CSV, listed.to_csv())
        out.write(MANIFEST, listed.to_json())


def content(folder: Path) -> dict[str, str]:
    return {
        p.name: p.read_text(encoding="utf-8")
        for p in folder.iterdir()
        if p.name not in (MANIFEST, MANIFEST_CSV)
    }


def strays(folder: Path) -> list[str]:
    return [p.name for p in folder.parent.iterdir() if "staging" in p.name]


def test_a_run_writes_its_files_and_leaves_nothing_else(tmp_path: Path) -> None:
    goal = tmp_path / "deep" / "down" / "J1"
    run(goal, {"a.txt": "one", "b.txt": "zwei µ\n"})
    assert content(goal) == {"a.txt": "one", "b.txt": "zwei µ\n"}
    assert not strays(goal)


def test_text_is_written_with_plain_line_feeds(tmp_path: Path) -> None:
    run(tmp_path / "J", {"a.txt": "1\n2\n"})
    assert (tmp_path / "J" / "a.txt").read_bytes() == b"1\n2\n"


def test_an_earlier_run_of_the_job_is_replaced_unasked(tmp_path: Path) -> None:
    goal = tmp_path / "J1"
    run(goal, {"a.txt": "1", "setup.step": "withheld next time"})
    run(goal, {"a.txt": "2", "c.txt": "3"})
    assert content(goal) == {"a.txt": "2", "c.txt": "3"}, "what is out of date must not stay"


def test_a_partial_run_keeps_the_rest_and_still_knows_it(tmp_path: Path) -> None:
    goal = tmp_path / "J1"
    run(goal, {"a.txt": "1", "b.txt": "1"})
    run(goal, {"b.txt": "2"}, keep_earlier=True)
    assert content(goal) == {"a.txt": "1", "b.txt": "2"}
    run(goal, {"a.txt": "3", "b.txt": "3"})
    assert content(goal) == {"a.txt": "3", "b.txt": "3"}


def test_foreign_files_that_are_not_in_the_way_stay(tmp_path: Path) -> None:
    goal = tmp_path / "J1"
    goal.mkdir()
    (goal / "notes.txt").write_text("mine")
    run(goal, {"a.txt": "1"})
    run(goal, {"b.txt": "1"})
    assert content(goal) == {"notes.txt": "mine", "b.txt": "1"}


def test_a_foreign_file_in_the_way_is_named_and_kept(tmp_path: Path) -> None:
    goal = tmp_path / "J1"
    goal.mkdir()
    (goal / "a.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"a\.txt was not written by an earlier run.*--force"):
        run(goal, {"a.txt": "1", "b.txt": "1"})
    assert content(goal) == {"a.txt": "mine"}
    assert not strays(goal)
    run(goal, {"a.txt": "1"}, force=True)
    assert content(goal) == {"a.txt": "1"}


def test_another_jobs_files_are_foreign(tmp_path: Path) -> None:
    goal = tmp_path / "same"
    run(goal, {"a.txt": "1"}, job="J1")
    with pytest.raises(OutputError, match=r"a\.txt, manifest\.csv, manifest\.json was not"):
        run(goal, {"a.txt": "2"}, job="J2")
    assert content(goal) == {"a.txt": "1"}


def test_case_twins_of_foreign_files_are_in_the_way(tmp_path: Path) -> None:
    goal = tmp_path / "J1"
    goal.mkdir()
    (goal / "A.TXT").write_text("mine")
    with pytest.raises(OutputError, match=r"A\.TXT"):
        run(goal, {"a.txt": "1"})


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "[]",
        "{}",
        '{"format": 1, "job": {"id": "J1"}, "files": [{"file": "../outside.txt"}]}',
        '{"format": 1, "job": {"id": "J1"}, "files": 3}',
        "[" * 5000,
    ],
)
def test_a_manifest_that_is_not_ours_gives_no_rights(tmp_path: Path, text: str) -> None:
    goal = tmp_path / "J1"
    goal.mkdir()
    outside = tmp_path / "outside.txt"
    outside.write_text("mine")
    (goal / MANIFEST).write_text(text)
    with pytest.raises(OutputError, match=MANIFEST):
        run(goal, {"a.txt": "1"})
    assert outside.read_text() == "mine"


def test_a_failing_run_leaves_the_earlier_one(tmp_path: Path) -> None:
    goal = tmp_path / "J1"
    run(goal, {"a.txt": "1"})
    before = (goal / MANIFEST).read_bytes()
    with pytest.raises(KeyboardInterrupt), staged(goal, "J1") as out:
        out.write("a.txt", "2")
        raise KeyboardInterrupt
    assert content(goal) == {"a.txt": "1"}
    assert (goal / MANIFEST).read_bytes() == before
    assert not strays(goal)


def test_names_are_checked_and_twins_refused(tmp_path: Path) -> None:
    with staged(tmp_path / "J1", "J1") as out:
        out.write("a.txt", "1")
        with pytest.raises(OutputError, match=r"already written a\.txt"):
            out.write("A.TXT", "2")
        with pytest.raises(OutputError, match="path part"):
            out.write("../b.txt", "2")
    assert content(tmp_path / "J1") == {"a.txt": "1"}


def test_the_target_is_a_file(tmp_path: Path) -> None:
    goal = tmp_path / "J1"
    goal.write_text("mine")
    with pytest.raises(OutputError, match="is a file"):
        run(goal, {"a.txt": "1"})
    with pytest.raises(OutputError, match="cannot be written"):
        run(goal / "below", {"a.txt": "1"})
    assert goal.read_text() == "mine"


def test_a_folder_in_the_way_of_a_file(tmp_path: Path) -> None:
    (tmp_path / "J1" / "a.txt").mkdir(parents=True)
    with pytest.raises(OutputError, match=r"a\.txt must become a file"):
        run(tmp_path / "J1", {"a.txt": "1"}, force=True)


def test_a_link_is_replaced_not_followed(tmp_path: Path) -> None:
    outside = tmp_path / "outside.txt"
    outside.write_text("mine")
    goal = tmp_path / "J1"
    run(goal, {"a.txt": "1"})
    (goal / "a.txt").unlink()
    (goal / "a.txt").symlink_to(outside)
    run(goal, {"a.txt": "2"})
    assert outside.read_text() == "mine"
    assert content(goal) == {"a.txt": "2"}


def test_the_staging_folder_vanishes_under_the_run(tmp_path: Path) -> None:
    goal = tmp_path / "J1"
    with pytest.raises(OutputError, match="cannot be written"), staged(goal, "J1") as out:
        for name in strays(goal):
            (tmp_path / name).rmdir()
        out.write("a.txt", "1")
    assert not goal.exists()


def test_a_full_disk_is_an_output_error_and_leaves_the_old_set(tmp_path: Path) -> None:
    """The system's file size limit stands in for a full disk: the write fails half way through."""
    pytest.importorskip("resource")
    goal = tmp_path / "J1"
    run(goal, {"a.txt": "old"})
    code = (
        "import resource, signal, sys\n"
        "from headparts.errors import OutputError\n"
        "from headparts.exports.safe import staged\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))\n"
        "try:\n"
        f"    with staged({str(goal)!r}, 'J1') as out:\n"
        "        out.write('a.txt', 'new')\n"
        "        out.write('b.bin', bytes(100000))\n"
        "except OutputError as error:\n"
        "    print(error); sys.exit(7)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 7, done.stderr
    assert "b.bin: cannot be written (File too large)" in done.stdout
    assert content(goal) == {"a.txt": "old"}
    assert not strays(goal)


def test_a_move_that_fails_half_way_is_undone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    goal = tmp_path / "J1"
    run(goal, {"a.txt": "1", "b.txt": "1", "c.txt": "1"})
    before = (goal / MANIFEST).read_bytes()
    real = os.replace
    armed = True

    def stubborn(source: str | Path, target: str | Path) -> None:
        nonlocal armed
        if armed and Path(target) == goal / "c.txt":
            armed = False
            raise PermissionError(13, "somebody has it open")
        real(source, target)

    monkeypatch.setattr(safe.os, "replace", stubborn)
    with pytest.raises(OutputError, match="somebody has it open"):
        run(goal, {"a.txt": "2", "b.txt": "2", "c.txt": "2"})
    assert content(goal) == {"a.txt": "1", "b.txt": "1", "c.txt": "1"}
    assert (goal / MANIFEST).read_bytes() == before


def test_two_runs_at_once_do_not_clear_each_other(tmp_path: Path) -> None:
    goal = tmp_path / "J1"
    inside, leave = threading.Event(), threading.Event()
    failures: list[BaseException] = []

    def slow() -> None:
        try:
            with staged(goal, "J1") as out:
                out.write("a.txt", "slow")
                inside.set()
                leave.wait(20)
                out.write(MANIFEST, Manifest("J1", "t", "0").to_json())
        except BaseException as error:  # handed to the test below
            failures.append(error)

    first = threading.Thread(target=slow)
    first.start()
    assert inside.wait(20)
    run(goal, {"b.txt": "quick"})
    leave.set()
    first.join(20)
    assert not failures
    assert (goal / "a.txt").read_text() == "slow"


def test_a_single_file_is_whole_and_asks_before_it_replaces(tmp_path: Path) -> None:
    goal = tmp_path / "new.yaml"
    write_file(goal, "a: 1\n")
    with pytest.raises(OutputError, match="exists already"):
        write_file(goal, "a: 2\n")
    assert goal.read_text() == "a: 1\n"
    write_file(goal, b"a: 3\n", force=True)
    assert goal.read_text() == "a: 3\n"
    with pytest.raises(OutputError, match="cannot be written"):
        write_file(tmp_path / "missing" / "x.yaml", "a")
    with pytest.raises(OutputError, match="is a folder"):
        write_file(tmp_path, "a", force=True)
    assert [p.name for p in tmp_path.iterdir()] == ["new.yaml"]


def test_the_manifest_of_a_run_lists_what_is_there(tmp_path: Path) -> None:
    run(tmp_path / "J1", {"a.txt": "1", "b.txt": "2"})
    listed = json.loads((tmp_path / "J1" / MANIFEST).read_text())["files"]
    assert [item["file"] for item in listed] == ["a.txt", "b.txt"]
