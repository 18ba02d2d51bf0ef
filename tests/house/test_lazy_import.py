"""What a quick question must not pay for: each case runs in a fresh interpreter."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
HEAVY = (
    "OCP",
    "cadquery",
    "vtk",
    "trimesh",
    "scipy",
    "matplotlib",
    "ezdxf",
    "casadi",
    "manifold3d",
    "gmsh",
    "skfem",
)


def loaded_after(code: str) -> set[str]:
    """Top-level modules that are loaded when `code` has run in a new interpreter, which prints nothing."""
    last = "print('@@' + json.dumps(sorted({m.split('.')[0] for m in sys.modules})))"
    script = f"import json, sys\n{code}\n{last}"
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    printed, found = done.stdout.rsplit("@@", 1)
    assert not printed
    return set(json.loads(found))


def test_import_headparts_loads_nothing_heavy() -> None:
    loaded = loaded_after("import headparts; headparts.__version__; dir(headparts)")
    assert not loaded & {*HEAVY, "numpy", "yaml"}


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import io, contextlib\nfrom headparts.cli import main\n"
        "with contextlib.redirect_stdout(io.StringIO()):\n"
        "    try:\n        main(['--help'])\n    except SystemExit as leave:\n        assert not leave.code"
    )
    assert not loaded_after(code) & {*HEAVY, "numpy", "yaml"}


@pytest.mark.parametrize("name", ["pump_26cc", "generator_62cc", "sprayer_10cc"])
def test_reading_a_job_loads_no_kernel(name: str) -> None:
    loaded = loaded_after(f"import headparts; headparts.read_job('configs/{name}.yaml')")
    assert not loaded & set(HEAVY)


def test_a_fit_loads_no_kernel() -> None:
    loaded = loaded_after("import headparts; headparts.fit(16.5, 'H7/s6')")
    assert not loaded & set(HEAVY)


@pytest.mark.parametrize("room", ["mechanics", "tables", "geometry", "config", "plan", "stress"])
def test_rooms_without_solids_load_no_kernel(room: str) -> None:
    modules = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for path in sorted((ROOT / "headparts" / room).glob("*.py"))
        if path.stem != "__init__"
    ]
    assert modules
    loaded = loaded_after("import " + ", ".join(modules))
    assert not loaded & set(HEAVY)


def test_no_room_loads_the_mesh_library_before_a_scan_is_cut() -> None:
    """Every module of the package at once, the kernel's with them."""
    modules = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for path in sorted((ROOT / "headparts").rglob("*.py"))
        if path.stem not in ("__init__", "__main__")
    ]
    assert "headparts.solids.mesh_cut" in modules
    loaded = loaded_after("import " + ", ".join(modules))
    assert "OCP" in loaded
    assert "manifold3d" not in loaded


def test_a_check_with_all_its_bodies_loads_the_kernel_alone() -> None:
    """`part.solid`, an object of CadQuery's, is what loads CadQuery and all that it brings along."""
    loaded = loaded_after(
        "import headparts\n"
        "bodies = headparts.check('configs/sprayer_10cc.yaml').bodies\n"
        "assert bodies.head.proof and bodies.parts and bodies.clashes"
    )
    assert loaded & set(HEAVY) == {"OCP"}
    loaded = loaded_after(
        "from headparts.parts import SpacerParameters, spacer\n"
        "part = spacer(SpacerParameters(26.0, 10.0, 2.0, 6.4))\n"
        "assert type(part.solid).__name__ == type(part.placed()).__name__ == 'Solid'"
    )
    assert {"OCP", "cadquery"} <= loaded


def test_advice_in_numbers_loads_no_kernel() -> None:
    """The warning of this job is told a number; what finds it asks one check again, no body is built."""
    loaded = loaded_after(
        "import headparts\n"
        "found = headparts.check('configs/pump_26cc.yaml', ['F']).findings\n"
        "(warned,) = [each for each in found if each.verdict == 'warn']\n"
        "assert 'interference (fits.body.interference.exhaust' in warned.advice"
    )
    assert not loaded & set(HEAVY)


def test_unknown_names_are_attribute_errors() -> None:
    code = (
        "import headparts\n"
        "try:\n    headparts.bushng\n"
        "except AttributeError as error:\n    assert 'bushng' in str(error)\n"
        "else:\n    raise SystemExit(1)"
    )
    loaded_after(code)


def test_every_public_name_has_a_home() -> None:
    code = "import headparts\nfor name in headparts.__all__:\n    getattr(headparts, name)"
    loaded_after(code)
