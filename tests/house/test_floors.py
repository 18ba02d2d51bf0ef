"""The house: rooms stand on floors, imports go down only, rooms stay small."""

from __future__ import annotations

import ast
import statistics
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "headparts"

# Bottom to top. A room may import from itself and from lower floors, never from a neighbour.
FLOORS: tuple[tuple[str, ...], ...] = (
    ("errors", "tolerances"),
    ("config", "tables", "geometry"),
    ("mechanics", "solids"),
    ("plan", "drafting"),
    ("parts", "stress"),
    ("checks",),
    ("sizing", "sheets", "exports"),
    ("reports", "page"),
    ("job",),
    ("cli",),
    ("__init__", "__main__"),
)
FLOOR_OF = {room: floor for floor, rooms in enumerate(FLOORS) for room in rooms}
KERNEL = {"OCP", "cadquery", "manifold3d"}
"""The CAD kernel and the library of mesh booleans."""
LONGEST_MODULE = 600
MEDIAN_MODULE = 200

MODULES = sorted(PACKAGE.rglob("*.py"))


def module_name(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported(path: Path) -> Iterator[tuple[str, int]]:
    """Every module that a file imports, at any depth of its code, with the line."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, node.lineno
        elif isinstance(node, ast.ImportFrom):
            if node.level:
                here = ["headparts", *path.relative_to(PACKAGE).parts[:-1]]
                base = ".".join(here[: len(here) - node.level + 1])
                name = f"{base}.{node.module}" if node.module else base
            else:
                name = node.module or ""
            if name == "headparts":
                for alias in node.names:
                    yield f"headparts.{alias.name}", node.lineno
            else:
                yield name, node.lineno


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_every_room_has_a_floor(path: Path) -> None:
    assert room_of(path) in FLOOR_OF, f"{module_name(path)}: a room without a floor; give it one here"


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_imports_go_down_only(path: Path) -> None:
    room = room_of(path)
    wrong = []
    for name, line in imported(path):
        if not name.startswith("headparts."):
            continue
        other = name.split(".")[1]
        if other in ("__version__", room):
            continue
        if other not in FLOOR_OF or FLOOR_OF[other] >= FLOOR_OF[room]:
            wrong.append(f"{module_name(path)}:{line} imports {name}, which does not stand below {room}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_only_solids_knows_the_kernel(path: Path) -> None:
    wrong = [f"line {line}: {name}" for name, line in imported(path) if name.split(".")[0] in KERNEL]
    if room_of(path) != "solids":
        assert not wrong, f"{module_name(path)} imports the kernel at {', '.join(wrong)}"


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_no_module_is_too_long(path: Path) -> None:
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines <= LONGEST_MODULE, f"{module_name(path)} has {lines} lines"


def test_the_median_module_is_small() -> None:
    lengths = [len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES]
    assert statistics.median(lengths) < MEDIAN_MODULE


def test_the_reader_of_imports_sees_every_form(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The rule can fail: plain, relative, nested and `from headparts import` forms are all seen."""
    monkeypatch.setitem(globals(), "PACKAGE", tmp_path)
    sample = tmp_path / "plan" / "invented.py"
    sample.parent.mkdir()
    sample.write_text(
        "import headparts.parts.head\n"
        "from headparts import checks\n"
        "def f():\n"
        "    from ..solids import cut\n"
        "    from .. import sheets\n"
        "    from . import frames\n",
        encoding="utf-8",
    )
    assert list(imported(sample)) == [
        ("headparts.parts.head", 1),
        ("headparts.checks", 2),
        ("headparts.solids", 4),
        ("headparts.sheets", 5),
        ("headparts.plan", 6),
    ]
    with pytest.raises(AssertionError, match="does not stand below plan"):
        test_imports_go_down_only(sample)
