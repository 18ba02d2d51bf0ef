"""Remakes the pictures and the page of this folder: ``python exports/gallery/make.py``."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

GALLERY = Path(__file__).resolve().parent
ROOT = GALLERY.parents[1]
sys.path.insert(0, str(ROOT))

import headparts  # noqa: E402
from headparts.checks.listing import listing  # noqa: E402
from headparts.reports.limits import markdown_listing  # noqa: E402
from headparts.sheets import WallMark, section_picture  # noqa: E402

JOB = ROOT / "configs" / "pump_26cc.yaml"


def main() -> None:
    """Build the first example job in a temporary folder and keep two pictures; write the table of checks."""
    (GALLERY / "checks.md").write_text(markdown_listing(listing()), encoding="utf-8", newline="\n")
    with tempfile.TemporaryDirectory() as folder:
        result = headparts.build(JOB, Path(folder) / "run")
        sheet = (Path(folder) / "run" / "bushing_intake.svg").read_bytes()
    (GALLERY / "bushing_intake.svg").write_bytes(sheet)
    bodies = result.bodies
    if bodies is None or bodies.head is None:
        raise SystemExit("the head was not built")
    web = next(each for each in result.findings if each.id == "W01")
    if web.at is None or web.value is None:
        raise SystemExit("the web was not measured")
    stations = result.plan.job.stations
    x, y, z = stations["intake"].axis.p
    x2, _, _ = stations["exhaust"].axis.p
    picture = section_picture(
        bodies.head,
        origin=(0.0, y, 0.0),
        normal=(0.0, -1.0, 0.0),
        x=(1.0, 0.0, 0.0),
        labels={
            "intake bore": (x, y, z + 8.0),
            "exhaust bore": (x2, y, z + 8.0),
            "intake port": (x + 14.0, y, z + 10.0),
            "exhaust port": (x2 - 10.5, y, z + 9.0),
        },
        walls=[WallMark("web", web.value, *web.at)],
        scale=3.0,
        title="Head cut through both valve axes",
    )
    (GALLERY / "head_section.svg").write_bytes(picture)


if __name__ == "__main__":
    main()
