"""Certified walls against other routes and against more cavities, as ratios within one run.

    python tests/bench/walls.py [--job configs/pump_26cc.yaml] [--runs 5] [--pairs 300] [--no-mesh]

CPU seconds, the least of several runs. "Kernel": the CAD kernel's distance of ready solids (making the solids is
not counted). "Mesh": triangles within 1 micrometre of the surface, then their least gap; making the mesh counts,
because a size that changes needs a new one. Needs the ``test`` extra. Not part of the test suite.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Sequence
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np

from headparts.checks.context import Context
from headparts.checks.pairs import pairs
from headparts.config import read_job
from headparts.errors import GeometryError
from headparts.geometry.distance import Wall, walls
from headparts.geometry.void import Void, round_void
from headparts.plan import plan_job

ROOT = Path(__file__).resolve().parents[2]
Pairs = Sequence[tuple[Void, Void]]


def cpu(work: Callable[[], Any], runs: int) -> tuple[float, Any]:
    """Least CPU time [s] of some runs and what the work gave."""
    best, made = float("inf"), None
    for _ in range(runs):
        begun = time.process_time()
        made = work()
        best = min(best, time.process_time() - begun)
    return best, made


def drilled(rng: np.random.Generator, name: str) -> Void:
    """A hole as they stand in a head: nearly upright, through the joint face."""
    point = (*rng.uniform(-45.0, 45.0, 2), -5.0)
    lean = rng.uniform(-0.25, 0.25, 2)
    return round_void(name, "oil", point, (*lean, 1.0), rng.uniform(3.0, 7.0), 50.0)


def apart(count: int, seed: int) -> Pairs:
    """Pairs of holes that do not meet."""
    rng = np.random.default_rng(seed)
    made = [(drilled(rng, "a"), drilled(rng, "b")) for _ in range(2 * count)]
    return [pair for pair, wall in zip(made, walls(made), strict=True) if wall.value > 0.0][:count]


def holes(count: int) -> list[Void]:
    """So many holes that do not meet, drawn one after another."""
    rng = np.random.default_rng(count)
    made: list[Void] = []
    while len(made) < count:
        new = drilled(rng, str(len(made)))
        if all(wall.value > 0.05 for wall in walls([(old, new) for old in made])):
            made.append(new)
    return made


def job_pairs(job: str) -> Pairs:
    """The pairs of voids of a job that the kernel can build, with a wall between them."""
    found = pairs(Context(plan_job(read_job(job))))
    return [
        pair.voids
        for pair in found
        if pair.voids is not None
        and pair.wall is not None
        and 0.0 < pair.wall.value < float("inf")
        and "outside" not in pair.subject.split("~")
    ]


def solids(every: Pairs) -> dict[int, list[Any]]:
    """The kernel's solids of all voids that it can build."""
    from headparts.solids.void_solid import void_solids

    made: dict[int, list[Any]] = {}
    for void in (void for pair in every for void in pair):
        if id(void) not in made:
            try:
                made[id(void)] = void_solids(void)
            except GeometryError:
                made[id(void)] = []
    return made


def by_kernel(every: Pairs, made: dict[int, list[Any]]) -> list[float]:
    """Least distance of each pair by the kernel alone."""
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape

    from headparts.solids.shapes import wrapped

    return [
        min(
            float(BRepExtrema_DistShapeShape(wrapped(p), wrapped(q)).Value())
            for p in made[id(a)]
            for q in made[id(b)]
        )
        for a, b in every
    ]


def by_mesh(every: Pairs, made: dict[int, list[Any]]) -> list[float]:
    """Least gap of meshes within 1 micrometre of the solids, made here."""
    from manifold3d import Manifold, Mesh64

    from headparts.solids.mesh import triangulate

    meshes: dict[int, list[Any]] = {}
    for key, shapes in made.items():
        skins = [triangulate(shape, 0.001) for shape in shapes]
        meshes[key] = [Manifold(Mesh64(skin.vertices, skin.triangles.astype(np.uint64))) for skin in skins]
    return [min(p.min_gap(q, 200.0) for p in meshes[id(a)] for q in meshes[id(b)]) for a, b in every]


def compared(name: str, every: Pairs, asked: argparse.Namespace, mesh: bool) -> None:
    """One line a route: microseconds a pair, how many times ours, the greatest excess over ours."""
    made = solids(every)
    every = [pair for pair in every if made[id(pair[0])] and made[id(pair[1])]]
    used = {id(void) for pair in every for void in pair}
    made = {key: shapes for key, shapes in made.items() if key in used}
    ours, found = cpu(lambda: walls(every), asked.runs)
    report(f"{name}, certified", ours, ours, len(every), found, None)
    routes = [("kernel", by_kernel)] + ([("mesh, 1 um", by_mesh)] if mesh else [])
    for label, route in routes:
        taken, values = cpu(lambda route=route: route(every, made), 1)
        report(f"{name}, {label}", taken, ours, len(every), found, values)


def report(
    name: str, taken: float, ours: float, count: int, found: list[Wall], values: list[float] | None
) -> None:
    line = f"{name:40}{count:6}{taken / count * 1e6:12.0f}{taken / ours:10.1f}"
    if values is None:
        wide = max(wall.upper - wall.lower for wall in found)
        print(
            f"{line}  bounds at most {wide:.1e} mm apart, {sum(w.proven for w in found)} proven", flush=True
        )
        return
    over = max(value - wall.upper for wall, value in zip(found, values, strict=True))
    under = max(wall.lower - value for wall, value in zip(found, values, strict=True))
    print(
        f"{line}  above our value by at most {over:.1e}, below our bound by {max(under, 0.0):.1e} mm",
        flush=True,
    )


def main() -> int:
    """Measure and print."""
    options = argparse.ArgumentParser(
        description="Certified walls against the kernel, a mesh and more cavities."
    )
    options.add_argument("--job", default=str(ROOT / "configs" / "pump_26cc.yaml"))
    options.add_argument("--runs", type=int, default=5)
    options.add_argument("--pairs", type=int, default=300)
    options.add_argument("--no-mesh", action="store_true", help="leave out the mesh, which takes longest")
    asked = options.parse_args()
    print(f"{'':40}{'pairs':>6}{'us a pair':>12}{'x ours':>10}")
    compared("cylinder pairs in a batch", apart(asked.pairs, 1), asked, False)
    compared(f"walls of {Path(asked.job).stem}", job_pairs(asked.job), asked, not asked.no_mesh)
    first = 0.0
    for count in (10, 20, 40, 80):
        every = list(combinations(holes(count), 2))
        taken, _ = cpu(lambda every=every: walls(every), asked.runs)
        first = first or taken
        label = f"{count} cavities, every pair"
        print(
            f"{label:40}{len(every):6}{taken / len(every) * 1e6:12.0f}   {taken / first:7.1f} x the first",
            flush=True,
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
