"""Reading job files stays light: in a fresh interpreter nothing heavy is loaded, and the import is quick."""

from __future__ import annotations

import subprocess
import sys

PROGRAM = """
import sys, time
start = time.process_time()
import headparts.config
spent = time.process_time() - start
{more}
heavy = [m for m in ("numpy", "cadquery", "OCP", "scipy", "trimesh", "matplotlib", "ezdxf") if m in sys.modules]
print(f"{{spent:.4f}} {{','.join(heavy) or '-'}} {{'yaml' in sys.modules}}")
"""


def _run(more: str) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM.format(more=more)],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return done.stdout.split()


def test_importing_the_room_loads_nothing_heavy_and_no_yaml():
    assert _run("")[1:] == ["-", "False"]


def test_reading_a_job_loads_only_yaml():
    more = "import os, tempfile\nfrom headparts.config import read_job, new_job, json_schema\njson_schema()\n"
    more += "p = os.path.join(tempfile.mkdtemp(), 'a.yaml')\nopen(p, 'w', encoding='utf-8').write(new_job('head'))\n"
    more += "read_job(p)"
    assert _run(more)[1:] == ["-", "True"]
