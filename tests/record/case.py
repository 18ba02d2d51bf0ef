"""Forms filled in as a person would: by replacing what stands blank in their text."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import headparts
from headparts.checks.finding import Finding

ROOT = Path(__file__).resolve().parents[2]
JOBS = ("pump_26cc", "generator_62cc", "sprayer_10cc")
BLANK = re.compile(r"~(?=[\],} ]|$)")


def config(name: str) -> Path:
    return ROOT / "configs" / f"{name}.yaml"


def whole(job: Path) -> str:
    return headparts.measure(job, all_steps=True)


def filled(form: str, values: Mapping[str, object]) -> str:
    """The form with values in the places of its tildes, by dotted key (``bores.intake.body_bore``).

    A value is a number, a text, or a list of numbers for the places of that line in their order.
    """
    left = dict(values)
    lines, step, subject = [], "", ""
    for line in form.splitlines():
        found = re.match(r"( *)([A-Za-z0-9_.-]+):", line)
        if found:
            depth, key = len(found[1]), found[2]
            step = key if depth == 0 else step
            subject = key if depth == 2 else subject
            path = {0: key, 2: f"{step}.{key}", 4: f"{step}.{subject}.{key}"}[depth]
            if path in left:
                line = _line(line, left.pop(path))
        lines.append(line)
    assert not left, f"not in the form: {sorted(left)}"
    return "\n".join(lines) + "\n"


def _line(line: str, value: object) -> str:
    key, text = line.split(":", 1)
    if value == "none":
        return f"{key}: none"
    if isinstance(value, Mapping):
        for name, one in value.items():
            text = re.sub(rf"\b{name}: [^,}}]+", f"{name}: {one}", text)
        return f"{key}:{text}"
    for one in value if isinstance(value, (list, tuple)) else [value]:
        shown = one if isinstance(one, str) else f"{one:.12f}".rstrip("0").rstrip(".")
        text, count = BLANK.subn(lambda _, shown=shown: shown or "0", text, count=1)
        assert count == 1, line
    return f"{key}:{text}"


def written(folder: Path, text: str, name: str = "record.yaml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def by_key(findings: list[Finding]) -> dict[tuple[str, str, str, str], Finding]:
    return {each.key: each for each in findings}
