"""What the README shows runs as it stands."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from headparts.cli import parser

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", README, re.S)


def test_the_python_script_runs(tmp_path: Path) -> None:
    (script,) = blocks("python")
    script = script.replace("exports/mine", str(tmp_path / "mine"))
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "H01 bushing_intake" in done.stdout, "the caution of the material is printed"
    assert re.search(r"^bushing_intake \d+\.\d+ mm3, throat 12\.(6|59999)", done.stdout, re.M), done.stdout
    assert (tmp_path / "mine" / "bushing_intake.step").is_file()


def test_every_command_shown_is_one_that_the_program_knows() -> None:
    lines = [line.split("#")[0] for block in blocks("sh") for line in block.splitlines()]
    shown = [line.split()[1:] for line in lines if line.startswith("headparts ")]
    assert len(shown) >= 7
    for words in shown:
        parser().parse_args(words)  # leaves by SystemExit when it does not know them


def test_the_files_it_names_are_there() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / target).is_file(), target


def test_the_job_is_said_first() -> None:
    first = README.split("\n\n")[1]
    assert first.startswith("One job file in, a whole kit out")
