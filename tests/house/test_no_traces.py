"""What is published holds no machine paths, no registry addresses, no unfinished notes."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SELF = "tests/house/test_no_traces.py"
TEXT = {".py", ".md", ".toml", ".txt", ".yaml", ".yml", ".csv", ".json", ".html", ".svg", ".dxf", ".cfg", ""}
# Spelled in two halves so that this file does not hold what it forbids.
PATHS = ["/wo" + "rk/", "/ro" + "ot/", "/ho" + "me/", "../sha" + "red", "C:" + "\\Users"]
HOSTS = ["pypi" + ".org", "python" + "hosted", " --index" + "-url", "find" + "-links", "npm" + "js"]
NOTES = ["TO" + "DO", "FIX" + "ME", "XX" + "X", "HA" + "CK"]


def tracked() -> list[Path]:
    done = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=False)
    if done.returncode != 0:
        pytest.skip("not a git checkout")
    names = [name for name in done.stdout.decode("utf-8").split("\0") if name]
    return [
        ROOT / name
        for name in names
        if Path(name).suffix in TEXT and name != SELF and (ROOT / name).is_file()
    ]


def lines_with(words: list[str], paths: list[Path]) -> list[str]:
    pattern = re.compile("|".join(re.escape(word) for word in words))
    hits = []
    for path in paths:
        text = path.read_text(encoding="utf-8")
        for number, line in enumerate(text.splitlines(), 1):
            if pattern.search(line):
                hits.append(f"{path.relative_to(ROOT)}:{number}: {line.strip()[:100]}")
    return hits


def test_no_machine_paths() -> None:
    assert not (hits := lines_with(PATHS, tracked())), "\n".join(hits)


def test_no_temporary_paths_in_the_package() -> None:
    own = [path for path in tracked() if path.is_relative_to(ROOT / "headparts")]
    assert not (hits := lines_with(["/tm" + "p/"], own)), "\n".join(hits)


def test_no_registry_hosts() -> None:
    assert not (hits := lines_with(HOSTS, tracked())), "\n".join(hits)


def test_no_unfinished_notes_in_the_package() -> None:
    own = [path for path in tracked() if path.is_relative_to(ROOT / "headparts")]
    assert not (hits := lines_with(NOTES, own)), "\n".join(hits)


def test_constraints_are_plain_pins() -> None:
    for line in (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines():
        assert re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.]+( ; .+)?", line), line


def test_readme_test_command_is_the_one_ci_runs() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    after = readme.split("<!-- test command -->", 1)[1]
    command = next(line for line in after.splitlines() if line.startswith("python3 "))
    assert command.endswith("&& .venv/bin/python -m pytest -n auto --dist loadfile")
    assert "-c constraints.txt" in command
    assert "<!-- test command -->" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
