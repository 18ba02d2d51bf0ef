"""What the consistency rules share: values by path, the places of keys, and ways to note a fault."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

from .blocks_head import CavityAxis, Vector3
from .blocks_station import AxisSpec
from .model import JobFile
from .notes import Notes

COMPARE_WITHIN = 0.01  # mm, a derived value that is written may differ by this much


class Judge:
    """The job as far as it could be read, with the places of its keys. Values at fault are None."""

    def __init__(self, job: JobFile, notes: Notes) -> None:
        self.job, self.notes = job, notes

    def get(self, path: str) -> Any:
        """Value at a dotted path or None."""
        return self.job.get(path)

    def num(self, path: str) -> float | None:
        """Number at a dotted path, or None."""
        value = self.job.get(path)
        return value if isinstance(value, float) else None

    def written(self, path: str) -> bool:
        """Whether the key stands in the file, sound or not."""
        return path in self.notes.places

    def path_of(self, block: object) -> str:
        """The dotted path of a block object that was read."""
        return self.notes.paths.get(id(block), "")

    def fault(self, path: str, message: str, near: str | None = None) -> None:
        """Note a fault at the value of a written key."""
        self.notes.at(path, message, near)

    def missing(self, block: str, key: str, message: str) -> None:
        """Note a missing key at the line of its block."""
        line, column = self.notes.blocks.get(block, (1, 1))
        self.notes.fault(line, column, f"{block}.{key}", None, message)

    def below(self, path: str, other: str, equal: bool = False, what: str = "") -> None:
        """The number at `path` must be below (or at most) the one at `other`, where both are given."""
        value, bound = self.num(path), self.num(other)
        if value is None or bound is None or value < bound or (equal and value == bound):
            return
        relation = "at most" if equal else "below"
        self.fault(path, f"{value:g} must be {relation} {what or other} = {bound:g}")

    def compared(self, path: str, computed: float | None, how: str) -> None:
        """A derived value that is written all the same must agree with the computed one."""
        value = self.num(path)
        if value is not None and computed is not None and abs(value - computed) > COMPARE_WITHIN + 1e-12:
            self.fault(
                path,
                f"{value:g} is written, {round(computed, 4):g} follows from {how}; they differ by more than "
                f"{COMPARE_WITHIN:g}: correct one, or leave this derived value away",
            )


def direction(axis: AxisSpec | CavityAxis | None) -> Vector3 | None:
    """Unit vector of an axis block, or None when it is not complete."""
    if axis is None:
        return None
    if isinstance(axis, AxisSpec) and axis.points is not None:
        gas, rocker = axis.points
        steps = [b - a for a, b in zip(gas, rocker, strict=True)]
        size = sum(step * step for step in steps) ** 0.5
        return None if size < 1e-9 else (steps[0] / size, steps[1] / size, steps[2] / size)
    if axis.p is None or axis.tilt is None:
        return None
    tilt, azim = radians(axis.tilt), radians(axis.azim or 0.0)
    if axis.tilt == 0.0:
        return (0.0, 0.0, 1.0)
    return (sin(tilt) * cos(azim), sin(tilt) * sin(azim), cos(tilt))


def start(axis: AxisSpec | None) -> Vector3 | None:
    """The point s = 0 of a valve axis."""
    if axis is None:
        return None
    return axis.points[0] if axis.points is not None else axis.p


def dot(a: Vector3, b: Vector3) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
