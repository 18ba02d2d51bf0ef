"""Killed at any moment, a run leaves no torn file, and the next run puts the rest in order."""

from __future__ import annotations

import hashlib
import json
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs SIGKILL")

WRITER = """
import itertools, sys
from headparts.exports.manifest import MANIFEST, Manifest, entry
from headparts.exports.safe import staged
goal = sys.argv[1]
print("ready", flush=True)
for turn in itertools.count(int(sys.argv[2])):
    with staged(goal, "J1") as out:
        entries = []
        for k in range(12):
            text = f"{turn}\\n" * (200 * k + 1) + "END\\n"
            out.write(f"file_{k}.txt", text)
            entries.append(entry(f"file_{k}.txt", text, "TEXT", "data"))
        out.write(MANIFEST, Manifest("J1", "t", str(turn), entries=tuple(entries)).to_json())
"""


def whole(path: Path) -> bool:
    lines = path.read_text().splitlines()
    return lines[-1] == "END" and len(set(lines[:-1])) == 1


def complete(goal: Path) -> bool:
    """A folder with a manifest is a complete set of one turn, byte for byte."""
    listed = json.loads((goal / "manifest.json").read_text())["files"]
    return len(listed) == 12 and all(
        hashlib.sha256((goal / item["file"]).read_bytes()).hexdigest() == item["sha256"] for item in listed
    )


def test_no_torn_file_in_twenty_kills(tmp_path: Path) -> None:
    goal = tmp_path / "J1"
    chance = random.Random(20250115)
    seen_manifest = 0
    for kill in range(20):
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(goal), str(1000 * kill)], cwd=ROOT, stdout=subprocess.PIPE
        )
        assert writer.stdout is not None
        writer.stdout.readline()
        time.sleep(chance.uniform(0.0, 0.15))
        writer.send_signal(signal.SIGKILL)
        writer.wait()
        writer.stdout.close()
        if not goal.exists():
            continue
        assert all(whole(path) for path in goal.iterdir() if path.suffix == ".txt")
        if (goal / "manifest.json").exists():
            seen_manifest += 1
            assert complete(goal)
    assert seen_manifest > 5, "the kills came too early to prove anything"

    # One quiet run clears what the kills left.
    code = WRITER.replace("for turn in itertools.count(int(sys.argv[2])):", "for turn in (7,):")
    subprocess.run([sys.executable, "-c", code, str(goal), "0"], cwd=ROOT, check=True, capture_output=True)
    assert complete(goal)
    assert [path.name for path in tmp_path.iterdir()] == ["J1"]


def test_a_sealed_move_is_finished_by_the_next_run(tmp_path: Path) -> None:
    """Stopped between two files of the move: the manifest is away, the next run ends the move first."""
    from headparts.exports.manifest import MANIFEST, Manifest, entry
    from headparts.exports.safe import staged

    goal = tmp_path / "J1"
    goal.mkdir()
    (goal / "a.txt").write_text("new")  # already moved
    (goal / "b.txt").write_text("old")
    (goal / "gone.txt").write_text("old")
    stray = tmp_path / ".J1.headparts-staging-1-abcd"
    stray.mkdir()
    (stray / "b.txt").write_text("new")
    entries = tuple(entry(name, "new", "TEXT", "data") for name in ("a.txt", "b.txt"))
    (stray / MANIFEST).write_text(Manifest("J1", "t", "0", entries=entries).to_json())
    (stray / ".sealed.json").write_text(
        json.dumps({"names": ["a.txt", "b.txt", MANIFEST], "remove": ["gone.txt"]})
    )
    with pytest.raises(ZeroDivisionError), staged(goal, "J1"):
        raise ZeroDivisionError  # even a run that fails has finished the one before
    assert sorted(path.name for path in goal.iterdir()) == ["a.txt", "b.txt", MANIFEST]
    assert (goal / "b.txt").read_text() == "new"
    assert not stray.exists()
